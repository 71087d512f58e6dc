/**
 * The job: one file that carries a cover from readings to release. Every parameter is declared here and nowhere else.
 *
 * Reading a document through `jobSchema(units)` turns what was typed into millimetres and degrees and fills in defaults;
 * the document itself is kept beside it, untouched (see read.ts).
 *
 * Part frame: X = station across the section, front wall's outer face at 0; Y = along the sweep, left end at 0;
 * Z up from the lower seat plane; right-handed. Plan positions are as seen from outside (above).
 */
import { z } from 'zod';
import { matingMaterialNames, materialNames, printMaterials } from '../standards/materials.ts';
import { bedMargin } from '../standards/printBeds.ts';
import { fitClasses, threadNames } from '../standards/threads.ts';
import { tolerance } from '../maths/tolerance.ts';
import { fieldsIn, text, type Fields } from './fields.ts';
import { mmPerInch, type Units } from './quantity.ts';

/** The version of the job file written today. Older versions are brought up to it by upgrade.ts. */
export const jobVersion = 1;

/** Revision letters: the alphabet without I O Q S X Z, which are misread on a drawing (common practice; ASME Y14.35). */
export const revisionLetters = 'ABCDEFGHJKLMNPRTUVWY';

const wallNames = ['front', 'back', 'left', 'right'] as const;
export type WallName = (typeof wallNames)[number];

function traceFields(f: Fields) {
  const station = f.length({ label: 'Station', help: 'Distance of the reading along the section.' });
  const height = f.length({ label: 'Height', help: 'Height of the reading above the lower seat plane.' });
  const point = z.strictObject({
    x: station,
    z: height,
    error: f.length({ label: 'Reading error', help: 'One sigma of this reading, where it differs from the rest.', least: 1e-4, most: 50 }).optional(),
    corner: f.flag({ label: 'Corner', help: 'The contour turns sharply here; it is split and not smoothed across.' }).default(false),
    leaveOut: f.flag({ label: 'Leave out', help: 'Keep the reading but do not use it.' }).default(false),
    note: f.text({ label: 'Note', help: 'Anything to remember about this reading.' }).optional(),
  });
  // A bare pair is the short form; turning it into the long form first keeps every message about one form only.
  const reading = z.preprocess((typed) => (Array.isArray(typed) && typed.length === 2 ? { x: typed[0], z: typed[1] } : typed), point);
  return z
    .strictObject({
      points: z
        .array(reading, { error: 'Expected a list of readings.' })
        .max(200_000, { error: 'Expected at most 200 000 readings.' })
        .default([])
        .meta({ label: 'Readings', help: 'Side-profile readings, [station, height] or {x, z, error, corner, leaveOut, note}.' }),
      readingError: f
        .length({ label: 'Reading error', help: 'One sigma of a reading. Leave out when not known: the data then decide.', least: 1e-4, most: 50, step: 0.01 })
        .optional(),
      tipRadius: f.length({ label: 'Tip radius', help: 'Radius of the ball tip the readings were taken with; 0 for a point or knife edge.', least: 0, most: 50, step: 0.5 }).default(0),
      source: f.text({ label: 'Source', help: 'Where the readings come from: file, instrument, person, date.', longest: 2000 }).default(''),
    })
    .prefault({})
    .meta({ label: 'Readings', help: 'What was measured along the curved top of the original.' });
}

function contourFields(f: Fields) {
  return z
    .strictObject({
      smoothing: f
        .choice(['auto', 'reading error', 'cross validation', 'through the points', 'by hand'], {
          label: 'Smoothing',
          help: 'How the smoothness is chosen. Auto uses the reading error where one is stated, else cross validation.',
        })
        .default('auto'),
      stiffness: f.number({ label: 'Stiffness', help: 'Used with "by hand" only: 0 passes through the points, 1 is a straight line.', least: 0, most: 1, step: 0.01 }).default(0.5),
      startAngle: f.angle({ label: 'Angle at the front', help: 'Direction of the contour at the front wall, up positive. Leave out to let the readings decide.', least: -80, most: 80 }).optional(),
      endAngle: f.angle({ label: 'Angle at the back', help: 'Direction of the contour at the back wall, up positive. Leave out to let the readings decide.', least: -80, most: 80 }).optional(),
    })
    .prefault({})
    .meta({ label: 'Contour', help: 'How the smooth curve is found from the readings.' });
}

