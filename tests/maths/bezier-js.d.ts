/** The little of bezier-js the tests use; the package brings no types. */
declare module 'bezier-js' {
  interface Point {
    readonly x: number;
    readonly y: number;
  }
  export class Bezier {
    constructor(points: readonly Point[]);
    get(t: number): Point;
    derivative(t: number): Point;
    dderivative(t: number): Point;
  }
}
