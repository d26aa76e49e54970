import { FeeringError, requireList, requireNumber, requireObject } from "../errors/index.js";
import { type DubinsWord, dubinsWordPath } from "./dubins-path.js";
import { localGoal, signedAngle } from "./local-goal.js";
import { type Pose, requirePose } from "./pose.js";
import { leftRightLeft } from "./reeds-shepp-words.js";
import { smoothTurn } from "./smooth-turn.js";
import { turnDepth } from "./turn-depth.js";
import { type PathPoint, samplePath, type TurnPath, turnPath } from "./turn-path.js";
import { RoomCheck, type TurnRoom } from "./turn-room.js";

/**
 * A kind of turn from pass to pass.
 *
 * | kind | what it is | on to the pass beside, a distance d away, square headland |
 * |---|---|---|
 * | `u` | arc, straight, arc, all one way | d at least two radii r: pi r + d - 2 r |
 * | `omega` | bulb: out, round, back in; three arcs forward | d up to two radii: r (pi + 4 acos((2 r + d) / (4 r))) |
 * | `fishtail` | T turn: arc, straight back, arc | (pi + 2) r - d |
 * | `three-arc` | arc, arc back, arc | pi r |
 * | `slanted` | arc one way, straight, arc the other way: passes that end far apart along their direction | |
 */
export type HeadlandTurnKind = "u" | "omega" | "fishtail" | "three-arc" | "slanted";

/** What a turn may be like. */
export interface HeadlandTurnOptions {
  /** smallest turning radius, metres */
  readonly radius: number;
  /** kinds to choose from, the shortest that fits is taken; default those without reversing, and all where `canReverse` */
  readonly kinds?: readonly HeadlandTurnKind[];
  /** whether the machine may reverse; default false: a towed implement does not push well */
  readonly canReverse?: boolean;
  /** what a change of direction counts as, metres of way; default 0 */
  readonly reversalCost?: number;
  /** most change of curvature a metre, 1/m²; with it arcs begin and end in clothoids, see `smoothTurn`. Default: none */
  readonly curvatureRate?: number;
  /** ground to stay on with the whole machine; default no limit */
  readonly room?: TurnRoom;
  /** greatest depth beyond the pass ends, metres, of the reference point; default no limit */
  readonly maximumDepth?: number;
  /** greatest distance of the points, metres; default a twentieth of the radius */
  readonly step?: number;
}

/** A turn that joins two passes. */
export interface HeadlandTurn {
  /** which turn it is */
  readonly kind: HeadlandTurnKind;
  /** metres driven */
  readonly length: number;
  /** how far the reference point goes beyond the line through both pass ends, metres */
  readonly depth: number;
  /** changes between forward and back */
  readonly reversals: number;
  /** its arcs and straight pieces; null where it has clothoids */
  readonly path: TurnPath | null;
  /** places along it */
  readonly points: readonly PathPoint[];
}

/** Why there is no turn. */
export interface NoTurn {
  /** tells it from a turn */
  readonly kind: "none";
  /**
   * `impossible`: no turn of the kinds allowed joins these poses; `no-room`: those that do leave the room or the depth allowed
   */
  readonly reason: "impossible" | "no-room";
  /** least depth that would be needed by the kinds allowed, metres; NaN where impossible */
  readonly depthNeeded: number;
}

const FORWARD: readonly HeadlandTurnKind[] = ["u", "omega", "slanted"];
const ALL: readonly HeadlandTurnKind[] = ["u", "omega", "slanted", "fishtail", "three-arc"];
const WORDS: { readonly [kind in "u" | "omega" | "slanted"]: readonly DubinsWord[] } = {
  u: ["LSL", "RSR"],
  omega: ["LRL", "RLR"],
  slanted: ["LSR", "RSL"],
};
/** Turns that differ by less than this are equally long, metres: the first of the kinds is taken. */
const TIE = 1e-9;

/**
 * The turn from the end of one pass to the start of another: the shortest of the kinds allowed that fits.
 *
 * Poses may stand at any angle and distance: where the headland runs slanted the ends of neighbouring passes are
 * staggered. All kinds are closed forms; see {@link HeadlandTurnKind} for lengths on a square headland.
 *
 * Keep people away from where a machine turns, and mind overhead lines with tools lifted: what is computed here knows of neither.
 *
 * @param from - where the machine leaves its pass, heading out
 * @param to - where it comes on to the next, heading in
 * @param options - radius, kinds, room
 * @returns the turn, or why there is none
 * @throws `FeeringError` `not-finite`, `out-of-range` with the option's name; for a bad room what `PolygonIndex` throws
 *
 * @example
 * ```ts
 * const turn = headlandTurn({ x: 0, y: 100, heading: 0 }, { x: 6, y: 100, heading: 180 }, { radius: 6 });
 * // turn.kind "omega", turn.length 36.195, turn.depth 13.937
 * ```
 */