function bodyFields(f: Fields) {
  const end = (side: string) =>
    z
      .strictObject({
        closed: f.flag({ label: `${side} end closed`, help: 'A wall across the end of the sweep; open leaves the section bare.' }).default(true),
        thickness: f.length({ label: `${side} end thickness`, help: 'Thickness of that wall. Same as the walls when left out.', least: 0.2, most: 60, step: 0.1 }).optional(),
      })
      .prefault({})
      .meta({ label: `${side} end`, help: `The ${side.toLowerCase()} end of the sweep.` });
  return z
    .strictObject({
      width: f.length({ label: 'Width', help: 'Length of the sweep, left end to right end.', least: 5, most: 2000, step: 1 }),
      wall: f.length({ label: 'Wall', help: 'Thickness of the front and back walls.', least: 0.2, most: 60, step: 0.1 }).default(3),
      skin: f.length({ label: 'Skin', help: 'Thickness of the curved top, square to it.', least: 0.2, most: 60, step: 0.1 }).default(3),
      front: f.length({ label: 'Front station', help: "Station of the front wall's outer face. First reading when left out." }).optional(),
      back: f.length({ label: 'Back station', help: "Station of the back wall's outer face. Last reading when left out." }).optional(),
      frontFoot: f.length({ label: 'Front foot', help: 'Height of the front wall foot. One foot stands on the lower seat plane, at 0.', least: 0, most: 500, step: 0.5 }).default(0),
      backFoot: f.length({ label: 'Back foot', help: 'Height of the back wall foot. One foot stands on the lower seat plane, at 0.', least: 0, most: 500, step: 0.5 }).default(0),
      stepAt: f.length({ label: 'Foot step', help: 'Distance from the front wall at which the end walls step from one foot height to the other. Half way when left out.', least: 0, most: 2000 }).optional(),
      leftEnd: end('Left'),
      rightEnd: end('Right'),
      outsideRadius: f.length({ label: 'Outside radius', help: 'Radius on the outside edges: round the top and down the four corners. 0 leaves them sharp.', least: 0, most: 60, step: 0.5 }).default(3),
      insideCornerRadius: f.length({ label: 'Inside corner radius', help: 'Radius in the four upright inside corners: no smaller than the cutter.', least: 0, most: 60, step: 0.5 }).default(5),
      insideRoofRadius: f.length({ label: 'Inside roof radius', help: 'Radius between walls and roof on the inside.', least: 0, most: 60, step: 0.5 }).default(4),
    })
    .meta({ label: 'Body', help: 'The thin shell: the contour swept to width, walls, ends and radii.' });
}

/** How the size of a hole is given: by the screw that goes through it, or as a diameter. */
function holeFields(f: Fields) {
  return {
    screw: f.choice(threadNames, { label: 'Screw', help: 'The screw that passes through; sets the diameter from the clearance table.' }).optional(),
    fit: f.choice(fitClasses, { label: 'Fit', help: 'Clearance class of the hole (ISO 273 fine, medium, coarse).' }).default('medium'),
    diameter: f.length({ label: 'Hole diameter', help: 'Used instead of a screw size.', least: 0.3, most: 200, step: 0.1 }).optional(),
    slot: f.length({ label: 'Slot', help: 'Extra length that makes the hole a slot; 0 for a round hole.', least: 0, most: 200, step: 0.5 }).default(0),
    slotAngle: f.angle({ label: 'Slot direction', help: 'Direction of the slot in plan, from X towards Y.', least: -180, most: 180 }).default(0),
    head: f.choice(['none', 'counterbore', 'countersink'], { label: 'Head', help: 'Room for the screw head, from the table of that screw or from the sizes below.' }).default('none'),
    headDiameter: f.length({ label: 'Head diameter', help: 'Diameter of the counterbore or countersink. From the screw when left out.', least: 0.5, most: 300, step: 0.1 }).optional(),
    headDepth: f.length({ label: 'Head depth', help: 'Depth of the counterbore. From the screw when left out.', least: 0.1, most: 200, step: 0.1 }).optional(),
  };
}

function tabFields(f: Fields) {
  return z.strictObject({
    name: f.text({ label: 'Name', help: 'Shown on the sheets. T1, T2 ... when left out.', longest: 24 }).optional(),
    wall: f.choice(wallNames, { label: 'Wall', help: 'The wall the tab stands on.' }),
    at: f.length({ label: 'Position', help: 'Middle of the tab along its wall: Y on front and back, X on left and right.' }),
    seat: f.length({ label: 'Seat', help: 'Height of the face the tab rests on. The foot of its wall when left out.', least: -200, most: 500, step: 0.5 }).optional(),
    length: f.length({ label: 'Length', help: 'Size along the wall.', least: 1, most: 500, step: 0.5 }).default(24),
    reach: f.length({ label: 'Reach', help: 'How far it stands out from the wall.', least: 1, most: 200, step: 0.5 }).default(16),
    thickness: f.length({ label: 'Thickness', help: 'Height of the tab above its seat.', least: 0.5, most: 100, step: 0.5 }).default(5),
    cornerRadius: f.length({ label: 'Corner radius', help: 'Radius of its two outer corners in plan.', least: 0, most: 100, step: 0.5 }).default(4),
    rootRadius: f.length({ label: 'Root radius', help: 'Radius between the top of the tab and the wall.', least: 0, most: 30, step: 0.5 }).default(0),
    holeOut: f.length({ label: 'Hole out', help: 'Hole centre from the outside of the wall. Half the reach when left out.', least: -50, most: 200, step: 0.1 }).optional(),
    holeAlong: f.length({ label: 'Hole along', help: 'Hole centre from the middle of the tab, along the wall.', least: -200, most: 200, step: 0.1 }).default(0),
    hole: z
      .strictObject(holeFields(f))
      .nullable()
      .optional()
      .meta({ label: 'Hole', help: 'The screw hole; null for a tab without one. M5 medium when left out.' }),
  });
}

