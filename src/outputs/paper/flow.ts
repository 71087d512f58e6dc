/** Sets things one below another on as many pages as they need. */
import { placed, type Bounds, type Mark } from '../drawing.ts';
import type { Vec2 } from '../../maths/vec.ts';
import { heading, letter, table, type Set } from './page.ts';

/** Sets things one below another and starts a new page where the next one would not fit. */
export class Flow {
  readonly #room: Bounds;
  #pages: Mark[][] = [[]];
  #y: number;
  constructor(room: Bounds) {
    this.#room = room;
    this.#y = room.most[1];
  }
  get at(): Vec2 {
    return [this.#room.least[0], this.#y];
  }
  /** `set` was made at `at`; where it reaches below the room it is moved to the top of a new page. */
  add(set: { readonly marks: readonly Mark[]; readonly below: number }, space: number = letter.text): void {
    if (set.below < this.#room.least[1] && this.#y < this.#room.most[1]) {
      const up = this.#room.most[1] - this.#y;
      this.#pages.push(placed({ marks: set.marks }, 1, [0, up]).marks.slice());
      this.#y = set.below + up - space;
      return;
    }
    this.#pages.at(-1)!.push(...set.marks);
    this.#y = set.below - space;
  }
  /** Keeps with what comes after it. */
  heading(text: string): void {
    if (this.#y - 12 * letter.text < this.#room.least[1]) this.#newPage();
    this.add(heading(text, this.at), 0);
  }
  /** Blocks side by side, each with its heading, in columns of one width. */
  beside(blocks: readonly { readonly title: string; readonly set: (at: Vec2, width: number) => Set }[]): void {
    const space = 6;
    const [left, y] = this.at;
    const width = (this.#room.most[0] - left - space * (blocks.length - 1)) / blocks.length;
    const sets = blocks.map(({ title, set }, i) => {
      const x = left + i * (width + space);
      const head = heading(title, [x, y]);
      const body = set([x, head.below], width);
      return { marks: [...head.marks, ...body.marks], below: body.below };
    });
    this.add({ marks: sets.flatMap((one) => one.marks), below: Math.min(...sets.map((one) => one.below)) });
  }
  table(columns: Parameters<typeof table>[0], rows: readonly (readonly string[])[], write = false): void {
    let left = rows;
    for (;;) {
      // A head alone at the foot of a page helps nobody.
      if (this.#y - 8 * letter.text < this.#room.least[1]) this.#newPage();
      const set = table(columns, left, this.at, this.#room.least[1], write);
      this.#pages.at(-1)!.push(...set.marks);
      this.#y = set.below - 1.5 * letter.text;
      left = set.left;
      if (left.length === 0) return;
      this.#newPage();
    }
  }
  #newPage(): void {
    this.#pages.push([]);
    this.#y = this.#room.most[1];
  }
  pages(): { marks: Mark[] }[] {
    return this.#pages.map((marks) => ({ marks }));
  }
}
