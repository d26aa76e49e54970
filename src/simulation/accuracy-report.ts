import { FeeringError, requireList, requireNumber, requireObject, requirePoints } from "../errors/index.js";
import type { Line } from "../geometry/index.js";
import { type ErrorMeasures, errorMeasures } from "./error-measures.js";
import { relativeErrors } from "./relative-errors.js";
import { type LineRun, type Track, TrackRuns } from "./track-runs.js";

/** Options of {@link accuracyReport}. */
export interface AccuracyOptions {
  /** a place farther from every line than this belongs to none, metres; default 1 */
  readonly maximumDistance?: number;
  /** nor does one where the track runs across by more than this, degrees; default 20 */
  readonly maximumAngle?: number;
  /** metres left out at both ends of each line, where the machine comes on to it; default 0 */
  readonly trim?: number;
  /** a shorter run along a line does not count, metres; default 10 */
  readonly minimumLength?: number;
  /** longest time between two passes that counts as pass to pass, s; default 900 */
  readonly passToPassTime?: number;
  /** shortest time between two passes that counts as long-term, s; default 3600 */
  readonly longTermTime?: number;
  /** what a pass is compared with: another one over the `same` line (a test course), or also one over the line beside it in the list (a field); default `same` */
  readonly compare?: "same" | "neighbours";
}

/** One run along a line. */
export interface RunAccuracy extends ErrorMeasures {
  /** number of the line in the list */
  readonly line: number;
  /** whether it was driven in the line's own direction */
  readonly sameDirection: boolean;
  /** s, at its start */
  readonly startTime: number;
  /** s, at its end */
  readonly endTime: number;
  /** metres along the line */
  readonly length: number;
}

/** How passes stand to each other: error of the later less error of the earlier, at the same place. */
export interface RelativeAccuracy extends ErrorMeasures {
  /** pairs of passes compared */
  readonly pairs: number;
}

/** How accurately lines were driven. Lengths in metres; errors are positive right of the line in its own direction. */
export interface AccuracyReport extends ErrorMeasures {
  /** metres driven along lines */
  readonly length: number;
  /** signed mean with right taken in driving direction: what an antenna beside its place gives, and drift does not */
  readonly drivingMean: number;
  /** each run, in the order driven */
  readonly runs: readonly RunAccuracy[];
  /** passes in opposite directions, one soon after the other */
  readonly passToPass: RelativeAccuracy;
  /** passes long after each other, in any direction */
  readonly longTerm: RelativeAccuracy;
}

/**
 * How accurately lines were driven: measures in the sense of the straight-line course tests of automatic guidance.
 *
 * Every error is the distance of a place from the line itself, interpolated between its vertices, never from the nearest recorded point: with points 0.5 m apart that alone would
 * give 25 cm on a perfect drive. Passes are compared at the same station, the earlier one interpolated between its own points. All points count alike: record at a constant
 * rate and drive at a constant speed.
 *
 * As published: lateral deviation of a representative vehicle point from a straight, level course, passes in opposite directions within 15 minutes, and more than an hour apart, 95th percentile of the size (ISO 12188-2:2012 by its scope; Easterly, Adamchuk,
 * Kocher and Hoy 2010, Computers and Electronics in Agriculture 72). From memory and not asked for here: a course of at least some 100 m, several repeats each way. For curves the measures are the same, outside of that standard.
 *
 * Of each pass the pass-to-pass errors are those against all earlier ones within the time, the long-term errors those against the latest one that is old enough.
 *
 * @param track - places of the point that is judged: the true drive of a simulation, or a log of a reference receiver
 * @param lines - the lines that were to be driven
 * @param options - what counts
 * @returns the measures; NaN where there is nothing to measure
 * @throws `FeeringError` `not-finite`, `out-of-range`, `too-few-points` with the argument's path
 *
 * @example
 * ```ts
 * const report = accuracyReport(simulate(scenario).drive, [[[0, 0], [0, 400]]]);
 * report.percentile95; // m
 * report.passToPass.percentile95; // m
 * ```
 */
export function accuracyReport(track: Track, lines: readonly Line[], options: AccuracyOptions = {}): AccuracyReport {
  requireObject(track, "track");
  const n = track.time.length;
  if (track.x.length !== n || track.y.length !== n) {
    throw new FeeringError("out-of-range", `track has ${n} times, ${track.x.length} x and ${track.y.length} y`, {
      argument: "track",
      value: n,
    });
  }
  requireList(lines, "lines");
  lines.forEach((line, i) => requirePoints(line, `lines[${i}]`, 2));
  requireObject(options, "options");
  const metres = (value: number | undefined, name: string, otherwise: number): number =>
    requireNumber(value ?? otherwise, `options.${name}`, { min: 0, max: 1e6 });
  const compare: unknown = options.compare ?? "same";
  if (compare !== "same" && compare !== "neighbours") {
    throw new FeeringError("out-of-range", "options.compare is none of same, neighbours", {
      argument: "options.compare",
      value: compare,
    });
  }
  const passToPassTime = metres(options.passToPassTime, "passToPassTime", 900);
  const longTermTime = metres(options.longTermTime, "longTermTime", 3600);
  const cutter = new TrackRuns(lines, {
    maximumDistance: metres(options.maximumDistance, "maximumDistance", 1),
    maximumAngle: requireNumber(options.maximumAngle ?? 20, "options.maximumAngle", { min: 0, max: 90 }),
    trim: metres(options.trim, "trim", 0),
    minimumLength: metres(options.minimumLength, "minimumLength", 10),
  });
  const runs = cutter.cut(track);
  const all = runs.flatMap(({ error }) => [...error]);
  const driving = runs.flatMap(({ error, sameDirection }) => [...error].map((e) => (sameDirection ? e : -e)));
  const rows = runs.map(describe);
  const neighbours = compare === "neighbours";
  const near = relativeErrors(cutter, lines, runs, {
    from: 0,
    to: passToPassTime,
    opposite: true,
    latest: false,
    neighbours,
  });
  const far = relativeErrors(cutter, lines, runs, {
    from: longTermTime,
    to: Number.POSITIVE_INFINITY,
    opposite: false,
    latest: true,
    neighbours,
  });
  return {
    ...errorMeasures(all),
    length: rows.reduce((sum, row) => sum + row.length, 0),
    drivingMean: errorMeasures(driving).mean,
    runs: rows,
    passToPass: { ...errorMeasures(near.errors), pairs: near.pairs },
    longTerm: { ...errorMeasures(far.errors), pairs: far.pairs },
  };
}

function describe({ line, sameDirection, station, error, time }: LineRun): RunAccuracy {
  const last = station.length - 1;
  return {
    ...errorMeasures(error),
    line,
    sameDirection,
    startTime: time[sameDirection ? 0 : last]!,
    endTime: time[sameDirection ? last : 0]!,
    length: station[last]! - station[0]!,
  };
}