function freeHoleFields(f: Fields) {
  return z.strictObject({
    name: f.text({ label: 'Name', help: 'Shown on the sheets. H1, H2 ... when left out.', longest: 24 }).optional(),
    in: f.choice(['skin', ...wallNames], { label: 'Goes through', help: 'The skin (drilled straight down) or a wall (drilled square to it).' }).default('skin'),
    x: f.length({ label: 'X', help: 'Station of the centre. Not used for the front and back walls.' }).default(0),
    y: f.length({ label: 'Y', help: 'Position along the sweep. Not used for the left and right walls.' }).default(0),
    z: f.length({ label: 'Z', help: 'Height of the centre. Not used for the skin.' }).default(0),
    ...holeFields(f),
  });
}

function bossFields(f: Fields) {
  return z.strictObject({
    name: f.text({ label: 'Name', help: 'Shown on the sheets. B1, B2 ... when left out.', longest: 24 }).optional(),
    x: f.length({ label: 'X', help: 'Station of the boss.' }),
    y: f.length({ label: 'Y', help: 'Position of the boss along the sweep.' }),
    diameter: f.length({ label: 'Diameter', help: 'Outside diameter of the boss.', least: 2, most: 200, step: 0.5 }).default(12),
    endHeight: f.length({ label: 'End height', help: 'Height of the flat end of the boss above the lower seat plane; it runs from there up to the roof.', least: 0, most: 500, step: 0.5 }).default(0),
    thread: f.choice(threadNames, { label: 'Thread', help: 'Tapped from the end of the boss; sets the drill.' }).optional(),
    holeDiameter: f.length({ label: 'Hole diameter', help: 'Plain blind hole, used instead of a thread.', least: 0.3, most: 200, step: 0.1 }).optional(),
    holeDepth: f.length({ label: 'Hole depth', help: 'Depth of the drilled hole at full diameter; 0 for a solid boss.', least: 0, most: 500, step: 0.5 }).default(0),
    threadDepth: f.length({ label: 'Thread depth', help: 'Depth of full thread. Hole depth less the tap run-out when left out.', least: 0, most: 500, step: 0.5 }).optional(),
    pointAngle: f.angle({ label: 'Drill point', help: 'Included angle of the drill point; 180 for a flat-bottomed hole.', least: 60, most: 180, step: 1 }).default(118),
    rootRadius: f.length({ label: 'Root radius', help: 'Radius between the boss and the roof.', least: 0, most: 30, step: 0.5 }).default(0),
  });
}

function notchFields(f: Fields) {
  return z.strictObject({
    wall: f.choice(wallNames, { label: 'Wall', help: 'The wall the notch is cut through, from its foot up.' }),
    at: f.length({ label: 'Position', help: 'Middle of the notch along its wall: Y on front and back, X on left and right.' }),
    width: f.length({ label: 'Width', help: 'Width of the notch.', least: 0.5, most: 500, step: 0.5 }).default(8),
    height: f.length({ label: 'Height', help: 'Height of the notch above the foot of its wall.', least: 0.5, most: 500, step: 0.5 }).default(6),
    radius: f.length({ label: 'Radius', help: 'Radius of its two upper corners.', least: 0, most: 200, step: 0.5 }).default(0),
  });
}

function grooveFields(f: Fields) {
  return z.strictObject({
    run: f.choice(['along', 'across'], { label: 'Run', help: 'Along follows the contour at one Y; across runs with the sweep at one station.' }).default('along'),
    at: f.length({ label: 'Position', help: 'Middle of the groove: Y for along, station for across.' }),
    from: f.length({ label: 'From', help: 'Where it starts: station for along, Y for across.' }),
    to: f.length({ label: 'To', help: 'Where it ends: station for along, Y for across.' }),
    width: f.length({ label: 'Width', help: 'Width of the groove.', least: 0.3, most: 200, step: 0.1 }).default(3),
    depth: f.length({ label: 'Depth', help: 'Depth square to the top.', least: 0.05, most: 50, step: 0.1 }).default(1),
  });
}

function engravingFields(f: Fields) {
  return z.strictObject({
    text: f.text({ label: 'Text', help: 'What is engraved, one line.', longest: 60 }),
    on: f.choice(['top', 'underside'], { label: 'On', help: 'The curved top, or the roof seen from below (cut so that it reads from below).' }).default('top'),
    x: f.length({ label: 'X', help: 'Station of the middle of the text.' }),
    y: f.length({ label: 'Y', help: 'Position of the middle of the text along the sweep.' }),
    height: f.length({ label: 'Height', help: 'Height of a capital letter.', least: 1, most: 200, step: 0.5 }).default(8),
    depth: f.length({ label: 'Depth', help: 'Depth of the letters.', least: 0.05, most: 20, step: 0.05 }).default(0.4),
    angle: f.angle({ label: 'Direction', help: 'Direction the text reads in, from X towards Y, as seen from the side it is read from.', least: -180, most: 180 }).default(90),
  });
}

function edgeBreakFields(f: Fields) {
  const size = (label: string, help: string) => f.length({ label, help, least: 0, most: 20, step: 0.1 }).default(0);
  return z
    .strictObject({
      tabs: size('Tab edges', 'Chamfer cut on the upper outside edges of the tabs; 0 for none.'),
      holes: size('Hole mouths', 'Chamfer cut on the mouths of the tab holes and blind holes; 0 for none.'),
      feet: size('Feet', 'Chamfer cut on the outer edge of the wall feet; 0 for none.'),
      byHand: f
        .length({ label: 'By hand', help: 'Break asked for on the sheets for every other sharp edge; not in the model. 0 for none.', least: 0, most: 5, step: 0.1 })
        .default(0),
    })
    .prefault({})
    .meta({ label: 'Edge breaks', help: 'Sharp edges taken off, in the model or by hand.' });
}

