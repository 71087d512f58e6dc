/** A desk in the thread that asks: everything is made when it is asked for. */
import { findingsOn } from './checks/findings.ts';
import { triangleTree, type TriangleTree } from './maths/bvh.ts';
import type { Desk, DeskData, Filed, Printed } from './outputs/desk.ts';
import type { OutputFile } from './outputs/file.ts';
import { meshFiles, meshPictures } from './outputs/meshFiles.ts';
import { Packing } from './outputs/pack.ts';
import { coverSheets } from './outputs/paper/coverSheets.ts';
import { headOf, pdfFile, printPaper, type SheetSet } from './outputs/paper/paper.ts';
import { viewerOf } from './outputs/view.ts';

export interface DeskOptions {
  /** Of the mesh, where it is at hand. */
  readonly tree?: TriangleTree;
  /** Called between all larger pieces of work, for one who waits and wonders. */
  readonly pulse?: () => void;
}

export function openDesk(data: DeskData, font: Uint8Array | null, { tree = triangleTree(data.mesh.positions, data.mesh.triangles), pulse = () => {} }: DeskOptions = {}): Desk {
  const { job, stem, date, mesh } = data;
  const packing = new Packing(stem);
  const look = viewerOf(mesh, tree);
  const filed = (files: readonly OutputFile[]): Filed => ({
    files,
    list: files.map((file) => {
      pulse();
      return packing.add(file);
    }),
  });
  const printed = (sheets: readonly SheetSet[], files: readonly OutputFile[]): Printed => ({ sheets, ...filed(files) });
  return {
    findings: async () => findingsOn({ ...data, tree }, pulse),
    meshFiles: async () => ({ ...filed(meshFiles(job, mesh, stem, date)), pictures: meshPictures(job, look) }),
    async paper() {
      if (font === null) return null;
      const { sheets, files } = await printPaper(data, look, font, pulse);
      return printed(sheets, files);
    },
    file: async (file) => filed([file]).list[0]!,
    async cover(findings, list, figures) {
      if (font === null) return null;
      const head = headOf(job, date);
      const cover: SheetSet = {
        name: 'release',
        purpose: 'Cover of the release: what is in it, what the checks found, who took what on.',
        pages: coverSheets({ findings, files: list, figures }, { paper: job.paper.size, landscape: false }, head),
      };
      return printed([cover], [await pdfFile(stem, cover, head, font)]);
    },
    pack: async (list, info) => packing.close(list, info),
  };
}
