/**
 * How far the angle between a drawbar and the direction of its hitch changes while the hitch runs along an arc: the closed form of the tractrix of
 * a circle, and of a straight line.
 *
 * With a the angle from the drawbar's heading to the direction in which the hitch moves, L the drawbar and k the arc's curvature,
 * da/ds = k - sin(a)/L. For u = tan(a/2) this is the Riccati equation du/ds = k(1 + u²)/2 - u/L; with u = p/q it is linear,
 * (p, q)' = M (p, q), M = ((-1/L, k), (-k, 1/L))/2, and M² = (1/L² - k²)/4, so that exp(Ms) is made of cosh and sinh, or of cos and sin
 * where the circle is tighter than the drawbar. Exact for any way and turn, forwards (a near 0) and backwards (a near 180 degrees) alike.
 *
 * @param angle - a at the start, radians
 * @param way - of the hitch over the drawbar's length, s/L; negative goes back in time
 * @param turn - of the hitch's direction, k·s, radians, clockwise positive
 * @returns a at the end less a at the start, radians, up to whole turns; good to some 1e-16
 */
export function drawbarSwing(angle: number, way: number, turn: number): number {
  // hot: called up to three times a fix
  const a = way / 2;
  const b = turn / 2;
  const square = a * a - b * b;
  // exp(Ms) = c + t M s, over cosh where it could grow beyond all numbers: only p/q counts
  let c = 1;
  let t = 1;
  if (square > 0) {
    const root = Math.sqrt(square);
    t = Math.tanh(root) / root;
  } else if (square < 0) {
    const root = Math.sqrt(-square);
    c = Math.cos(root);
    t = Math.sin(root) / root;
  }
  // from (p, q) to (p1, q1), by their cross and dot product
  return 2 * Math.atan2(t * (b - a * Math.sin(angle)), c + t * a * Math.cos(angle));
}
