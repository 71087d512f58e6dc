/** What a tap on the part hits: the face in front, settled on a corner or an edge that is near. */
import { Mesh, Raycaster, Vector2, type Group, type OrthographicCamera, type Plane } from 'three';
import type { Vec3 } from '../../maths/vec.ts';
import type { Shown } from './geometry.ts';
import type { Picked } from './look.ts';
import { snapToEdges } from './snap.ts';

/** CSS px within which a corner or an edge is taken. */
const reach = 8;
/** CSS px a pointer may move and still tap. */
const still = 5;

/** Calls back for taps; a turn of the part is none. */
export function onTap(canvas: HTMLCanvasElement, tapped: (at: { readonly clientX: number; readonly clientY: number }) => void): void {
  let down: Vector2 | null = null;
  canvas.addEventListener('pointerdown', (event) => (down = new Vector2(event.clientX, event.clientY)));
  canvas.addEventListener('pointerup', (event) => {
    if (down !== null && down.distanceTo(new Vector2(event.clientX, event.clientY)) <= still) tapped(event);
  });
}

export function pickAt(at: { readonly clientX: number; readonly clientY: number }, canvas: HTMLCanvasElement, camera: OrthographicCamera, part: Group, clip: readonly Plane[], shownAs: (face: number) => Shown | undefined): Picked | null {
  const box = canvas.getBoundingClientRect();
  const ray = new Raycaster();
  ray.setFromCamera(new Vector2(((at.clientX - box.left) / box.width) * 2 - 1, -((at.clientY - box.top) / box.height) * 2 + 1), camera);
  const hits = ray.intersectObjects(part.children.filter((child) => child instanceof Mesh && child.visible), false);
  const hit = hits.find(({ point }) => clip.every((plane) => plane.distanceToPoint(point) >= 0));
  if (hit === undefined || hit.face == null) return null;
  const shown = shownAs(hit.object.userData['face'] as number);
  if (shown === undefined) return null;
  const near = (reach * (camera.right - camera.left)) / camera.zoom / Math.max(1, canvas.clientWidth);
  // The part may be lifted or turned over; what is measured is the part.
  const place = part.worldToLocal(hit.point.clone());
  const snapped = snapToEdges(shown.lines, place, near);
  return {
    point: (snapped?.point ?? place).toArray() as unknown as Vec3,
    on: snapped?.on ?? 'face',
    face: shown.face.id,
    kind: shown.face.kind,
    normal: hit.face.normal.toArray() as unknown as Vec3,
  };
}
