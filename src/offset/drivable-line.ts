import { FeeringError, requireNumber, requireObject, requirePoints } from "../errors/index.js";
import { type Line, type Point, removeDuplicates } from "../geometry/index.js";
import { transitionFor } from "./drivable-line-average.js";
import { roomyCorners } from "./drivable-line-corners.js";
import { drawArcs, drawTransitions } from "./drivable-line-draw.js";
import { reportOn } from "./drivable-line-report.js";
import type { DrivableLine, DrivableLineOptions } from "./drivable-line-types.js";

/** Largest gap between arc and chord where nothing is said, metres: below what any receiver sees. */
const DEFAULT_TOLERANCE = 1e-3;
/** Longest transition, in radii: the average of an arc over more is no arc of a like radius, and beyond 1.8 of none. */
const LONGEST = 1.5;
/** A shorter arc, as a share of the window, is noise: it needs no straight before one to the other side. */
const LONG_ARC = 1 / 4;

/**
 * A line that a machine can drive: the same line with every bend rounded to its smallest radius, and what that costs.
 *
 * A disc of the radius rolls along the inside of every bend; where it touches both legs the line takes its arc. A corner of
 * inner angle `a` so departs by `radius * (1 / sin(a / 2) - 1)`: 2.485 m at a right angle and 6 m, 0.212 m at 150°. Each bend is
 * treated on its own side, the tightest first, ties by their order along the line, so parts of the line that merely lie near
 * each other, as the turns of a spiral, do not disturb each other. Where bends to both sides are too close for that, the
 * edge between them is turned by as little as makes room, or a vertex of a zigzag cut off, by half the radius at most. Bends wide enough
 * keep their place. The ends of an open line keep theirs, and their headings.
 *
 * Where no room is found (a hairpin, a short zigzag, a bend at an end) the line gets the largest radius that fits, `drivable` is
 * false, and `report.tight` says where, why and with what radius. Points closer than 0.1 mm count as one.
 *
 * With `clothoid`, curvature changes steadily, by at most 1 / (radius * length) a metre: a bend with straights beside it is made of
 * clothoid, arc and clothoid; bends without, such as recorded or sampled curves, are averaged along the way, which shifts them
 * by the same amount, `length² / (24 radius)` to leading order. Near the ends of a line that starts or stops in a bend the shift
 * fades out over eight lengths. Where there is no room, `report.shortened` says so.
 *
 * @param line - at least two distinct points, metres; three for a closed line
 * @param options - smallest radius, transitions, tolerance, swath
 * @returns the line, sampled to the tolerance, and the report; every point on its arcs, so curvature keeps to the radius within
 * 1e-3 of it, gaps and overlaps within the tolerance
 * @throws `FeeringError` `too-few-points`, `not-finite`, `out-of-range`, or `degenerate` for a line of no length
 * @see Rossignac and Requicha 1986 for the rolling disc; Abramowitz and Stegun 1964, 7.3, for clothoids
 * @example
 * ```ts
 * const made = drivableLine([[0, 0], [0, 100], [100, 100]], { minimumRadius: 6 });
 * made.report.largestGap; // 2.485
 * made.report.places[0].station; // 100
 * ```
 */
export function drivableLine(line: Line, options: DrivableLineOptions): DrivableLine {
  requirePoints(line, "line", 2);
  requireObject(options, "options");
  const radius = requireNumber(options.minimumRadius, "options.minimumRadius", { min: 0 });
  const tolerance = requireNumber(options.tolerance ?? DEFAULT_TOLERANCE, "options.tolerance", { above: 0 });
  const width = requireNumber(options.swathWidth ?? 0, "options.swathWidth", { min: 0 });
  const length = transitionLength(options, radius);
  const { points, stations, closed } = localPoints(line, options.closed);
  const settings = { radius, length, tolerance, width, closed };
  const origin = line[0]!;

  if (length === 0) {
    const corners = roomyCorners(points, closed, radius, 0, 0);
    const drawn = drawArcs(corners, closed, tolerance);
    return reportOn(points, stations, corners, drawn, settings, origin);
  }
  const averaged = transitionFor(radius, length);
  const corners = roomyCorners(points, closed, averaged.radius, averaged.window, LONG_ARC * averaged.window);
  const drawn = drawTransitions(corners, settings, averaged);
  return reportOn(points, stations, corners, drawn, settings, origin);
}

function transitionLength(options: DrivableLineOptions, radius: number): number {
  const { clothoid } = options;
  if (clothoid === undefined) return 0;
  requireObject(clothoid, "options.clothoid");
  if (radius === 0) {
    throw new FeeringError("out-of-range", "options.minimumRadius is 0, needs more than 0 for transitions", {
      argument: "options.minimumRadius",
      value: radius,
    });
  }
  if ("length" in clothoid) {
    return requireNumber(clothoid.length, "options.clothoid.length", { above: 0, max: LONGEST * radius });
  }
  const least = 1 / (LONGEST * radius * radius);
  return (
    1 / (radius * requireNumber(clothoid.curvatureRate, "options.clothoid.curvatureRate", { above: 0, min: least }))
  );
}

// the line relative to its first point, without repetitions; stations as along the line given
function localPoints(
  line: Line,
  asked: boolean | undefined,
): { points: Point[]; stations: Float64Array; closed: boolean } {
  const first = line[0]!;
  const last = line[line.length - 1]!;
  const open = removeDuplicates(line);
  const same = Math.hypot(first[0] - last[0], first[1] - last[1]) <= 1e-4;
  const closed = asked ?? (same && open.length > 3);
  const kept = closed ? removeDuplicates(line, { closed: true }) : open;
  const points = kept.map((p): Point => [p[0] - first[0], p[1] - first[1]]);
  if (points.length < 2 || (points.length === 2 && Math.hypot(points[1]![0], points[1]![1]) === 0)) {
    throw new FeeringError("degenerate", `line has no length: its ${line.length} points are one`, { argument: "line" });
  }
  if (closed && points.length < 3) {
    throw new FeeringError("too-few-points", `line has ${points.length} distinct points, needs 3 when closed`, {
      argument: "line",
      value: points.length,
    });
  }
  const n = points.length;
  const stations = new Float64Array(n + 1);
  for (let i = 1; i <= n; i++) {
    const a = points[i - 1]!;
    const b = points[i % n]!;
    stations[i] = stations[i - 1]! + Math.hypot(b[0] - a[0], b[1] - a[1]);
  }
  return { points, stations, closed };
}
