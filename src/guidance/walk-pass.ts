import type { Chain } from "./chain.js";
import type { CurveLocator } from "./curve-locator.js";
import { AHEAD, AHEAD_X, AHEAD_Y, ALONG_X, ALONG_Y, OFFSET, STATION, X, Y } from "./line-locator.js";
import { marchPass } from "./march-pass.js";

/** Sharpest inner corner that is trimmed by its own two segments, radians. */
const SHARPEST = 2.5;

/**
 * Put the point of a pass that lies AHEAD metres along it from the machine's foot into AHEAD_X, AHEAD_Y.
 *
 * Segment by segment, exactly, arcs about outer corners and trims of inner ones included; past the end straight on. Where
 * more than that is trimmed away, or the point found is nearer to another part of the line, the pass is followed by
 * {@link marchPass} instead.
 */
export function walkPass(locator: CurveLocator, numbers: Float64Array): void {
  // hot: with every fix; allocates nothing
  const outcome = walk(locator, numbers);
  if (outcome === ENDED) return;
  if (outcome === FOUND) {
    if (numbers[OFFSET] === 0) return;
    const probe = locator.probeNumbers;
    probe[X] = numbers[AHEAD_X]!;
    probe[Y] = numbers[AHEAD_Y]!;
    if (locator.alive(numbers, locator.probePlace.segment)) return;
  }
  marchPass(locator, numbers);
}

const FOUND = 0;
// straight on past an end without extension
const ENDED = 1;
const TRIMMED = 2;

function walk(locator: CurveLocator, numbers: Float64Array): number {
  const chain = locator.chain;
  const m = chain.segments;
  const { stations, turns } = chain;
  const offset = numbers[OFFSET]!;
  const away = Math.abs(offset);
  const forward = numbers[AHEAD]! >= 0;
  let rest = Math.abs(numbers[AHEAD]!);
  let segment = locator.place.segment;
  const corner = locator.place.corner;
  // metres from the start of the segment
  let at: number;
  if (chain.closed) {
    const lap = stations[m]! + away * (offset < 0 ? chain.cornersLeft : chain.cornersRight)[m]!;
    if (rest > lap) {
      if (!(lap > 0)) return TRIMMED;
      rest -= lap * Math.floor(rest / lap);
    }
  }
  if (corner >= 0) {
    const before = corner === 0 ? m - 1 : corner - 1;
    segment = forward ? corner : before;
    at = forward ? 0 : stations[before + 1]! - stations[before]!;
    const turn = turns[corner]!;
    if (away > 0 && turn !== 0 && turn > 0 === offset < 0) {
      // on an arc: what is left of it in this direction
      const ux = numbers[ALONG_X]!;
      const uy = numbers[ALONG_Y]!;
      const ex = chain.along[2 * segment]!;
      const ey = chain.along[2 * segment + 1]!;
      const left = Math.abs(Math.atan2(uy * ex - ux * ey, ux * ex + uy * ey));
      if (rest <= away * left) {
        onArc(locator, numbers, corner, ux, uy, (turn > 0 === forward ? rest : -rest) / away);
        return FOUND;
      }
      rest -= away * left;
    } else if (away > 0 && turn !== 0) {
      const trim = away * Math.tan(Math.min(Math.abs(turn), SHARPEST) / 2);
      at += forward ? trim : -trim;
    }
  } else if (segment < 0) {
    const back = numbers[STATION]!;
    if (!forward || rest <= -back) {
      onSegment(locator, numbers, 0, back + (forward ? rest : -rest));
      return locator.before ? FOUND : ENDED;
    }
    rest += back;
    segment = 0;
    at = 0;
  } else if (segment >= m) {
    const past = numbers[STATION]! - stations[m]!;
    const size = stations[m]! - stations[m - 1]!;
    if (forward || rest <= past) {
      onSegment(locator, numbers, m - 1, size + past + (forward ? rest : -rest));
      return locator.after ? FOUND : ENDED;
    }
    rest -= past;
    segment = m - 1;
    at = size;
  } else at = numbers[STATION]! - stations[segment]!;

  for (;;) {
    const size = stations[segment + 1]! - stations[segment]!;
    const end = forward ? segment + 1 === m : segment === 0;
    if (end && !chain.closed) {
      const room = forward ? size - at : at;
      onSegment(locator, numbers, segment, forward ? at + rest : at - rest);
      return rest <= room || (forward ? locator.after : locator.before) ? FOUND : ENDED;
    }
    const vertex = forward ? (segment + 1 === chain.vertices ? 0 : segment + 1) : segment;
    const turn = turns[vertex]!;
    const outer = turn > 0 === offset < 0;
    const trim = outer || turn === 0 || away === 0 ? 0 : away * Math.tan(Math.min(Math.abs(turn), SHARPEST) / 2);
    const room = (forward ? size - at : at) - trim;
    if (!(room >= 0)) return TRIMMED;
    if (rest <= room) {
      onSegment(locator, numbers, segment, forward ? at + rest : at - rest);
      return FOUND;
    }
    rest -= room;
    if (outer && away > 0) {
      const arc = away * Math.abs(turn);
      if (rest <= arc) {
        const ux = chain.along[2 * segment]!;
        const uy = chain.along[2 * segment + 1]!;
        onArc(locator, numbers, vertex, ux, uy, (turn > 0 === forward ? rest : -rest) / away);
        return FOUND;
      }
      rest -= arc;
    }
    if (forward) {
      segment = segment + 1 === m ? 0 : segment + 1;
      at = trim;
    } else {
      segment = segment === 0 ? m - 1 : segment - 1;
      at = stations[segment + 1]! - stations[segment]! - trim;
    }
  }
}

// on the parallel of a segment, metres from its start
function onSegment(locator: CurveLocator, numbers: Float64Array, segment: number, at: number): void {
  const chain: Chain = locator.chain;
  locator.probePlace.segment = segment;
  const ux = chain.along[2 * segment]!;
  const uy = chain.along[2 * segment + 1]!;
  const offset = numbers[OFFSET]!;
  numbers[AHEAD_X] = chain.xy[2 * segment]! + locator.shift[0]! + at * ux + offset * uy;
  numbers[AHEAD_Y] = chain.xy[2 * segment + 1]! + locator.shift[1]! + at * uy - offset * ux;
}

// about a vertex, from a direction on by an angle, clockwise positive
function onArc(
  locator: CurveLocator,
  numbers: Float64Array,
  vertex: number,
  ux: number,
  uy: number,
  angle: number,
): void {
  const chain: Chain = locator.chain;
  const s = Math.sin(angle);
  const c = Math.cos(angle);
  const offset = numbers[OFFSET]!;
  locator.probePlace.segment = vertex < chain.segments ? vertex : chain.segments - 1;
  numbers[AHEAD_X] = chain.xy[2 * vertex]! + locator.shift[0]! + offset * (uy * c - ux * s);
  numbers[AHEAD_Y] = chain.xy[2 * vertex + 1]! + locator.shift[1]! - offset * (ux * c + uy * s);
}
