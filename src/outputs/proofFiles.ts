/** Proof -> its files: STL and 3MF of every piece, the beds, the sheet, the readings, a sheet for the offsets. */
import type { Job } from '../job/schema.ts';
import type { PatternHole } from '../fit/offsets.ts';
import type { Proof } from '../proof/formProof.ts';
import { stemOf, textFile, type OutputFile } from './file.ts';
import { bedsDrawing } from './proofDrawing.ts';
import { blankPrinterFile, offsetsSheet, proofHtml, readingsCsv } from './proofSheet.ts';
import { stlBytes } from './stl.ts';
import { svgText } from './svg.ts';
import { threeMfBytes } from './threemf.ts';

export interface ProofFileOptions {
  /** ISO 8601. */
  readonly date: string;
  /** What the printer file is called; empty without one. */
  readonly printerFile: string;
  /** Called between the files, for one who waits and wonders. */
  readonly pulse?: () => void;
}

const testFit = 'Test fit, not a guard.';

export function proofFiles(proof: Proof, job: Job, holes: readonly PatternHole[], { date, printerFile, pulse = () => {} }: ProofFileOptions): OutputFile[] {
  const stem = `${stemOf(job)}-proof`;
  const who = proof.profile === null ? 'Not corrected for any printer.' : `Drawn for ${proof.profile.printer}.`;
  const pieces = proof.pieces.flatMap(({ number, plan, drawn }): OutputFile[] => {
    const title = `${job.partNumber} ${job.revision} ${plan.title}`;
    const law = plan.corrected ? who : '';
    pulse();
    const item = { mesh: drawn.mesh, name: plan.title, partNumber: `${job.partNumber}-${job.revision}`, colour: job.files.colour };
    return [
      { name: `${stem}-${number}.stl`, mimetype: 'model/stl', purpose: [`${plan.title}: ${plan.purpose}`, law, 'In mm, as it lies on the bed.'].filter(Boolean).join(' '), bytes: stlBytes(drawn.mesh, `TEST FIT, NOT A GUARD ${title}`) },
      { name: `${stem}-${number}.3mf`, mimetype: 'model/3mf', purpose: `${plan.title}, with its unit (mm) and name.`, bytes: threeMfBytes([item], { units: 'mm', title, description: `${testFit} ${law || 'Drawn as it is.'}`, date }) },
    ];
  });
  const blank = blankPrinterFile(proof);
  return [
    ...pieces,
    textFile(`${stem}-beds.svg`, 'image/svg+xml', 'The beds with the pieces on them, 1:1.', svgText(bedsDrawing(proof, job.proof), { title: `Beds of ${stem}` })),
    textFile(`${stem}.html`, 'text/html', 'The sheet of the proof: pieces, beds and what instruments should show.', proofHtml(proof, job, date, stem)),
    textFile(`${stem}-readings.csv`, 'text/csv', 'What instruments should show, for a spreadsheet.', readingsCsv(proof)),
    textFile(`${stem}-offsets.txt`, 'text/plain', 'Fill in at the test fit; the verb fit reads it.', offsetsSheet(proof, job, holes, printerFile)),
    ...(blank === null ? [] : [textFile(`${stem}-blank.printer.json`, 'application/json', 'Fill in what was measured on the hole bar and the square; --printer reads it.', blank)]),
  ];
}
