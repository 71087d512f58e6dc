/**
 * The values of the job, field by field, built from the job schema: labels, help, ranges and choices stand there and
 * nowhere else. Lengths are typed as spoken and kept as typed; an emptied field goes back to its default, which shows faintly.
 */
import GUI, { type Controller } from 'lil-gui';
import { mmPerInch, readLength, type Units } from '../../job/quantity.ts';
import { jobSchema } from '../../job/schema.ts';
import { bare, choicesOf, fallbackOf, fieldsOf, readPath, sayPath, schemaAt, type Path } from '../../job/shape.ts';
import { sayLength } from '../../outputs/say.ts';
import type { Issue } from '../../result.ts';
import { fill, h } from '../dom.ts';
import type { Store } from '../state/store.ts';

export interface PanelGroup {
  /** Path of an object in the job: `body`, `tabs[2]`. */
  readonly path: string;
  readonly title: string;
  /** Fields left out here because another place on the page edits them. */
  readonly without?: readonly string[];
}

export interface Panel {
  show(groups: readonly PanelGroup[], empty: string): void;
  /** Takes over values and issues after a change from anywhere. */
  refresh(): void;
  focus(path: string): void;
}

interface Line {
  readonly path: Path;
  readonly controller: Controller;
  readonly holder: { value: unknown };
  readonly shown: () => unknown;
  readonly placeholder: () => string;
}

