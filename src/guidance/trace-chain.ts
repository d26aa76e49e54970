import type { CurveLocator } from "./curve-locator.js";
import { OFFSET, type PassTrace } from "./line-locator.js";

/** Gap between an arc and its chords in a trace, metres. */
const SAGITTA = 1e-3;

/**
 * Hand over a pass piece by piece, each inner corner trimmed by its own two segments, arcs in chords: in one walk along the
 * line, for the ends of the pass in a field. What is trimmed away by more distant parts of the line is not looked for.
 */
export function traceChain(locator: CurveLocator, numbers: Float64Array, box: Float64Array, to: PassTrace): void {
  const chain = locator.chain;
  const { xy, along, stations, turns } = chain;
  const m = chain.segments;
  const n = chain.vertices;
  const offset = numbers[OFFSET]!;
  const away = Math.abs(offset);
  const corners = offset < 0 ? chain.cornersLeft : chain.cornersRight;
  const east = locator.shift[0]!;
  const north = locator.shift[1]!;
  const piece = to.piece;
  const reach =
    Math.max(Math.abs(box[0]! - xy[0]! - east), Math.abs(box[2]! - xy[0]! - east)) +
    Math.max(Math.abs(box[1]! - xy[1]! - north), Math.abs(box[3]! - xy[1]! - north)) +
    chain.length +
    away;
  const step = 2 * Math.acos(Math.max(0, 1 - SAGITTA / Math.max(away, SAGITTA)));
  if (locator.before) segmentPiece(locator, numbers, to, 0, -reach, 0, 0);
  for (let i = 0; i < m; i++) {
    const size = stations[i + 1]! - stations[i]!;
    const into = i > 0 || chain.closed ? trimAt(turns[i]!, offset) : 0;
    const end = i + 1 === n ? 0 : i + 1;
    const turn = i + 1 < m || chain.closed ? turns[end]! : 0;
    const out = trimAt(turn, offset);
    if (size - into - out > 0)
      segmentPiece(locator, numbers, to, i, into, size - out, stations[i]! + away * corners[i]!);
    if (away > 0 && turn !== 0 && turn > 0 === offset < 0) {
      const count = Math.max(1, Math.ceil(Math.abs(turn) / step));
      const base = stations[i + 1]! + away * corners[i]!;
      for (let k = 0; k < count; k++) {
        for (let e = 0; e < 2; e++) {
          const angle = ((k + e) * turn) / count;
          const s = Math.sin(angle);
          const c = Math.cos(angle);
          const ux = along[2 * i]! * c + along[2 * i + 1]! * s;
          const uy = along[2 * i + 1]! * c - along[2 * i]! * s;
          piece[3 * e] = xy[2 * end]! + east + offset * uy;
          piece[3 * e + 1] = xy[2 * end + 1]! + north - offset * ux;
          piece[3 * e + 2] = base + away * Math.abs(angle);
        }
        to.take();
      }
    }
  }
  if (locator.after) {
    const size = chain.length - stations[m - 1]!;
    segmentPiece(locator, numbers, to, m - 1, size, size + reach, stations[m - 1]! + away * corners[m - 1]!);
  }
}

function trimAt(turn: number, offset: number): number {
  if (turn === 0 || offset === 0 || turn > 0 === offset < 0) return 0;
  return Math.abs(offset) * Math.tan(Math.min(Math.abs(turn), 2.5) / 2);
}

function segmentPiece(
  locator: CurveLocator,
  numbers: Float64Array,
  to: PassTrace,
  segment: number,
  from: number,
  end: number,
  base: number,
): void {
  const chain = locator.chain;
  const ux = chain.along[2 * segment]!;
  const uy = chain.along[2 * segment + 1]!;
  const offset = numbers[OFFSET]!;
  const x = chain.xy[2 * segment]! + locator.shift[0]! + offset * uy;
  const y = chain.xy[2 * segment + 1]! + locator.shift[1]! - offset * ux;
  const piece = to.piece;
  piece[0] = x + from * ux;
  piece[1] = y + from * uy;
  piece[2] = base + from;
  piece[3] = x + end * ux;
  piece[4] = y + end * uy;
  piece[5] = base + end;
  to.take();
}
