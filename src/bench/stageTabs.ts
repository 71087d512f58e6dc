/** The stages along the top, as tabs: one is up, arrows go from one to the next. */
import { fill, h } from './dom.ts';
import type { Stage } from './stages/stage.ts';

export function drawStageTabs(root: HTMLElement, stages: readonly Stage[], up: Stage, go: (stage: Stage) => void): void {
  fill(
    root,
    ...stages.map((s, i) => {
      const tab = h('button', { type: 'button', role: 'tab', 'aria-selected': s === up ? 'true' : 'false', tabindex: s === up ? 0 : -1, id: `stage-${s.name}`, onclick: () => go(s) }, h('span', { class: 'no', 'aria-hidden': 'true' }, i + 1), s.name);
      tab.addEventListener('keydown', (event) => {
        const by = event.key === 'ArrowRight' ? 1 : event.key === 'ArrowLeft' ? -1 : 0;
        if (by === 0) return;
        event.preventDefault();
        const next = stages[(i + by + stages.length) % stages.length]!;
        go(next);
        document.getElementById(`stage-${next.name}`)?.focus();
      });
      return tab;
    }),
  );
}