export function makePanel(root: HTMLElement, store: Store): Panel {
  const body = h('div', { class: 'scroll panel-body' });
  root.append(h('div', { class: 'head' }, h('h2', {}, 'Values')), body);
  let lines: Line[] = [];
  let shown = '';
  let gui: GUI | null = null;

  const units = (): Units => (store.document.units === 'inch' ? 'inch' : 'mm');
  const typedAt = (path: Path): unknown => path.reduce<unknown>((value, step) => (typeof value === 'object' && value !== null ? (value as Record<string | number, unknown>)[step] : undefined), store.document);

  function build(groups: readonly PanelGroup[], empty: string): void {
    gui?.destroy();
    gui = null;
    lines = [];
    if (groups.length === 0) return fill(body, h('p', { class: 'empty' }, empty));
    fill(body);
    gui = new GUI({ container: body, injectStyles: false, title: '' });
    for (const group of groups) {
      const path = readPath(group.path);
      if (path === null) throw new Error(`not a path: ${group.path}`);
      addObject(groups.length === 1 ? gui : gui.addFolder(group.title), path, group.without ?? []);
    }
  }

  function addObject(folder: GUI, path: Path, without: readonly string[]): void {
    const at = schemaAt(jobSchema(units()), path);
    const fields = at.found && fieldsOf(at.found);
    if (!fields) throw new Error(`no fields at ${sayPath(path)}`);
    for (const [name, field] of Object.entries(fields)) {
      if (without.includes(name)) continue;
      const inner = [...path, name];
      const { meta } = bare(field);
      if (fieldsOf(field)) {
        const sub = folder.addFolder(meta?.label ?? name);
        if (bare(field).nullable) addPresence(sub, inner);
        addObject(sub, inner, []);
      } else if (meta?.kind) addField(folder, inner, field);
    }
  }

  /** A tab may have no hole at all: null in the job. */
  function addPresence(folder: GUI, path: Path): void {
    const holder = { value: typedAt(path) !== null };
    const controller = folder.add(holder, 'value').name('Present');
    controller.onChange((on: unknown) => store.set(sayPath(path), on === true ? {} : null, on === true ? 'Hole added' : 'Hole removed'));
    lines.push({ path, controller, holder, shown: () => typedAt(path) !== null, placeholder: () => '' });
  }

  function addField(folder: GUI, path: Path, field: Parameters<typeof bare>[0]): void {
    const { meta } = bare(field);
    const fallback = fallbackOf(field);
    const say = (value: unknown): string => (value === undefined ? 'auto' : typeof value === 'number' && meta?.kind === 'length' ? sayLength(value, units()) : String(value));
    const choices = choicesOf(field);
    const kind = meta?.kind;
    const typed = (): unknown => typedAt(path);
    const shownValue = (): unknown => {
      if (choices) return typed() ?? fallback ?? '';
      if (kind === 'flag') return typed() ?? fallback ?? false;
      if (kind === 'number') return typed() ?? fallback ?? 0;
      return typed() === undefined ? '' : String(typed());
    };
    const holder = { value: shownValue() };
    const label = meta?.unit === 'deg' ? `${meta.label} °` : (meta?.label ?? '');
    const controller = choices
      ? folder.add(holder, 'value', fallback === undefined ? { auto: '', ...Object.fromEntries(choices.map((c) => [c, c])) } : [...choices])
      : kind === 'number'
        ? folder.add(holder, 'value', meta?.least, meta?.most, meta?.step)
        : folder.add(holder, 'value');
    controller.name(label);
    controller.domElement.title = meta?.help ?? '';
    controller.onChange((value: unknown) => store.set(sayPath(path), value === '' ? undefined : value, meta?.label ?? sayPath(path)));
    const input = controller.domElement.querySelector<HTMLInputElement>('input[type="text"]');
    if (input && kind === 'length') {
      input.inputMode = 'text';
      input.addEventListener('keydown', (event) => stepByKey(event, path, meta?.step ?? 0.1));
    }
    controller.domElement.querySelector('input, select')?.setAttribute('aria-description', meta?.help ?? '');
    lines.push({ path, controller, holder, shown: shownValue, placeholder: () => (kind === 'text' ? String(fallback ?? '') : say(fallback)) });
  }

  /** Up and down move a length by its step; with Shift ten times that, with Alt a hundredth of a millimetre. */
  function stepByKey(event: KeyboardEvent, path: Path, stepMm: number): void {
    const way = event.key === 'ArrowUp' ? 1 : event.key === 'ArrowDown' ? -1 : 0;
    if (way === 0) return;
    const typed = typedAt(path) ?? fallbackOf((schemaAt(jobSchema(units()), path) as { found: Parameters<typeof fallbackOf>[0] }).found);
    const read = readLength(typedAt(path) === undefined ? `${String(typed)}mm` : (typed as string | number), units());
    if (!read.ok) return;
    event.preventDefault();
    const by = way * (event.altKey ? 0.01 : event.shiftKey ? stepMm * 10 : stepMm);
    store.set(sayPath(path), stepped(read.value.mm, by, units()), 'Stepped');
    refresh();
  }

  function refresh(): void {
    const active = document.activeElement;
    for (const line of lines) {
      const value = line.shown();
      const input = line.controller.domElement.querySelector<HTMLInputElement>('input');
      // What is being typed is never rewritten under the fingers.
      if (line.holder.value !== value && !(input !== null && input === active && String(input.value) === String(value))) {
        line.holder.value = value;
        line.controller.updateDisplay();
      }
      if (input?.type === 'text') input.placeholder = line.placeholder();
    }
    showIssues(store.derived.issues);
  }

  function showIssues(issues: readonly Issue[]): void {
    for (const { path, controller } of lines) {
      const mine = issues.filter((issue) => issue.at === sayPath(path));
      const element = controller.domElement;
      element.classList.toggle('bad', mine.length > 0);
      let said = element.querySelector<HTMLElement>('.said');
      if (mine.length > 0) {
        if (said === null) {
          said = h('p', { class: 'said', role: 'alert' });
          element.append(said);
        }
        const text = mine.map((issue) => `${issue.message} ${issue.hint}`).join(' ');
        if (said.textContent !== text) said.textContent = text;
      } else said?.remove();
      element.querySelector('input, select')?.setAttribute('aria-invalid', mine.length > 0 ? 'true' : 'false');
    }
  }

  return {
    show(groups, empty) {
      const key = JSON.stringify([groups, empty, units()]);
      if (key !== shown) {
        shown = key;
        build(groups, empty);
      }
      refresh();
    },
    refresh,
    focus(path) {
      const line = lines.find((l) => sayPath(l.path) === path) ?? lines.find((l) => sayPath(l.path).startsWith(path));
      line?.controller.domElement.querySelector<HTMLElement>('input, select')?.focus();
      line?.controller.domElement.scrollIntoView({ block: 'nearest' });
    },
  };
}

/** A length moved by `by` mm, as typed in the units of the job: a number with no more digits than the step needs. */
export function stepped(mm: number, by: number, units: Units): number {
  return units === 'inch' ? Number(((mm + by) / mmPerInch).toFixed(4)) : Number((mm + by).toFixed(3));
}
