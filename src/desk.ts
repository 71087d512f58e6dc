/** A desk in the thread that asks: everything is made when it is asked for. */
import { findingsOn } from './checks/findings.ts';
import { triangleTree, type TriangleTree } from './maths/bvh.ts';
import type { Desk, Filed, PlannedData, Printed, SolidData } from './outputs/desk.ts';
import type { OutputFile } from './outputs/file.ts';
import { meshFiles, meshPictures } from './outputs/meshFiles.ts';
import { Packing } from './outputs/pack.ts';
import { coverSheets } from './outputs/paper/coverSheets.ts';
import { headOf, planSheets, printed, solidSheets, type SheetSet } from './outputs/paper/paper.ts';
import { planFiles, planPictures } from './outputs/planFiles.ts';
import { viewerOf, type Viewer } from './outputs/view.ts';

/** `pulse` is called between all larger pieces of work, for one who waits and wonders. */
export function openDesk(planned: PlannedData, font: Uint8Array | null, pulse: () => void = () => {}): Desk {
  const { job, stem, date } = planned;
  const packing = new Packing(stem);
  const head = headOf(job, date);
  let seen: (SolidData & { readonly tree: TriangleTree; readonly look: Viewer }) | null = null;
  const solid = (): NonNullable<typeof seen> => {
    if (seen === null) throw new Error('there is no solid on the desk yet');
    return seen;
  };
  const filed = (files: readonly OutputFile[]): Filed => ({
    files,
    list: files.map((file) => {
      pulse();
      return packing.add(file);
    }),
  });
  const print = async (make: () => readonly SheetSet[]): Promise<Printed | null> => {
    if (font === null) return null;
    const sheets = make();
    return { sheets, ...filed(await printed(sheets, stem, head, font, pulse)) };
  };
  return {
    planFiles: async () => ({ ...filed(planFiles(planned)), pictures: planPictures(planned) }),
    planSheets: () => print(() => planSheets(planned, date)),
    async solid(data) {
      const tree = triangleTree(data.mesh.positions, data.mesh.triangles);
      seen = { ...data, tree, look: viewerOf(data.mesh, tree) };
    },
    findings: async () => findingsOn({ ...planned, ...solid() }, pulse),
    meshFiles: async () => ({ ...filed(meshFiles(job, solid().mesh, stem, date)), pictures: meshPictures(job, solid().look) }),
    solidSheets: () => print(() => solidSheets({ ...planned, ...solid() }, date)),
    file: async (file) => filed([file]).list[0]!,
    cover: (findings, list, figures) =>
      print(() => [
        {
          name: 'release',
          purpose: 'Cover of the release: what is in it, what the checks found, who took what on.',
          pages: coverSheets({ findings, files: list, figures }, { paper: job.paper.size, landscape: false }, head),
        },
      ]),
    pack: async (list, info) => packing.close(list, info),
  };
}