function machiningFields(f: Fields) {
  return z
    .strictObject({
      cutterDiameter: f.length({ label: 'Inside cutter', help: 'Diameter of the cutter that finishes the inside.', least: 0.5, most: 80, step: 0.5 }).default(8),
      cutterReach: f.length({ label: 'Cutter reach', help: 'Usable length of that cutter below the holder. Not checked when left out.', least: 1, most: 400, step: 1 }).optional(),
      leastSkin: f.length({ label: 'Least skin', help: 'Least metal to leave anywhere above a blind hole.', least: 0.1, most: 20, step: 0.1 }).default(1.5),
      ballDiameter: f.length({ label: 'Ball cutter', help: 'Diameter of the ball cutter that finishes the curved top.', least: 0.5, most: 50, step: 0.5 }).default(6),
      stepOver: f.length({ label: 'Step over', help: 'Distance between two passes of the ball cutter; sets the ridges it leaves.', least: 0.01, most: 20, step: 0.05 }).default(0.5),
      leaveOn: f.length({ label: 'Leave on', help: 'Metal that roughing leaves for the finishing cut.', least: 0, most: 5, step: 0.1 }).default(0.5),
      wallTolerance: f.length({ label: 'Wall tolerance', help: 'How much thinner than stated a wall may come out anywhere.', least: 0.01, most: 10, step: 0.05 }).default(0.2),
    })
    .prefault({})
    .meta({ label: 'Machining', help: 'What the shop will cut it with; used by the checks.' });
}

/** How it is held and cut from both sides: billet, zeros, fixture. */
function holdingFields(f: Fields, units: Units) {
  // Bars, cutters and tables come in round figures of their own system.
  const usual = (mm: number, inch: number): number => (units === 'inch' ? inch * mmPerInch : mm);
  return z
    .strictObject({
      stockEnds: f.length({ label: 'Stock at the ends', help: 'Metal left over the part at each end of the billet, along X.', least: 0, most: 100, step: 1 }).default(6),
      stockSides: f.length({ label: 'Stock at the sides', help: 'Metal left over the part at each side of the billet, along Y.', least: 0, most: 100, step: 1 }).default(3),
      stockUnder: f.length({ label: 'Stock under', help: 'Metal faced off under the feet.', least: 0, most: 100, step: 0.5 }).default(2),
      stockOver: f.length({ label: 'Stock over', help: 'Metal over the top: what the jaws hold in the first operation.', least: 0, most: 200, step: 1 }).default(8),
      stockStep: f.length({ label: 'Stock step', help: 'Billet sizes are rounded up to a multiple of this; 0 leaves them exact.', least: 0, most: 50, step: 1 }).default(usual(1, 1 / 16)),
      grip: f.length({ label: 'Jaw depth', help: 'How deep the billet sits in the jaws.', least: 0, most: 100, step: 0.5 }).default(6),
      turnOver: f.choice(['about X', 'about Y'], { label: 'Turn over', help: 'The axis the part is turned over about between the operations. About X, the front stays where it was.' }).default('about X'),
      firstZero: f.choice(['centre', 'corner', 'pin'], { label: 'First zero', help: "X and Y zero of the first operation: middle of the billet, its corner nearest the machine's minus X and Y, or the hole the round pin enters." }).default('centre'),
      secondZero: f.choice(['bore', 'centre', 'corner', 'pin'], { label: 'Second zero', help: 'X and Y zero of the second operation: touch-off bore, middle or corner of the plate, or the round pin.' }).default('bore'),
      skew: f.length({ label: 'Skew', help: 'How far out of line over 100 mm the billet may sit in the vice.', least: 0, most: 2, step: 0.01 }).default(0.05),
      topCutter: f.length({ label: 'Outside cutter', help: 'Diameter of the cutter that goes round the outside.', least: 1, most: 80, step: 1 }).default(usual(12, 1 / 2)),
      cutterGap: f.length({ label: 'Cutter gap', help: 'Least distance from that cutter to plate and table screws.', least: 0.5, most: 50, step: 0.5 }).default(3),
      material: f.choice(materialNames, { label: 'Fixture material', help: 'What the fixture is made of.' }).default('6061-T6'),
      plate: f.length({ label: 'Plate', help: 'Thickness of the base plate.', least: 5, most: 150, step: 1 }).default(usual(20, 3 / 4)),
      margin: f.length({ label: 'Margin', help: 'Least plate outside the part at the sides, along Y.', least: 0, most: 200, step: 1 }).default(15),
      table: f.choice(['bolt holes', 'slots'], { label: 'Table', help: 'How the plate is bolted down: holes that suit a table of tapped holes, or open slots that suit tee slots along X.' }).default('bolt holes'),
      tablePitch: f.length({ label: 'Table pitch', help: 'Distance between the holes or the tee slots of the table.', least: 5, most: 300, step: 1 }).default(usual(50, 2)),
      tableScrew: f.choice(threadNames, { label: 'Table screw', help: 'Screw that bolts the plate down.' }).default(units === 'inch' ? '3/8-16' : 'M10'),
      nestGap: f.length({ label: 'Nest gap', help: 'Clearance between nest posts and the inside of the walls.', least: 0.02, most: 2, step: 0.01 }).default(0.1),
      nestHeight: f.length({ label: 'Nest height', help: 'How far the nest posts stand up inside the walls.', least: 0.5, most: 50, step: 0.5 }).default(4),
      nestCutter: f.length({ label: 'Nest cutter', help: 'Diameter of the cutter the fixture is cleared with: its inside corners get this radius or more.', least: 0.5, most: 40, step: 0.5 }).default(usual(6, 1 / 4)),
      burrRelief: f.length({ label: 'Burr relief', help: 'How far the fixture keeps below and beside the edges of the part, where burrs stand.', least: 0.2, most: 5, step: 0.1 }).default(1),
      pinDiameter: f.length({ label: 'Pin', help: 'Diameter of the locating pins. Hole less pin gap when left out.', least: 0.5, most: 60, step: 0.1 }).optional(),
      pinGap: f.length({ label: 'Pin gap', help: 'How much smaller a pin is than its hole, where its diameter is not given.', least: 0, most: 1, step: 0.01 }).default(0.03),
      longestSpan: f.length({ label: 'Longest span', help: 'Farthest the skin may span without wall, boss or support under it. 30 times the skin when left out.', least: 5, most: 1000, step: 5 }).optional(),
      supportGap: f.length({ label: 'Support gap', help: 'How far a support ends below the roof; filled with wax or a jack screw before the skin is cut.', least: 0.1, most: 20, step: 0.1 }).default(1),
      touchOffBore: f.length({ label: 'Touch-off bore', help: 'Diameter of the bore in the plate that the zero is picked up from.', least: 3, most: 80, step: 1 }).default(usual(16, 5 / 8)),
    })
    .prefault({})
    .meta({ label: 'Holding', help: 'Billet, zeros and fixture: how the part is held and cut from both sides.' });
}

