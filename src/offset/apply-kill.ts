import { arcAngle, type FlatSource } from "./flat-source.js";
import { DISC_END, DISC_START, type Kill, STRIP_LEFT, STRIP_RIGHT } from "./kill.js";
import type { PieceCut } from "./piece-cut.js";
import { OTHER } from "./pieces.js";

/**
 * Take what a killer kills out of a piece; the ends it makes get their causes.
 *
 * @param id - of the killer
 * @param side - of the piece
 *
 * @internal
 */
export function applyKill(source: FlatSource, cut: PieceCut, kill: Kill, id: number, side: number): void {
  // hot
  const { ends, parts } = kill;
  if (ends[0]! >= cut.high[cut.count - 1]! || ends[1]! <= cut.low[0]!) return;
  cut.cut(ends, causeOf(source, id, parts[0]!, side), causeOf(source, id, parts[1]!, side));
}

// the element that goes on where the killer's part is touched
function causeOf(source: FlatSource, id: number, part: number, side: number): number {
  // hot
  const offset = side * 2 * source.size;
  const k = id >> 1;
  if ((id & 1) === 1) {
    if (part === STRIP_LEFT) return offset + id;
    if (part === STRIP_RIGHT) return OTHER;
  }
  const vertex = part === DISC_END && (id & 1) === 1 ? source.next[k]! : k;
  return part >= DISC_START && arcAngle(source, vertex, side) > 0 ? offset + 2 * vertex : OTHER;
}