export function headlandTurn(from: Pose, to: Pose, options: HeadlandTurnOptions): HeadlandTurn | NoTurn {
  requirePose(from, "from");
  requirePose(to, "to");
  requireObject(options, "options");
  const radius = requireNumber(options.radius, "options.radius", { above: 0 });
  const reversalCost = requireNumber(options.reversalCost ?? 0, "options.reversalCost", { min: 0 });
  const step = requireNumber(options.step ?? radius / 20, "options.step", { above: 0 });
  const { curvatureRate, maximumDepth = Number.POSITIVE_INFINITY } = options;
  if (curvatureRate !== undefined) requireNumber(curvatureRate, "options.curvatureRate", { above: 0 });
  if (options.maximumDepth !== undefined) requireNumber(maximumDepth, "options.maximumDepth", { min: 0 });
  const room = options.room === undefined ? null : new RoomCheck(options.room);

  const turns: HeadlandTurn[] = [];
  for (const kind of kindsOf(options)) {
    for (const path of pathsOf(kind, from, to, radius)) {
      const turn = finish(kind, path, from, to, curvatureRate, step);
      if (turn !== null) turns.push(turn);
    }
  }
  if (turns.length === 0) return { kind: "none", reason: "impossible", depthNeeded: Number.NaN };
  const cost = (turn: HeadlandTurn): number => turn.length + reversalCost * turn.reversals;
  let best: HeadlandTurn | null = null;
  for (const turn of turns) {
    if (best !== null && cost(turn) > cost(best) - TIE) continue;
    if (turn.depth > maximumDepth + TIE || (room !== null && !room.fits(turn.points))) continue;
    best = turn;
  }
  return best ?? { kind: "none", reason: "no-room", depthNeeded: Math.min(...turns.map((turn) => turn.depth)) };
}

function kindsOf({ kinds, canReverse }: HeadlandTurnOptions): readonly HeadlandTurnKind[] {
  if (kinds === undefined) return canReverse === true ? ALL : FORWARD;
  requireList(kinds, "options.kinds");
  if (kinds.length === 0 || !kinds.every((kind) => ALL.includes(kind))) {
    throw new FeeringError("out-of-range", `options.kinds needs some of ${ALL.join(", ")}`, {
      argument: "options.kinds",
      value: kinds,
    });
  }
  return kinds;
}

/** The paths of one kind, at most one to each side. */
function pathsOf(kind: HeadlandTurnKind, from: Pose, to: Pose, radius: number): TurnPath[] {
  if (kind === "fishtail" || kind === "three-arc") {
    const { x, y, turn } = localGoal(from, to, radius);
    return [1, -1].flatMap((side) => {
      const solve = kind === "fishtail" ? arcBackArc : leftRightLeft;
      const lengths = solve(x, side * y, side * turn);
      // the last arc is driven forward, out on to the pass
      if (lengths === null || lengths[2]! < 0 || lengths[1]! > 0) return [];
      const word = kind === "fishtail" ? "LSL" : "LRL";
      const named = side === 1 ? word : word.replace(/[LR]/g, (letter) => (letter === "L" ? "R" : "L"));
      return [turnPath(from, radius, named, lengths)];
    });
  }
  return WORDS[kind].map((word) => dubinsWordPath(word, from, to, radius)).filter((path) => path !== null);
}

/**
 * Left, straight back, left: the straight piece lies between the two circles and points against the way from first to second.
 *
 * @internal
 */
export function arcBackArc(x: number, y: number, turn: number): readonly number[] | null {
  const cx = x - Math.sin(turn);
  const cy = y - 1 + Math.cos(turn);
  const back = Math.hypot(cx, cy);
  if (back < TIE) return null;
  const first = signedAngle(Math.atan2(-cy, -cx));
  const last = signedAngle(turn - first);
  return first >= 0 && last >= 0 ? [first, -back, last] : null;
}

function finish(
  kind: HeadlandTurnKind,
  path: TurnPath,
  from: Pose,
  to: Pose,
  curvatureRate: number | undefined,
  step: number,
): HeadlandTurn | null {
  if (curvatureRate === undefined) {
    const points = samplePath(path, step);
    const { length, reversals } = path;
    return { kind, length, depth: turnDepth(points, from, to, path), reversals, path, points };
  }
  const smooth = smoothTurn(bulged(kind, path), to, curvatureRate, step);
  if (smooth === null) return null;
  const { length, reversals, points } = smooth;
  return { kind, length, depth: turnDepth(points, from, to, null), reversals, path: null, points };
}

/** A bulb whose outer arcs are nothing has them again, so that clothoids have something to grow from. */
function bulged(kind: HeadlandTurnKind, path: TurnPath): TurnPath {
  if (kind !== "omega" || path.segments.length !== 1) return path;
  const [middle] = path.segments as [TurnPath["segments"][number]];
  const outer = { turn: middle.turn === "left" ? "right" : "left", length: path.radius / 10 } as const;
  return { ...path, segments: [outer, middle, outer] };
}
