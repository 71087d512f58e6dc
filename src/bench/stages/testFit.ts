/**
 * The board of test fits: what a fit showed at each hole is typed into a table; arrows, enlarged by a stated factor, show
 * it on the plan; the diagnosis says in words what it is and where to correct it; and what a person accepts of that begins
 * the next revision.
 */
import { boltTo } from '../../fit/bolting.ts';
import { patternOf } from '../../fit/correct.ts';
import { diagnose, type Diagnosis, type HoleArrow } from '../../fit/diagnosis.ts';
import { fitOf, readFitSheet, withProfile } from '../../fit/fitSheet.ts';
import type { OffsetReading } from '../../fit/offsets.ts';
import { locateHoles } from '../../holes/locate.ts';
import { networkOf } from '../../holes/networkSheet.ts';
import { readDocument } from '../../job/read.ts';
import type { JobDocument } from '../../job/schema.ts';
import { label, type Drawing } from '../../outputs/drawing.ts';
import { fitDrawing } from '../../outputs/fitDrawing.ts';
import { planDrawing } from '../../outputs/planDrawing.ts';
import type { PrintProfile } from '../../proof/profile.ts';
import { sayIssue, type Issue, type Result } from '../../result.ts';
import { fill, h } from '../dom.ts';
import { makeSheetTable } from '../panel/sheetTable.ts';
import { makeCorrections } from './corrections.ts';
import { diagnosisLines, hintLines, sayPair } from './fitWords.ts';
import type { Line } from './networkWords.ts';
import { oddsLines } from './oddsWords.ts';
import { lettering, nothing, type Bench, type Stage } from './stage.ts';

type TypedFit = NonNullable<JobDocument['testFits']>[number];
type TypedOffset = NonNullable<TypedFit['offsets']>[number];

interface Looked {
  readonly readings: readonly OffsetReading[];
  readonly result: Result<Diagnosis>;
}

/** Trials for the odds on the page: told to about a third of a per cent. */
const trials = 20_000;

/** ms after the last key before what was typed is looked at. */
const settle = 250;

