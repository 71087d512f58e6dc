/** The mesh of a part -> STL and 3MF, and how the part looks. */
import type { Job } from '../job/schema.ts';
import type { WeldedMesh } from '../solid/mesh.ts';
import type { MeshPictures } from './desk.ts';
import type { OutputFile } from './file.ts';
import { stlBytes } from './stl.ts';
import { svgText } from './svg.ts';
import { threeMfBytes } from './threemf.ts';
import { viewPoints, type Viewer } from './view.ts';

/** As in `OB-210 A: Worm drive cover`. */
export const fullTitle = ({ partNumber, revision, title }: Pick<Job, 'partNumber' | 'revision' | 'title'>): string => `${partNumber} ${revision}: ${title}`;

/** `date` ISO 8601. */
export function meshFiles(job: Job, mesh: WeldedMesh, stem: string, date: string): OutputFile[] {
  const units = job.files.units ?? job.units;
  const title = fullTitle(job);
  const deviation = `${job.files.deviation} mm`;
  return [
    { name: `${stem}.stl`, mimetype: 'model/stl', purpose: `Mesh within ${deviation} of the solid, in mm; a test print is never a guard.`, bytes: stlBytes(mesh, title) },
    {
      name: `${stem}.3mf`,
      mimetype: 'model/3mf',
      purpose: `The same mesh with its unit (${units}) and name.`,
      bytes: threeMfBytes([{ mesh, name: job.title, partNumber: `${job.partNumber}-${job.revision}`, colour: job.files.colour }], {
        units,
        title,
        description: `Mesh within ${deviation} of the solid. A test print is never a guard.`,
        date,
      }),
    },
  ];
}

export function meshPictures(job: Job, look: Viewer): MeshPictures {
  const picture = (view: keyof typeof viewPoints, from: string): string => svgText(look(viewPoints[view], { hidden: false }), { title: `${fullTitle(job)}, ${from}`, fluid: true });
  return { outside: picture('outside', 'from outside'), matingSide: picture('inside', 'from the mating side') };
}
