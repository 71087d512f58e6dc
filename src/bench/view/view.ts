/**
 * The part in space: faces as they come from the kernel, only changed ones rebuilt. Turned by mouse, touch or keys; named
 * views; a cut through it; distances between picked places; metal thickness as colour. Part frame, Z up, mm.
 */
import {
  AmbientLight,
  Box3,
  BufferAttribute,
  Color,
  DirectionalLight,
  DoubleSide,
  Group,
  LineBasicMaterial,
  LineSegments,
  Mesh,
  MeshLambertMaterial,
  OrthographicCamera,
  Plane,
  Scene,
  SphereGeometry,
  MeshBasicMaterial,
  Vector3,
  WebGLRenderer,
} from 'three';
import { OrbitControls } from 'three/examples/jsm/controls/OrbitControls.js';
import type { Vec3 } from '../../maths/vec.ts';
import { fitCamera, shapeCamera, turnTo } from './camera.ts';
import { build, geometryOf, type Shown } from './geometry.ts';
import { turnByKeys } from './keys.ts';
import { standardViews, type Picked, type StandardView, type View } from './look.ts';
import { onTap, pickAt } from './pick.ts';
import { thicknessColours } from './thicknessColours.ts';

export function makeView(canvas: HTMLCanvasElement): View {
  const renderer = new WebGLRenderer({ canvas, antialias: true, alpha: true });
  renderer.localClippingEnabled = true;
  const scene = new Scene();
  const camera = new OrthographicCamera(-1, 1, 1, -1, -5000, 5000);
  camera.up.set(0, 0, 1);
  const lamp = new DirectionalLight(0xffffff, 2.1);
  scene.add(new AmbientLight(0xffffff, 1.15), lamp, lamp.target);
  const part = new Group();
  const [marks, other, round] = [new Group(), new Group(), new Group()];
  /** Part and all that goes with it, turned over together. */
  const whole = new Group();
  whole.add(part, marks, other, round);
  scene.add(whole);
  const controls = new OrbitControls(camera, canvas);
  controls.enableDamping = false;
  controls.zoomToCursor = true;
  controls.addEventListener('change', () => draw());

  const clip: Plane[] = [];
  const metal = new MeshLambertMaterial({ side: DoubleSide, clippingPlanes: clip, polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 1 });
  const mapped = new MeshLambertMaterial({ side: DoubleSide, clippingPlanes: clip, vertexColors: true, polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 1 });
  const ink = new LineBasicMaterial({ clippingPlanes: clip });
  const spot = new MeshBasicMaterial({ depthTest: false });
  const glass = new MeshLambertMaterial({ side: DoubleSide, transparent: true, opacity: 0.35, depthWrite: false, clippingPlanes: clip });
  const ball = new SphereGeometry(1, 16, 12);

  const held = new Map<number, Shown>();
  let order: readonly number[] = [];
  let map: { readonly byFace: ReadonlyMap<number, Float32Array>; readonly range: readonly [number, number] } | null = null;
  let listener: ((picked: Picked | null) => void) | null = null;
  let asked = false;

  function recolour(): void {
    const style = getComputedStyle(document.documentElement);
    const token = (name: string): Color => new Color(style.getPropertyValue(name).trim());
    metal.color = token('--metal').lerp(new Color(0xffffff), 0.25);
    ink.color = token('--ink');
    spot.color = token('--red');
    glass.color = token('--blue');
    draw();
  }

  function draw(): void {
    if (asked) return;
    asked = true;
    requestAnimationFrame(() => {
      asked = false;
      lamp.position.copy(camera.position).sub(controls.target).applyAxisAngle(new Vector3(0, 0, 1), 0.5).add(controls.target);
      lamp.target.position.copy(controls.target);
      const size = 5 / camera.zoom / (canvas.clientHeight / (camera.top - camera.bottom) || 1);
      for (const mark of marks.children) mark.scale.setScalar(Math.max(size, 1e-3));
      renderer.render(scene, camera);
    });
  }

  function resize(): void {
    const [w, hgt] = [Math.max(1, canvas.clientWidth), Math.max(1, canvas.clientHeight)];
    renderer.setPixelRatio(Math.min(devicePixelRatio, 2));
    renderer.setSize(w, hgt, false);
    shapeCamera(camera, w, hgt);
    draw();
  }
  new ResizeObserver(resize).observe(canvas);

  function bounds(): { least: Vector3; most: Vector3 } | null {
    if (order.length === 0) return null;
    const least = new Vector3(Infinity, Infinity, Infinity);
    const most = new Vector3(-Infinity, -Infinity, -Infinity);
    for (const id of order) {
      const box = held.get(id)?.mesh.geometry.boundingBox;
      if (box) {
        least.min(box.min);
        most.max(box.max);
      }
    }
    return { least, most };
  }

  /** All that is shown, as it stands lifted and turned over. */
  function shownBox(): Box3 | null {
    const own = bounds();
    if (own === null) return null;
    const lift = new Vector3(0, 0, part.position.z);
    const box = new Box3(own.least.add(lift), own.most.add(lift));
    for (const body of round.children) {
      for (const child of body.children) {
        if (!(child instanceof Mesh)) continue;
        const { boundingBox } = (child as Shown['mesh']).geometry;
        if (boundingBox !== null) box.union(boundingBox.clone().translate(body.position));
      }
    }
    whole.updateMatrixWorld();
    return box.applyMatrix4(whole.matrixWorld);
  }

  function fit(): void {
    const shown = shownBox();
    if (shown === null) return;
    fitCamera(camera, controls, shown, Math.max(1, canvas.clientWidth) / Math.max(1, canvas.clientHeight));
    draw();
  }

  function look(view: StandardView): void {
    turnTo(camera, controls, view);
    fit();
  }

  function colour(shown: Shown): void {
    const values = map?.byFace.get(shown.face.id);
    shown.mesh.material = values ? mapped : metal;
    if (values && map) shown.mesh.geometry.setAttribute('color', new BufferAttribute(thicknessColours(values, map.range), 3));
  }

  turnByKeys(canvas, camera, controls, fit, draw);

  onTap(canvas, (at) => {
    if (listener === null) return;
    listener(pickAt(at, canvas, camera, part, clip, (face) => held.get(face)));
  });

  recolour();
  camera.position.set(...standardViews.Outside).multiplyScalar(1000);
  return {
    show(faces, fresh) {
      const first = order.length === 0;
      for (const face of fresh) held.set(face.id, build(face, metal, ink));
      const wanted = new Set(faces);
      for (const [id, shown] of held) {
        if (wanted.has(id)) continue;
        part.remove(shown.mesh, shown.lines);
        shown.mesh.geometry.dispose();
        shown.lines.geometry.dispose();
        held.delete(id);
      }
      for (const id of faces) {
        const shown = held.get(id);
        if (shown && shown.mesh.parent === null) part.add(shown.mesh, shown.lines);
        if (shown) colour(shown);
      }
      order = faces;
      if (first) look('Outside');
      draw();
    },
    get held() {
      return [...held.keys()];
    },
    look,
    fit,
    cut(at) {
      clip.length = 0;
      if (at !== null) clip.push(new Plane(new Vector3(at.axis === 'x' ? -1 : 0, at.axis === 'y' ? 1 : 0, at.axis === 'z' ? -1 : 0), at.axis === 'y' ? -at.at : at.at));
      for (const material of [metal, mapped, ink, glass]) material.needsUpdate = true;
      draw();
    },
    thickness(byFace, range) {
      map = byFace === null ? null : { byFace, range };
      for (const shown of held.values()) colour(shown);
      draw();
    },
    mark(points) {
      marks.clear();
      for (const point of points) {
        const dot = new Mesh(ball, spot);
        dot.position.set(...point);
        dot.renderOrder = 2;
        marks.add(dot);
      }
      draw();
    },
    surround(next) {
      for (const body of round.children) for (const child of body.children) if (child instanceof Mesh || child instanceof LineSegments) child.geometry.dispose();
      round.clear();
      for (const lifted of [part, marks, other]) lifted.position.z = next?.lift ?? 0;
      whole.rotation.set(next?.upsideDown === 'about X' ? Math.PI : 0, next?.upsideDown === 'about Y' ? Math.PI : 0, 0);
      for (const { colour: tint, faces, lift, seeThrough = false } of next?.bodies ?? []) {
        const body = new Group();
        body.position.z = lift;
        const skin = new MeshLambertMaterial({ side: DoubleSide, clippingPlanes: clip, color: new Color(tint), polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 1, transparent: seeThrough, opacity: seeThrough ? 0.25 : 1, depthWrite: !seeThrough });
        for (const face of faces) {
          const { mesh, lines } = build(face, skin, ink);
          body.add(mesh, lines);
        }
        round.add(body);
      }
      draw();
    },
    beside(mesh) {
      for (const old of other.children) (old as Mesh).geometry.dispose();
      other.clear();
      if (mesh !== null) other.add(new Mesh(geometryOf(mesh), glass));
      draw();
    },
    onPick(next) {
      listener = next;
    },
    box() {
      const found = bounds();
      return found && { least: found.least.toArray() as unknown as Vec3, most: found.most.toArray() as unknown as Vec3 };
    },
    recolour,
  };
}
