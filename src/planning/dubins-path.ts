import { FeeringError, requireNumber } from "../errors/index.js";
import { type LocalGoal, localGoal, positiveAngle } from "./local-goal.js";
import { type Pose, requirePose } from "./pose.js";
import { type TurnPath, turnPath } from "./turn-path.js";

/** A kind of path: the turns in order, left, right and straight. */
export type DubinsWord = "LSL" | "RSR" | "LSR" | "RSL" | "RLR" | "LRL";

/** In this order ties are broken: the first of equals is taken. */
const WORDS: readonly DubinsWord[] = ["LSL", "RSR", "LSR", "RSL", "RLR", "LRL"];
/** Paths that differ by less than this share of the radius are equally long. */
const TIE = 1e-9;
/** A square below nothing by no more than this is nothing. */
const ROUNDING = 1e-12;

/**
 * The shortest path forward from pose to pose with a smallest radius.
 *
 * Closed form over the six words (Dubins 1957; Shkel and Lumelsky 2001). Of words equally long the first of LSL, RSR, LSR, RSL, RLR, LRL.
 *
 * @param from - start
 * @param to - goal
 * @param radius - smallest turning radius, metres, more than 0
 * @returns the path; its end misses the goal by less than 1e-6 of the radius
 * @throws `FeeringError` `not-finite`, `out-of-range`
 *
 * @example
 * ```ts
 * const path = dubinsPath({ x: 0, y: 0, heading: 0 }, { x: 12, y: 0, heading: 180 }, 6);
 * path.length; // 18.85, half a circle
 * ```
 */
export function dubinsPath(from: Pose, to: Pose, radius: number): TurnPath {
  check(from, to, radius);
  const goal = localGoal(from, to, radius);
  let best: readonly number[] | null = null;
  let bestWord: DubinsWord = "LSL";
  let bestLength = Number.POSITIVE_INFINITY;
  for (const word of WORDS) {
    const lengths = solveWord(word, goal);
    if (lengths === null) continue;
    const length = lengths[0] + lengths[1] + lengths[2];
    if (length < bestLength - TIE) {
      bestLength = length;
      best = lengths;
      bestWord = word;
    }
  }
  // LSL and RSR join any two poses
  return turnPath(from, radius, bestWord, best!);
}

/**
 * The path of one word from pose to pose, shortest or not.
 *
 * @param word - which turns in which order
 * @param from - start
 * @param to - goal
 * @param radius - of its arcs, metres
 * @returns the path, null where no path of this word leads there
 * @throws `FeeringError` `not-finite`, `out-of-range`
 */
export function dubinsWordPath(word: DubinsWord, from: Pose, to: Pose, radius: number): TurnPath | null {
  check(from, to, radius);
  if (!WORDS.includes(word)) {
    throw new FeeringError("out-of-range", `word is ${String(word)}, needs one of ${WORDS.join(", ")}`, {
      argument: "word",
      value: word,
    });
  }
  const lengths = solveWord(word, localGoal(from, to, radius));
  return lengths === null ? null : turnPath(from, radius, word, lengths);
}

function check(from: Pose, to: Pose, radius: number): void {
  requirePose(from, "from");
  requirePose(to, "to");
  requireNumber(radius, "radius", { above: 0 });
}

/**
 * Lengths in radii of a word's three pieces; null where there is no such path.
 *
 * @internal
 */
export function solveWord(word: DubinsWord, goal: LocalGoal): [number, number, number] | null {
  switch (word) {
    case "LSL":
      return sameTurns(goal);
    case "RSR":
      return sameTurns(mirrored(goal));
    case "LSR":
      return otherTurns(goal);
    case "RSL":
      return otherTurns(mirrored(goal));
    case "LRL":
      return threeArcs(goal);
    case "RLR":
      return threeArcs(mirrored(goal));
  }
}

function mirrored({ x, y, turn }: LocalGoal): LocalGoal {
  return { x, y: -y, turn: -turn };
}

/** Left, straight, left: from circle to circle, centres (0, 1) and goal's. */
function sameTurns({ x, y, turn }: LocalGoal): [number, number, number] {
  const cx = x - Math.sin(turn);
  const cy = y - 1 + Math.cos(turn);
  const straight = Math.sqrt(cx * cx + cy * cy);
  // one circle: there is no straight piece to point anywhere
  const first = straight < TIE ? positiveAngle(turn) : positiveAngle(Math.atan2(cy, cx));
  return [first, straight < TIE ? 0 : straight, straight < TIE ? 0 : positiveAngle(turn - first)];
}

/** Left, straight, right: the inner tangent of two circles. */
function otherTurns({ x, y, turn }: LocalGoal): [number, number, number] | null {
  const cx = x + Math.sin(turn);
  const cy = y - 1 - Math.cos(turn);
  const square = cx * cx + cy * cy - 4;
  if (square < -ROUNDING) return null;
  const straight = Math.sqrt(Math.max(0, square));
  const first = positiveAngle(Math.atan2(cy, cx) + Math.atan2(2, straight));
  return [first, straight, positiveAngle(first - turn)];
}

/** Left, right, left: a third circle that touches both. */
function threeArcs({ x, y, turn }: LocalGoal): [number, number, number] | null {
  const cx = x - Math.sin(turn);
  const cy = y - 1 + Math.cos(turn);
  const quarter = Math.sqrt(cx * cx + cy * cy) / 4;
  if (quarter > 1 + ROUNDING) return null;
  // one circle: any third one would do, and none is needed
  if (quarter < TIE) return null;
  const middle = 2 * Math.PI - 2 * Math.asin(Math.min(1, quarter));
  const first = positiveAngle(Math.atan2(cy, cx) + middle / 2);
  return [first, middle, positiveAngle(turn - first + middle)];
}
