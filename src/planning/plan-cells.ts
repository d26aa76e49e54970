import {
  headingDifference,
  RADIANS,
  type Point,
  type Polygon,
  pointInPolygon,
  signedArea,
  simplifyRing,
} from "../geometry/index.js";
import { cosDegrees, sinDegrees } from "../machine/degrees.js";

/** Cells of some ground, and which of them lie beside each other. @internal */
export interface PlanCells {
  /** each a polygon; together they are the ground */
  readonly cells: readonly Polygon[];
  /** pairs of cells that share a cut */
  readonly beside: readonly (readonly [number, number])[];
}

/** Corners that turn inward by less are none, degrees. */
const LEAST_TURN = 15;
/** Most corners that ground is cut at, those that turn most. */
const MOST_CORNERS = 12;
/** Cuts shorter than this are none, metres. */
const SHORT = 1e-3;

/** A cut through the ground, from a corner to where it meets the boundary. */
interface Cut {
  readonly from: Point;
  readonly to: Point;
}

type Ring = Point[];

/**
 * Cut a polygon along a heading at its corners that point into it, and at those of its holes: the exact cells of a boustrophedon
 * decomposition (Choset 2000), divided further where a corner only makes the ground wider, so that an L falls apart into its legs.
 *
 * @param heading - of the cuts, degrees
 * @param tolerance - bends that leave their chord by less make no corner, metres
 * @internal
 */
export function planCells(polygon: Polygon, heading: number, tolerance: number): PlanCells {
  let rings: Ring[] = [polygon.exterior, ...polygon.holes].map(open);
  // exteriors turn left, holes right: the ground lies to the left of every edge
  rings = rings.map((ring, i) => (signedArea(ring) > 0 === (i === 0) ? ring : [...ring].reverse()));
  const corners = rings.flatMap((ring) => cornersOf(ring, tolerance));
  corners.sort((a, b) => b.turn - a.turn);
  const direction: Point = [sinDegrees(heading), cosDegrees(heading)];
  const cuts: Cut[] = [];
  for (const { at } of corners.slice(0, MOST_CORNERS)) {
    for (const way of [1, -1]) {
      const made = cutFrom(rings, at, [way * direction[0], way * direction[1]]);
      if (made === null) continue;
      rings = made.rings;
      cuts.push(made.cut);
    }
  }
  const cells = nested(rings);
  return { cells, beside: pairsOf(cells, cuts, direction) };
}

function open(ring: readonly Point[]): Ring {
  const first = ring[0]!;
  const last = ring[ring.length - 1]!;
  return first[0] === last[0] && first[1] === last[1] ? ring.slice(0, -1) : [...ring];
}

/** Vertices at which the ground's boundary turns right: into the ground. */
function cornersOf(ring: Ring, tolerance: number): { at: Point; turn: number }[] {
  const coarse = open(simplifyRing([...ring, ring[0]!], tolerance));
  const n = coarse.length;
  if (n < 3) return [];
  const headings = coarse.map((p, i) => {
    const q = coarse[(i + 1) % n]!;
    return Math.atan2(q[0] - p[0], q[1] - p[1]) / RADIANS;
  });
  return coarse.flatMap((at, i) => {
    const turn = headingDifference(headings[(i + n - 1) % n]!, headings[i]!);
    return turn >= LEAST_TURN ? [{ at, turn }] : [];
  });
}

/** Cut from a vertex along a direction up to the boundary; null where that way does not lead into the ground. */
function cutFrom(rings: Ring[], at: Point, [dx, dy]: Point): { rings: Ring[]; cut: Cut } | null {
  for (let r = 0; r < rings.length; r++) {
    const ring = rings[r]!;
    for (let k = 0; k < ring.length; k++) {
      const p = ring[k]!;
      if (p[0] !== at[0] || p[1] !== at[1]) continue;
      if (!leadsInside(ring, k, dx, dy)) continue;
      const hit = nearestHit(rings, at, dx, dy);
      if (hit === null || hit.distance < SHORT) return null;
      return { rings: joinAt(rings, r, k, hit), cut: { from: at, to: hit.at } };
    }
  }
  return null;
}

/** Whether a direction from a vertex points strictly between its two edges, to the left of both. */
function leadsInside(ring: Ring, k: number, dx: number, dy: number): boolean {
  const p = ring[k]!;
  const a = ring[(k + ring.length - 1) % ring.length]!;
  const b = ring[(k + 1) % ring.length]!;
  const out = Math.atan2(b[1] - p[1], b[0] - p[0]);
  const back = positive(Math.atan2(a[1] - p[1], a[0] - p[0]) - out);
  const way = positive(Math.atan2(dy, dx) - out);
  return way > 1e-6 && way < back - 1e-6;
}