const positiveError = (f: Fields, help: string) => f.length({ label: 'Reading error', help, least: 1e-4, most: 5, step: 0.01 });

/** What the part is bolted to, for the odds that everything bolts up. */
function boltingFields(f: Fields) {
  const celsius = (label: string, help: string) => f.number({ label, help, least: -60, most: 200, step: 5 });
  return z
    .strictObject({
      matingMaterial: f.choice(matingMaterialNames, { label: 'Bolts to', help: 'Material of the casting; sets how far the holes drift apart with heat.' }).default('grey cast iron'),
      positionTolerance: f.length({ label: 'Hole tolerance', help: 'Diameter of the circle each hole centre is cut within.', least: 0, most: 5, step: 0.05 }).default(0.1),
      coldest: celsius('Coldest', 'Lowest temperature it is bolted up at, degrees Celsius.').default(15),
      hottest: celsius('Hottest', 'Highest temperature it is bolted up at, degrees Celsius.').default(30),
      seed: f.number({ label: 'Seed', help: 'Number the trials start from; the same seed gives the same odds.', least: 0, most: 4294967295, step: 1 }).default(1),
    })
    .prefault({})
    .meta({ label: 'Bolting up', help: 'What the odds of bolting up rest on.' });
}

/** Readings between the holes of the original, as they were taken. */
function networkFields(f: Fields) {
  const reading = z.strictObject({
    kind: f.choice(['centre', 'outside', 'inside', 'edge', 'edge near', 'edge far', 'pin', 'jaws'], {
      label: 'Kind',
      help: 'Centre, outside or inside from hole to hole; edge from a straight edge to centre, near or far wall; pin or jaws across one hole.',
    }),
    a: f.text({ label: 'Hole', help: 'Name of the hole.', longest: 24 }),
    b: f.text({ label: 'To', help: 'The other hole, or the edge. Not used for pin and jaws.', longest: 24 }).default(''),
    value: f.length({ label: 'Reading', help: 'What the instrument showed.' }),
    error: positiveError(f, 'One sigma of this reading, where it differs from the rest.').optional(),
    leaveOut: f.flag({ label: 'Leave out', help: 'Keep the reading but do not use it.' }).default(false),
  });
  const side = z.strictObject({
    hole: f.text({ label: 'Hole', help: 'The hole that lies beside the way.', longest: 24 }),
    from: f.text({ label: 'From', help: 'Hole the way starts at.', longest: 24 }),
    to: f.text({ label: 'To', help: 'Hole the way goes to.', longest: 24 }),
    side: f.choice(['left', 'right'], { label: 'Side', help: 'Side of the way the hole lies on, as looked at.' }),
  });
  const edge = z.strictObject({
    name: f.text({ label: 'Edge', help: 'Name of the straight edge.', longest: 24 }),
    angle: f.angle({ label: 'Direction', help: "Direction against the datum's X, as looked at, with the holes on its left. Leave out when not known." }).optional(),
  });
  return z
    .strictObject({
      readings: list(reading, 2000, 'Hole readings', 'Readings between the holes of the original.'),
      readingError: positiveError(f, 'One sigma of a reading that does not state its own.').default(tolerance.readingError),
      jawWidth: f.length({ label: 'Jaw width', help: 'Width of the flats of the inside jaws, which read a chord; 0 for knife edges.', least: 0, most: 20, step: 0.1 }).default(0),
      equalHoles: f.flag({ label: 'Equal holes', help: 'All holes have one diameter.' }).default(false),
      seenFrom: f.choice(['outside', 'mating'], { label: 'Seen from', help: 'The side the pattern was looked at. Distances cannot tell a pattern from its mirror image.' }).optional(),
      origin: f.text({ label: 'Datum hole', help: 'Hole the pattern is placed by. The first one read when left out.', longest: 24 }).optional(),
      towards: f.text({ label: 'Datum direction', help: 'Hole that X runs to from the datum hole. The second one read when left out.', longest: 24 }).optional(),
      along: f.text({ label: 'Datum edge', help: 'Straight edge X runs along, instead of a second hole.', longest: 24 }).optional(),
      x: f.length({ label: 'Datum X', help: 'Station of the datum hole in the part.' }).default(0),
      y: f.length({ label: 'Datum Y', help: 'Position of the datum hole along the sweep.' }).default(0),
      angle: f.angle({ label: 'Datum angle', help: "Direction of the datum's X in the part, from X towards Y, as seen from outside." }).default(0),
      sides: list(side, 200, 'Sides', 'On which side of the way between two holes a third one lies.'),
      edges: list(edge, 20, 'Edges', 'Straight edges whose direction is known.'),
    })
    .prefault({})
    .meta({ label: 'Hole pattern', help: 'What was measured between the holes of the original.' });
}

