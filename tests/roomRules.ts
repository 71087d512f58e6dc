/**
 * The rules of the house's rooms, as functions over one source text, so that the rules themselves can be tested on planted
 * faults. Imports and globals are read from the syntax tree of a general parser (the one inside vite), not by patterns.
 */
import { parseAst } from 'vite';
import { posix } from 'node:path';

/** Data walks one way: a file may import from its own room and from rooms before it. */
export const roomOrder = ['maths', 'standards', 'job', 'readings', 'contour', 'holes', 'section', 'solid', 'holding', 'proof', 'fit', 'checks', 'outputs', 'top'] as const;

/** Where a file stands. `free` may be used by all; `kernel` is the only side that may touch the solid modeller; `face` is bench, cli and the library's entry. */
export type Standing = (typeof roomOrder)[number] | 'free' | 'kernel' | 'face' | 'unknown';

/** Standing of a file by its path from src, such as `contour/fair.ts`. */
export function standingOf(path: string): Standing {
  if (path === 'result.ts') return 'free';
  if (path === 'index.ts' || path.startsWith('cli/') || path.startsWith('bench/')) return 'face';
  if (path.startsWith('solid/kernel/') || path.startsWith('solid/replicad')) return 'kernel';
  const [first, ...rest] = path.split('/');
  if (rest.length === 0) return 'top';
  return (roomOrder as readonly string[]).includes(first ?? '') && first !== 'top' ? (first as Standing) : 'unknown';
}

const kernelPackages = new Set(['replicad', 'replicad-opencascadejs', 'opentype.js', 'manifold-3d']);
const facePackages = new Set(['three', 'three-mesh-bvh', 'lil-gui', 'idb', 'commander']);
const bannedNames = new Set(['document', 'window', 'navigator', 'fetch', 'process', 'performance', 'localStorage', 'console', 'setTimeout', 'setInterval', 'require', 'Buffer', 'XMLHttpRequest', 'globalThis', 'self']);

interface Node {
  readonly type: string;
  readonly [key: string]: unknown;
}

const isNode = (value: unknown): value is Node => typeof value === 'object' && value !== null && typeof (value as { type?: unknown }).type === 'string';

/** Calls `visit` on every node with its parent and the key it stands under; types may be skipped whole. */
function walk(node: Node, visit: (node: Node, parent: Node | null, key: string) => boolean, parent: Node | null = null, at = ''): void {
  if (!visit(node, parent, at)) return;
  for (const [key, value] of Object.entries(node)) {
    if (Array.isArray(value)) for (const child of value) if (isNode(child)) walk(child, visit, node, key);
    if (isNode(value)) walk(value, visit, node, key);
  }
}

const parse = (source: string): Node => parseAst(source, { lang: 'ts' }) as unknown as Node;

/** Every module a source names: import, export from, import(), import types; null for a computed import(). */
export function importsOf(source: string): readonly (string | null)[] {
  const names: (string | null)[] = [];
  walk(parse(source), (node) => {
    if (['ImportDeclaration', 'ExportNamedDeclaration', 'ExportAllDeclaration', 'ImportExpression', 'TSImportType'].includes(node.type) && isNode(node['source'])) names.push(literal(node['source']));
    if (node.type === 'TSExternalModuleReference' && isNode(node['expression'])) names.push(literal(node['expression']));
    return true;
  });
  return names;
}

function literal(node: Node): string | null {
  if (node.type === 'Literal' && typeof node['value'] === 'string') return node['value'];
  const quasis = node['quasis'];
  if (node.type !== 'TemplateLiteral' || !Array.isArray(quasis) || quasis.length !== 1) return null;
  return (quasis[0] as { value: { cooked: string } }).value.cooked;
}

const typeKeys = new Set(['typeAnnotation', 'typeArguments', 'typeParameters', 'returnType', 'superTypeArguments']);
const expressionWrappers = new Set(['TSAsExpression', 'TSNonNullExpression', 'TSSatisfiesExpression', 'TSTypeAssertion', 'TSInstantiationExpression']);

