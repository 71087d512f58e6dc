/**
 * Every tolerance of the project, with its name, unit and reason. A bare small number anywhere else is a mistake.
 */
export const tolerance = {
  /** mm. Two points nearer than this are the same point; well under what any shop can measure, well over rounding. */
  point: 1e-6,
  /** mm. The kernel's own confusion distance (OpenCascade Precision::Confusion). */
  kernel: 1e-7,
  /** ratio. A contour narrower than this share of its height is a vertical line. */
  vertical: 1e-3,
  /** mm. A contour that bows less than this is flat: no gauge sees the difference. */
  straight: 0.02,
  /** 1/mm. A curve that bends less, on a radius of a kilometre, is straight. */
  straightBend: 1e-6,
  /** rad. Directions closer than this count as parallel. */
  angle: 1e-9,
  /** rad. Two faces meeting within this are smooth to the eye and to a cutter (about 8 deg; tangent fillets mesh well inside it). */
  smoothEdge: 0.14,
  /** relative. Stop a root search when the bracket is this small against its start. */
  root: 1e-12,
  /** relative. A pivot this small against the largest makes a system singular. */
  pivot: 1e-13,
  /** pure number. The square of anything smaller loses digits to underflow; it counts as nothing. */
  underflow: 1e-140,
  /** mm. Largest allowed distance between the true offset of the contour and the roof curve that is cut. */
  offset: 2e-3,
  /** mm. Least radius left on the roof under the tightest crown: below it no ball tip and no mesh follows. */
  leastRoofRadius: 0.1,
  /** mm. Less metal than this between the outside radius and the cavity at a corner is a hole. */
  leastCorner: 0.05,
  /** mm. A cavity lower or shorter than this is no cavity. */
  leastCavity: 0.5,
  /** rad. Steepest a contour may run between the walls: beyond 85 deg its skin is a wall. */
  steepest: (85 * Math.PI) / 180,
  /** mm. Default largest distance between the solid and its mesh in the files. */
  meshDeviation: 0.05,
  /** rad. Default largest turn between neighbouring facets in the files. */
  meshAngle: 0.2,
  /** mm. Mesh deviation of the proof that the hollow stays inside, where the analytic guards hold as well: those see to the last tenths. */
  meshDeviationProof: 0.25,
  /** rad. Facet turn of that proof. */
  meshAngleProof: 0.7,
  /** mm. Mesh deviation while editing. */
  meshDeviationEditing: 0.1,
  /** rad. Facet turn while editing. */
  meshAngleEditing: 0.3,
  /** Natural logarithm of the contour's stiffness: finer than this no eye and no gauge sees a difference (2 %). */
  stiffness: 2e-2,
  /** mm. Readings are not called wrong for less than a few times this, whatever their neighbours promise (finest digit of calipers). */
  finestReading: 0.01,
  /** share of the length. Chord error of the polyline on which a contour is tried for crossing itself. */
  crossingShare: 1e-5,
  /** mm. A ball tip's contact points stand still when none moves by more than this from one round to the next. */
  tipStill: 1e-5,
  /** mm. Readings or sizes beyond this are a slip of unit: ten metres. */
  largestPart: 1e4,

  /** mm. How far an edge laid on a swept face may stand off its true path: half of what booleans of the kernel leave. */
  trace: 5e-6,
  /** mm. Cut faces that graze each other this closely are taken to touch, where taking them apart leaves slivers no mesh can follow. */
  grazing: 1e-4,
  /** mm. A drill this near the wanted size is the one that is meant: inch and metric drawers differ by less. */
  drill: 0.06,
  /** mm3. More of the hollow than this outside the body is a break-out; where they only touch, their meshes agree exactly. */
  breakOut: 1e-3,
  /** mm. Points of a letter's outline nearer than this are one: fonts are drawn on a grid far coarser, and no cutter sees it. */
  letterPoint: 1e-4,
  /** mm. Ends of drawn lines nearer than this are meant to meet (drawings are exact to about this; common practice). */
  drawingJoin: 0.01,
  /** mm. Largest distance between a drawn arc or spline and the chords of the points taken from it: a fifth of a reading's usual error. */
  drawingChord: 0.01,
  /** Times the picking error. Known points of a picture nearer together, or nearer to one line, than this fix no scale. */
  knownPointsApart: 10,
  /** share of the longer side. How far a lens's axis may pass the middle of an uncropped picture, one sigma (common practice, no source). */
  opticalCentre: 0.02,
  /** mm. How well the middle of a lens can be told from outside when its distance is measured, one sigma (common practice, no source). */
  lensPlace: 10,
  /** share. The plane of a profile may lie off the plane of the known points by this share of the camera's distance at most; farther is a slip of typing. */
  offPlane: 0.5,
  /** sine. Looking along a plane more flatly than this (75 deg) nobody can pick points on it. */
  flattestLook: 0.966,
  /** mm. A network of holes stands still when no unknown moves by more than this from one round to the next. */
  networkStill: 1e-9,
  /** ratio. Least against greatest stiffness of a network of holes; below it some hole moves without any reading noticing. */
  networkFlexible: 1e-9,
  /** pure number. A share this small of a whole counts as nothing. */
  negligible: 1e-12,
  /** mm. Gap allowed between the best worst margin of a bolt pattern and the proof that no move is better. */
  boltUp: 1e-7,
  /** mm. A new place of a hole is written to this; far below what any machine holds. */
  writtenPlace: 1e-3,
  /** mm. Default reading error, one sigma, when neither the job nor the typed digits state one (calipers, common practice). */
  readingError: 0.05,
  /** Times the reading error. Calibration bars drawn nearer together than this leave the scale of a print open by 7 % and more. */
  barsApart: 20,
  /** mm and share of the drawn size: a print farther from what was drawn is a slip of typing (common practice, no source). */
  printSlip: 1,
  printSlipShare: 0.1,
  /** mm. Chord error of round holes and bodies added for a print: far under what a printer can follow. */
  printChord: 4e-3,
  /** mm3. Loose bits of a print smaller than this are rounding, not plastic. */
  printCrumb: 1e-2,
  /** sine. Axes of a printer farther from square than this (5.7 deg) are a slip of reading the diagonals. */
  printSkew: 0.1,
  /** probability. Calibration readings that scatter more than this is likely by chance have a larger error than stated. */
  printScatter: 0.01,
} as const;
