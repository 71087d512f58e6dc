/**
 * Solids -> STEP (ISO 10303-21), AP242 or AP214, mm or inch, named, coloured and placed. The same input gives the same
 * bytes: the kernel's own header, with its clock and its name, is replaced.
 */
import type { TopoDS_Shape } from 'replicad-opencascadejs';
import { cast, createAssembly, type AnyShape } from 'replicad';
import type { RigidMotion, StepHeader } from '../door.ts';
import { guarded, KernelFailure, type Oc } from './oc.ts';
import { scoped } from './scope.ts';
import { placedCopy } from './topology.ts';

export interface PlacedShape {
  readonly shape: TopoDS_Shape;
  readonly name: string;
  readonly colour: string;
  readonly placed?: RigidMotion;
}

/** Numbers the kernel gives the schemas in write.step.schema. */
const schemaNumber = { AP214: 4, AP242: 5 } as const;
const scratchFile = 'part.step';
/** Bytes within which the kernel's own header ends. */
const headMost = 4096;

export function writeStep(oc: Oc, parts: readonly PlacedShape[], header: StepHeader): Uint8Array {
  return guarded(oc, 'STEP', () => withHeader(rawStep(oc, parts, header), header));
}

function rawStep(oc: Oc, parts: readonly PlacedShape[], header: StepHeader): Uint8Array {
  return scoped((keep) => {
    const wrapped = parts.map((part) => ({ shape: keep(cast(keep(placedCopy(oc, part.shape, part.placed)) as never) as AnyShape & { delete(): void }), name: part.name, color: linearColour(part.colour) }));
    const assembly = keep(createAssembly(wrapped as never));
    const session = keep(new oc.XSControl_WorkSession());
    const writer = keep(new oc.STEPCAFControl_Writer(session, false));
    writer.SetColorMode(true);
    writer.SetNameMode(true);
    oc.Interface_Static.SetIVal('write.step.schema', schemaNumber[header.schema]);
    oc.Interface_Static.SetIVal('write.step.assembly', 2);
    oc.Interface_Static.SetIVal('write.precision.mode', 0);
    oc.Interface_Static.SetIVal('write.surfacecurve.mode', header.lean ? 0 : 1);
    oc.Interface_Static.SetCVal('xstep.cascade.unit', 'MM');
    oc.Interface_Static.SetCVal('write.step.unit', header.units === 'inch' ? 'INCH' : 'MM');
    const range = keep(new oc.Message_ProgressRange());
    if (!writer.Perform(assembly.wrapped as never, scratchFile, range)) throw new KernelFailure('STEP: the writer reports a failure');
    const bytes = oc.FS.readFile(`/${scratchFile}`) as Uint8Array;
    oc.FS.unlink(`/${scratchFile}`);
    return bytes;
  });
}

/** Text in a STEP string: apostrophe and backslash doubled, everything outside ISO 646 as \X2\ hex (ISO 10303-21, 6.4.3). */
export const stepString = (text: string): string => spelledOut(text.replace(/['\\]/g, '$&$&').replace(/\p{Cc}+/gu, ' '));

const spelledOut = (text: string): string =>
  text.replace(/\P{ASCII}+/gu, (run) => {
    let hex = '';
    for (let i = 0; i < run.length; i++) hex += run.charCodeAt(i).toString(16).toUpperCase().padStart(4, '0');
    return `\\X2\\${hex}\\X0\\`;
  });

/** Header section of ISO 10303-21, 8.2, in place of the one the kernel wrote. */
function withHeader(raw: Uint8Array, header: StepHeader): Uint8Array {
  const head = new TextDecoder('latin1').decode(raw.subarray(0, headMost));
  const schema = /FILE_SCHEMA\(\(([\s\S]*?)\)\);/.exec(head)?.[1];
  const data = head.indexOf('DATA;');
  if (schema === undefined || data < 0) throw new KernelFailure('STEP: the writer gave no header');
  const q = (text: string): string => `'${stepString(text)}'`;
  const lines = [
    'ISO-10303-21;',
    'HEADER;',
    `FILE_DESCRIPTION((${q(header.description)}),'2;1');`,
    `FILE_NAME(${q(header.fileName)},${q(header.date)},(${q(header.author)}),(''),'coverwright','coverwright','');`,
    `FILE_SCHEMA((${schema}));`,
    'ENDSEC;',
    '',
  ];
  return joined(new TextEncoder().encode(lines.join('\n')), inAscii(raw.subarray(data)));
}

/** Names come out of the kernel as bare UTF-8, which this edition of the standard does not know. */
const inAscii = (text: Uint8Array): Uint8Array => (text.every((byte) => byte < 0x80) ? text : new TextEncoder().encode(spelledOut(new TextDecoder().decode(text))));

function joined(head: Uint8Array, rest: Uint8Array): Uint8Array {
  const whole = new Uint8Array(head.length + rest.length);
  whole.set(head);
  whole.set(rest, head.length);
  return whole;
}

/** #rrggbb as a screen means it -> the linear light the kernel takes; its writer turns it back into screen values for the file. */
function linearColour(colour: string): string {
  const linear = [1, 3, 5].map((i) => {
    const c = Number.parseInt(colour.slice(i, i + 2), 16) / 255;
    return Math.round(255 * (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4));
  });
  return `#${linear.map((c) => c.toString(16).padStart(2, '0')).join('')}`;
}