function positive(angle: number): number {
  const rest = angle % (2 * Math.PI);
  return rest < 0 ? rest + 2 * Math.PI : rest;
}

interface Hit {
  readonly ring: number;
  /** edge from this vertex on */
  readonly edge: number;
  readonly at: Point;
  /** whether it is that vertex itself */
  readonly vertex: boolean;
  readonly distance: number;
}

function nearestHit(rings: readonly Ring[], from: Point, dx: number, dy: number): Hit | null {
  let best: Hit | null = null;
  rings.forEach((ring, r) => {
    for (let i = 0; i < ring.length; i++) {
      const a = ring[i]!;
      const b = ring[(i + 1) % ring.length]!;
      // places along and beside the cut
      const ua = (a[0] - from[0]) * dx + (a[1] - from[1]) * dy;
      const ub = (b[0] - from[0]) * dx + (b[1] - from[1]) * dy;
      const va = (a[0] - from[0]) * dy - (a[1] - from[1]) * dx;
      const vb = (b[0] - from[0]) * dy - (b[1] - from[1]) * dx;
      let distance: number;
      let vertex = false;
      if (Math.abs(va) < 1e-9) {
        // through a vertex: taken as it stands, so that no edge of no length comes to be
        distance = ua;
        vertex = true;
      } else if (va > 0 === vb > 0 || Math.abs(vb) < 1e-9) continue;
      else distance = ua + ((ub - ua) * va) / (va - vb);
      if (distance < SHORT || (best !== null && distance >= best.distance)) continue;
      if (vertex && !leadsInside(ring, i, -dx, -dy)) continue;
      const at: Point = vertex ? a : [from[0] + dx * distance, from[1] + dy * distance];
      best = { ring: r, edge: i, at, vertex, distance };
    }
  });
  return best;
}

/** Rings with a cut from vertex k of ring r to a hit: one ring is divided in two, two are joined to one. */
function joinAt(rings: Ring[], r: number, k: number, hit: Hit): Ring[] {
  const rest = rings.filter((_, i) => i !== r && i !== hit.ring);
  const ring = rings[r]!;
  if (hit.ring !== r) {
    const other = rings[hit.ring]!;
    const here = [...ring.slice(k), ...ring.slice(0, k)];
    const after = hit.edge + 1;
    const there = hit.vertex
      ? [...other.slice(hit.edge), ...other.slice(0, hit.edge)]
      : [hit.at, ...other.slice(after), ...other.slice(0, after)];
    return [...rest, [...here, here[0]!, ...there, there[0]!]];
  }
  // from vertex k on, so that the cut starts at place 0
  const turned = [...ring.slice(k), ...ring.slice(0, k)];
  const edge = (hit.edge - k + ring.length) % ring.length;
  const one = [...turned.slice(0, edge + 1), ...(hit.vertex ? [] : [hit.at])];
  const two = [turned[0]!, hit.at, ...turned.slice(edge + 1)];
  return [...rest, one, two];
}

/** Exteriors with the holes that are left in them. */
function nested(rings: readonly Ring[]): Polygon[] {
  const exteriors = rings.filter((ring) => signedArea(ring) > 0);
  const holes = rings.filter((ring) => signedArea(ring) < 0);
  return exteriors.map((ring) => {
    const cell = { exterior: ring, holes: [] };
    const inside =
      exteriors.length === 1 ? holes : holes.filter((hole) => pointInPolygon(cell, hole[0]!) !== "outside");
    return { exterior: ring, holes: inside };
  });
}

/** Cells on the two sides of a cut's pieces. */
function pairsOf(cells: readonly Polygon[], cuts: readonly Cut[], [dx, dy]: Point): [number, number][] {
  const pairs = new Map<string, [number, number]>();
  // a hair to either side of places along the cut
  const aside = 1e-3;
  const owner = (x: number, y: number): number => cells.findIndex((cell) => pointInPolygon(cell, [x, y]) === "inside");
  for (const { from, to } of cuts) {
    for (const t of [0.01, 0.25, 0.5, 0.75, 0.99]) {
      const x = from[0] + t * (to[0] - from[0]);
      const y = from[1] + t * (to[1] - from[1]);
      const one = owner(x + aside * dy, y - aside * dx);
      const two = owner(x - aside * dy, y + aside * dx);
      if (one < 0 || two < 0 || one === two) continue;
      const pair: [number, number] = one < two ? [one, two] : [two, one];
      pairs.set(pair.join(" "), pair);
    }
  }
  return [...pairs.values()];
}
