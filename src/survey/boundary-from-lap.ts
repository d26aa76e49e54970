import { FeeringError, requireList, requireNumber, requireObject, requirePoints } from "../errors/index.js";
import { checkPolygon, signedArea, simplifyRing } from "../geometry/index.js";
import type { Line, Point, Polygon } from "../geometry/types.js";
import { chooseClosure, closedLap } from "./lap-closure.js";
import { edgeOfLap } from "./lap-edge.js";
import { cutLoops } from "./lap-loops.js";
import { dropOutliers } from "./lap-outliers.js";
import { collapseStandstills } from "./lap-standstill.js";

/** Options of {@link boundaryFromLap}; lengths in metres. */
export interface LapOptions {
  /**
   * where the edge lies beside the antenna, metres: right of it in driving direction positive, left negative; default 0,
   * the antenna is over the edge. Driven clockwise the outside is on the left
   */
  readonly lateralOffset?: number;
  /**
   * what stands at a corner where the edge is farther out than the lap; default `"round"`: an arc about the lap's own
   * corner, so that no place is farther from the lap than the offset. `"mitre"`: the two sides drawn on until they meet,
   * up to twice the offset, for a boundary of straight sides whose lap has corners of one point. Of no account with
   * `lateralOffset` 0
   */
  readonly join?: "round" | "mitre";
  /** how far the lap may stop short of its start, or run beside it, metres; default 5 */
  readonly maximumGap?: number;
  /** how far along the track the lap may start: the way in from a gate, metres; default 100 */
  readonly maximumInRun?: number;
  /**
   * how far a fix lies from the machine at most, metres: fixes within it while the machine stands become one point.
   * Default 0.15, for a receiver with RTK; four to seven standard deviations do
   */
  readonly noiseRadius?: number;
  /**
   * longest loop, along the track, that is cut out where it crosses itself, metres; default 50. Never more than
   * a quarter of the track
   */
  readonly maximumLoop?: number;
  /** longest step between fixes, metres; default the larger of 10 and ten times the middle step of the track */
  readonly maximumStep?: number;
  /** seconds, one for each fix; with them a step faster than `maximumSpeed` is a jump too; default none */
  readonly times?: readonly number[];
  /** fastest that the machine drives, m/s; default 15; counts only with `times` */
  readonly maximumSpeed?: number;
  /**
   * drop points of the lap whose loss moves it by no more than this, metres; default 0: keep all. Done before the edge is
   * drawn beside the lap: five standard deviations of the fixes make each corner one point, as a mitre needs
   */
  readonly simplify?: number;
}

/** What {@link boundaryFromLap} gives. */
export interface LapBoundary {
  /**
   * the boundary: closed, counter-clockwise, checked. Without holes, but for an edge outside of a lap that nearly closes
   * about ground that is not its own
   */
  readonly polygon: Polygon;
  /** further, smaller parts, where an edge inside of the lap falls apart at a neck; none else */
  readonly otherParts: Polygon[];
  /** which way round the lap was driven */
  readonly direction: "clockwise" | "counter-clockwise";
  /** how far outside of the lap the boundary lies, metres, inside negative: plus or minus `lateralOffset` */
  readonly outward: number;
  /** whether the lap met its own start, or was joined to it across a gap */
  readonly closedBy: "crossing" | "gap";
  /** metres across which it was joined, 0 for a crossing */
  readonly gap: number;
  /** where it closes: the place on the track's first stretch, metres */
  readonly closing: Point;
  /** metres of track before that place, left out */
  readonly inRun: number;
  /** metres of track after the lap had closed, left out */
  readonly overshoot: number;
  /** longest step between neighbouring fixes that are left, metres: a dropout shows here */
  readonly longestStep: number;
  /** how many fixes the steps dropped */
  readonly removed: {
    /** fixes at standstills, repeated ones with them */
    readonly standstill: number;
    /** single fixes that jumped out of the track */
    readonly spikes: number;
    /** fixes in loops that were cut out of the track, where the machine turned or reversed */
    readonly loops: number;
    /** points dropped by `simplify` */
    readonly simplified: number;
  };
}

/** No loop that is cut may be longer than this share of the track. */
const LOOP_SHARE = 0.25;

/**
 * A field's boundary from a lap driven round its edge, either way: closed where it meets its start, cleaned, checked.
 *
 * The track may start with a way in that is no part of the lap, overshoot its start by any length, go round more than
 * once, or stop short of its start by up to `maximumGap`. In order: standstills become their mean; fixes that jump out
 * and come back are dropped; a jump that does not come back is refused with its place; small loops (reversing into a
 * corner, turning round there) are cut out; the lap is closed where the track first comes back to its first stretch, at
 * the crossing if there is one; the ring is simplified if asked for, and checked as by `checkPolygon`; the edge is drawn
 * beside it if the antenna was not over it. A lap that encloses two areas (a figure of eight) is refused.
 *
 * The track is that of the antenna. With `lateralOffset` the boundary is the exact offset of the lap (`offsetPolygon`,
 * arcs within 1 mm), to the right or left, which is outward or inward by the way round it was driven. A convex lap of area
 * A and length P with its edge d farther out encloses A + P d + pi d²; mitred, more at each corner. Noise makes a lap
 * rough, and the edge beside it follows the fixes that reach farthest: up to about one standard deviation too far from
 * the lap on the whole, half of that with `simplify` at three of them (tests/survey/lap-beside-edge.test.ts).
 *
 * Accuracy: what remains is the receiver's. With independent errors of standard deviation s in each coordinate of the
 * vertices P the area's standard deviation is (s/2) sqrt(sum over i of |P(i+1) - P(i-1)|²)
 * (`areaDeviation`); receivers' errors hang together over seconds to minutes, which makes the area's larger on long
 * edges. Corners are kept to `noiseRadius`.
 *
 * @param track - fixes in driving order, metres
 * @param options - gap, noise, simplification
 * @returns the boundary and how it came about
 * @throws `FeeringError` `out-of-range` for a lap that does not come back to its start (without index, the gap as value),
 * for a jump (with the fix as index, the step as value) and for an edge so far inside of the lap that nothing is left;
 * `self-crossing` with the place, `too-few-points`, `degenerate`, `not-finite`
 * @example
 * ```ts
 * const track = [[0, -6], [0, 0], [200, 0], [200, 100], [0, 100], [0, -3]] as const;
 * const lap = boundaryFromLap(track);
 * lap.closedBy; // "crossing"
 * lap.inRun; // 6: the way in
 * // driven counter-clockwise with the edge 6 m to the right: half a boom of 12 m
 * boundaryFromLap(track, { lateralOffset: 6, join: "mitre" }).polygon; // 212 x 112 m
 * ```
 */
