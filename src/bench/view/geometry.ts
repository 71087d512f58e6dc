/** Facets from the kernel -> what the graphics draw: one mesh and one outline per face, or a whole solid at once. */
import { BufferAttribute, BufferGeometry, LineSegments, Mesh, type LineBasicMaterial, type MeshLambertMaterial } from 'three';
import type { FaceMesh } from '../../solid/door.ts';
import type { WeldedMesh } from '../../solid/mesh.ts';
import { edgeLines } from './edgeLines.ts';

export interface Shown {
  readonly face: FaceMesh;
  readonly mesh: Mesh<BufferGeometry, MeshLambertMaterial>;
  readonly lines: LineSegments;
}

export function geometryOf({ positions, triangles }: WeldedMesh): BufferGeometry {
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(Float32Array.from(positions), 3));
  geometry.setIndex(new BufferAttribute(Uint32Array.from(triangles), 1));
  // Each facet by itself: corners of a welded mesh share their nodes.
  const flat = geometry.toNonIndexed();
  flat.computeVertexNormals();
  return flat;
}

export function build(face: FaceMesh, metal: MeshLambertMaterial, ink: LineBasicMaterial): Shown {
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(face.positions, 3));
  geometry.setAttribute('normal', new BufferAttribute(face.normals, 3));
  geometry.setIndex(new BufferAttribute(face.triangles, 1));
  geometry.computeBoundingBox();
  geometry.computeBoundingSphere();
  const mesh = new Mesh(geometry, metal);
  mesh.userData['face'] = face.id;
  const outline = new BufferGeometry();
  outline.setAttribute('position', new BufferAttribute(edgeLines(face), 3));
  return { face, mesh, lines: new LineSegments(outline, ink) };
}
