/** A sharper turn at one vertex is a corner, radians (30 degrees): the heading jumps there and is not spread over long segments. */
const CORNER = Math.PI / 6;

/**
 * The heading of a chain of points along its length, and its integral, so that the mean curvature over a window costs the same
 * whatever the window holds.
 *
 * The heading is that of each segment at its middle and changes evenly from middle to middle, which on points of a circle,
 * evenly spaced or not, is the circle's own. About a corner it changes within one window of it.
 */
export class TurnIntegral {
  readonly stations: Float64Array;
  readonly closed: boolean;
  /** heading of each segment's middle, radians, counted on over whole turns */
  readonly middle: Float64Array;
  /** heading at each vertex; one more than segments */
  readonly vertex: Float64Array;
  /** integral of the heading from the start to each vertex; one more than segments */
  readonly sum: Float64Array;
  /** how far from its start a segment's heading reaches its own value, metres */
  readonly rise: Float64Array;
  /** how far before its end it leaves it, metres */
  readonly fall: Float64Array;
  /** segment of the last look-up */
  hint = 0;
  /** place and sum of a look-up, and half the length that is averaged over, metres */
  readonly io: Float64Array;

  constructor(stations: Float64Array, turns: Float64Array, closed: boolean, window: number) {
    const m = stations.length - 1;
    const length = stations[m]!;
    this.stations = stations;
    this.closed = closed;
    this.io = Float64Array.of(0, 0, Math.min(window, length / 2));
    this.middle = new Float64Array(m);
    this.vertex = new Float64Array(m + 1);
    this.sum = new Float64Array(m + 1);
    this.rise = new Float64Array(m);
    this.fall = new Float64Array(m);
    for (let i = 1; i < m; i++) this.middle[i] = this.middle[i - 1]! + turns[i]!;
    for (let i = 0; i < m; i++) {
      const half = (stations[i + 1]! - stations[i]!) / 2;
      const next = closed && i + 1 === m ? 0 : i + 1;
      this.rise[i] = Math.abs(turns[i]!) > CORNER ? Math.min(half, window) : half;
      this.fall[i] = Math.abs(turns[next] ?? 0) > CORNER ? Math.min(half, window) : half;
    }
    for (let i = 0; i <= m; i++) {
      const before = i > 0 ? i - 1 : m - 1;
      const after = i < m ? i : 0;
      if (!closed && (i === 0 || i === m)) this.vertex[i] = this.middle[i === 0 ? 0 : m - 1]!;
      else {
        const turn = turns[i === m ? 0 : i]!;
        const share = this.fall[before]! / (this.fall[before]! + this.rise[after]!);
        this.vertex[i] = i > 0 ? this.middle[before]! + turn * share : this.middle[0]! - turn * (1 - share);
      }
    }
    for (let i = 0; i < m; i++) {
      const size = stations[i + 1]! - stations[i]!;
      const mid = this.middle[i]!;
      const rise = ((this.vertex[i]! - mid) * this.rise[i]!) / 2;
      const fall = ((this.vertex[i + 1]! - mid) * this.fall[i]!) / 2;
      this.sum[i + 1] = this.sum[i]! + mid * size + rise + fall;
    }
  }
}

// places and sums of one look-up: numbers handed over or back would be boxed
const AT = 0;
const SUM = 1;
const WINDOW = 2;

/**
 * Put the mean curvature over the window about a station into a slot: the mean heading ahead of it less the mean heading behind,
 * over the window. At open ends the window stays on the line.
 */
export function meanCurvature(turn: TurnIntegral, numbers: Float64Array, stationSlot: number, slot: number): void {
  // hot: with every fix; allocates nothing
  const io = turn.io;
  const h = io[WINDOW]!;
  const length = turn.stations[turn.stations.length - 1]!;
  let at = numbers[stationSlot]!;
  if (!turn.closed) at = at < h ? h : at > length - h ? length - h : at;
  io[AT] = at - h;
  integrate(turn);
  let difference = io[SUM]!;
  io[AT] = at;
  integrate(turn);
  difference -= 2 * io[SUM]!;
  io[AT] = at + h;
  integrate(turn);
  numbers[slot] = (difference + io[SUM]!) / (h * h);
}

// the integral of the heading from the start to AT
function integrate(turn: TurnIntegral): void {
  const { stations, sum, io } = turn;
  const m = stations.length - 1;
  const length = stations[m]!;
  let s = io[AT]!;
  let base = 0;
  if (turn.closed) {
    const lap = turn.vertex[m]! - turn.vertex[0]!;
    if (s < 0) {
      base = -sum[m]! - lap * s;
      s += length;
    } else if (s > length) {
      s -= length;
      base = sum[m]! + lap * s;
    }
  }
  if (s < 0) s = 0;
  else if (s > length) s = length;
  // nearly always near the last one; else by halves
  let i = turn.hint;
  if (s < stations[i]! || s > stations[i + 1]!) {
    let low = 0;
    let high = m - 1;
    const near = i + 8;
    if (s > stations[i + 1]! && (near >= m || s <= stations[near]!)) {
      low = i + 1;
      high = near < m ? near - 1 : m - 1;
    } else if (s < stations[i]! && (i < 8 || s >= stations[i - 8]!)) {
      low = i < 8 ? 0 : i - 8;
      high = i - 1;
    }
    while (low < high) {
      const half = (low + high + 1) >> 1;
      if (stations[half]! <= s) low = half;
      else high = half - 1;
    }
    i = low;
    turn.hint = i;
  }
  const q = s - stations[i]!;
  const size = stations[i + 1]! - stations[i]!;
  const mid = turn.middle[i]!;
  const rise = turn.rise[i]!;
  const fall = turn.fall[i]!;
  let area = mid * q;
  if (q < rise) {
    // the ramp up from the vertex: its triangle less what is left of it
    const d = turn.vertex[i]! - mid;
    area += d * q - (d * q * q) / (2 * rise);
  } else area += ((turn.vertex[i]! - mid) * rise) / 2;
  const into = q - (size - fall);
  if (into > 0) area += ((turn.vertex[i + 1]! - mid) * into * into) / (2 * fall);
  io[SUM] = base + sum[i]! + area;
}
