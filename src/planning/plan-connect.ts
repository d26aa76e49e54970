import { type Point, type PolygonIndex, RADIANS, wrapDifference, wrapHeading } from "../geometry/index.js";
import { dubinsPath } from "./dubins-path.js";
import { type HeadlandTurn, type HeadlandTurnKind, headlandTurn } from "./headland-turn.js";
import type { MachineSettings } from "./plan-machine.js";
import type { DriveReason } from "./plan-result.js";
import type { PlanRoom } from "./plan-room.js";
import type { PlanWays } from "./plan-ways.js";
import type { Pose } from "./pose.js";
import { reedsSheppPath } from "./reeds-shepp-path.js";
import { everyPlace, type PathPoint, samplePath, type TurnPath } from "./turn-path.js";

/** A way driven between two swaths or rounds, not drawn yet. @internal */
export interface Connected {
  readonly turn: HeadlandTurnKind | null;
  /** paths one after the other; empty where it is drawn already, for clothoids */
  readonly paths: readonly TurnPath[];
  readonly drawn: readonly PathPoint[];
  readonly length: number;
  readonly reversals: number;
  readonly reason: DriveReason | null;
}

/** What drives between swaths are made with. @internal */
export interface ConnectGround {
  readonly machine: MachineSettings;
  readonly room: PlanRoom;
  readonly ways: () => PlanWays;
  readonly mainfield: PolygonIndex;
  /** turns found before, by their poses: many orders hold the same */
  readonly known: Map<string, Connected>;
}

const KINDS: readonly HeadlandTurnKind[] = ["u", "omega", "slanted", "fishtail", "three-arc"];
/** Places at which room is looked for lie so far apart, as a share of the turning radius. */
const COARSE = 1 / 4;
/** So many of these places may lie on the mainfield: a way begins and ends at its edge. */
const MOST_INSIDE = 4;
/** Step that draws nothing but the ends of a path's pieces, metres. */
const ENDS = 1e7;

/**
 * The turn from the end of a swath to the beginning of another: the quickest kind that the machine can drive within the field; where none
 * fits, the shortest connection that does; where there is none either, the quickest turn, marked.
 *
 * @internal
 */
export function turnBetween(from: Pose, to: Pose, ground: ConnectGround): Connected {
  const key = `${from.x} ${from.y} ${from.heading} ${to.x} ${to.y} ${to.heading}`;
  const known = ground.known.get(key);
  if (known !== undefined) return known;
  const made = findTurn(from, to, ground);
  ground.known.set(key, made);
  return made;
}

function findTurn(from: Pose, to: Pose, ground: ConnectGround): Connected {
  const { machine } = ground;
  const { minimumRadius: radius, canReverse, turningSpeed, reversalTime, curvatureRate } = machine;
  const reversalCost = reversalTime * turningSpeed;
  const turns: HeadlandTurn[] = [];
  for (const kind of canReverse ? KINDS : KINDS.slice(0, 3)) {
    const limit = curvatureRate === null ? { step: ENDS } : { curvatureRate };
    const turn = headlandTurn(from, to, { radius, canReverse, reversalCost, kinds: [kind], ...limit });
    if (turn.kind !== "none") turns.push(turn);
  }
  const cost = (turn: HeadlandTurn): number => turn.length + reversalCost * turn.reversals;
  turns.sort((a, b) => cost(a) - cost(b));
  for (const turn of turns) {
    const made = connected(turn, null);
    if (fits(made, ground)) return made;
  }
  const way = connection(from, to, ground);
  if (way.reason === null || turns.length === 0) return way;
  return connected(turns[0]!, "no-room");
}

function connected({ kind, path, points, length, reversals }: HeadlandTurn, reason: DriveReason | null): Connected {
  return {
    turn: kind,
    paths: path === null ? [] : [path],
    drawn: path === null ? points : [],
    length,
    reversals,
    reason,
  };
}

