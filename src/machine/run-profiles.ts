import { FeeringError, requireList, requireNumber, requireObject, requirePoints } from "../errors/index.js";
import { RADIANS, wrapDifference } from "../geometry/angle.js";
import { cosDegrees, sinDegrees } from "./degrees.js";
import type { DrivenRun } from "./lateral-offset.js";

/** A run has this many points at least. */
const FEWEST = 5;
/** Points nearer to the last one than this are left out, metres: a machine that stands at an end weighs no more than one that drives. */
const STANDING = 0.1;
/** A run's heading is within this of the line, one way or the other, degrees. */
const ASKEW = 30;
/** A place along the line is at least this long, metres, and holds about {@link POINTS} points of every run. */
const PLACE = 1;
/** Points in a place. */
const POINTS = 3;
/** There are this many places at least, however sparse the points. */
const PLACES = 6;

/** One run along the common line: where it lay in each place of the line that all runs have in common. */
export interface RunProfile {
  /** 1 driven out, as the first run; -1 driven back */
  readonly direction: 1 | -1;
  /** s, or the run's place in the list where times are not given */
  readonly time: number;
  /** mean distance to the right of the first run's line in each place, metres; NaN where the run has no point */
  readonly lateral: Float64Array;
}

/** Lay runs along their common line. Lengths in metres; throws what {@link lateralOffsetFromRuns} says. */
export function runProfiles(runs: readonly DrivenRun[], minimumLength: number): RunProfile[] {
  requireList(runs, "runs");
  runs.forEach((run, i) => {
    requireObject(run, `runs[${i}]`);
    requirePoints(run.points, `runs[${i}].points`, FEWEST);
    if (run.heading !== undefined) requireNumber(run.heading, "runs.heading", { index: i });
    if (run.time !== undefined) requireNumber(run.time, "runs.time", { index: i });
  });
  if (runs.length < 2) throw tooFew(`runs has ${runs.length} run(s), needs one out and one back`, runs.length);
  const timed = runs.every((run) => run.time !== undefined);

  const driven = runs.map((run) => withoutStanding(run.points));
  const chords = driven.map(chord);
  const [firstX, firstY] = chords[0]!;
  let ex = 0;
  let ey = 0;
  for (const [cx, cy] of chords) {
    const way = cx * firstX + cy * firstY < 0 ? -1 : 1;
    ex += way * cx;
    ey += way * cy;
  }
  // a line of no length is found below, as a run too short
  const norm = Math.hypot(ex, ey) || 1;
  ex /= norm;
  ey /= norm;
  // out is as the first run was driven
  const first = runs[0]!.heading;
  if (first !== undefined && ex * sinDegrees(first) + ey * cosDegrees(first) < 0) {
    ex = -ex;
    ey = -ey;
  }
  const [ox, oy] = driven[0]![0]!;
  const stations = driven.map((points) => Float64Array.from(points, ([x, y]) => (x - ox) * ex + (y - oy) * ey));
  let from = Number.NEGATIVE_INFINITY;
  let to = Number.POSITIVE_INFINITY;
  stations.forEach((list, index) => {
    const low = list.reduce((a, b) => Math.min(a, b));
    const high = list.reduce((a, b) => Math.max(a, b));
    if (!(high - low >= minimumLength))
      throw tooShort(`runs[${index}] is ${high - low} m long`, high - low, minimumLength, index);
    from = Math.max(from, low);
    to = Math.min(to, high);
  });
  if (!(to - from >= minimumLength)) {
    throw tooShort(`runs have ${Math.max(0, to - from)} m of line in common`, to - from, minimumLength);
  }
  const sparse = stations.reduce(
    (least, list) => Math.min(least, list.filter((s) => s >= from && s <= to).length),
    Number.POSITIVE_INFINITY,
  );
  const places = Math.max(PLACES, Math.min(Math.floor((to - from) / PLACE), Math.floor(sparse / POINTS)));
  return runs.map((run, i) => {
    const list = stations[i]!;
    const sums = new Float64Array(places);
    const counts = new Float64Array(places);
    driven[i]!.forEach(([x, y], k) => {
      const place = Math.floor(((list[k]! - from) / (to - from)) * places);
      if (place < 0 || place >= places) return;
      sums[place]! += (x - ox) * ey - (y - oy) * ex;
      counts[place]!++;
    });
    return {
      direction: direction(run, chords[i]!, ex, ey, i),
      time: timed ? run.time! : i,
      lateral: sums.map((sum, k) => sum / counts[k]!),
    };
  });
}

function withoutStanding(points: DrivenRun["points"]): [number, number][] {
  const kept: [number, number][] = [];
  for (const [x, y] of points) {
    const last = kept.at(-1);
    if (last === undefined || Math.hypot(x - last[0], y - last[1]) >= STANDING) kept.push([x, y]);
  }
  return kept;
}

/** From the middle of a run's first third to that of its last third: a stray point at an end does not turn it. */
function chord(points: readonly (readonly [number, number])[]): [number, number] {
  const third = Math.max(1, Math.floor(points.length / 3));
  let dx = 0;
  let dy = 0;
  for (let i = 0; i < third; i++) {
    const [ax, ay] = points[i]!;
    const [bx, by] = points[points.length - 1 - i]!;
    dx += (bx - ax) / third;
    dy += (by - ay) / third;
  }
  return [dx, dy];
}

function direction(run: DrivenRun, [cx, cy]: [number, number], ex: number, ey: number, index: number): 1 | -1 {
  if (run.heading === undefined) return cx * ex + cy * ey < 0 ? -1 : 1;
  const line = Math.atan2(ex, ey) / RADIANS;
  const off = Math.abs(wrapDifference(run.heading - line));
  if (off > ASKEW && off < 180 - ASKEW) {
    throw new FeeringError("out-of-range", `runs[${index}].heading is ${run.heading}, ${off} degrees off the line`, {
      argument: "runs.heading",
      index,
      value: run.heading,
    });
  }
  return off > 90 ? -1 : 1;
}

/** The error for runs that are too few. */
export function tooFew(message: string, value: number): FeeringError {
  return new FeeringError("too-few-points", message, { argument: "runs", value });
}

function tooShort(what: string, value: number, minimum: number, index?: number): FeeringError {
  return new FeeringError("out-of-range", `${what}, needs ${minimum}`, {
    argument: "runs",
    value,
    ...(index === undefined ? {} : { index }),
  });
}