/** `printer` is the one prints are drawn for here, if any. */
export function testFitBoard(bench: Bench, printer: () => PrintProfile | null): Omit<Stage, 'name'> {
  const { store } = bench;
  let at = -1;
  let odds: { readonly of: JobDocument; readonly lines: readonly Line[] } | null = null;
  let last: { readonly of: JobDocument; readonly at: number; readonly looked: Looked | null } | null = null;
  let soon: ReturnType<typeof setTimeout> | undefined;
  let due = false;

  const units = () => (store.document.units === 'inch' ? 'inch' : 'mm');
  const fits = (): readonly TypedFit[] => store.document.testFits ?? [];
  const index = (): number => (at >= 0 && at < fits().length ? at : fits().length - 1);
  const fit = (): TypedFit | undefined => fits()[index()];
  const offsets = (): readonly TypedOffset[] => fit()?.offsets ?? [];
  const write = (changed: TypedFit, label: string, place = ''): void => store.replace({ ...store.document, testFits: fits().map((one, i) => (i === index() ? changed : one)) }, label, place);

  /** The diagnosis of the test fit that is up; null while nothing of it reads. */
  function looked(): Looked | null {
    const { document, job, plan } = store.derived;
    const of = job?.testFits[index()];
    if (job === null || plan === null || of === undefined) return null;
    if (last?.of === document && last.at === index()) return last.looked;
    // Many holes take some tenths of a second: not while something is being typed.
    if (last !== null && !due) {
      clearTimeout(soon);
      soon = setTimeout(() => {
        due = true;
        bench.redraw();
      }, settle);
      return null;
    }
    due = false;
    const { readings, context } = fitOf(of, job.revision);
    // A row with a name and nothing beside it has not been read yet.
    const read = readings.filter((one) => one.dx !== undefined || one.dy !== undefined || one.amount !== undefined || one.pin !== undefined);
    const now = read.length === 0 ? null : { readings: read, result: diagnose(read, patternOf(plan), context) };
    last = { of: document, at: index(), looked: now };
    return now;
  }

  const diagnosis = (): Diagnosis | null => {
    const now = looked();
    return now?.result.ok ? now.result.value : null;
  };

  const corrections = makeCorrections(bench, () => {
    const [now, found] = [looked(), diagnosis()];
    return now && found && { readings: now.readings, found };
  });

  function begin(): void {
    const { plan } = store.derived;
    if (plan === null) return bench.tell('Get a first part up before fitting it.', true);
    at = fits().length;
    store.replace({ ...store.document, testFits: [...fits(), { revision: store.document.revision ?? 'A', offsets: patternOf(plan).map(({ name }) => ({ hole: name })) }] }, 'Test fit begun');
  }

  function take(text: string): boolean {
    const file = readDocument(store.document);
    const read = file.ok ? readFitSheet(text, file.value) : file;
    if (!read.ok) {
      bench.tell(read.issues.slice(0, 4).map(sayIssue).join(' '), true);
      return true;
    }
    at = fits().length;
    store.replace(read.value.file.document, 'Test fit taken in');
    return true;
  }

  const arrowOf = (name: string): HoleArrow | undefined => diagnosis()?.holes.find((hole) => hole.name === name);

  const table = makeSheetTable(
    {
      name: 'Offsets',
      one: 'offset',
      columns: [
        { key: 'hole', title: 'Hole', text: true },
        { key: 'dx', title: 'dX', number: true },
        { key: 'dy', title: 'dY', number: true },
        { key: 'clock', title: 'Clock', number: true },
        { key: 'amount', title: 'Amount', number: true },
        { key: 'pin', title: 'Pin', number: true },
      ],
      read: ['Explained', 'Left'],
    },
    {
      items: offsets as () => readonly Record<string, unknown>[],
      write: (items, label, place) => write({ ...fit(), offsets: items as unknown as TypedOffset[] }, label, place),
      fresh: () => ({ hole: '' }),
      beside(i) {
        const arrow = arrowOf(String(offsets()[i]?.hole ?? ''));
        return arrow ? [{ text: sayPair(arrow.explained, units()) }, { text: arrow.left === null ? '' : sayPair(arrow.left, units()) }] : [];
      },
      path: (i) => `testFits[${index()}].offsets[${i}]`,
      issues: () => store.derived.issues,
      paste: take,
    },
  );

  const words = h('div', { role: 'status', class: 'lines' });
  const moves = h('div');
  const chance = h('div');
  const desk = h('div', {}, words, moves, table.element, chance);
  const choice = h('select', { class: 'key', 'aria-label': 'Which test fit' });
  choice.addEventListener('change', () => {
    at = Number(choice.value);
    bench.redraw();
  });
  const fresh = h('button', { type: 'button', class: 'key small', onclick: begin }, 'New test fit');
  // The print's own scale is taken out once, and only where the piece was not drawn for it: `diagnose` sees to that.
  const printerKey = h('button', { type: 'button', class: 'key small' });
  printerKey.addEventListener('click', () => {
    const profile = printer();
    const told = profile === null ? null : withProfile(store.document, profile, index());
    if (told === null) return;
    if (!told.ok) return bench.tell(told.issues.map(sayIssue).join(' '), true);
    store.replace(told.value, `Printed on ${profile!.printer}`);
  });
  const oddsKey = h('button', { type: 'button', class: 'key small' }, 'Odds of bolting up');
  oddsKey.addEventListener('click', () => {
    odds = { of: store.document, lines: oddsNow() };
    refresh();
  });

  /** By the hole readings of the job, where it has some. */
  function oddsNow(): readonly Line[] {
    const { job, plan } = store.derived;
    if (job === null || plan === null) return [{ text: 'What is typed does not make a part; see the findings.', bad: true }];
    if (job.pattern.readings.length === 0) return [{ text: 'The odds need the mating holes: type what was measured between them under Mounts, Hole readings.' }];
    const { readings, settings } = networkOf(job.pattern);
    const located = locateHoles(readings, settings);
    const bolting = located.ok ? boltTo(job, plan, located.value, trials) : located;
    return bolting.ok ? oddsLines(bolting.value, units()).map((text) => ({ text })) : bolting.issues.map((issue) => ({ text: sayIssue(issue), bad: true }));
  }

  function refresh(): void {
    const list = fits();
    fill(choice, ...list.map((one, i) => h('option', { value: i }, `${i + 1}: revision ${one.revision ?? store.document.revision ?? 'A'}, on ${one.on === 'part' ? 'the part' : 'a print'}`)));
    const profile = printer();
    printerKey.hidden = profile === null || fit() === undefined || fit()!.on === 'part' || fit()!.scaleX !== undefined;
    printerKey.textContent = `Printed on ${profile?.printer ?? ''}`;
    choice.hidden = list.length < 2;
    choice.value = String(index());
    table.element.hidden = list.length === 0;
    const now = looked();
    const issues: readonly Issue[] = now !== null && !now.result.ok ? now.result.issues : [];
    const found = diagnosis();
    if (list.length === 0) fill(words, h('p', { class: 'empty' }, 'Lay the test print on the original and read how far each hole is off. Press New test fit and type it here: X and Y, or the clock and the amount, or the largest pin that goes through both holes.'));
    else if (now === null && last?.of !== store.derived.document && store.derived.plan !== null) return table.refresh();
    else if (now === null) fill(words, ...hintLines([{ text: 'Type how far each hole has to move to be right, also 0 where it fits. A sheet of offsets may be pasted.' }]));
    else fill(words, ...(found ? diagnosisLines(found) : hintLines(issues.map((issue) => ({ text: sayIssue(issue), bad: true })))));
    fill(moves, ...corrections.rows());
    if (odds !== null && odds.of !== store.document) odds = null;
    fill(chance, ...hintLines(odds?.lines ?? []));
    table.refresh();
  }

  function drawing(): Drawing & { readonly enlarged: number } {
    const { plan } = store.derived;
    const found = diagnosis();
    if (plan === null) return { marks: [], enlarged: 1 };
    const under = planDrawing(plan, units(), false, 'above', plan.body.length * lettering).marks;
    if (found === null) return { marks: under, enlarged: 1 };
    const over = fitDrawing({ ...found, holes: found.holes.map((hole) => (corrections.refused(hole.name) ? { ...hole, move: [0, 0] as const } : hole)) }, false);
    return { marks: [...under, ...over.marks.filter((mark) => mark.kind !== 'text')], enlarged: over.enlarged };
  }

  return {
    deskTitle: 'Test fit',
    desk,
    tools: [choice, fresh, printerKey, oddsKey],
    content() {
      const { marks, enlarged } = drawing();
      const empty = marks.length === 0 ? [label([0, 0], 'No part yet: see the findings.', 4)] : marks;
      return { drawing: { marks: empty }, handles: [], note: diagnosis() ? `Seen from outside. Arrows ×${enlarged}: black as read, blue what the design changes by, red what nothing explains.` : 'Plan seen from outside.', subject: 'test fit' };
    },
    groups: () => (fit() === undefined ? [] : [{ path: `testFits[${index()}]`, title: 'Test fit' }]),
    noGroups: 'Begin a test fit to see what can be said about it.',
    refresh,
    ...nothing,
    reveal(path) {
      const found = /^testFits\[(\d+)\]/.exec(path);
      if (found === null) return false;
      at = Number(found[1]);
      return true;
    },
  };
}
