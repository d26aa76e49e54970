import { FeeringError } from "../errors/index.js";
import type { Line } from "../geometry/index.js";

/**
 * The source of an offset in flat arrays, relative to its first vertex so that large coordinates lose no digits.
 * Segment `k` starts at vertex `k`.
 *
 * @internal
 */
export interface FlatSource {
  /** number of vertices */
  readonly size: number;
  readonly originX: number;
  readonly originY: number;
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** vertex that segment k ends at, -1 where no segment starts at vertex k: the end of an open line */
  readonly next: Int32Array;
  /** vertex that the segment ending at vertex k starts from, -1 at the start of an open line */
  readonly previous: Int32Array;
  /** unit direction of segment k */
  readonly ux: Float64Array;
  readonly uy: Float64Array;
  readonly length: Float64Array;
  /** turn at vertex k, radians, left positive; PI for an exact reversal; 0 at the ends of an open line */
  readonly turn: Float64Array;
  /** metres along the source at vertex k */
  readonly station: Float64Array;
  /** size of the source, metres */
  readonly extent: number;
  /** whether both sides of each segment are features: so for lines; rings of polygons have only their left */
  readonly twoSided: boolean;
  /** length of a closed line, 0 for an open one and for polygons */
  readonly lap: number;
}

/**
 * Flat source of one line or of rings. Points that repeat the one before exactly are dropped.
 *
 * @param chains - rings open (not repeating their first point) when `closed`
 *
 * @internal
 */
export function flatSource(chains: readonly Line[], closed: boolean, twoSided: boolean): FlatSource {
  let most = 0;
  for (const chain of chains) most += chain.length;
  const first = chains[0]![0]!;
  const originX = first[0];
  const originY = first[1];
  const x = new Float64Array(most);
  const y = new Float64Array(most);
  const next = new Int32Array(most).fill(-1);
  const previous = new Int32Array(most).fill(-1);
  let size = 0;
  for (const chain of chains) {
    const start = size;
    for (const point of chain) {
      const px = point[0] - originX;
      const py = point[1] - originY;
      if (size > start && px === x[size - 1] && py === y[size - 1]) continue;
      x[size] = px;
      y[size] = py;
      size++;
    }
    while (closed && size > start + 1 && x[size - 1] === x[start] && y[size - 1] === y[start]) size--;
    for (let k = start; k + 1 < size; k++) {
      next[k] = k + 1;
      previous[k + 1] = k;
    }
    if (closed) {
      next[size - 1] = start;
      previous[start] = size - 1;
    }
  }
  const ux = new Float64Array(size);
  const uy = new Float64Array(size);
  const length = new Float64Array(size);
  const station = new Float64Array(size);
  measure(size, x, y, next, ux, uy, length, station);
  const turn = new Float64Array(size);
  let extent = 0;
  for (let k = 0; k < size; k++) {
    extent = Math.max(extent, Math.abs(x[k]!), Math.abs(y[k]!));
    const before = previous[k]!;
    if (before < 0 || next[k]! < 0) continue;
    const cross = ux[before]! * uy[k]! - uy[before]! * ux[k]!;
    const dot = ux[before]! * ux[k]! + uy[before]! * uy[k]!;
    // a cross product of -0 would turn a reversal to the other side
    turn[k] = Math.atan2(cross === 0 ? 0 : cross, dot);
  }
  if (!Number.isFinite(extent)) {
    throw new FeeringError("out-of-range", "the source is larger than numbers can hold", { argument: "line" });
  }
  const lap = closed && twoSided ? station[size - 1]! + length[size - 1]! : 0;
  return { size, originX, originY, x, y, next, previous, ux, uy, length, turn, station, extent, twoSided, lap };
}

function measure(
  size: number,
  x: Float64Array,
  y: Float64Array,
  next: Int32Array,
  ux: Float64Array,
  uy: Float64Array,
  length: Float64Array,
  station: Float64Array,
): void {
  for (let k = 0; k < size; k++) {
    const to = next[k]!;
    if (to < 0) continue;
    const dx = x[to]! - x[k]!;
    const dy = y[to]! - y[k]!;
    const plain = Math.sqrt(dx * dx + dy * dy);
    // squares of very small and very large numbers are no numbers any more
    const l = plain > 1e-140 && plain < 1e140 ? plain : Math.hypot(dx, dy);
    length[k] = l;
    // a segment too short for its own inverse keeps a direction: both are scaled up first
    if (l > 1e-290) {
      ux[k] = dx / l;
      uy[k] = dy / l;
    } else {
      const bx = dx * 2 ** 600;
      const by = dy * 2 ** 600;
      const bl = Math.hypot(bx, by);
      ux[k] = bx / bl;
      uy[k] = by / bl;
    }
    if (to > k) station[to] = station[k]! + l;
  }
}

/**
 * Angle of the arc at a vertex on a side, radians; 0 where there is none: on the reflex side and where the way is
 * straight. At an exact reversal there is one on both sides.
 *
 * @param side - 0 left, 1 right
 *
 * @internal
 */
export function arcAngle(source: FlatSource, vertex: number, side: number): number {
  // hot
  const turn = source.turn[vertex]!;
  if (turn === Math.PI || turn === -Math.PI) return Math.PI;
  if (side === 0) return turn < 0 ? -turn : 0;
  return turn > 0 ? turn : 0;
}
