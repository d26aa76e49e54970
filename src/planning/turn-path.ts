import { requireNumber } from "../errors/index.js";
import { RADIANS, wrapHeading } from "../geometry/index.js";
import { cosDegrees, sinDegrees } from "../machine/degrees.js";
import type { Pose } from "./pose.js";

/** One piece of a path: an arc of the path's radius, or straight. */
export interface TurnSegment {
  /** which way the wheels are turned */
  readonly turn: "left" | "right" | "straight";
  /** metres, negative when reversing */
  readonly length: number;
}

/** A path of arcs of one radius and straight pieces: plain data. */
export interface TurnPath {
  /** where it begins */
  readonly start: Pose;
  /** of its arcs, metres */
  readonly radius: number;
  /** its pieces in order, none of length 0 */
  readonly segments: readonly TurnSegment[];
  /** metres driven, forward and back together */
  readonly length: number;
  /** changes between forward and back */
  readonly reversals: number;
}

/** A place on a path. */
export interface PathPoint extends Pose {
  /** metres driven so far */
  readonly station: number;
  /** 1/m, right turn positive, as the wheels stand whichever way the machine drives */
  readonly curvature: number;
  /** whether the machine drives backwards here */
  readonly reversing: boolean;
}

/** Pieces shorter than this share of the radius are rounding. */
const NOTHING = 1e-12;

/** Make a path of lengths in radii; pieces of no length fall out, neighbours of one kind and direction join. */
export function turnPath(start: Pose, radius: number, word: string, lengths: readonly number[]): TurnPath {
  const segments: TurnSegment[] = [];
  lengths.forEach((length, i) => {
    if (Math.abs(length) <= NOTHING) return;
    const turn = word[i] === "L" ? "left" : word[i] === "R" ? "right" : "straight";
    const last = segments[segments.length - 1];
    if (last?.turn === turn && Math.sign(last.length) === Math.sign(length)) segments.pop();
    else {
      segments.push({ turn, length: length * radius });
      return;
    }
    segments.push({ turn, length: last.length + length * radius });
  });
  let total = 0;
  let reversals = 0;
  segments.forEach((segment, i) => {
    total += Math.abs(segment.length);
    if (i > 0 && segment.length < 0 !== segments[i - 1]!.length < 0) reversals++;
  });
  return { start, radius, segments, length: total, reversals };
}

/** Where a piece of a path ends. */
export function segmentEnd(from: Pose, turn: TurnSegment["turn"], length: number, radius: number): Pose {
  const { x, y, heading } = from;
  if (turn === "straight") return { x: x + length * sinDegrees(heading), y: y + length * cosDegrees(heading), heading };
  const angle = (turn === "right" ? length : -length) / radius / RADIANS;
  const half = angle / 2;
  // the chord of the arc, along the heading half way
  const chord = 2 * radius * sinDegrees(half) * (turn === "right" ? 1 : -1);
  return {
    x: x + chord * sinDegrees(heading + half),
    y: y + chord * cosDegrees(heading + half),
    heading: wrapHeading(heading + angle),
  };
}

/**
 * Where a path ends.
 *
 * @param path - any turn path
 * @returns the pose at its end
 */
export function pathEnd(path: TurnPath): Pose {
  let pose = path.start;
  for (const { turn, length } of path.segments) pose = segmentEnd(pose, turn, length, path.radius);
  return pose;
}

/** Into how many parts a piece is cut so that none is longer than a step. */
function partsOf(length: number, step: number): number {
  return Math.max(1, Math.ceil(Math.abs(length) / step - 1e-9));
}

/**
 * Whether something holds at all places of {@link samplePath}, none of which is kept; those in the middle are asked first.
 *
 * @internal
 */
export function everyPlace(
  { start, radius, segments }: TurnPath,
  step: number,
  holds: (place: Pose) => boolean,
): boolean {
  const starts: Pose[] = [start];
  for (const { turn, length } of segments) starts.push(segmentEnd(starts[starts.length - 1]!, turn, length, radius));
  for (let n = 0, i = segments.length >> 1; n < segments.length; n++, i = (i + 1) % segments.length) {
    const { turn, length } = segments[i]!;
    const count = partsOf(length, step);
    for (let k = 1; k <= count; k++) {
      if (!holds(segmentEnd(starts[i]!, turn, (length * k) / count, radius))) return false;
    }
  }
  return holds(start);
}

/**
 * Places along a path, the ends of all pieces among them; where the machine changes its way the place stands twice, once for
 * each way.
 *
 * @param path - any turn path
 * @param step - greatest distance of neighbours, metres; default a twentieth of the radius
 * @returns places in driving order
 * @throws `FeeringError` `out-of-range` for a step of 0 or less
 */
export function samplePath(path: TurnPath, step: number = path.radius / 20): PathPoint[] {
  requireNumber(step, "step", { above: 0 });
  const points: PathPoint[] = [];
  let pose = path.start;
  let station = 0;
  for (const { turn, length } of path.segments) {
    const reversing = length < 0;
    const curvature = turn === "straight" ? 0 : (turn === "right" ? 1 : -1) / path.radius;
    const count = partsOf(length, step);
    const last = points[points.length - 1];
    if (last === undefined || last.reversing !== reversing) points.push({ ...pose, station, curvature, reversing });
    for (let k = 1; k <= count; k++) {
      const along = (length * k) / count;
      points.push({
        ...segmentEnd(pose, turn, along, path.radius),
        station: station + Math.abs(along),
        curvature,
        reversing,
      });
    }
    pose = segmentEnd(pose, turn, length, path.radius);
    station += Math.abs(length);
  }
  if (points.length === 0) points.push({ ...pose, station: 0, curvature: 0, reversing: false });
  return points;
}
