/**
 * A DXF drawing of the side profile -> readings in document form. x of the drawing is the station, y the height.
 *
 * Reads LINE, ARC, LWPOLYLINE, POLYLINE (bulges) and SPLINE (weights included) of model space, joined end to end into one
 * open path. What else is drawn is named, not read. Group codes and units follow the public DXF reference (from memory);
 * bulge = tan(angle / 4) was seen on a secondary page. Drawings on tilted planes, blocks and text are not read.
 */
import { mmPerInch } from '../job/quantity.ts';
import { tolerance } from '../maths/tolerance.ts';
import { ok, refuse, type Issue, type Result } from '../result.ts';
import type { DrawnPiece } from './chains.ts';
import { extent, finishDrawing, ignoredRemarks, sayIgnored, type DecidedUnit, type DrawingOptions } from './drawing.ts';
import { depthOf, mostIssues, readEntities } from './dxfEntities.ts';
import { readContent } from './dxfGroups.ts';
import { sayNumber, type FileUnit, type Readings, type Remark } from './reading.ts';
import { cleanText } from './text.ts';

// $INSUNITS codes a part is drawn in; others (miles, light years) are refused by number.
const unitCodes: ReadonlyMap<number, FileUnit> = new Map([[1, 'in'], [2, 'ft'], [4, 'mm'], [5, 'cm'], [6, 'm'], [9, 'thou'], [13, 'um'], [14, 'dm']]);

/** Reads a DXF. Refuses with every damaged entity named, and asks where the unit or the path is open. */
export function readDxf(text: string, options: DrawingOptions): Result<Readings> {
  const clean = cleanText(text, 'DXF');
  if (!clean.ok) return clean;
  const content = readContent(clean.value);
  if (!content.ok) return content;
  const read = readEntities(content.value.entities);
  if (read.issues.length > 0) return refuse(...nameFew(read.issues));
  if (read.drawn.length === 0) {
    return refuse({ code: 'nothing-drawn', at: '', message: `Expected lines, arcs, polylines or splines; the drawing has ${read.ignored.size === 0 ? 'none' : `only ${sayIgnored(read.ignored)}`}.`, hint: 'Explode blocks and draw the side profile with lines, arcs, polylines or splines.' });
  }
  const depth = depthOf(content.value.entities);
  if (depth > tolerance.point && extent(read.drawn)[1] <= tolerance.point) {
    return refuse({ code: 'drawn-upright', at: '', message: `Expected the profile in the XY plane; everything lies at one Y and spans ${sayNumber(depth)} in Z.`, hint: 'Turn the drawing into the XY plane, station along X and height along Y.' });
  }
  const unit = decideUnit(content.value.unitCode, read.drawn, options);
  if (!unit.ok) return unit;
  const flattened: Remark = { code: 'depth-dropped', at: '', points: [], message: `The drawing also spans ${sayNumber(depth)} in Z, which was dropped.`, hint: 'Right if X is the station and Y the height; otherwise turn the drawing.' };
  const remarks = [...unit.value.remarks, ...(depth > tolerance.point ? [flattened] : []), ...ignoredRemarks(read.ignored, 'explode or redraw them as lines, arcs, polylines or splines')];
  return finishDrawing('DXF', 'layer', read.drawn, unit.value, remarks, options);
}

function decideUnit(code: number | null, drawn: readonly DrawnPiece[], { fileUnit }: DrawingOptions): Result<DecidedUnit> {
  const stated = code === null ? undefined : unitCodes.get(code);
  if (fileUnit === 'px') return refuse({ code: 'unit-not-fit', at: '', message: 'Expected a unit of length for a DXF, got px.', hint: 'State mm, in, cm, m, ft or thou.' });
  if (fileUnit !== undefined) {
    const over = stated !== undefined && stated !== fileUnit;
    const remark: Remark = { code: 'unit-overridden', at: '', points: [], message: `The file says its unit is ${stated}; read in ${fileUnit} as asked.`, hint: 'Leave the unit out to take the one in the file.' };
    return ok({ unit: fileUnit, words: `${fileUnit}, as stated on reading`, remarks: over ? [remark] : [] });
  }
  if (stated !== undefined) return ok({ unit: stated, words: `${stated} by $INSUNITS`, remarks: [] });
  const [width, height] = extent(drawn);
  const why = code === null || code === 0 ? 'does not state its unit' : `states unit ${code}, which is not one for parts`;
  return refuse({
    code: 'unit-not-stated',
    at: '',
    message: `The DXF ${why}. It measures ${sayNumber(width)} by ${sayNumber(height)}: ${sayNumber(width)} mm if in mm, ${sayNumber(width * mmPerInch)} mm if in inches.`,
    hint: 'State the unit of the drawing.',
  });
}

const entitiesNamed = 20;

const nameFew = (issues: readonly Issue[]): readonly Issue[] =>
  issues.length <= entitiesNamed ? issues : [...issues.slice(0, entitiesNamed), { code: 'entity-damaged', at: '', message: `${issues.length - entitiesNamed}${issues.length < mostIssues ? '' : ' or more'} further entities are damaged.`, hint: 'Save the drawing again from the program that made it.' }];
