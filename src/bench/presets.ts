/** The presets, bundled: the bench has no network. */
const texts = import.meta.glob<string>('../../presets/*.job.json', { query: '?raw', import: 'default', eager: true });

const nameOf = (path: string): string => path.replace(/^.*\//, '').replace('.job.json', '');

export const presets: readonly { readonly name: string; readonly title: string }[] = Object.entries(texts).map(([path, text]) => ({ name: nameOf(path), title: (JSON.parse(text) as { title: string }).title }));

export function presetText(name: string): string {
  const found = Object.entries(texts).find(([path]) => nameOf(path) === name);
  if (found === undefined) throw new Error(`no preset ${name}`);
  return found[1];
}

/** A printer file with invented readings, to see what one does. */
export { default as samplePrinter } from '../../presets/left.printer.json?raw';
