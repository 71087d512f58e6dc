/** The part turned, enlarged and fitted by keys. */
import { Vector3, type OrthographicCamera } from 'three';
import type { OrbitControls } from 'three/examples/jsm/controls/OrbitControls.js';

/** rad a stroke. */
const turn = 0.12;

export function turnByKeys(canvas: HTMLCanvasElement, camera: OrthographicCamera, controls: OrbitControls, fit: () => void, draw: () => void): void {
  canvas.tabIndex = 0;
  canvas.addEventListener('keydown', (event) => {
    const way = camera.position.clone().sub(controls.target);
    const side = new Vector3().crossVectors(camera.up, way).normalize();
    const act: Readonly<Record<string, () => void>> = {
      ArrowLeft: () => way.applyAxisAngle(camera.up, turn),
      ArrowRight: () => way.applyAxisAngle(camera.up, -turn),
      ArrowUp: () => way.angleTo(camera.up) > turn * 1.5 && way.applyAxisAngle(side, -turn),
      ArrowDown: () => way.angleTo(camera.up) < Math.PI - turn * 1.5 && way.applyAxisAngle(side, turn),
      '+': () => (camera.zoom *= 1.2),
      '=': () => (camera.zoom *= 1.2),
      '-': () => (camera.zoom /= 1.2),
      f: fit,
    };
    const found = act[event.key];
    if (found === undefined || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    found();
    if (event.key !== 'f') camera.position.copy(controls.target).add(way);
    camera.lookAt(controls.target);
    camera.updateProjectionMatrix();
    controls.update();
    draw();
  });
}
