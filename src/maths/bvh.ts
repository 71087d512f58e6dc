/**
 * Triangles -> a tree of boxes, by which rays (rays.ts) and near places (nearest.ts) are found in about log n.
 * Method: boxes split at the middle of the triangles' centres along the longest side. Units as given.
 */

export interface TriangleTree {
  readonly positions: Float64Array;
  readonly triangles: Uint32Array;
  /** Three numbers a triangle: its unit normal, out of the metal; zero where it has no area. */
  readonly normals: Float64Array;
  /** Triangle numbers in leaf order. */
  readonly order: Uint32Array;
  /** Six numbers a node: least x, y, z, most x, y, z. */
  readonly boxes: Float64Array;
  /** Two numbers a node: leaf: first place in `order` and count; inner: number of the right child (left is the next node) and 0. */
  readonly links: Uint32Array;
}

const leafSize = 4;

export function triangleTree(positions: Float64Array, triangles: Uint32Array): TriangleTree {
  const count = triangles.length / 3;
  const order = Uint32Array.from({ length: count }, (_, i) => i);
  const centres = new Float64Array(3 * count);
  const bounds = new Float64Array(6 * count);
  for (let t = 0; t < count; t += 1) {
    for (let k = 0; k < 3; k += 1) {
      const a = positions[3 * triangles[3 * t]! + k]!;
      const b = positions[3 * triangles[3 * t + 1]! + k]!;
      const c = positions[3 * triangles[3 * t + 2]! + k]!;
      bounds[6 * t + k] = Math.min(a, b, c);
      bounds[6 * t + 3 + k] = Math.max(a, b, c);
      centres[3 * t + k] = (a + b + c) / 3;
    }
  }
  const boxes = new Float64Array(12 * Math.max(count, 1));
  const links = new Uint32Array(4 * Math.max(count, 1));
  let used = 0;
  const build = (start: number, end: number): number => {
    const node = used;
    used += 1;
    growBox(boxes, node, bounds, order, start, end);
    if (end - start <= leafSize) {
      links[2 * node] = start;
      links[2 * node + 1] = end - start;
      return node;
    }
    const middle = split(order, centres, start, end);
    build(start, middle);
    links[2 * node] = build(middle, end);
    links[2 * node + 1] = 0;
    return node;
  };
  if (count > 0) build(0, count);
  return { positions, triangles, normals: normalsOf(positions, triangles), order, boxes: boxes.slice(0, 6 * used), links: links.slice(0, 2 * used) };
}

function growBox(boxes: Float64Array, node: number, bounds: Float64Array, order: Uint32Array, start: number, end: number): void {
  for (let k = 0; k < 3; k += 1) {
    let least = Infinity;
    let most = -Infinity;
    for (let i = start; i < end; i += 1) {
      least = Math.min(least, bounds[6 * order[i]! + k]!);
      most = Math.max(most, bounds[6 * order[i]! + 3 + k]!);
    }
    boxes[6 * node + k] = least;
    boxes[6 * node + 3 + k] = most;
  }
}

/** Partitions order[start, end) at the middle of the centres' longest extent; by halves where that would leave one side empty. */
function split(order: Uint32Array, centres: Float64Array, start: number, end: number): number {
  let axis = 0;
  let widest = -1;
  let middle = 0;
  for (let k = 0; k < 3; k += 1) {
    let least = Infinity;
    let most = -Infinity;
    for (let i = start; i < end; i += 1) {
      const c = centres[3 * order[i]! + k]!;
      least = Math.min(least, c);
      most = Math.max(most, c);
    }
    if (most - least > widest) [axis, widest, middle] = [k, most - least, (least + most) / 2];
  }
  let i = start;
  let j = end - 1;
  while (i <= j) {
    if (centres[3 * order[i]! + axis]! < middle) i += 1;
    else {
      const swap = order[i]!;
      order[i] = order[j]!;
      order[j] = swap;
      j -= 1;
    }
  }
  return i === start || i === end ? (start + end) >> 1 : i;
}

function normalsOf(positions: Float64Array, triangles: Uint32Array): Float64Array {
  const normals = new Float64Array(triangles.length);
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [3 * triangles[t]!, 3 * triangles[t + 1]!, 3 * triangles[t + 2]!];
    const [ux, uy, uz] = [positions[b]! - positions[a]!, positions[b + 1]! - positions[a + 1]!, positions[b + 2]! - positions[a + 2]!];
    const [vx, vy, vz] = [positions[c]! - positions[a]!, positions[c + 1]! - positions[a + 1]!, positions[c + 2]! - positions[a + 2]!];
    const [x, y, z] = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
    const size = Math.sqrt(x * x + y * y + z * z) || 1;
    normals[t] = x / size;
    normals[t + 1] = y / size;
    normals[t + 2] = z / size;
  }
  return normals;
}