/** Globals of the page, of Node or of the clock that a source reads as values. A name the file declares itself is its own. */
export function worldlyNames(source: string): readonly string[] {
  const used = new Set<string>();
  const own = new Set<string>();
  walk(parse(source), (node, parent, key) => {
    if (typeKeys.has(key)) return false;
    if (node.type.startsWith('TS') && !expressionWrappers.has(node.type)) return false;
    if (node.type === 'Identifier' && typeof node['name'] === 'string') {
      if (isBinding(parent, key)) own.add(node['name']);
      else if (bannedNames.has(node['name']) && !isLabel(parent, key)) used.add(node['name']);
    }
    if (node.type === 'MemberExpression') {
      const said = memberName(node);
      if (said === 'Date.now' || said === 'Math.random') used.add(said);
    }
    const callee = node['callee'];
    const empty = Array.isArray(node['arguments']) && node['arguments'].length === 0;
    if ((node.type === 'NewExpression' || node.type === 'CallExpression') && empty && isNode(callee) && callee['name'] === 'Date') used.add('Date()');
    return true;
  });
  return [...used].filter((name) => !own.has(name));
}

/** `Date.now`, `Math['random']`. */
function memberName(node: Node): string {
  const { object, property, computed } = node as unknown as { object: Node; property: Node; computed: boolean };
  return `${String(object['name'])}.${String(computed ? property['value'] : property['name'])}`;
}

const isBinding = (parent: Node | null, key: string): boolean =>
  parent !== null &&
  ((parent.type === 'VariableDeclarator' && key === 'id') ||
    (/Function/.test(parent.type) && (key === 'params' || key === 'id')) ||
    parent.type === 'CatchClause' ||
    (parent.type.startsWith('Class') && key === 'id') ||
    (/^Import.*Specifier$/.test(parent.type) && key === 'local') ||
    (parent.type === 'AssignmentPattern' && key === 'left') ||
    parent.type === 'ArrayPattern' ||
    parent.type === 'RestElement');

/** A name that is only a key or a member, not a value read from the world. `{ document }` is both key and value; its value counts. */
const isLabel = (parent: Node | null, key: string): boolean =>
  parent !== null &&
  ((parent.type === 'MemberExpression' && key === 'property' && parent['computed'] === false) ||
    (parent.type === 'Property' && key === 'key' && parent['computed'] === false) ||
    (/^(?:MethodDefinition|PropertyDefinition|AccessorProperty)$/.test(parent.type) && key === 'key') ||
    /^(?:ImportSpecifier|ExportSpecifier|LabeledStatement|BreakStatement|ContinueStatement|MetaProperty)$/.test(parent.type));

/** Everything a file does that its room may not. `path` from src. */
export function faultsOf(path: string, source: string): readonly string[] {
  const here = standingOf(path);
  if (here === 'unknown') return [`${path} stands in no room of the house`];
  const faults = importsOf(source).flatMap((name) => importFault(path, here, name));
  if (here === 'face' || here === 'kernel') return faults;
  return [...faults, ...worldlyNames(source).map((name) => `${path} uses ${name}; a pure room knows no page, disk or clock`)];
}

function importFault(path: string, here: Standing, name: string | null): readonly string[] {
  if (name === null) return here === 'face' ? [] : [`${path} imports a computed name`];
  if (name.startsWith('.')) return relativeFault(path, here, posix.normalize(posix.join(posix.dirname(path), name)), name);
  const owner = name.startsWith('@') ? name.split('/').slice(0, 2).join('/') : (name.split('/')[0] as string);
  // The address of a file inside a package is not the package: a face has to fetch the wasm from somewhere.
  const address = here === 'face' && name.endsWith('?url');
  if (kernelPackages.has(owner) && here !== 'kernel' && !address) return [`${path} imports ${name}; only the kernel side may`];
  if (facePackages.has(owner) && here !== 'face') return [`${path} imports ${name}; only a face may`];
  if (name.startsWith('node:') && here !== 'face' && here !== 'kernel') return [`${path} imports ${name}; a pure room knows no Node`];
  return [];
}

function relativeFault(path: string, here: Standing, target: string, name: string): readonly string[] {
  if (target.startsWith('..')) return here === 'face' ? [] : [`${path} imports ${name} from outside src`];
  const there = standingOf(target);
  if (there === 'unknown') return [`${path} imports ${name}, which stands in no room`];
  if (there === 'free' || here === 'face') return [];
  if (here === 'free') return [`${path} is used by all and may import nothing, not ${name}`];
  if (there === 'face') return [`${path} imports ${name}; no room may import a face`];
  if (there === 'kernel') return here === 'kernel' ? [] : [`${path} imports ${name}; only a face may open the kernel side`];
  const rank = (standing: Standing): number => roomOrder.indexOf((standing === 'kernel' ? 'solid' : standing) as (typeof roomOrder)[number]);
  return rank(there) <= rank(here) ? [] : [`${path} imports ${name}: ${there} comes after ${here}`];
}