/** One test fit or inspection, as it was read. */
function testFitFields(f: Fields) {
  const offset = z.strictObject({
    hole: f.text({ label: 'Hole', help: 'Name of the hole, as on the sheets.', longest: 24 }),
    dx: f.length({ label: 'dX', help: 'How far the hole has to move along X, as looked at.', least: -200, most: 200, step: 0.05 }).optional(),
    dy: f.length({ label: 'dY', help: 'How far the hole has to move along Y, as looked at.', least: -200, most: 200, step: 0.05 }).optional(),
    clock: f.number({ label: 'Clock', help: 'Direction the hole has to move: 12 is Y, 3 is X, as looked at.', least: 0, most: 12, step: 0.5 }).optional(),
    amount: f.length({ label: 'Amount', help: 'How far, in the direction of the clock.', least: 0, most: 200, step: 0.05 }).optional(),
    pin: f.length({ label: 'Pin', help: 'Largest pin that goes through both holes.', least: 0, most: 200, step: 0.05 }).optional(),
    error: positiveError(f, 'One sigma of this offset, where it differs from the rest.').optional(),
  });
  return z.strictObject({
    on: f.choice(['print', 'part'], { label: 'On', help: 'A test print asks about the design; a machined part asks about the machine.' }).default('print'),
    against: f.choice(['mating part', 'drawing'], { label: 'Against', help: 'What the offsets were taken against.' }).default('mating part'),
    revision: f.text({ label: 'Revision', help: 'Revision the piece was made from.', longest: 3 }).optional(),
    seenFrom: f.choice(['outside', 'mating'], { label: 'Seen from', help: 'The side the offsets were read from.' }).default('outside'),
    lay: f.choice(['located', 'free'], { label: 'Lay', help: 'Located: it could lie one way only. Free: it was laid on as it came, so a common shift or turn means nothing.' }).default('located'),
    readingError: positiveError(f, 'One sigma of an offset, in each direction.').default(0.1),
    matingDiameter: f.length({ label: 'Mating diameter', help: 'Diameter of the mating holes; needed for pins through both.', least: 0.3, most: 200, step: 0.1 }).optional(),
    profile: f.text({ label: 'Printer profile', help: 'Profile the print was made with.', longest: 60 }).optional(),
    printer: f.text({ label: 'Profile of', help: 'Printer the profile was measured on.', longest: 60 }).optional(),
    printedOn: f.text({ label: 'Printed on', help: 'Printer that made the piece.', longest: 60 }).optional(),
    scaleX: f.number({ label: 'Print scale X', help: 'Printed over drawn size along X, by the profile.', least: 0.9, most: 1.1, step: 0.001 }).default(1),
    scaleY: f.number({ label: 'Print scale Y', help: 'Printed over drawn size along Y, by the profile.', least: 0.9, most: 1.1, step: 0.001 }).default(1),
    printSkew: f.angle({ label: 'Print skew', help: "Degrees by which the printer's axes fall short of square, by the profile.", least: -6, most: 6 }).default(0),
    quarterTurn: f.flag({ label: 'Quarter turn', help: 'The piece lay turned by 90 degrees on the bed, so that its X was printed along the bed\'s Y.' }).default(false),
    compensated: f.flag({ label: 'Compensated', help: 'The profile was already used to make the piece come out right.' }).default(true),
    offsets: list(offset, 200, 'Offsets', 'How far each hole has to move to be right.'),
  });
}

