/**
 * What is read off a film: pure functions of points in film pixels. x grows to the right, y downwards, [0, 0] is the
 * outer corner of the first pixel, so that pixel's centre is [0.5, 0.5].
 *
 * @typedef {[x: number, y: number]} Point
 */

/** Two ends nearer than this give no scale worth having. */
const SHORTEST_KNOWN_PX = 20;

/** @param {Point} a @param {Point} b @returns {number} film pixels */
export function distance(a, b) {
  return Math.hypot(b[0] - a[0], b[1] - a[1]);
}

/** Along a line through all points. @param {Point[]} points @returns {number} film pixels */
export function lengthPx(points) {
  return points.slice(1).reduce((sum, point, index) => sum + distance(points[index], point), 0);
}

/**
 * Angle of a canal by the secant construction (Schneider 1971): between the line orifice → departure, carried on, and
 * the line departure → foramen. 0 is straight.
 * @param {Point[]} points orifice, where the canal leaves the straight line, foramen
 * @returns {number} degrees, 0 to 180; NaN if two neighbouring points coincide
 */
export function secantDegrees([orifice, departure, foramen]) {
  if (!distance(orifice, departure) || !distance(departure, foramen)) return NaN;
  const before = Math.atan2(departure[1] - orifice[1], departure[0] - orifice[0]);
  const after = Math.atan2(foramen[1] - departure[1], foramen[0] - departure[0]);
  const turn = Math.abs(after - before) * 180 / Math.PI;
  return turn > 180 ? 360 - turn : turn;
}

/** Where the first line of the construction would go on, as long as the second. @param {Point[]} points @returns {Point} */
export function carriedOn([orifice, departure, foramen]) {
  const stretch = distance(departure, foramen) / (distance(orifice, departure) || 1);
  return /** @type {Point} */ ([0, 1].map((axis) => departure[axis] + (departure[axis] - orifice[axis]) * stretch));
}

/**
 * Size of a pixel from a length that is known.
 * @param {Point[]} ends
 * @param {number} knownMm
 * @returns {number} mm; NaN if the ends are too near each other or no length is given
 */
export function mmPerPxFrom([a, b], knownMm) {
  const px = distance(a, b);
  return px >= SHORTEST_KNOWN_PX && knownMm > 0 ? knownMm / px : NaN;
}