function fits({ paths, drawn }: Connected, { room, machine }: ConnectGround): boolean {
  if (!room.fits(drawn)) return false;
  return paths.every((path) => room.fitsPath(path, COARSE * machine.minimumRadius));
}

/** Places along a way, a twentieth of the turning radius apart; a straight way has its ends only. @internal */
export function drawWay({ paths, drawn }: Connected): readonly PathPoint[] {
  if (paths.length === 0) return drawn;
  return paths.flatMap((path) => samplePath(path));
}

/**
 * A way from pose to pose: straight where the headland allows, else along its rounds, with arcs at the ends and at corners; the
 * quickest of those that the machine can drive within the field. Marked where there is none.
 *
 * @internal
 */
export function connection(from: Pose, to: Pose, ground: ConnectGround): Connected {
  const { machine, mainfield } = ground;
  const { minimumRadius: radius, canReverse, turningSpeed, reversalTime } = machine;
  const direct = joined([dubinsPath(from, to, radius)]);
  const candidates: Connected[] = [];
  // over the headland, but for where it begins and ends
  let inside = 0;
  const beside = ({ x, y }: Pose): boolean => !mainfield.contains(x, y) || ++inside <= MOST_INSIDE;
  if (direct.paths.every((path) => everyPlace(path, COARSE * radius, beside)) && fits(direct, ground)) return direct;
  const way = ground.ways().between([from.x, from.y], [to.x, to.y]);
  if (way !== null) candidates.push(joined(chain(from, way.points, to, radius)));
  candidates.push(direct);
  if (canReverse) candidates.push(joined([reedsSheppPath(from, to, radius)]));
  const cost = ({ length, reversals }: Connected): number => length + reversals * reversalTime * turningSpeed;
  candidates.sort((a, b) => cost(a) - cost(b));
  for (const candidate of candidates) if (fits(candidate, ground)) return candidate;
  return { ...candidates[0]!, reason: way === null ? "no-way" : "no-room" };
}

function joined(paths: readonly TurnPath[]): Connected {
  let length = 0;
  let reversals = 0;
  for (const path of paths) {
    length += path.length;
    reversals += path.reversals;
  }
  return { turn: null, paths, drawn: [], length, reversals, reason: null };
}

/** Paths from pose to pose along a way: each corner is rounded by an arc, as far as its legs are long enough. */
function chain(from: Pose, points: readonly Point[], to: Pose, radius: number): TurnPath[] {
  const poses: Pose[] = [from];
  const heading = (i: number): number =>
    wrapHeading(Math.atan2(points[i + 1]![0] - points[i]![0], points[i + 1]![1] - points[i]![1]) / RADIANS);
  const leg = (i: number): number => Math.hypot(points[i + 1]![0] - points[i]![0], points[i + 1]![1] - points[i]![1]);
  for (let i = 1; i + 1 < points.length; i++) {
    const before = heading(i - 1);
    const after = heading(i);
    const turn = Math.abs(wrapDifference(after - before));
    const room = Math.min(leg(i - 1), leg(i)) / 2;
    const back = Math.min(radius * Math.tan((Math.min(turn, 170) / 2) * RADIANS), room);
    const [x, y] = points[i]!;
    const place = (along: number, way: number): Pose => ({
      x: x + along * Math.sin(way * RADIANS),
      y: y + along * Math.cos(way * RADIANS),
      heading: way,
    });
    // legs too short to turn on: their neighbours' poses lead past
    if (back < radius * Math.tan((Math.min(turn, 170) / 2) * RADIANS) - 1e-9 && turn > 30) continue;
    if (i > 1 || leg(0) > 2 * radius) poses.push(place(-back, before));
    if (i + 2 < points.length || leg(i) > 2 * radius) poses.push(place(back, after));
  }
  poses.push(to);
  const out: TurnPath[] = [];
  for (let i = 1; i < poses.length; i++) out.push(dubinsPath(poses[i - 1]!, poses[i]!, radius));
  return out;
}
