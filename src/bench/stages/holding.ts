/**
 * The stage Holding: the part on its fixture, closed or apart, in its billet as it lies in the first
 * operation, or as it is set down for the second with the three places to touch off marked; the plan
 * of the fixture with screw and skin at every boss; screws, touch-off numbers and weights on the desk.
 */
import type { Finding } from '../../checks/finding.ts';
import type { Holding } from '../../holding/holding.ts';
import type { HoldingEvidence } from '../../holding/holdUp.ts';
import { holdingOf } from '../../holding/holdingOf.ts';
import { inverse, moved } from '../../holding/motion.ts';
import { suggestBosses } from '../../holding/suggest.ts';
import { mmPerInch } from '../../job/quantity.ts';
import type { JobDocument } from '../../job/schema.ts';
import { label, type Drawing } from '../../outputs/drawing.ts';
import { fixtureDrawing } from '../../outputs/fixtureDrawing.ts';
import { sayLength, sayLengthUnit, sayMass } from '../../outputs/say.ts';
import type { SolidPlan } from '../../solid/plan.ts';
import { capScrew } from '../../standards/screws.ts';
import { majorDiameter } from '../../standards/threads.ts';
import { fill, h } from '../dom.ts';
import type { HeldBody } from '../kernel/protocol.ts';
import type { Surroundings } from '../view/look.ts';
import { screwFaces } from '../view/screwMesh.ts';
import { nothing, type Bench, type Stage } from './stage.ts';

/** Colours of what stands beside the part, as in the STEP files. */
const tints: Readonly<Record<HeldBody['what'] | 'screw', string>> = { fixture: '#c2a46b', pin: '#4d5560', billet: '#d8d2c4', left: '#d8d2c4', screw: '#3c4148' };
const poses = { closed: 'On the fixture', apart: 'Taken apart', first: 'First operation', set: 'Set down, to touch off' } as const;
type Pose = keyof typeof poses;

/** ms after an edit before the fixture is asked for: it takes a second or so. */
const pause = 400;

interface Held {
  readonly plan: SolidPlan;
  readonly bodies: readonly HeldBody[];
  readonly evidence: HoldingEvidence | null;
}

