/**
 * End of a clothoid that starts straight: the Fresnel integrals, by their power series.
 *
 * x = length * sum of (-1)^n turn^(2n) / ((4n + 1) (2n)!), y = length * sum of (-1)^n turn^(2n+1) / ((4n + 3) (2n+1)!)
 * (Abramowitz & Stegun 1964, 7.3.11 and 7.3.13). Good to 4e-16 of the length for turns up to 2 rad, all that is asked here.
 *
 * @param length - along the clothoid, metres
 * @param turn - angle turned at its end, radians, 0 to 2
 * @returns metres along the first direction and across it, towards the side it turns to
 * @internal
 */
export function clothoidEnd(length: number, turn: number): [along: number, across: number] {
  let x = 0;
  let y = 0;
  let term = 1;
  for (let n = 0; n < 40; n++) {
    // term = turn^n / n!, signs + + - - for the terms of x and y by turns
    const part = ((n & 2) === 0 ? term : -term) / (2 * n + 1);
    if ((n & 1) === 0) x += part;
    else y += part;
    term *= turn / (n + 1);
    if (term < 1e-18) break;
  }
  return [length * x, length * y];
}

/**
 * A bend of clothoid, arc and clothoid, symmetric about its corner; without transitions a plain arc.
 *
 * @internal
 */
export interface Bend {
  /** from the corner to where the bend leaves a leg, metres */
  readonly reach: number;
  /** radius of the arc, metres; that of the sharpest point where the turn is too small for an arc */
  readonly radius: number;
  /** length of each transition, metres; 0 without */
  readonly transition: number;
  /** angle that each transition turns by, radians */
  readonly spent: number;
  /** distance by which the arc lies farther in than an arc without transitions, metres */
  readonly shift: number;
}

/**
 * The bend at a corner: curvature rises by the same rate to the arc's or, where the turn is too small for that, until half
 * the turn is made.
 *
 * @param halfTurn - tangent of half the turn, 0 or more
 * @param radius - smallest radius, metres
 * @param length - of a transition to that radius, metres; 0 for none
 * @internal
 */
export function bendFor(halfTurn: number, radius: number, length: number): Bend {
  if (length === 0) return { reach: radius * halfTurn, radius, transition: 0, spent: 0, shift: 0 };
  const half = Math.atan(halfTurn);
  const full = length / (2 * radius);
  const spent = Math.min(full, half);
  // curvature at the end of a clothoid that turned by `spent`: sqrt(2 spent rate)
  const sharpest = spent === full ? radius : Math.sqrt((radius * length) / (2 * spent));
  const transition = 2 * spent * sharpest;
  const [x, y] = clothoidEnd(transition, spent);
  const shift = y - sharpest * (1 - Math.cos(spent));
  return {
    reach: x - sharpest * Math.sin(spent) + (sharpest + shift) * halfTurn,
    radius: sharpest,
    transition,
    spent,
    shift,
  };
}

/**
 * Write the points of a bend to a list, both its ends included, none farther apart than the tolerance allows.
 *
 * @param out - x and y by turns
 * @param corner - metres
 * @param before - direction of the leg in front, unit length
 * @param after - direction of the leg behind, unit length
 * @param halfTurn - tangent of half the turn, left positive
 * @internal
 */
export function drawBend(
  out: number[],
  corner: readonly [number, number],
  before: readonly [number, number],
  after: readonly [number, number],
  halfTurn: number,
  bend: Bend,
  tolerance: number,
): void {
  const side = halfTurn < 0 ? -1 : 1;
  const { reach, radius, transition, spent } = bend;
  const step = 2 * Math.acos(Math.max(0.5, 1 - tolerance / radius));
  const [ux, uy] = before;
  const [vx, vy] = after;
  const startX = corner[0] - reach * ux;
  const startY = corner[1] - reach * uy;
  const endX = corner[0] + reach * vx;
  const endY = corner[1] + reach * vy;
  const count = Math.ceil(transition / (radius * step));
  out.push(startX, startY);
  for (let k = 1; k <= count; k++) {
    const part = k / count;
    const [x, y] = clothoidEnd(transition * part, spent * part * part);
    out.push(startX + x * ux - side * y * uy, startY + x * uy + side * y * ux);
  }
  const arc = 2 * (Math.atan(Math.abs(halfTurn)) - spent);
  const [x, y] = clothoidEnd(transition, spent);
  // centre of the arc, seen from the start of the bend
  const cx = x - radius * Math.sin(spent);
  const cy = y + radius * Math.cos(spent);
  const parts = Math.max(1, Math.ceil(arc / step));
  for (let k = 1; k < parts; k++) {
    const turned = spent + (arc * k) / parts;
    const ax = cx + radius * Math.sin(turned);
    const ay = cy - radius * Math.cos(turned);
    out.push(startX + ax * ux - side * ay * uy, startY + ax * uy + side * ay * ux);
  }
  for (let k = count; k >= 1; k--) {
    if (k === count && arc === 0) continue;
    const part = k / count;
    const [px, py] = clothoidEnd(transition * part, spent * part * part);
    out.push(endX - px * vx - side * py * vy, endY - px * vy + side * py * vx);
  }
  out.push(endX, endY);
}
