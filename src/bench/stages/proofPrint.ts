/**
 * The test print: which printer it is drawn for, its pieces on the bed, what instruments should show on them, and the files.
 * The printer file is the machine's, not the job's: it is kept in this browser for every job.
 */
import type { OutputFile } from '../../outputs/file.ts';
import { blankPrinterFile } from '../../outputs/proofSheet.ts';
import { bedsDrawing, onBedDrawing, pieceHandle } from '../../outputs/proofDrawing.ts';
import { sayLength, sayMass } from '../../outputs/say.ts';
import { printLaw } from '../../proof/law.ts';
import { planProof } from '../../proof/planProof.ts';
import type { ProofShown } from '../../proof/formProof.ts';
import { expectedReading } from '../../proof/expected.ts';
import { readPrinterProfile, type PrinterFile } from '../../proof/readPrinter.ts';
import { sayIssue, type Issue } from '../../result.ts';
import { fill, h } from '../dom.ts';
import { chooseFile, downloadFile } from '../files.ts';
import { samplePrinter } from '../presets.ts';
import { takesFiles } from './fileDrop.ts';
import type { KeptFile, Loaded } from './keptFile.ts';
import { filledIn, makePrinterForm, type PrinterDraft } from './printerForm.ts';
import { readingsTable, type ReadBacks } from './proofReadings.ts';
import { nothing, type Bench, type Stage } from './stage.ts';

interface Made {
  readonly from: unknown;
  readonly printer: Loaded<PrinterFile> | null;
  readonly proof: ProofShown;
  readonly files: readonly OutputFile[];
}

