/**
 * Welded mesh -> 3MF (core specification 1.x): a zip of content types, relationships and one model with unit, metadata
 * and colour. Same input, same bytes: the zip's own dates are fixed.
 */
import { strToU8, zipSync } from 'fflate';
import { mmPerInch, type Units } from '../job/quantity.ts';
import type { WeldedMesh } from '../solid/mesh.ts';
import { escapeMarkup } from './svg.ts';

export interface ThreeMfItem {
  readonly mesh: WeldedMesh;
  readonly name: string;
  readonly partNumber: string;
  /** #rrggbb */
  readonly colour: string;
}

export interface ThreeMfOptions {
  readonly units: Units;
  readonly title: string;
  readonly description: string;
  /** ISO 8601 date, handed in. */
  readonly date: string;
}

const contentTypes =
  '<?xml version="1.0" encoding="UTF-8"?>\n<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">' +
  '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>' +
  '<Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/></Types>';

const relationships =
  '<?xml version="1.0" encoding="UTF-8"?>\n<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">' +
  '<Relationship Target="/3D/3dmodel.model" Id="rel0" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>';

/** mm, or inch with enough digits that nothing moves by more than a tenth of a micrometre. */
const scaled = (mm: number, units: Units): string => (units === 'inch' ? (mm / mmPerInch).toFixed(7) : mm.toFixed(5)).replace(/\.?0+$/, '') || '0';

export function threeMfBytes(items: readonly ThreeMfItem[], options: ThreeMfOptions): Uint8Array {
  const objects = items.map((item, index) => objectXml(item, 2 + index, index, options.units)).join('');
  const materials = items.map((item) => `<base name="${escapeMarkup(item.name)}" displaycolor="${item.colour.toUpperCase()}FF"/>`).join('');
  const build = items.map((item, index) => `<item objectid="${2 + index}" partnumber="${escapeMarkup(item.partNumber)}"/>`).join('');
  const metadata = [
    ['Title', options.title],
    ['Description', options.description],
    ['Application', 'coverwright'],
    ['CreationDate', options.date],
  ]
    .map(([name, value]) => `<metadata name="${name}">${escapeMarkup(value as string)}</metadata>`)
    .join('');
  const model =
    `<?xml version="1.0" encoding="UTF-8"?>\n<model unit="${options.units === 'inch' ? 'inch' : 'millimeter'}" xml:lang="en" xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02">` +
    `${metadata}<resources><basematerials id="1">${materials}</basematerials>${objects}</resources><build>${build}</build></model>`;
  // Local midnight, 1 January 1980: the zip format's zero, the same bytes in every time zone.
  const mtime = new Date(1980, 0, 1);
  return zipSync({ '[Content_Types].xml': strToU8(contentTypes), '_rels/.rels': strToU8(relationships), '3D/3dmodel.model': strToU8(model) }, { mtime, level: 3 });
}

function objectXml(item: ThreeMfItem, id: number, material: number, units: Units): string {
  const { positions: p, triangles: t } = item.mesh;
  const vertices: string[] = [];
  for (let i = 0; i < p.length; i += 3) vertices.push(`<vertex x="${scaled(p[i]!, units)}" y="${scaled(p[i + 1]!, units)}" z="${scaled(p[i + 2]!, units)}"/>`);
  const facets: string[] = [];
  for (let i = 0; i < t.length; i += 3) facets.push(`<triangle v1="${t[i]}" v2="${t[i + 1]}" v3="${t[i + 2]}"/>`);
  return `<object id="${id}" type="model" name="${escapeMarkup(item.name)}" partnumber="${escapeMarkup(item.partNumber)}" pid="1" pindex="${material}"><mesh><vertices>${vertices.join('')}</vertices><triangles>${facets.join('')}</triangles></mesh></object>`;
}
