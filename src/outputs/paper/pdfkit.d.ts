/** The part of pdfkit used here; it brings no types of its own. Lengths in points. */
declare module 'pdfkit' {
  export interface TextOptions {
    readonly lineBreak: false;
    readonly baseline: 'alphabetic';
    readonly features: readonly string[];
  }
  export default class PDFDocument {
    constructor(options: { readonly autoFirstPage: false; readonly font: Uint8Array; readonly info: Readonly<Record<string, string | Date>>; readonly lang: string; readonly displayTitle: boolean });
    addPage(options: { readonly size: readonly [number, number]; readonly margin: number }): this;
    save(): this;
    restore(): this;
    rotate(degrees: number, options: { readonly origin: readonly [number, number] }): this;
    moveTo(x: number, y: number): this;
    lineTo(x: number, y: number): this;
    bezierCurveTo(x1: number, y1: number, x2: number, y2: number, x: number, y: number): this;
    closePath(): this;
    circle(x: number, y: number, radius: number): this;
    rect(x: number, y: number, width: number, height: number): this;
    clip(): this;
    lineWidth(width: number): this;
    lineJoin(join: 'round'): this;
    dash(lengths: readonly number[], options: { readonly phase: number }): this;
    undash(): this;
    stroke(colour: string): this;
    fill(colour: string): this;
    fillAndStroke(fill: string, stroke: string): this;
    fillOpacity(opacity: number): this;
    fillColor(colour: string, opacity?: number): this;
    fontSize(points: number): this;
    text(text: string, x: number, y: number, options: TextOptions): this;
    widthOfString(text: string, options?: TextOptions): number;
    end(): void;
  }
}
declare module 'pdfkit/output' {
  import type PDFDocument from 'pdfkit';
  export function toBytes(document: PDFDocument): Promise<Uint8Array>;
}