export function holdingStage(bench: Bench, heard: (findings: readonly Finding[]) => void): Stage {
  const { store, kernel, view } = bench;
  let pose: Pose = 'closed';
  let up = false;
  let held: Held | null = null;
  let asking = false;
  let fitted = false;
  let soon: ReturnType<typeof setTimeout> | undefined;
  let known: { readonly plan: SolidPlan; readonly holding: Holding } | null = null;

  const holding = (): Holding | null => {
    const { good } = store;
    if (!good?.plan || !good.job) return null;
    if (known?.plan !== good.plan) known = { plan: good.plan, holding: holdingOf(good.job, good.plan) };
    return known.holding;
  };

  const desk = h('div', { class: 'fill' });
  const looks = h('select', { class: 'key', 'aria-label': 'Show' }, ...Object.entries(poses).map(([value, name]) => h('option', { value }, name)));
  looks.addEventListener('change', () => {
    pose = looks.value as Pose;
    place();
    view?.fit();
  });
  const key = (name: string, title: string, act: () => void) => h('button', { type: 'button', class: 'key small', title, 'aria-label': title, onclick: act }, name);
  const tools = [looks, key('From below', 'Look at it from below', () => view?.look('Below')), key('From outside', 'Look at it from outside', () => view?.look('Outside')), key('Suggest bosses', 'Suggest bosses to hold it by', suggest)];

  /** Asks for the fixture once edits pause, and again if the part changed meanwhile. */
  function ask(): void {
    clearTimeout(soon);
    const plan = store.derived.plan;
    if (!up || asking || plan === null || held?.plan === plan) return;
    soon = setTimeout(() => {
      asking = true;
      void kernel.hold().then((answer) => {
        asking = false;
        if (answer === null) return bench.tell('The fixture was not made: the solid modeller stopped twice over it. It has been started again; change the job a little.', true);
        held = { plan, bodies: answer.bodies, evidence: answer.evidence };
        if (up) {
          place();
          refresh();
        }
        heard(answer.findings);
        ask();
      });
    }, pause);
  }

  function place(): void {
    if (view === null) return;
    const now = holding();
    if (!up || held === null || now === null) {
      view.mark([]);
      return view.surround(null);
    }
    view.surround(sceneOf(pose, now, held.bodies));
    const back = inverse(now.op2.motion);
    view.mark(pose === 'set' ? now.touchOff.numbers.map((number) => moved(back, number.at)) : []);
    // Brought into view once; after that, where one looks is one's own business.
    if (!fitted) view.fit();
    fitted = true;
  }

  function suggest(): void {
    const { good } = store;
    if (!good?.plan || !good.job) return bench.tell('Get a first part up before adding to it.', true);
    const { bosses, why } = suggestBosses(good.job, good.plan);
    if (bosses.length === 0) return bench.tell(`No bosses to suggest: ${why}.`, true);
    const inch = store.document.units === 'inch';
    const typed = (mm: number): number => (inch ? Number((mm / mmPerInch).toFixed(4)) : mm);
    const before = store.document.bosses?.length ?? 0;
    store.replace({ ...store.document, bosses: bosses.map((boss) => ({ ...boss, x: typed(boss.x), y: typed(boss.y), diameter: typed(boss.diameter), endHeight: typed(boss.endHeight), holeDepth: typed(boss.holeDepth) })) } as JobDocument, 'Bosses suggested');
    bench.tell(`${bosses.length} ${bosses[0]!.thread} bosses put in${before > 0 ? ` instead of ${before}` : ''}. Look at them on the stage Mounts; Undo takes them back.`);
  }

  function refresh(): void {
    ask();
    const now = holding();
    if (now === null) return fill(desk, h('p', { class: 'empty' }, 'No part yet.'));
    const units = store.document.units === 'inch' ? 'inch' : 'mm';
    fill(desk, screwTable(now, units), figureTable(now, held?.plan === known?.plan ? (held?.evidence ?? null) : null, units));
  }

  return {
    name: 'Holding',
    deskTitle: 'Screws and numbers',
    desk,
    tools,
    content: () => {
      const now = holding();
      const { good } = store;
      if (now === null || !good?.plan || !good.job) return { drawing: { marks: [] }, handles: [], note: 'No part yet.', subject: 'fixture' };
      return { drawing: boardDrawing(now, good.plan, good.job.units), handles: [], note: 'Fixture seen from above, zero of the second operation at the cross. Dashed: the part. At each boss: its screw, and the skin left over its drill.', subject: 'fixture' };
    },
    groups: () => [{ path: 'holding', title: 'Holding' }],
    noGroups: '',
    refresh,
    enter: () => {
      up = true;
      place();
      // A part whose checks are long done gives no other occasion to ask.
      ask();
    },
    left: () => {
      up = false;
      fitted = false;
      place();
      view?.fit();
    },
    reveal: (path) => path.startsWith('holding'),
    ...nothing,
  };
}

/** What stands where: closed, the parts apart along Z, or the part in its billet turned over. */
function sceneOf(pose: Pose, holding: Holding, bodies: readonly HeldBody[]): Surroundings {
  const body = (what: HeldBody['what'], lift: number, seeThrough = false) => bodies.filter((one) => one.what === what).map(({ faces }) => ({ colour: tints[what], faces, lift, seeThrough }));
  if (pose === 'first') return { bodies: body('billet', 0, true), lift: 0, upsideDown: holding.op1.motion.rotation[0][0] > 0 ? 'about X' : 'about Y' };
  const size = holding.stock.size[2];
  const apart = pose === 'apart' ? size : 0;
  const screws = holding.screws.flatMap((screw) => {
    if (screw.chosen === null || screw.window === null) return [];
    const head = capScrew(screw.window.thread);
    const seat = screw.endHeight - screw.window.grip;
    return [{ colour: tints.screw, faces: screwFaces({ at: screw.place, seat, length: screw.chosen.length, shank: majorDiameter(screw.window.thread) / 2, head: { radius: head.headDiameterMost / 2, height: head.headHeightMost } }), lift: -apart }];
  });
  return { bodies: [...body('fixture', 0), ...body('pin', apart / 2), ...screws, ...(pose === 'set' ? body('left', 0) : [])], lift: 1.2 * apart, upsideDown: null };
}