/** An earlier revision, frozen: what it was, what changed after it and why. */
function revisionFields(f: Fields) {
  const typed = z.union([z.number(), z.string(), z.boolean(), z.null()]);
  const change = z.strictObject({
    path: f.text({ label: 'Path', help: 'Which value changed.' }),
    from: typed.meta({ label: 'From', help: 'What it was, as typed; null where nothing stood.' }),
    to: typed.meta({ label: 'To', help: 'What it became, as typed.' }),
    why: f.text({ label: 'Why', help: 'The reason for it.', longest: 500 }),
  });
  return z.strictObject({
    revision: f.text({ label: 'Revision', help: 'Letter of the frozen revision.', longest: 3 }),
    hash: f.text({ label: 'Content hash', help: 'SHA-256 of its content; a changed copy no longer matches.', longest: 64 }),
    why: f.text({ label: 'Why', help: 'Why the next revision was made.', longest: 1000 }).default(''),
    changes: list(change, 2000, 'Changes', 'What changed in the next revision.'),
    evidence: f.text({ label: 'Evidence', help: 'SHA-256 of the offsets the next revision rests on, so that none is used twice.', longest: 64 }).optional(),
    document: z.record(z.string(), z.unknown()).meta({ label: 'Document', help: 'The whole job as it stood.' }),
  });
}

