/** The first pages of a release: what is in it, what the checks found, who took what on, and the cautions. */
import type { Finding } from '../../checks/finding.ts';
import type { OutputFile } from '../file.ts';
import { cautions } from '../cautions.ts';
import { Flow } from './flow.ts';
import { letter, paragraph, points, roomOf, sheets, type Page, type SheetForm, type SheetHead } from './page.ts';

export interface CoverInput {
  readonly findings: readonly Finding[];
  readonly files: readonly (Pick<OutputFile, 'name' | 'purpose'> & { readonly sha256: string })[];
  /** Figures worth having on the first page, name and value. */
  readonly figures: readonly (readonly [string, string])[];
}

export function coverSheets({ findings, files, figures }: CoverInput, form: SheetForm, head: SheetHead): Page[] {
  const room = roomOf(form);
  const width = room.most[0] - room.least[0];
  const flow = new Flow(room);
  flow.add(paragraph(`${head.partNumber} ${head.revision}`, flow.at, width, letter.title));
  flow.add(paragraph(head.title, flow.at, width, letter.head));
  const open = findings.filter((f) => f.level === 'stop' && !f.takenOnBy);
  const taken = findings.filter((f) => f.level === 'stop' && f.takenOnBy);
  const count = (level: Finding['level']): number => findings.filter((f) => f.level === level).length;
  flow.heading('Is it released?');
  flow.add(
    open.length > 0
      ? paragraph(`NO. ${open.length} stop ${open.length === 1 ? 'finding stands' : 'findings stand'} that nobody has taken on. Do not cut from this pack.`, flow.at, width, letter.figure, 'warning')
      : paragraph(`The checks leave no open stop${taken.length > 0 ? `; ${taken.length} ${taken.length === 1 ? 'is' : 'are'} taken on by name, below` : ''}. ${count('warn')} to look at, ${count('note')} to know. Checks prove these rules on this model, not the casting, the set-up, the material or the fit.`, flow.at, width, letter.figure),
  );
  const stops = [...open, ...taken];
  if (stops.length > 0) {
    flow.heading('Stop findings');
    flow.table(
      [{ title: 'Finding', width: 34 }, { title: 'What it says', width: width - 34 - 40 }, { title: 'Taken on by', width: 40 }],
      stops.map((f) => [f.code, `${f.message} ${f.cure}`, f.takenOnBy ?? 'NOBODY']),
    );
  }
  flow.heading('Figures');
  flow.table([{ title: '', width: 40 }, { title: '', width: width - 40 }], figures.map(([name, value]) => [name, value]));
  const others = findings.filter((f) => f.level !== 'stop');
  if (others.length > 0) {
    flow.heading('To look at and to know');
    flow.table([{ title: 'Level', width: 16 }, { title: 'What it says', width: width - 16 }], others.map((f) => [f.level, `${f.message} ${f.cure}`]));
  }
  flow.heading('What is in the pack');
  flow.table(
    [{ title: 'File', width: 62 }, { title: 'For', width: width - 62 - 34 }, { title: 'SHA-256, first 16', width: 34 }],
    files.map((file) => [file.name, file.purpose, file.sha256.slice(0, 16)]),
  );
  flow.heading('Cautions');
  flow.add(points(cautions, flow.at, width));
  return sheets(form, { ...head, kind: 'Release' }, flow.pages());
}
