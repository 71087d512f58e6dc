/** Section -> drawing with its main dimensions, true to size, x = station from the front wall, z up. */
import { domainOf, pointAt } from '../maths/bspline.ts';
import type { Vec2 } from '../maths/vec.ts';
import type { Section } from '../section/section.ts';
import type { Units } from '../job/quantity.ts';
import { sayLength } from './say.ts';
import { dimension, label, loopPath, type Drawing, type Mark } from './drawing.ts';

/** The highest point of the top. */
export function summit(section: Section): Vec2 {
  let best: Vec2 = [0, -Infinity];
  for (const curve of section.top) {
    const [from, to] = domainOf(curve);
    for (let i = 0; i <= 200; i += 1) {
      const p = pointAt(curve, from + ((to - from) * i) / 200);
      if (p[1] > best[1]) best = p;
    }
  }
  return best;
}

/** `caption`: whether the drawing itself says what it is. */
export function sectionDrawing(section: Section, units: Units, caption = true, text = Math.max(2.5, section.length / 90)): Drawing {
  const say = (mm: number): string => sayLength(mm, units);
  const front = (section.top[0] as Section['top'][number]).poles[0] as Vec2;
  const back = (section.top.at(-1) as Section['top'][number]).poles.at(-1) as Vec2;
  const high = summit(section);
  const marks: Mark[] = [loopPath('outline', section.outline, true)];
  const { length, wall, skin, frontFoot, backFoot } = section;
  marks.push(...dimension([0, 0], [length, 0], -text * 4, say(length), text));
  marks.push(...dimension([0, frontFoot], [0, front[1]], text * 3, say(front[1] - frontFoot), text));
  marks.push(...dimension([length, backFoot], [length, back[1]], -text * 3, say(back[1] - backFoot), text));
  if (Math.abs(high[0]) > length * 0.03 && Math.abs(high[0] - length) > length * 0.03) {
    marks.push(...dimension([high[0], 0], high, -text * 2, say(high[1]), text));
  }
  if (frontFoot !== backFoot) {
    const raised: Vec2 = frontFoot > backFoot ? [0, frontFoot] : [length, backFoot];
    marks.push(...dimension([raised[0], 0], raised, frontFoot > backFoot ? text * 6 : -text * 6, say(raised[1]), text));
  }
  marks.push(...dimension([0, Math.max(frontFoot, 0) + text], [wall, Math.max(frontFoot, 0) + text], text * 2, say(wall), text));
  if (caption) marks.push(label([length / 2, -text * 8], `Section at mid width. Skin ${say(skin)} square to the top.`, text));
  return { marks };
}
