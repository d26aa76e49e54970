import type { Point } from "../geometry/index.js";
import { chainsOf } from "./chains.js";
import { type FlatPath, pathLength } from "./flat-path.js";
import type { FlatSource } from "./flat-source.js";
import { type Drawing, flattenChain } from "./flatten.js";
import { linkPieces } from "./link.js";
import type { Pieces } from "./pieces.js";
import type { OffsetLine } from "./types.js";

/** Pieces shorter than this share of the distance are dust of rounding. */
const DUST = 1e-6;

/**
 * The alive pieces of one side of a line as lines.
 *
 * @param minimumLength - metres
 *
 * @internal
 */
export function drawLine(
  source: FlatSource,
  pieces: Pieces,
  side: number,
  drawing: Drawing,
  minimumLength: number,
): OffsetLine[] {
  const linked = linkPieces(source, pieces, side, drawing.d);
  const out: OffsetLine[] = [];
  for (const chain of chainsOf(linked)) {
    const path = flattenChain(source, pieces, chain, drawing);
    const length = pathLength(path, chain.closed);
    if (path.count < (chain.closed ? 3 : 2) || length < DUST * drawing.d || length < minimumLength) continue;
    out.push(lineOf(source, path, chain.closed));
  }
  return out;
}

function lineOf(source: FlatSource, path: FlatPath, closed: boolean): OffsetLine {
  const points: Point[] = [];
  const stations: number[] = [];
  const { lap, originX, originY } = source;
  let laps = 0;
  const count = closed ? path.count + 1 : path.count;
  for (let i = 0; i < count; i++) {
    const j = i === path.count ? 0 : i;
    points.push([originX + path.data[3 * j]!, originY + path.data[3 * j + 1]!]);
    let station = path.data[3 * j + 2]! + laps;
    // past the start of a closed source they count on
    if (i > 0 && lap > 0 && laps === 0 && station < stations[i - 1]! - lap / 2) {
      laps += lap;
      station += lap;
    }
    stations.push(station);
  }
  return { points, stations, closed };
}
