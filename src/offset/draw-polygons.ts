import { type Point, type Polygon, union } from "../geometry/index.js";
import { ringContacts } from "../geometry/ring-contacts.js";
import { type Chain, chainsOf } from "./chains.js";
import { elementPoint, frameOf, newFrame } from "./element-frame.js";
import { type FlatPath, pathLength } from "./flat-path.js";
import type { FlatSource } from "./flat-source.js";
import { mayTouch } from "./contacts.js";
import { type Drawing, flattenChain, sameWithin } from "./flatten.js";
import type { Killers } from "./killers.js";
import { linkPieces } from "./link.js";
import { type Loop, nestLoops } from "./nest-loops.js";
import { type FlatRing, setOf } from "./node-rings.js";
import type { Pieces } from "./pieces.js";
import { regularRings } from "./regular-rings.js";
import { windingAt } from "./winding.js";

/** Loops shorter than this share of the distance are dust of rounding. */
const DUST = 1e-6;

/** Polygons drawn, and how many pieces found no successor: 0 but for rounding at ties. @internal */
export interface DrawnPolygons {
  readonly polygons: Polygon[];
  readonly open: number;
}

/**
 * The alive pieces of rings as polygons.
 *
 * @param inward - whether the ground wanted lies inside the rings; else outside, the rings being turned round
 *
 * @internal
 */
export function drawPolygons(
  source: FlatSource,
  all: Killers,
  pieces: Pieces,
  drawing: Drawing,
  inward: boolean,
): DrawnPolygons {
  const linked = linkPieces(source, pieces, 0, drawing.d);
  const rings: FlatRing[] = [];
  let open = 0;
  for (const chain of chainsOf(linked)) {
    if (!chain.closed) {
      if (chainReach(pieces, chain) > DUST * drawing.d) open++;
      continue;
    }
    if (inward !== isInside(source, all, pieces, chain, drawing.d)) continue;
    const path = flattenChain(source, pieces, chain, drawing);
    if (path.count < 3 || pathLength(path, true) < DUST * drawing.d) continue;
    rings.push(ringOf(path, inward));
  }
  return { polygons: polygonsOf(source, rings, drawing.d, inward), open };
}

// a line of no width leads from ground to ground only inward; outward it is a gap just closed
function polygonsOf(source: FlatSource, rings: readonly FlatRing[], d: number, inward: boolean): Polygon[] {
  if (rings.length === 0) return [];
  const room = sameWithin(source, d) / 4;
  if (!mayTouch(setOf(rings), room)) return nestLoops(loopsOf(source, rings));
  // a tie, or nearly one
  let polygons: Polygon[] = [];
  // two arcs that touch are nearer to each other than the room for so long
  const reach = 2 * Math.sqrt(room * d);
  for (const necks of inward ? [reach, undefined] : [undefined]) {
    polygons = nestLoops(loopsOf(source, regularRings(rings, room, necks)));
    const contacts = ringContacts(polygons.flatMap(({ exterior, holes }) => [exterior, ...holes]));
    if (contacts.every(({ kind }) => kind === "touch")) return polygons;
  }
  return union(polygons);
}

function loopsOf(source: FlatSource, rings: readonly FlatRing[]): Loop[] {
  const loops: Loop[] = [];
  for (const ring of rings) {
    const area = areaOf(ring);
    if (area !== 0) loops.push({ points: pointsOf(source, ring), area });
  }
  return loops;
}

function chainReach(pieces: Pieces, chain: Chain): number {
  let sum = 0;
  for (const p of chain.pieces) sum += pieces.high[p]! - pieces.low[p]!;
  return sum;
}

// a chain never crosses the source, so one point of it decides
function isInside(source: FlatSource, all: Killers, pieces: Pieces, chain: Chain, d: number): boolean {
  const frame = newFrame();
  const point = new Float64Array(2);
  const p = chain.pieces[chain.pieces.length >> 1]!;
  frameOf(source, pieces.element[p]!, frame);
  elementPoint(frame, (pieces.low[p]! + pieces.high[p]!) / 2, d, point);
  return windingAt(all, point[0]!, point[1]!) !== 0;
}

function areaOf(ring: FlatRing): number {
  const x0 = ring[0]!;
  const y0 = ring[1]!;
  let twice = 0;
  let px = 0;
  let py = 0;
  for (let i = 2; i < ring.length; i += 2) {
    const x = ring[i]! - x0;
    const y = ring[i + 1]! - y0;
    twice += px * y - x * py;
    px = x;
    py = y;
  }
  return twice / 2;
}

// outward the rings were walked the other way round: turned back here
function ringOf({ data, count }: FlatPath, inward: boolean): FlatRing {
  const ring = new Float64Array(2 * count);
  for (let i = 0; i < count; i++) {
    const j = 3 * (inward || i === 0 ? i : count - i);
    ring[2 * i] = data[j]!;
    ring[2 * i + 1] = data[j + 1]!;
  }
  return ring;
}

function pointsOf({ originX, originY }: FlatSource, ring: FlatRing): Point[] {
  const points: Point[] = [];
  for (let i = 0; i < ring.length; i += 2) points.push([originX + ring[i]!, originY + ring[i + 1]!]);
  points.push([originX + ring[0]!, originY + ring[1]!]);
  return points;
}
