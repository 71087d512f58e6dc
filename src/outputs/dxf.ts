/**
 * Drawing -> DXF text (AC1021): one layer per pen, $INSUNITS set, arcs as ARC, curves as SPLINE with our own poles and
 * knots, text as TEXT. Written through a kept library; the unit of the file is mm or inch as asked.
 */
import { Colors, DxfWriter, point2d, point3d, TextHorizontalAlignment, TextVerticalAlignment, Units as DxfUnits } from '@tarikjabiri/dxf';
import { mmPerInch, type Units } from '../job/quantity.ts';
import type { Vec2 } from '../maths/vec.ts';
import type { Segment } from '../section/section.ts';
import type { Drawing, Mark, Pen } from './drawing.ts';

const layers: Readonly<Record<Pen, { readonly name: string; readonly colour: number; readonly lineType: string }>> = {
  outline: { name: 'OUTLINE', colour: Colors.White, lineType: 'Continuous' },
  hidden: { name: 'HIDDEN', colour: Colors.White, lineType: 'HIDDEN' },
  centre: { name: 'CENTRE', colour: Colors.Red, lineType: 'CENTRE' },
  dimension: { name: 'DIMENSION', colour: Colors.Green, lineType: 'Continuous' },
  reading: { name: 'READING', colour: Colors.Magenta, lineType: 'Continuous' },
  accent: { name: 'CURVE', colour: Colors.Blue, lineType: 'Continuous' },
  construction: { name: 'CONSTRUCTION', colour: Colors.Cyan, lineType: 'Continuous' },
  band: { name: 'BAND', colour: Colors.Cyan, lineType: 'Continuous' },
  text: { name: 'TEXT', colour: Colors.White, lineType: 'Continuous' },
  warning: { name: 'WARNING', colour: Colors.Red, lineType: 'Continuous' },
};

/** DXF text of a drawing; `units` is the unit inside the file. */
export function dxfText(drawing: Drawing, units: Units): string {
  const writer = new DxfWriter();
  const scale = units === 'inch' ? 1 / mmPerInch : 1;
  writer.setUnits(units === 'inch' ? DxfUnits.Inches : DxfUnits.Millimeters);
  // $MEASUREMENT: 1 metric, 0 imperial.
  writer.setVariable('$MEASUREMENT', { 70: units === 'inch' ? 0 : 1 });
  writer.setVariable('$LASTSAVEDBY', { 1: 'coverwright' });
  writer.addLType('HIDDEN', 'Hidden __ __ __', [2 * scale, -1 * scale]);
  writer.addLType('CENTRE', 'Centre ____ _ ____', [4 * scale, -0.8 * scale, 0.6 * scale, -0.8 * scale]);
  for (const pen of new Set(drawing.marks.map((mark) => mark.pen))) {
    const { name, colour, lineType } = layers[pen];
    writer.addLayer(name, colour, lineType);
  }
  for (const mark of drawing.marks) addMark(writer, mark, scale);
  return writer.stringify();
}

function addMark(writer: DxfWriter, mark: Mark, scale: number): void {
  const layerName = layers[mark.pen].name;
  const at = (p: Vec2) => point3d(p[0] * scale, p[1] * scale, 0);
  if (mark.kind === 'circle') {
    writer.addCircle(at(mark.centre), mark.radius * scale, { layerName });
  } else if (mark.kind === 'text') {
    const horizontal = { start: TextHorizontalAlignment.Left, middle: TextHorizontalAlignment.Center, end: TextHorizontalAlignment.Right }[mark.anchor];
    writer.addText(at(mark.at), mark.height * scale, mark.text.replaceAll(/[\r\n]+/g, ' '), {
      layerName,
      rotation: mark.turn ?? 0,
      horizontalAlignment: horizontal,
      verticalAlignment: TextVerticalAlignment.BaseLine,
      secondAlignmentPoint: at(mark.at),
    });
  } else if (mark.segments.every((s) => s.kind !== 'cubic')) {
    addPolyline(writer, mark.segments, mark.closed, scale, layerName);
  } else {
    for (const segment of mark.segments) addSegment(writer, segment, scale, layerName);
  }
}

/** Lines and arcs joined are one LWPOLYLINE, arcs as bulges: tan(sweep / 4), counter-clockwise positive. */
function addPolyline(writer: DxfWriter, segments: readonly Segment[], closed: boolean, scale: number, layerName: string): void {
  const vertices = segments.flatMap((s) => (s.kind === 'cubic' ? [] : [{ point: point2d(s.from[0] * scale, s.from[1] * scale), bulge: s.kind === 'arc' ? Math.tan(s.sweep / 4) : 0 }]));
  const last = segments.at(-1);
  if (last === undefined || last.kind === 'cubic') return;
  if (!closed) vertices.push({ point: point2d(last.to[0] * scale, last.to[1] * scale), bulge: 0 });
  writer.addLWPolyline(vertices, { layerName, flags: closed ? 1 : 0 });
}

function addSegment(writer: DxfWriter, segment: Segment, scale: number, layerName: string): void {
  const at = (p: Vec2) => point3d(p[0] * scale, p[1] * scale, 0);
  if (segment.kind === 'line') {
    writer.addLine(at(segment.from), at(segment.to), { layerName });
  } else if (segment.kind === 'arc') {
    const degrees = (p: Vec2): number => (Math.atan2(p[1] - segment.centre[1], p[0] - segment.centre[0]) * 180) / Math.PI;
    const [start, end] = segment.sweep > 0 ? [segment.from, segment.to] : [segment.to, segment.from];
    writer.addArc(at(segment.centre), segment.radius * scale, degrees(start), degrees(end), { layerName });
  } else {
    const { degree, knots, poles } = segment.curve;
    writer.addSpline({ controlPoints: poles.map(at), degreeCurve: degree, knots: [...knots] }, { layerName });
  }
}
