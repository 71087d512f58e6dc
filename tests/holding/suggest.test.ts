/** Suggested bosses, taken into the job, hold the part: every one gets a screw, none is in the way. mm. */
import { describe, expect, test } from 'vitest';
import { goesOnTurned } from '../../src/checks/flip.ts';
import { spanLimit, widestSpan } from '../../src/holding/columns.ts';
import { holdingOf } from '../../src/holding/holdingOf.ts';
import { hollowOf } from '../../src/holding/hollow.ts';
import { suggestBosses } from '../../src/holding/suggest.ts';
import { unwrap } from '../../src/result.ts';
import { crowned, flatTop, jobOf, planOf, sharp, topThrough, type Doc } from '../solid/part.ts';

const large: Doc = { body: { width: 120 }, tabs: [{ wall: 'front', at: 30 }, { wall: 'back', at: 90 }], machining: { cutterDiameter: 8 } };

function taken(doc: Doc, top = crowned) {
  const bosses = suggestBosses(jobOf(doc), unwrap(planOf(doc, top))).bosses;
  const next: Doc = { ...doc, bosses: bosses.map((boss) => ({ ...boss })) };
  return { bosses, job: jobOf(next), plan: unwrap(planOf(next, top)) };
}

describe('suggested bosses', () => {
  test.each([
    ['a large crowned cover', large, crowned],
    ['an inch job', { ...large, units: 'inch' } as Doc, crowned],
    ['a tall one: the posts are no taller than screws are long', { body: { width: 120 } }, [topThrough((x) => 70 + 8 * Math.sin(x / 60), 300)]],
    ['a plain box', { body: sharp }, flatTop],
  ] as const)('%s: every boss gets a screw and keeps its skin', (_, doc, top) => {
    // The units only choose the screws here: the sizes of the document stay in mm, as the reader of the tests takes them.
    const { bosses, job, plan } = taken(doc, top);
    expect(bosses.length).toBeGreaterThanOrEqual(3);
    for (const screw of holdingOf(job, plan).screws) {
      expect(screw.refused, screw.name).toEqual([]);
      expect(screw.chosen).not.toBeNull();
      expect(screw.skin!.left).toBeGreaterThanOrEqual(job.machining.leastSkin);
    }
  });
  test('the cutter passes between every boss and the walls, and between bosses', () => {
    const { plan } = taken(large);
    const hollow = hollowOf(plan.body);
    for (const boss of plan.bosses) {
      expect(hollow.toWalls([boss.x, boss.y]) - boss.diameter / 2).toBeGreaterThanOrEqual(8);
      for (const other of plan.bosses) if (other !== boss) expect(Math.hypot(boss.x - other.x, boss.y - other.y) - boss.diameter).toBeGreaterThanOrEqual(8);
    }
  });
  test('balanced about the middle but for the odd one, so that the part does not go on end for end', () => {
    const { plan } = taken(large);
    const middle = [plan.body.length / 2, plan.body.width / 2];
    const centre = [0, 1].map((k) => plan.bosses.reduce((sum, boss) => sum + (k === 0 ? boss.x : boss.y), 0) / plan.bosses.length);
    expect(Math.hypot(centre[0]! - middle[0]!, centre[1]! - middle[1]!)).toBeLessThan(4);
    expect(goesOnTurned({ ...plan, tabs: [] }, [0, 0], [plan.body.length, plan.body.width])).toBe(false);
    const even = { ...plan, tabs: [], bosses: plan.bosses.map((boss) => ({ ...boss, endHeight: 8, y: boss.y < middle[1]! ? 30 : 90 })) };
    expect(goesOnTurned(even, [0, 0], [plan.body.length, plan.body.width])).toBe(true);
  });
  test('no span along the part stays longer than the job allows by more than the strip between the rows', () => {
    const { job, plan } = taken(large);
    const before = widestSpan(hollowOf(plan.body), [])!.span;
    const after = widestSpan(hollowOf(plan.body), plan.bosses.map((boss) => ({ at: [boss.x, boss.y], radius: boss.diameter / 2 })))!.span;
    expect(after).toBeLessThan(before);
    expect(after).toBeLessThan(spanLimit(job));
  });
  test('a cover too low or too narrow says so', () => {
    expect(suggestBosses(jobOf({ body: sharp }), unwrap(planOf({ body: sharp }, [{ ...flatTop[0]!, poles: flatTop[0]!.poles.map(([x]) => [x, 9] as const) }]))).why).toContain('too low for M3');
    const narrow: Doc = { body: { ...sharp, width: 18 } };
    expect(suggestBosses(jobOf(narrow), unwrap(planOf(narrow))).why).toContain('does not fit between the walls');
  });
});
