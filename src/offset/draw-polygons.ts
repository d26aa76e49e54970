import type { Point, Polygon } from "../geometry/index.js";
import { type Chain, chainsOf } from "./chains.js";
import { elementPoint, frameOf, newFrame } from "./element-frame.js";
import { type FlatPath, pathLength } from "./flat-path.js";
import type { FlatSource } from "./flat-source.js";
import { type Drawing, flattenChain } from "./flatten.js";
import type { Killers } from "./killers.js";
import { linkPieces } from "./link.js";
import { type Loop, nestLoops } from "./nest-loops.js";
import type { Pieces } from "./pieces.js";
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
  const loops: Loop[] = [];
  let open = 0;
  for (const chain of chainsOf(linked)) {
    if (!chain.closed) {
      if (chainReach(pieces, chain) > DUST * drawing.d) open++;
      continue;
    }
    if (inward !== isInside(source, all, pieces, chain, drawing.d)) continue;
    const path = flattenChain(source, pieces, chain, drawing);
    if (path.count < 3) continue;
    const area = areaOf(path);
    if (area === 0 || pathLength(path, true) < DUST * drawing.d) continue;
    loops.push(loopOf(source, path, area, inward));
  }
  return { polygons: nestLoops(loops), open };
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

function areaOf(path: FlatPath): number {
  const { data, count } = path;
  const x0 = data[0]!;
  const y0 = data[1]!;
  let twice = 0;
  let px = 0;
  let py = 0;
  for (let i = 1; i < count; i++) {
    const x = data[3 * i]! - x0;
    const y = data[3 * i + 1]! - y0;
    twice += px * y - x * py;
    px = x;
    py = y;
  }
  return twice / 2;
}

// outward the rings were walked the other way round: turned back here
function loopOf(source: FlatSource, path: FlatPath, area: number, inward: boolean): Loop {
  const points: Point[] = [];
  const { data, count } = path;
  for (let i = 0; i <= count; i++) {
    const j = 3 * (inward ? i % count : (count - i) % count);
    points.push([source.originX + data[j]!, source.originY + data[j + 1]!]);
  }
  return { points, area: inward ? area : -area };
}
