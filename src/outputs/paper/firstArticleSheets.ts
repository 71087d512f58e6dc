/** What is measured on the first part -> sheets to fill in at the bench: balloons on the plan, then a row for each reading. */
import { characteristicsOf, type Characteristic } from '../../fit/firstArticle.ts';
import type { Job } from '../../job/schema.ts';
import type { Vec2 } from '../../maths/vec.ts';
import type { SolidPlan } from '../../solid/plan.ts';
import { boundsOf, placed, type Bounds, type Mark } from '../drawing.ts';
import { planDrawing } from '../planDrawing.ts';
import { sayLength } from '../say.ts';
import { labelMarks } from './labels.ts';
import { Flow } from './flow.ts';
import { letter, points, roomOf, sheets, type Page, type SheetForm, type SheetHead } from './page.ts';

export function firstArticleSheets({ job, plan }: { readonly job: Job; readonly plan: SolidPlan }, form: SheetForm, head: SheetHead): Page[] {
  const list = characteristicsOf(job, plan);
  const room = roomOf(form);
  const balloons = balloonPicture(plan, job, list, room);
  const flow = new Flow(room);
  flow.heading('How to measure');
  flow.add(points(howTo(job), flow.at, room.most[0] - room.least[0]));
  flow.heading('Readings');
  flow.table(columns(room.most[0] - room.least[0]), rowsOf(job, list), true);
  flow.heading('Decision');
  flow.table([{ title: 'Measured by', width: 60 }, { title: 'Date', width: 40 }, { title: 'Part number on it', width: 50 }, { title: 'Released / corrected / scrapped', width: 80 }], [['', '', '', '']], true);
  return sheets(form, { ...head, kind: 'First article' }, [{ marks: balloons }, ...flow.pages()]);
}

const howTo = (job: Job): string[] => [
  'Let the part cool to the temperature of the gauges, deburr it, and rest it on datum A (the feet) on a surface plate. Datum B is the outer face of the front wall, datum C the outer face of the left end.',
  `Places of holes are from B and C, seen from outside. A place is right when 2 x the square root of (dX² + dY²) is no more than ${sayLength(job.bolting.positionTolerance, job.units)}.`,
  'Numbers in rings stand at their place on the first sheet; the others are of the feature named.',
  'Type the readings into the CSV of the same name and give it to the verb "fit": it judges every row and tells a wrong zero from a single wrong hole. A first article corrects the machine, not the design.',
];

const columns = (width: number): { readonly title: string; readonly width: number; readonly align?: 'start' | 'end' }[] => {
  const fixed = [10, 20, 22, 22, 22, 54, 30, 18];
  const what = width - fixed.reduce((sum, one) => sum + one, 0);
  return [
    { title: 'No.', width: fixed[0]!, align: 'end' },
    { title: 'Of', width: fixed[1]! },
    { title: 'What', width: what },
    { title: 'Nominal', width: fixed[2]!, align: 'end' },
    { title: 'Least', width: fixed[3]!, align: 'end' },
    { title: 'Most', width: fixed[4]!, align: 'end' },
    { title: 'Instrument', width: fixed[5]! },
    { title: 'Measured', width: fixed[6]! },
    { title: 'Verdict', width: fixed[7]! },
  ];
};

function rowsOf(job: Job, list: readonly Characteristic[]): string[][] {
  const say = (mm: number): string => (job.units === 'inch' ? sayLength(mm, 'inch') : mm.toFixed(2));
  return list.map((one) => {
    const limits = one.kind === 'thread' ? ['go', '', ''] : one.kind === 'size' ? [say(one.nominal), say(one.nominal + one.lower), say(one.nominal + one.upper)] : [say(one.nominal), `circle ${say(2 * one.upper)}`, ''];
    return [String(one.number), one.feature, one.what, ...limits, one.instrument, '', ''];
  });
}

function balloonPicture(plan: SolidPlan, job: Job, list: readonly Characteristic[], room: Bounds): Mark[] {
  const drawing = { marks: planDrawing(plan, job.units, false).marks.filter((mark) => mark.pen !== 'dimension' && mark.kind !== 'text') };
  const box = boundsOf(drawing);
  const space = 22;
  const scale = Math.min((room.most[0] - room.least[0] - 2 * space) / (box.most[0] - box.least[0]), (room.most[1] - room.least[1] - 2 * space) / (box.most[1] - box.least[1]), 2);
  const origin: Vec2 = [0, 1].map((axis) => (room.least[axis]! + room.most[axis]!) / 2 - (scale * (box.least[axis]! + box.most[axis]!)) / 2) as unknown as Vec2;
  const wishes = list
    .filter((one) => one.at !== null && one.kind !== 'place y')
    .map((one) => ({ at: [origin[0] + scale * one.at![0], origin[1] + scale * one.at![1]] as Vec2, radius: 1.5, text: String(one.number), balloon: true }));
  return [...placed(drawing, scale, origin).marks, ...labelMarks(wishes, [], room, letter.text)];
}
