/** The camera of the part in space: shaped like its canvas, turned to a named side, and brought so far off that a box just fills it. */
import { Vector3, type Box3, type OrthographicCamera } from 'three';
import type { OrbitControls } from 'three/examples/jsm/controls/OrbitControls.js';
import { standardViews, type StandardView } from './look.ts';

/** mm between the eye and what it looks at; without perspective it only has to be outside the part. */
const away = 1000;
/** Room left round the box. */
const margin = 1.1;

/** The canvas changed its size: what is seen keeps its height. */
export function shapeCamera(camera: OrthographicCamera, width: number, height: number): void {
  const half = (camera.top - camera.bottom) / 2 || 100;
  camera.left = (-half * width) / height;
  camera.right = (half * width) / height;
  camera.updateProjectionMatrix();
}

export function turnTo(camera: OrthographicCamera, controls: OrbitControls, view: StandardView): void {
  camera.position.copy(controls.target).add(new Vector3(...standardViews[view]).normalize().multiplyScalar(away));
}

/** `shape`: width of the canvas over its height. */
export function fitCamera(camera: OrthographicCamera, controls: OrbitControls, box: Box3, shape: number): void {
  const middle = box.min.clone().add(box.max).multiplyScalar(0.5);
  const way = camera.position.clone().sub(controls.target).normalize();
  if (way.lengthSq() === 0) way.set(...standardViews.Outside).normalize();
  controls.target.copy(middle);
  camera.position.copy(middle).addScaledVector(way, away);
  camera.lookAt(middle);
  camera.updateMatrixWorld();
  const [right, up] = seenHalf(camera, box);
  const half = Math.max(up, right / shape) * margin;
  camera.zoom = 1;
  camera.top = half;
  camera.bottom = -half;
  camera.left = -half * shape;
  camera.right = half * shape;
  camera.updateProjectionMatrix();
  controls.update();
}

/** The box as seen from here: half its size to the right and up. */
function seenHalf(camera: OrthographicCamera, box: Box3): readonly [number, number] {
  let [right, up] = [0, 0];
  for (let i = 0; i < 8; i += 1) {
    const corner = new Vector3(i & 1 ? box.max.x : box.min.x, i & 2 ? box.max.y : box.min.y, i & 4 ? box.max.z : box.min.z).applyMatrix4(camera.matrixWorldInverse);
    right = Math.max(right, Math.abs(corner.x));
    up = Math.max(up, Math.abs(corner.y));
  }
  return [right, up];
}