/** The fixture's plan with screw and skin written at every boss. */
function boardDrawing(holding: Holding, plan: SolidPlan, units: 'mm' | 'inch'): Drawing {
  const drawing = fixtureDrawing(holding, plan, units, false);
  const text = Math.max(2.5, (holding.fixture.plate.most[0] - holding.fixture.plate.least[0]) / 140);
  const [dx, dy] = holding.op2.motion.shift;
  const notes = holding.screws.flatMap((screw) => {
    const words = [screw.chosen?.said ?? (screw.refused.length > 0 ? 'no screw' : ''), screw.skin === null ? '' : `skin ${sayLength(screw.skin.left, units)}`].filter(Boolean);
    // Written towards the middle of the part, clear of its walls.
    const lower = screw.place[1] < plan.body.width / 2;
    const first = screw.place[1] + dy + (lower ? 9 + text * 5.2 : -7 - text * 2);
    return words.map((line, i) => label([screw.place[0] + dx, first - i * text * 2.8], line, text, 'middle', screw.refused.length > 0 ? 'warning' : 'accent'));
  });
  return { marks: [...drawing.marks, ...notes] };
}

function screwTable(holding: Holding, units: 'mm' | 'inch'): HTMLElement {
  const say = (mm: number | undefined): string => (mm === undefined ? '' : sayLength(mm, units));
  const rows = holding.screws.map((screw) =>
    h(
      'tr',
      {},
      h('td', {}, screw.name),
      h('td', {}, screw.chosen?.said ?? (screw.refused.length > 0 ? 'none fits' : 'no thread')),
      h('td', { class: 'n' }, say(screw.skin?.left)),
      h('td', { class: 'n' }, say(screw.chosen?.engagement)),
      h('td', { class: 'wrap' }, screw.refused.length > 0 ? screw.refused.map((issue) => `${issue.message} ${issue.hint}`).join(' ') : screw.window && screw.window.screws.length > 1 ? `also ${screw.window.screws.filter((one) => one !== screw.chosen).map((one) => one.said).join(', ')}` : ''),
    ),
  );
  const none = h('tr', {}, h('td', { colspan: 5 }, 'No bosses: press Suggest bosses, or hold the part through its tabs.'));
  return h('table', { class: 'grid' }, h('thead', {}, h('tr', {}, ...['Boss', 'Screw from below', 'Skin left', 'Engaged', ''].map((name, i) => h('th', { class: i === 2 || i === 3 ? 'n' : '' }, name)))), h('tbody', {}, ...(rows.length > 0 ? rows : [none])));
}

function figureTable(holding: Holding, evidence: HoldingEvidence | null, units: 'mm' | 'inch'): HTMLElement {
  const say = (mm: number): string => sayLengthUnit(mm, units);
  const { touchOff, mass, step, stock, fixture } = holding;
  const rows: readonly (readonly [string, string])[] = [
    ...touchOff.numbers.map((number): readonly [string, string] => [`Touch off ${number.axis}`, `${say(number.value)} ± ${say(number.tolerance)}. ${number.said}`]),
    ['First zero', holding.op1.zero.said],
    ['Second zero', holding.op2.zero.said],
    ['Billet', `${stock.size.map((size) => sayLength(size, units)).join(' × ')} ${units === 'inch' ? 'in' : 'mm'}, ${sayMass(mass.stock)}`],
    ['Pins', fixture.pins.length === 0 ? 'none' : fixture.pins.map((pin) => `${pin.kind} ${say(pin.diameter)} in ${pin.name}`).join(', ')],
    ['Step to expect', `${say(step.step)} where the two sides meet, from ${say(step.skew)} of skew over 100 mm`],
    ['Metal shared', evidence === null ? 'being worked out' : `${Number(evidence.overlap.toPrecision(3))} mm³ of fixture and part after the first operation`],
    ['Least gap', evidence === null ? 'being worked out' : evidence.gap === null ? 'could not be measured' : `${evidence.gap >= evidence.looked ? 'more than ' : ''}${say(evidence.gap)}, contacts left out`],
  ];
  return h('table', { class: 'grid' }, h('thead', {}, h('tr', {}, h('th', {}, 'Number'), h('th', {}, 'Value'))), h('tbody', {}, ...rows.map(([name, value]) => h('tr', {}, h('td', {}, name), h('td', { class: 'wrap' }, value)))));
}
