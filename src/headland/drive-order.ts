import { LineIndex, type Line, type Point, pathLength, signedArea } from "../geometry/index.js";
import type { HeadlandRound } from "./headland-result.js";

/** What decides the order of driving. */
export interface DriveOrder {
  readonly insideOut: boolean;
  readonly clockwise: boolean;
  readonly gate: Point;
}

/**
 * Rounds in driving order: set by set, the boundary's first (last from the inside out), then that set whose first round
 * begins nearest to where the machine is. Each loop is turned the way round that is asked for and starts at its point nearest
 * to the end of the one before; a pass starts at its nearer end.
 *
 * @internal
 */
export function driveOrder(rounds: readonly HeadlandRound[], order: DriveOrder): HeadlandRound[] {
  const sets = new Map<string, HeadlandRound[]>();
  for (const round of rounds) {
    const key = `${round.source} ${round.index}`;
    const set = sets.get(key);
    if (set === undefined) sets.set(key, [round]);
    else set.push(round);
  }
  const edge = [...sets.values()].filter((set) => set[0]!.source !== "obstacle");
  const obstacle = [...sets.values()].filter((set) => set[0]!.source === "obstacle");
  const out: HeadlandRound[] = [];
  let here = order.gate;
  for (const group of order.insideOut ? [obstacle, edge] : [edge, obstacle]) {
    const left = group.map((set) => byNumber(set, order.insideOut));
    while (left.length > 0) {
      const next = nearestOf(
        left.map((numbers) => numbers[0]!),
        here,
      );
      for (const same of left.splice(next, 1)[0]!) {
        // several of one number where the field pinches
        while (same.length > 0) {
          const round = same.splice(
            nearestOf(
              same.map((one) => [one]),
              here,
            ),
            1,
          )[0]!;
          const line = round.closed ? loopFrom(round.line, here, order.clockwise) : passFrom(round.line, here);
          here = line[line.length - 1]!;
          out.push({ ...round, line, length: pathLength(line) });
        }
      }
    }
  }
  return out;
}

function byNumber(set: readonly HeadlandRound[], insideOut: boolean): HeadlandRound[][] {
  const numbers = [...new Set(set.map((round) => round.number))].sort((a, b) => (insideOut ? b - a : a - b));
  return numbers.map((number) => set.filter((round) => round.number === number));
}

// index of the list that holds the nearest round
function nearestOf(lists: readonly (readonly HeadlandRound[])[], here: Point): number {
  let best = 0;
  let least = Number.POSITIVE_INFINITY;
  lists.forEach((list, i) => {
    for (const round of list) {
      const distance = new LineIndex(round.line).nearest(here[0], here[1]).distance;
      if (distance < least) {
        least = distance;
        best = i;
      }
    }
  });
  return best;
}

function passFrom(line: Line, here: Point): readonly Point[] {
  const first = line[0]!;
  const last = line[line.length - 1]!;
  const near = Math.hypot(first[0] - here[0], first[1] - here[1]) <= Math.hypot(last[0] - here[0], last[1] - here[1]);
  return near ? line : [...line].reverse();
}

function loopFrom(ring: Line, here: Point, clockwise: boolean): Point[] {
  const way = signedArea(ring) < 0 === clockwise ? [...ring] : [...ring].reverse();
  const { segment, fraction, x, y } = new LineIndex(way).nearest(here[0], here[1]);
  const n = way.length - 1;
  const start: Point = fraction === 0 ? way[segment]! : fraction === 1 ? way[segment + 1]! : [x, y];
  const out: Point[] = [start];
  for (let k = 1; k <= n; k++) {
    const p = way[(segment + k) % n]!;
    if (p[0] !== start[0] || p[1] !== start[1]) out.push(p);
  }
  out.push(start);
  return out;
}
