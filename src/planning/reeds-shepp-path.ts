import { requireNumber } from "../errors/index.js";
import { localGoal } from "./local-goal.js";
import { type Pose, requirePose } from "./pose.js";
import * as words from "./reeds-shepp-words.js";
import { type TurnPath, turnPath } from "./turn-path.js";

/** Base words in the order in which ties are broken; `backwards` ones are also driven from the goal to the start. */
const BASES: readonly { readonly word: string; readonly solve: words.BaseWord; readonly backwards: boolean }[] = [
  { word: "LSL", solve: words.leftStraightLeft, backwards: false },
  { word: "LSR", solve: words.leftStraightRight, backwards: false },
  { word: "LRL", solve: words.leftRightLeft, backwards: true },
  { word: "LRLR", solve: words.fourArcsTwoAndTwo, backwards: false },
  { word: "LRLR", solve: words.fourArcsInnerBack, backwards: false },
  { word: "LRSL", solve: words.leftQuarterStraightLeft, backwards: true },
  { word: "LRSR", solve: words.leftQuarterStraightRight, backwards: true },
  { word: "LRSLR", solve: words.twoQuarters, backwards: false },
];
/** Paths that differ by less than this share of the radius are equally long. */
const TIE = 1e-9;

/**
 * The shortest path forward and back from pose to pose with a smallest radius.
 *
 * Closed form over all words of Reeds and Shepp (Pacific J. Math. 145(2), 1990). Of words equally long the one with fewer changes of
 * direction is taken, then the one that begins forward, then the first in the paper's order.
 *
 * @param from - start
 * @param to - goal
 * @param radius - smallest turning radius, metres, more than 0
 * @returns the path; its end misses the goal by less than 1e-6 of the radius
 * @throws `FeeringError` `not-finite`, `out-of-range`
 *
 * @example
 * ```ts
 * // half a turn on to the pass beside, 3 m away, where 6 m are the smallest radius: forward, back, forward
 * reedsSheppPath({ x: 0, y: 0, heading: 0 }, { x: 3, y: 0, heading: 180 }, 6).length; // 18.85
 * ```
 */
export function reedsSheppPath(from: Pose, to: Pose, radius: number): TurnPath {
  requirePose(from, "from");
  requirePose(to, "to");
  requireNumber(radius, "radius", { above: 0 });
  let best: TurnPath | null = null;
  for (const path of allPaths(from, to, radius)) if (best === null || better(path, best)) best = path;
  return best!;
}

function better(path: TurnPath, best: TurnPath): boolean {
  const difference = path.length - best.length;
  const tie = TIE * path.radius;
  if (Math.abs(difference) > tie) return difference < 0;
  if (path.reversals !== best.reversals) return path.reversals < best.reversals;
  return startsForward(path) && !startsForward(best);
}

function startsForward(path: TurnPath): boolean {
  return (path.segments[0]?.length ?? 0) >= 0;
}

/** The paths of every word that leads from start to goal. */
export function* allPaths(from: Pose, to: Pose, radius: number): Generator<TurnPath> {
  const { x, y, turn } = localGoal(from, to, radius);
  // the start as the goal sees it, driven back
  const bx = x * Math.cos(turn) + y * Math.sin(turn);
  const by = x * Math.sin(turn) - y * Math.cos(turn);
  for (const { word, solve, backwards } of BASES) {
    for (const flip of [1, -1] as const) {
      for (const mirror of [1, -1] as const) {
        const name = mirror === 1 ? word : mirrored(word);
        const lengths = solve(flip * x, mirror * y, flip * mirror * turn);
        if (lengths !== null)
          yield turnPath(
            from,
            radius,
            name,
            lengths.map((part) => flip * part),
          );
        if (!backwards) continue;
        const back = solve(flip * bx, mirror * by, flip * mirror * turn);
        if (back !== null) {
          yield turnPath(from, radius, reversed(name), back.map((part) => flip * part).reverse());
        }
      }
    }
  }
}

function mirrored(word: string): string {
  return word.replace(/[LR]/g, (turn) => (turn === "L" ? "R" : "L"));
}

function reversed(word: string): string {
  return [...word].reverse().join("");
}
