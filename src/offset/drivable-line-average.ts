/**
 * A path of straights and arcs, averaged over a window that slides along it: its curvature then changes steadily.
 *
 * The average of a straight is the straight, that of an arc is an arc nearer to its centre by window² / (24 radius) to
 * leading order, just as much as clothoids of the window's length shift it (see `transitionFor` for what is exact).
 *
 * @internal
 */
export class AveragedPath {
  // each element: start, direction, curvature (left positive), length; path station and integral of position at its start
  readonly #parts: number[] = [];
  #count = 0;
  #end = 0;
  #ax = 0;
  #ay = 0;
  #low = 0;
  #high = 0;
  /** where the average was last taken, metres */
  x = 0;
  /** where the average was last taken, metres */
  y = 0;
  /** its first derivative by the path station */
  dx = 0;
  /** its first derivative by the path station */
  dy = 0;
  /** its second derivative by the path station, 1/m */
  ddx = 0;
  /** its second derivative by the path station, 1/m */
  ddy = 0;

  /** @param start - path station at which the first element starts, metres */
  constructor(start: number) {
    this.#end = start;
  }

  /** Path station of the end, metres. */
  get end(): number {
    return this.#end;
  }

  add(x: number, y: number, dx: number, dy: number, curvature: number, length: number): void {
    if (!(length > 0)) return;
    this.#parts.push(x, y, dx, dy, curvature, length, this.#end, this.#ax, this.#ay);
    const [ix, iy] = partIntegral(x, y, dx, dy, curvature, length);
    this.#ax += ix;
    this.#ay += iy;
    this.#end += length;
    this.#count++;
  }

  /** Average about a path station; stations must not fall from call to call by more than a window. */
  take(station: number, window: number): void {
    const h = window / 2;
    this.#high = this.#find(this.#high, station + h);
    this.#low = this.#find(this.#low, station - h);
    const a = this.#at(this.#low, station - h);
    const b = this.#at(this.#high, station + h);
    this.x = (b[4] - a[4]) / window;
    this.y = (b[5] - a[5]) / window;
    this.dx = (b[0] - a[0]) / window;
    this.dy = (b[1] - a[1]) / window;
    this.ddx = (b[2] - a[2]) / window;
    this.ddy = (b[3] - a[3]) / window;
  }

  /** Path station at which the straight ends that holds the whole window last taken; -1 when it is not in one straight. */
  straightEnd(): number {
    if (this.#low !== this.#high || this.#parts[9 * this.#low + 4] !== 0) return -1;
    return this.#parts[9 * this.#low + 6]! + this.#parts[9 * this.#low + 5]!;
  }

  #find(from: number, station: number): number {
    const parts = this.#parts;
    let k = from;
    while (k > 0 && parts[9 * k + 6]! > station) k--;
    while (k + 1 < this.#count && parts[9 * (k + 1) + 6]! <= station) k++;
    return k;
  }

  #at(part: number, station: number): [number, number, number, number, number, number] {
    const p = this.#parts;
    const k = 9 * part;
    const x = p[k]!;
    const y = p[k + 1]!;
    const dx = p[k + 2]!;
    const dy = p[k + 3]!;
    const curvature = p[k + 4]!;
    const s = station - p[k + 6]!;
    const [ix, iy] = partIntegral(x, y, dx, dy, curvature, s);
    const turn = curvature * s;
    const along = curvature === 0 ? s : Math.sin(turn) / curvature;
    const across = curvature === 0 ? 0 : (1 - Math.cos(turn)) / curvature;
    const c = Math.cos(turn);
    const q = Math.sin(turn);
    return [
      x + along * dx - across * dy,
      y + along * dy + across * dx,
      dx * c - dy * q,
      dy * c + dx * q,
      p[k + 7]! + ix,
      p[k + 8]! + iy,
    ];
  }
}

// integral of the position along a straight or an arc
function partIntegral(
  x: number,
  y: number,
  dx: number,
  dy: number,
  curvature: number,
  s: number,
): [x: number, y: number] {
  if (curvature === 0) return [x * s + (dx * s * s) / 2, y * s + (dy * s * s) / 2];
  const turn = curvature * s;
  const sine = Math.sin(turn / 2);
  const along = (2 * sine * sine) / (curvature * curvature);
  const across = (s - Math.sin(turn) / curvature) / curvature;
  return [x * s + along * dx - across * dy, y * s + along * dy + across * dx];
}

/**
 * The radius of arcs and the window that, averaged, keep to a smallest radius and to the rate of a clothoid.
 *
 * @param radius - smallest radius of the average, metres
 * @param length - of a clothoid from straight to that radius, at most 1.5 times the radius, metres
 * @returns radius a little larger, and window a little longer
 * @internal
 */
export function transitionFor(radius: number, length: number): { radius: number; window: number } {
  let r = radius;
  let window = length;
  // each round scales both by what the last one exceeded; within 1e-6 after 40 at 1.5 radii
  for (let round = 0; round < 40; round++) {
    let sharpest = 0;
    let fastest = 0;
    let last = 0;
    let lastX = 0;
    let lastY = 0;
    const count = 400;
    for (let k = 0; k <= count + 4; k++) {
      const u = (window * k) / count;
      // the window's ends: u along the arc, and before its start on the straight, or behind it on the arc
      const back = u - window;
      const bx = back < 0 ? back : r * Math.sin(back / r);
      const by = back < 0 ? 0 : r * (1 - Math.cos(back / r));
      const dx = (r * Math.sin(u / r) - bx) / window;
      const dy = (r * (1 - Math.cos(u / r)) - by) / window;
      const ddx = (Math.cos(u / r) - (back < 0 ? 1 : Math.cos(back / r))) / window;
      const ddy = (Math.sin(u / r) - (back < 0 ? 0 : Math.sin(back / r))) / window;
      const speed = Math.hypot(dx, dy);
      const curvature = (dx * ddy - dy * ddx) / (speed * speed * speed);
      sharpest = Math.max(sharpest, curvature);
      if (k > 0) {
        const way = ((Math.hypot(lastX, lastY) + speed) / 2) * (window / count);
        fastest = Math.max(fastest, Math.abs(curvature - last) / way);
      }
      last = curvature;
      lastX = dx;
      lastY = dy;
    }
    r *= sharpest * radius;
    window *= fastest * radius * length;
  }
  return { radius: r, window };
}
