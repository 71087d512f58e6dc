/** Wall height over thickness, and the least a wall of this metal should be. Common practice, no source; guides print 0.8 to 1 mm for aluminium. */
import type { Material } from '../standards/materials.ts';
import { material } from '../standards/materials.ts';
import { footAt } from '../solid/walls.ts';
import { heightAt } from '../solid/heights.ts';
import { sayMm, type Finding } from './finding.ts';
import type { Check } from './input.ts';

const slenderest = 32;
const leastWall: Readonly<Record<Material['family'], number>> = { aluminium: 1, steel: 1, 'cast iron': 3, plastic: 1.5 };

export const slenderWalls: Check = ({ job, plan }, say = sayMm) => {
  const { body } = plan;
  const middle = body.length / 2;
  const walls = [
    { name: 'front wall', thickness: body.wall, x: 0, at: 'body.wall' },
    { name: 'back wall', thickness: body.wall, x: body.length, at: 'body.wall' },
    ...(body.left.closed ? [{ name: 'left end', thickness: body.left.thickness, x: middle, at: 'body.leftEnd.thickness' }] : []),
    ...(body.right.closed ? [{ name: 'right end', thickness: body.right.thickness, x: middle, at: 'body.rightEnd.thickness' }] : []),
  ];
  const least = leastWall[material(job.material).family];
  return walls.flatMap(({ name, thickness, x, at }): Finding[] => {
    const height = heightAt(body.top, x) - footAt(body, x);
    const findings: Finding[] = [];
    const common = { unit: 'mm', at, place: [x, name === 'left end' ? 0 : name === 'right end' ? body.width : body.width / 2, height / 2] } as const;
    if (thickness < height / slenderest) {
      findings.push({
        ...common,
        code: 'wall-slender',
        level: 'warn',
        message: `The ${name} is ${say(thickness)} thick and ${say(height)} high; ${say(height / slenderest)} or more cuts without chatter.`,
        value: thickness,
        limit: height / slenderest,
        cure: 'Make it thicker, or rough both sides and finish in light passes from the top down.',
        restsOn: 'Thickness at least height / 32: common practice, no source.',
      });
    }
    if (thickness < least) {
      findings.push({
        ...common,
        code: 'wall-thin',
        level: 'warn',
        message: `The ${name} is ${say(thickness)} thick; ${say(least)} or more is wanted in ${job.material}.`,
        value: thickness,
        limit: least,
        cure: `Make it ${say(least)} or more.`,
        restsOn: 'Machining guides print 0.5 to 1 mm for aluminium and 1.5 mm for plastic; common practice.',
      });
    }
    return findings;
  });
};