export function boundaryFromLap(track: Line, options: LapOptions = {}): LapBoundary {
  const settings = requireOptions(track, options);
  const standing = collapseStandstills(track, settings.noiseRadius);
  const clean = dropOutliers(standing, settings);
  const loop = Math.min(settings.maximumLoop, LOOP_SHARE * lengthOf(clean.points));
  const cut = cutLoops(clean.points, loop);
  const stations = stationsOf(cut.points);
  const end = stations[stations.length - 1] ?? 0;
  const closure = chooseClosure(cut.points, stations, {
    maximumGap: settings.maximumGap,
    maximumInRun: settings.maximumInRun,
    minimumLap: Math.min(Math.max(4 * settings.maximumGap, loop), end / 4),
    maximumLoop: loop,
  });
  const ring = closedLap(cut.points, closure, Math.min(loop, LOOP_SHARE * (closure.end - closure.start)));
  const simplified = settings.simplify > 0 && ring.length > 3 ? simplifyRing(ring, settings.simplify) : ring;
  const lap = checkPolygon({ exterior: simplified, holes: [] }, "lap");
  const clockwise = signedArea(simplified) < 0;
  const outward = settings.lateralOffset === 0 ? 0 : clockwise ? -settings.lateralOffset : settings.lateralOffset;
  const [polygon, ...otherParts] = edgeOfLap(lap, outward, settings.join);
  return {
    polygon: polygon!,
    otherParts,
    direction: clockwise ? "clockwise" : "counter-clockwise",
    outward,
    closedBy: closure.gap === 0 ? "crossing" : "gap",
    gap: closure.gap,
    closing: closure.from,
    inRun: closure.start,
    overshoot: Math.max(0, end - closure.end),
    longestStep: clean.longest,
    removed: {
      standstill: standing.removed,
      spikes: clean.removed,
      loops: cut.removed,
      simplified: ring.length - simplified.length,
    },
  };
}

function stationsOf(points: Line): number[] {
  const stations = [0];
  for (let i = 1; i < points.length; i++) {
    const a = points[i - 1]!;
    const b = points[i]!;
    stations.push(stations[i - 1]! + Math.hypot(b[0] - a[0], b[1] - a[1]));
  }
  return stations;
}

function lengthOf(points: Line): number {
  return stationsOf(points)[points.length - 1] ?? 0;
}

type Settings = Required<Omit<LapOptions, "maximumStep" | "times">> & {
  readonly maximumStep: number | undefined;
  readonly times: readonly number[] | undefined;
};

function requireOptions(track: Line, options: LapOptions): Settings {
  requirePoints(track, "track", 3);
  requireObject(options, "options");
  const length = (name: "maximumGap" | "maximumInRun" | "noiseRadius" | "maximumLoop" | "simplify", preset: number) =>
    requireNumber(options[name] ?? preset, `options.${name}`, { min: 0 });
  const { times } = options;
  if (times !== undefined) {
    requireList(times, "options.times");
    if (times.length !== track.length) {
      throw new FeeringError(
        "out-of-range",
        `options.times has ${times.length} entries, needs ${track.length}, one for each fix`,
        { argument: "options.times", value: times.length },
      );
    }
    for (let index = 0; index < times.length; index++) {
      requireNumber(times[index], "options.times", { index, ...(index === 0 ? {} : { min: times[index - 1]! }) });
    }
  }
  const join: unknown = options.join ?? "round";
  if (join !== "round" && join !== "mitre") {
    throw new FeeringError("out-of-range", `options.join is ${String(join)}, needs "round" or "mitre"`, {
      argument: "options.join",
      value: join,
    });
  }
  return {
    lateralOffset: requireNumber(options.lateralOffset ?? 0, "options.lateralOffset"),
    join,
    maximumGap: length("maximumGap", 5),
    maximumInRun: length("maximumInRun", 100),
    noiseRadius: length("noiseRadius", 0.15),
    maximumLoop: length("maximumLoop", 50),
    simplify: length("simplify", 0),
    maximumSpeed: requireNumber(options.maximumSpeed ?? 15, "options.maximumSpeed", { above: 0 }),
    maximumStep:
      options.maximumStep === undefined
        ? undefined
        : requireNumber(options.maximumStep, "options.maximumStep", { above: 0 }),
    times,
  };
}
