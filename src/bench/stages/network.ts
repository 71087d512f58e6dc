/**
 * The board of hole readings: what was measured between the holes of the original in a table, where the holes stand with
 * their errors in plan, what is doubtful, what to measure next; and the holes taken over into the part.
 */
import { locateHoles } from '../../holes/locate.ts';
import { networkOf, readNetworkSheet } from '../../holes/networkSheet.ts';
import { holeReadingKinds, type HolePattern, type HoleReading } from '../../holes/pattern.ts';
import type { JobDocument } from '../../job/schema.ts';
import { patternDrawing } from '../../outputs/patternFiles.ts';
import { sayIssue, type Result } from '../../result.ts';
import { sayMiss } from '../../outputs/say.ts';
import { fill, h } from '../dom.ts';
import { chooseFile, readLimited } from '../files.ts';
import { makeSheetTable } from '../panel/sheetTable.ts';
import { networkLines } from './networkWords.ts';
import { nothing, type Bench, type Stage } from './stage.ts';
import { takeOverDialog } from './takeOverDialog.ts';

type Pattern = NonNullable<JobDocument['pattern']>;
type Reading = NonNullable<Pattern['readings']>[number];

interface Found {
  readonly readings: readonly HoleReading[];
  readonly result: Result<HolePattern>;
}

