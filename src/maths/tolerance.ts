/**
 * Every tolerance of the project, with its name, unit and reason. A bare small number anywhere else is a mistake.
 */
export const tolerance = {
  /** mm. Two points nearer than this are the same point; well under what any shop can measure, well over rounding. */
  point: 1e-6,
  /** mm. The kernel's own confusion distance (OpenCascade Precision::Confusion). */
  kernel: 1e-7,
  /** rad. Directions closer than this count as parallel. */
  angle: 1e-9,
  /** rad. Two faces meeting within this are smooth to the eye and to a cutter (about 8 deg; tangent fillets mesh well inside it). */
  smoothEdge: 0.14,
  /** relative. Stop a root search when the bracket is this small against its start. */
  root: 1e-12,
  /** relative. A pivot this small against the largest makes a system singular. */
  pivot: 1e-13,
  /** mm. Largest allowed distance between the true offset of the contour and the roof curve that is cut. */
  offset: 2e-3,
  /** mm. Default largest distance between the solid and its mesh in the files. */
  meshDeviation: 0.02,
  /** rad. Default largest turn between neighbouring facets in the files. */
  meshAngle: 0.12,
  /** mm. Mesh deviation while editing. */
  meshDeviationEditing: 0.1,
  /** rad. Facet turn while editing. */
  meshAngleEditing: 0.3,
  /** mm3 per mm2 of cavity skin: more cavity than this outside the body is a break-out, not mesh noise. */
  breakOut: 0.02,
  /** mm. Default reading error, one sigma, when neither the job nor the typed digits state one (calipers, common practice). */
  readingError: 0.05,
} as const;