/** `kept` is the printer file, which the test fit looks at too. */
export function proofPrint(bench: Bench, kept: KeptFile<PrinterFile>): Omit<Stage, 'name'> {
  const { store, kernel } = bench;
  let draft: PrinterDraft | null = null;
  let issues: readonly Issue[] = [];
  let made: Made | null = null;
  let readBacks: ReadBacks = new Map();
  let making = false;
  let chosen = 1;
  const top = h('div');
  const list = h('div');
  const form = makePrinterForm(typed, saveDraft);
  const desk = h('div', {}, top, form.element, list);
  takesFiles(desk, (file) => void kept.take(file));

  /** What was typed is the printer as soon as it reads; until then the form says what is missing. */
  function typed(next: PrinterDraft): void {
    draft = next;
    const text = JSON.stringify(filledIn(next), null, 2);
    const read = readPrinterProfile(text);
    issues = read.ok ? [] : read.issues;
    if (read.ok) kept.use(kept.current()?.name ?? 'typed.printer.json', text);
    else refresh();
  }

  function saveDraft(): void {
    const name = String(draft?.['printer'] ?? '').replaceAll(/[^\w.-]+/g, '-') || 'blank';
    downloadFile({ name: `${name}.printer.json`, mimetype: 'application/json', purpose: 'The readings of a printer.', bytes: new TextEncoder().encode(`${JSON.stringify(draft === null ? {} : filledIn(draft), null, 2)}\n`) });
  }

  /** Readings to be taken on the coupons of this job, blank. */
  function begin(): void {
    const { good } = store;
    if (good?.job == null || good.plan === null) return bench.tell('What is typed does not make a part yet.', true);
    const law = printLaw(null);
    const job = { ...good.job, proof: { ...good.job.proof, whole: false, ring: false, ribs: false, holeBar: true, square: true } };
    const plan = planProof(job, good.plan, law);
    if (!plan.ok) return bench.tell(plan.issues.map(sayIssue).join(' '), true);
    const blank = blankPrinterFile({ pieces: plan.value.pieces.map((piece) => ({ plan: piece, expected: piece.readings.map((wanted) => expectedReading(wanted, piece.lay, law, false)) })) });
    if (store.document.proof?.square !== true) store.set('proof.square', true, 'Square printed too');
    form.open();
    typed(JSON.parse(blank ?? '{}') as PrinterDraft);
  }

  function forget(): void {
    draft = null;
    issues = [];
    kept.forget();
  }

  /** A file opened since is what the form shows. */
  let shown: unknown = null;
  function follow(): void {
    const now = kept.current();
    if (now === shown) return;
    shown = now;
    if (now === null || JSON.stringify(draft === null ? null : filledIn(draft)) === JSON.stringify(now.value.document)) return;
    draft = now.value.document as unknown as PrinterDraft;
    issues = [];
  }

  async function make(): Promise<void> {
    making = true;
    refresh();
    const [from, drawnFor] = [store.document, kept.current()];
    const answer = await kernel.proof(from, new Date().toISOString().replace(/\.\d+Z$/, 'Z'), { profile: drawnFor?.value.profile ?? null, printerFile: drawnFor?.name ?? '' });
    making = false;
    if (answer === null) bench.tell('The proof was not made: the solid modeller stopped twice over this. It has been started again; change the job a little, or try once more.', true);
    else if (answer.kind === 'refused') bench.tell(answer.issues.map(sayIssue).join(' '), true);
    else {
      made = { from, printer: drawnFor, proof: answer.proof, files: answer.files };
      chosen = 1;
      readBacks = new Map();
    }
    bench.redraw();
  }

  function choose(number: number): void {
    chosen = number;
    bench.redraw();
  }

  const key = (label: string, act: () => void, kind = ''): HTMLButtonElement => h('button', { type: 'button', class: `key ${kind}`.trim(), onclick: act }, label);
  const open = (): HTMLButtonElement => key(kept.current() === null ? 'Open a printer file' : 'Another printer file', () => void chooseFile('.json,application/json').then((file) => file && void kept.take(file)));

  /** What stands in the way, known before anything is built. */
  function inTheWay(): readonly Issue[] {
    const { good } = store;
    if (store.derived.plan === null || good?.job == null || good.plan === null) return [];
    const plan = planProof(good.job, good.plan, printLaw(kept.current()?.value.profile ?? null));
    return plan.ok ? [] : plan.issues;
  }

  function piecesTable({ proof, files }: Made): HTMLElement {
    const units = store.good?.job?.units ?? 'mm';
    const saved = (number: number, ending: string): Node | string => {
      const file = files.find((one) => one.name.endsWith(`-proof-${number}.${ending}`));
      return file === undefined ? '' : h('button', { type: 'button', class: 'key small', 'aria-label': `Save ${file.name}`, onclick: () => downloadFile(file) }, ending.toUpperCase());
    };
    return h(
      'table',
      { class: 'grid' },
      h('thead', {}, h('tr', {}, ...['Piece', `Size, ${units === 'inch' ? 'in' : 'mm'}`, 'Mass', 'Bed', ''].map((name, i) => h('th', { class: i > 0 && i < 4 ? 'n' : '' }, name)))),
      h(
        'tbody',
        {},
        ...proof.pieces.map((piece) =>
          h(
            'tr',
            { 'aria-selected': piece.number === chosen ? 'true' : 'false' },
            h('td', { class: 'wrap' }, h('button', { type: 'button', class: 'link', 'aria-pressed': piece.number === chosen ? 'true' : 'false', onclick: () => choose(piece.number) }, `${piece.number}  ${piece.plan.title}`)),
            h('td', { class: 'n' }, piece.size.map((v) => (units === 'inch' ? sayLength(v, units) : v.toFixed(1))).join(' × ')),
            h('td', { class: 'n' }, sayMass(piece.mass)),
            h('td', { class: 'n' }, piece.bed + 1),
            h('td', { class: 'keys' }, saved(piece.number, 'stl'), saved(piece.number, '3mf')),
          ),
        ),
      ),
    );
  }

  function madeBlock(shown: Made): Node[] {
    const { proof, files } = shown;
    const units = store.good?.job?.units ?? 'mm';
    const piece = proof.pieces.find((one) => one.number === chosen) ?? proof.pieces[0]!;
    const sheets = files.filter((file) => !/\.(stl|3mf)$/.test(file.name));
    return [
      ...proof.plan.notes.map((note) => h('p', { class: 'hint' }, note)),
      piecesTable(shown),
      h('div', { class: 'head' }, h('h2', {}, 'Sheets'), ...sheets.map((file) => h('button', { type: 'button', class: 'key', title: file.purpose, 'aria-label': `Save ${file.name}: ${file.purpose}`, onclick: () => downloadFile(file) }, sheetNames(file.name)))),
      h('div', { class: 'head' }, h('h2', {}, `${piece.number}. ${piece.plan.title}: what instruments should show`)),
      h('p', { class: 'hint' }, `${piece.plan.purpose}${piece.plan.marking.length > 0 ? ` Marked: ${piece.plan.marking.join(', ')}.` : ''}`),
      readingsTable(piece.plan.title, piece.expected, units, proof.profile !== null, readBacks),
      ...proof.joined.flatMap((one) => [h('div', { class: 'head' }, h('h2', {}, `${one.title}: what instruments should show`)), readingsTable(one.title, one.expected, units, proof.profile !== null, readBacks)]),
    ];
  }

  function refresh(): void {
    follow();
    const printer = kept.current();
    const waiting = inTheWay();
    const stale = made !== null && (made.from !== store.document || made.printer !== printer);
    const makeKey = key(making ? 'Making the proof …' : made === null ? 'Make the proof' : 'Make it again', () => void make(), 'main');
    makeKey.disabled = making || store.derived.plan === null || waiting.length > 0;
    const hint = store.derived.plan === null ? 'What is typed does not make a part yet; see the findings.' : stale ? 'The job or the printer has changed since this proof was made.' : made === null ? 'A test print is drawn for one printer and never changes the part. It is a test fit, not a guard.' : '';
    const drawnFor = printer?.value.profile;
    fill(
      top,
      h('div', { class: 'head' }, makeKey, made === null ? '' : key('Save all', () => made?.files.forEach(downloadFile)), open(), ...(printer === null && draft === null ? [key('Type readings', begin), key('Try the sample', () => kept.use('left.printer.json', samplePrinter))] : [key('Put it away', forget)])),
      ...[...kept.refused(), ...waiting].map((issue) => h('div', { class: 'notice bad' }, h('p', {}, sayIssue(issue)))),
      h('p', { class: 'hint' }, drawnFor === undefined ? 'No printer file: nothing is corrected, and every size comes out as the printer makes it. Print the hole bar and the square, measure them, and type the readings, or open the printer file or drop it here.' : `Drawn for ${drawnFor.printer}${drawnFor.material ? `, ${drawnFor.material}` : ''} (${printer!.name}).`),
    );
    form.show(draft, issues.length > 0 ? null : (printer?.value ?? null), issues);
    fill(list, hint === '' ? '' : h('p', { class: 'hint' }, hint), ...(made === null ? [] : madeBlock(made)));
  }

  return {
    deskTitle: 'Test print',
    desk,
    content() {
      const job = store.good?.job;
      const plan = store.good?.plan;
      if (job == null || plan == null) return { drawing: { marks: [] }, handles: [], note: 'No part yet: see the findings.', subject: 'no part' };
      if (made === null) return { drawing: onBedDrawing(plan, job.proof), handles: [], note: 'The part on the bed as stated. Make the proof to see its pieces.', subject: `bed ${job.proof.bedX} ${job.proof.bedY}` };
      const { proof } = made;
      const handles = proof.pieces.map((piece) => ({ id: `piece ${piece.number}`, at: pieceHandle(proof, job.proof, piece), name: `${piece.number}, ${piece.plan.title}`, chosen: piece.number === chosen, free: 'none' as const }));
      return { drawing: bedsDrawing(proof, job.proof, chosen), handles, note: `${proof.beds} bed${proof.beds === 1 ? '' : 's'} of ${sayLength(job.proof.bedX, job.units)} by ${sayLength(job.proof.bedY, job.units)}, seen from above. Piece ${chosen} is marked.`, subject: `proof ${proof.beds} ${proof.pieces.length}` };
    },
    groups: () => [{ path: 'proof', title: 'Proof' }],
    noGroups: '',
    refresh,
    reveal: (path) => path === 'proof' || path.startsWith('proof.'),
    ...nothing,
    choose: (id) => choose(Number(/\d+/.exec(id)?.[0] ?? 1)),
  };
}

const sheetNames = (name: string): string => (name.endsWith('.html') ? 'Sheet' : name.endsWith('.csv') ? 'Readings' : name.endsWith('.svg') ? 'Beds' : name.endsWith('.json') ? 'Blank printer file' : 'Offsets to fill in');