function outputFields(f: Fields) {
  return z
    .strictObject({
      stepSchema: f.choice(['AP242', 'AP214'], { label: 'STEP schema', help: 'Application protocol of the STEP file.' }).default('AP242'),
      units: f.choice(['mm', 'inch'], { label: 'File units', help: 'Unit inside the STEP, 3MF and DXF files. The units of the job when left out.' }).optional(),
      deviation: f
        .length({ label: 'Mesh deviation', help: 'Largest distance between the solid and the mesh in STL and 3MF.', least: 0.001, most: 1, step: 0.01 })
        .default(tolerance.meshDeviation),
      colour: f.text({ label: 'Colour', help: 'Colour of the part in STEP and 3MF, as #rrggbb.', longest: 7 }).regex(/^#[0-9a-f]{6}$/i, { error: 'Expected a colour such as #8fa3b5.' }).default('#8fa3b5'),
    })
    .prefault({})
    .meta({ label: 'Files', help: 'How the files are written.' });
}

/** How the test print is cut to the bed and what is printed. */
function proofFields(f: Fields) {
  const bed = (label: string, help: string, fallback: number) => f.length({ label, help, least: 60, most: 2000, step: 5 }).default(fallback);
  const size = (label: string, help: string, least: number, most: number, step: number, fallback: number) => f.length({ label, help, least, most, step }).default(fallback);
  const flag = (label: string, help: string, fallback: boolean) => f.flag({ label, help }).default(fallback);
  return z
    .strictObject({
      bedX: bed('Bed X', 'Size of the bed along X.', 220),
      bedY: bed('Bed Y', 'Size of the bed along Y.', 220),
      bedZ: bed('Print height', 'Highest print above the bed.', 250),
      bedMargin: size('Bed margin', 'Kept free along each side of the bed.', 0, 50, 1, bedMargin),
      material: f.choice(printMaterials, { label: 'Print material', help: 'Sets the mass of the prints.' }).default('PLA'),
      whole: flag('Whole part', 'Print the part itself.', true),
      split: flag('Split', 'Cut what is larger than the bed into pieces with lap joints.', true),
      ribs: flag('Contour ribs', 'Print thin slices that check the side contour.', true),
      ribThickness: size('Rib thickness', 'Thickness of a rib along the sweep.', 3, 30, 0.5, 6),
      ribSpacing: size('Rib spacing', 'Distance from rib to rib along the sweep.', 10, 500, 5, 60),
      ring: flag('Tab ring', 'Print the foot of the walls with the tabs and their holes only.', true),
      ringHeight: size('Ring height', 'Height of the tab ring above the foot.', 5, 60, 0.5, 10),
      holeBar: flag('Hole bar', 'Print a bar with holes and plugs of the sizes used, drawn uncorrected.', true),
      square: flag('Square', 'Print a square frame to measure the printer with, drawn uncorrected.', false),
      lap: size('Lap', 'Length of a lap joint.', 10, 80, 1, 20),
      lapThickness: size('Lap thickness', 'Thickness of the strap over a joint of the whole part.', 1, 20, 0.5, 3),
      jointClearance: size('Joint clearance', 'Gap wanted between the faces of a joint once printed.', 0, 2, 0.05, 0.2),
      pin: size('Pin', 'Diameter of the dowel pins or drill shanks that align a joint.', 1.5, 12, 0.5, 4),
      pinClearance: size('Pin clearance', 'How much larger than the pin its hole is wanted once printed.', 0, 1, 0.05, 0.1),
      relief: flag('First layer relief', 'Draw the first layers smaller by what the profile says they flare, so that the seat is not jammed.', true),
      reliefHeight: size('Relief height', 'Height of that step.', 0.1, 2, 0.1, 0.4),
      text: flag('Marking', 'Engrave part number, revision and the warning on every piece.', true),
    })
    .prefault({})
    .meta({ label: 'Proof', help: 'The test print: bed, pieces and joints. It never changes the part.' });
}

/** How the sheets are laid out and printed. */
function paperFields(f: Fields) {
  const bar = (way: string) => f.length({ label: `Bar ${way}`, help: `What the check bar ${way} the sheet measured on a trial print; sheets drawn 1:1 are corrected by it. It is drawn 100 mm long.`, least: 50, most: 200, step: 0.1 }).default(100);
  return z
    .strictObject({
      size: f.choice(['A4', 'Letter'], { label: 'Paper', help: 'Size of the sheets.' }).default('A4'),
      projection: f.choice(['first angle', 'third angle'], { label: 'Projection', help: 'How the views of the drawing are laid out.' }).default('first angle'),
      generalTolerance: f.choice(['f', 'm', 'c', 'v'], { label: 'General tolerance', help: 'Class of ISO 2768-1 for sizes without a tolerance of their own: fine, medium, coarse, very coarse.' }).default('m'),
      barAcross: bar('across'),
      barUp: bar('up'),
    })
    .prefault({})
    .meta({ label: 'Paper', help: 'Sheets to print: drawing, setup, first article, templates.' });
}

function takenOnFields() {
  return z.strictObject({
    finding: text({ label: 'Finding', help: 'Code of the finding, as the report gives it.', longest: 60 }),
    at: text({ label: 'At', help: 'Path into the job the finding is about, as the report gives it.', longest: 200 }).default(''),
    by: text({ label: 'By', help: 'Name of the person who answers for it.', longest: 80 }).min(1, { error: 'By: expected a name.' }),
    why: text({ label: 'Why', help: 'Why it may stand.', longest: 500 }).default(''),
  });
}

const list = <T extends z.ZodType>(item: T, most: number, label: string, help: string) =>
  z.array(item, { error: `${label}: expected a list.` }).max(most, { error: `${label}: expected at most ${most}.` }).default([]).meta({ label, help });

function buildJobSchema(units: Units) {
  const f = fieldsIn(units);
  return z.strictObject({
    $schema: z.string().max(500).optional(),
    coverwright: z.literal(jobVersion, { error: `Expected coverwright: ${jobVersion}.` }),
    title: f.text({ label: 'Title', help: 'What the part is.' }).default('Untitled cover'),
    partNumber: f
      .text({ label: 'Part number', help: 'Goes into file names, the STEP and the sheets.', longest: 40 })
      .regex(/^(?!.*\.\.)\P{Cc}*$/u, { error: 'Expected a part number; it becomes the name of a file, so it may not hold "..".' })
      .default('COVER'),
    revision: f
      .text({ label: 'Revision', help: 'A, B ... without I O Q S X Z.', longest: 3 })
      .regex(new RegExp(`^[${revisionLetters}]{1,2}$`), { error: `Expected one or two capital letters of ${revisionLetters}.` })
      .default('A'),
    units: f.choice(['mm', 'inch'], { label: 'Units', help: 'What a number typed without a unit means.' }).default('mm'),
    material: f.choice(materialNames, { label: 'Material', help: 'Sets density, expansion and thread engagement.' }).default('6061-T6'),
    trace: traceFields(f),
    contour: contourFields(f),
    body: bodyFields(f),
    tabs: list(tabFields(f), 60, 'Tabs', 'Mounting tabs.'),
    holes: list(freeHoleFields(f), 200, 'Holes', 'Holes through the skin or the walls.'),
    bosses: list(bossFields(f), 100, 'Bosses', 'Bosses that hang from the roof.'),
    notches: list(notchFields(f), 60, 'Notches', 'Openings for wires in the feet of the walls.'),
    grooves: list(grooveFields(f), 60, 'Grooves', 'Grooves in the top.'),
    engraving: list(engravingFields(f), 10, 'Engraving', 'Text cut into the top or the underside.'),
    edgeBreaks: edgeBreakFields(f),
    machining: machiningFields(f),
    holding: holdingFields(f, units),
    bolting: boltingFields(f),
    pattern: networkFields(f),
    testFits: list(testFitFields(f), 50, 'Test fits', 'Test fits and inspections, as they were read.'),
    revisions: list(revisionFields(f), 100, 'Revisions', 'Earlier revisions, frozen.'),
    proof: proofFields(f),
    files: outputFields(f),
    paper: paperFields(f),
    takenOn: list(takenOnFields(), 100, 'Taken on', 'Stop findings somebody has looked at and answers for, by name.'),
  });
}

const schemas = { mm: buildJobSchema('mm'), inch: buildJobSchema('inch') } as const;

/** The schema that reads a document typed in `units`. Its output is in mm and degrees whatever the units. */
export const jobSchema = (units: Units): (typeof schemas)['mm'] => schemas[units];

/** A job after reading: millimetres, degrees, defaults filled in. Plain data; nothing in it may be changed in place. */
export type Job = z.output<(typeof schemas)['mm']>;
/** A job as typed, as it stands in the file. */
export type JobDocument = z.input<(typeof schemas)['mm']>;

export type TracePoint = Job['trace']['points'][number];
export type Trace = Job['trace'];
export type Body = Job['body'];
export type Tab = Job['tabs'][number];
export type FreeHole = Job['holes'][number];
export type HoleSpec = NonNullable<Tab['hole']>;
export type Boss = Job['bosses'][number];
export type Notch = Job['notches'][number];
export type Groove = Job['grooves'][number];
export type HoleNetwork = Job['pattern'];
export type TestFit = Job['testFits'][number];
export type FrozenRevision = Job['revisions'][number];
export type Engraving = Job['engraving'][number];