export function networkBoard(bench: Bench): Omit<Stage, 'name'> {
  const { store } = bench;
  const units = () => (store.document.units === 'inch' ? 'inch' : 'mm');
  const typed = (): Pattern => store.document.pattern ?? {};
  const readings = (): readonly Reading[] => typed().readings ?? [];
  const write = (pattern: Pattern, label: string, place = ''): void => store.replace({ ...store.document, pattern }, label, place);
  let last: { readonly of: unknown; readonly found: Found | null } | null = null;

  /** The pattern found, once per state of its readings; null while they do not read or there are none. */
  function found(): Found | null {
    const { document, job } = store.derived;
    if (last?.of === document.pattern && last !== null && job !== null) return last.found;
    if (job === null || job.pattern.readings.length === 0) return null;
    const network = networkOf(job.pattern);
    last = { of: document.pattern, found: { readings: network.readings, result: locateHoles(network.readings, network.settings) } };
    return last.found;
  }

  const pattern = (): HolePattern | null => {
    const now = found();
    return now?.result.ok ? now.result.value : null;
  };

  /** Place in the pattern's list of judged readings of each reading in the table. */
  function beside(index: number): readonly { readonly text: string; readonly bad?: boolean }[] {
    const at = pattern();
    if (readings()[index]?.leaveOut) return [{ text: 'left out' }];
    const judged = at?.readings.find((one) => one.index === index);
    if (!at || !judged) return [];
    const doubtful = at.slips.some((one) => one.suspects.includes(index));
    const checked = judged.redundancy < 0.005 ? 'by nothing' : `${(100 * judged.redundancy).toFixed(0)} %`;
    return [{ text: sayMiss(judged.residual, units()).replace(/ \w+$/, ''), bad: doubtful }, { text: doubtful ? `${checked}, doubtful` : checked, bad: doubtful }];
  }

  function take(text: string): boolean {
    const read = readNetworkSheet(text, units());
    if (!read.ok) {
      bench.tell(read.issues.slice(0, 4).map(sayIssue).join(' '), true);
      return true;
    }
    const fresh = read.value.typed;
    write({ ...typed(), ...fresh, readings: [...readings(), ...(fresh.readings ?? [])] }, `${fresh.readings?.length ?? 0} hole readings taken in`);
    return true;
  }

  const table = makeSheetTable(
    {
      name: 'Readings between holes',
      one: 'hole reading',
      columns: [
        { key: 'kind', title: 'Kind', choices: holeReadingKinds },
        { key: 'a', title: 'Hole', text: true },
        { key: 'b', title: 'To', text: true },
        { key: 'value', title: 'Reads', number: true },
        { key: 'error', title: 'Error', number: true },
      ],
      read: ['Miss', 'Checked by others'],
    },
    {
      items: readings as () => readonly Record<string, unknown>[],
      write: (items, label, place) => write({ ...typed(), readings: items as unknown as Reading[] }, label, place),
      fresh: () => ({ kind: 'centre', a: '', b: '', value: '' }),
      beside,
      path: (index) => `pattern.readings[${index}]`,
      issues: () => store.derived.issues,
      paste: take,
    },
  );

  const words = h('div', { role: 'status', class: 'lines' });
  const desk = h('div', { class: 'dropzone' }, words, table.element);
  desk.addEventListener('dragover', (event) => event.preventDefault());
  desk.addEventListener('drop', (event) => {
    event.preventDefault();
    const file = event.dataTransfer?.files[0];
    if (file) void readLimited(file).then(take, (error: Error) => bench.tell(error.message, true));
  });

  const fromFile = h('button', { type: 'button', class: 'key small' }, 'From a file');
  fromFile.addEventListener('click', () => void chooseFile('.csv,.tsv,.txt').then((file) => file && readLimited(file).then(take, (error: Error) => bench.tell(error.message, true))));
  const clear = h('button', { type: 'button', class: 'key small', onclick: () => write({ ...typed(), readings: [], sides: [], edges: [] }, 'Hole readings cleared') }, 'Clear');
  const over = h('button', { type: 'button', class: 'key small main' }, 'Take over');
  over.addEventListener('click', () => {
    const at = pattern();
    if (at) takeOverDialog(bench, at);
  });

  function answer(): HTMLElement | null {
    const question = pattern()?.question;
    if (!question) return null;
    const key = (text: string, change: Pattern) => h('button', { type: 'button', class: 'key', onclick: () => write({ ...typed(), ...change }, 'Side stated') }, text);
    if (question.kind === 'seen from') return h('div', { class: 'fields' }, key('From outside', { seenFrom: 'outside' }), key('From the mating face', { seenFrom: 'mating' }));
    const side = (to: 'left' | 'right'): Pattern => ({ sides: [...(typed().sides ?? []), { hole: question.hole, from: question.from, to: question.to, side: to }] });
    return h('div', { class: 'fields' }, key(`${question.hole} lies left`, side('left')), key(`${question.hole} lies right`, side('right')));
  }

  function refresh(): void {
    const now = found();
    over.disabled = !now?.result.ok || now.result.value.mirror !== null;
    over.title = now?.result.ok && now.result.value.mirror !== null ? 'Answer the question first' : '';
    const lines = now === null
      ? readings().length === 0 ? [{ text: 'Type what was measured between the holes: centre to centre, over the outside of two holes, over the web between them, from a straight edge, or a hole by pin or jaws. A sheet may be pasted or dropped.' }] : []
      : now.result.ok ? networkLines(now.result.value, now.readings, units()) : now.result.issues.map((issue) => ({ text: `${issue.message} ${issue.hint}`, bad: true }));
    const ask = answer();
    fill(words, ...lines.map((line) => h('p', { class: `hint${line.bad ? ' bad' : ''}` }, line.text)), ...(ask ? [ask] : []));
    table.refresh();
  }

  return {
    deskTitle: 'Hole readings',
    desk,
    tools: [fromFile, clear, over],
    content() {
      const now = found();
      const at = pattern();
      if (!now || !at) return { drawing: { marks: [] }, handles: [], note: 'The plan appears as soon as the readings fix every hole.', subject: 'no network' };
      const drawing = patternDrawing(at, now.readings, units(), false);
      return { drawing, handles: [], note: `Seen from outside. Ellipses hold the true centre 95 times in 100, ×${drawing.enlarged}.`, subject: `network ${at.holes.length}` };
    },
    groups: () => [{ path: 'pattern', title: 'Hole readings' }],
    noGroups: '',
    refresh,
    ...nothing,
    reveal: (path) => path.startsWith('pattern'),
  };
}

