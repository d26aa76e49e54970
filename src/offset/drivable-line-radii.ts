import type { Point } from "../geometry/index.js";

/**
 * Shortfall of radius that passes for rounding, as a share of it: chords of an arc of just the radius have it.
 *
 * @internal
 */
export const SLACK = 5e-4;
/** Tangent of half a turn above which the turn is a reversal, and no arc stands for it. */
const CUSP = 1e6;

/**
 * Corners that stand in for the vertices of a line, each with room for an arc.
 *
 * @internal
 */
export interface Corners {
  /** corners, the ends of an open line included */
  readonly points: readonly Point[];
  /** tangent of half the turn at each, left positive; 0 at the ends of an open line */
  readonly tangents: Float64Array;
  /** radius that has room at each, metres */
  readonly radii: Float64Array;
  /** for the edge after each corner the vertex that starts its edge of the source, -1 for an edge that is not the source's */
  readonly edges: Int32Array;
  /** for each corner a vertex of the source that it stands for */
  readonly sources: Int32Array;
  /** 1 for a corner that has no room for the radius */
  readonly tight: Uint8Array;
}

/**
 * Tangent of half the turn from one direction to another, left positive; infinite for a reversal.
 *
 * @internal
 */
export function halfTurn(ax: number, ay: number, bx: number, by: number): number {
  const across = ax * by - ay * bx;
  const along = ax * bx + ay * by;
  const scale = Math.hypot(across, along);
  // the form without cancellation on each half
  if (along >= 0) return across / (scale + along);
  return across === 0 ? Number.POSITIVE_INFINITY : (scale - along) / across;
}

/**
 * The largest radii up to the one asked for, each edge shared in the proportion of what its ends need.
 *
 * @internal
 */
export function fitRadii(
  points: Point[],
  edges: number[],
  sources: number[],
  closed: boolean,
  radius: number,
): Corners {
  const n = points.length;
  const tangents = new Float64Array(n);
  const lengths = new Float64Array(n);
  const share = new Float64Array(n).fill(1);
  const dx = new Float64Array(n);
  const dy = new Float64Array(n);
  const count = closed ? n : n - 1;
  for (let i = 0; i < count; i++) {
    const a = points[i]!;
    const b = points[(i + 1) % n]!;
    lengths[i] = Math.hypot(b[0] - a[0], b[1] - a[1]);
    dx[i] = (b[0] - a[0]) / lengths[i]!;
    dy[i] = (b[1] - a[1]) / lengths[i]!;
  }
  for (let i = closed ? 0 : 1; i < count; i++) {
    const before = (i + n - 1) % n;
    // an edge lost to rounding has no direction, and turns nothing
    const tangent = halfTurn(dx[before]!, dy[before]!, dx[i]!, dy[i]!);
    tangents[i] = Number.isNaN(tangent) ? 0 : tangent;
  }
  for (let i = 0; i < count; i++) {
    const j = (i + 1) % n;
    const ti = Math.abs(tangents[i]!);
    const tj = Math.abs(tangents[j]!);
    // a reversal keeps its point and needs nothing
    const sum = radius * ((ti < CUSP ? ti : 0) + (tj < CUSP ? tj : 0));
    if (sum > lengths[i]!) {
      const part = lengths[i]! / sum;
      if (ti > 0) share[i] = Math.min(share[i]!, part);
      if (tj > 0) share[j] = Math.min(share[j]!, part);
    }
  }
  for (let i = 0; i < n; i++) if (Math.abs(tangents[i]!) >= CUSP) share[i] = 0;
  return {
    points,
    tangents,
    radii: share.map((s) => s * radius),
    edges: Int32Array.from(edges),
    sources: Int32Array.from(sources),
    tight: Uint8Array.from(share, (s) => (s < 1 - SLACK ? 1 : 0)),
  };
}
