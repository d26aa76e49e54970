import type { CoverageRecord } from "../coverage/index.js";
import type { Line, Point } from "../geometry/types.js";

/** The tool of {@link sweepTrack}, in machine axes from the antenna, and which steps count; metres. */
export interface SweepSettings {
  /** left end of the tool, right positive */
  readonly left: number;
  /** right end of the tool, right positive */
  readonly right: number;
  /** how far the tool lies ahead */
  readonly forward: number;
  /** fixes nearer to the one before are passed over */
  readonly minimumStep: number;
  /** longer steps are not swept; undefined for the larger of 10 m and ten middle steps */
  readonly maximumStep: number | undefined;
}

/** What {@link sweepTrack} did. */
export interface SweptTrack {
  /** metres swept */
  readonly length: number;
  /** steps swept */
  readonly steps: number;
  /** steps too long to be swept */
  readonly cuts: number;
}

/** Cosine of the turn from one step to the next from which on the machine has changed between forward and reverse. */
const REVERSAL = -0.5;
/** A turn on the spot is marked in steps of at most this, radians: 3 degrees. */
const TURN_STEP = Math.PI / 60;
/** A long step is marked in pieces: a quad has a largest size. */
const PIECE = 50;
/** A step longer than this, and than ten middle ones, is a gap, m. */
const LEAST_GAP = 10;

/**
 * Mark the ground that a tool sweeps along a track.
 *
 * @param record - takes the marks
 * @param track - fixes of the antenna, metres
 * @param settings - the tool, and which steps count
 */
export function sweepTrack(record: CoverageRecord, track: Line, settings: SweepSettings): SweptTrack {
  const points = thinned(track, settings.minimumStep);
  const limit = settings.maximumStep ?? Math.max(LEAST_GAP, 10 * middleStep(points));
  const sweep = new Sweep(record, settings);
  let length = 0;
  let steps = 0;
  let cuts = 0;
  // direction of the last step, and whether the machine went backwards along it; none after a gap
  let lastX = 0;
  let lastY = 0;
  let backwards = false;
  let joined = false;
  for (let i = 1; i < points.length; i++) {
    const [ax, ay] = points[i - 1]!;
    const [bx, by] = points[i]!;
    const step = Math.hypot(bx - ax, by - ay);
    if (step > limit) {
      cuts++;
      joined = false;
      continue;
    }
    const ux = (bx - ax) / step;
    const uy = (by - ay) / step;
    if (!joined) backwards = false;
    else if (lastX * ux + lastY * uy < REVERSAL) backwards = !backwards;
    const sign = backwards ? -1 : 1;
    if (joined) sweep.turn(ax, ay, sign * ux, sign * uy);
    else sweep.place(ax, ay, sign * ux, sign * uy);
    const pieces = Math.ceil(step / PIECE);
    for (let k = 1; k <= pieces; k++) {
      sweep.move(ax + ((bx - ax) * k) / pieces, ay + ((by - ay) * k) / pieces, sign * ux, sign * uy);
    }
    lastX = ux;
    lastY = uy;
    joined = true;
    length += step;
    steps++;
  }
  return { length, steps, cuts };
}

/** The track without fixes too near to the one before; its end is kept, in the place of the last one if need be. */
function thinned(track: Line, minimumStep: number): Point[] {
  const points: Point[] = [track[0]!];
  for (let i = 1; i < track.length; i++) {
    const last = points[points.length - 1]!;
    const p = track[i]!;
    const step = Math.hypot(p[0] - last[0], p[1] - last[1]);
    if (step >= minimumStep && step > 0) points.push(p);
    else if (i === track.length - 1 && points.length > 1 && step > 0) points[points.length - 1] = p;
  }
  return points;
}

function middleStep(points: Line): number {
  const steps: number[] = [];
  for (let i = 1; i < points.length; i++) {
    steps.push(Math.hypot(points[i]![0] - points[i - 1]![0], points[i]![1] - points[i - 1]![1]));
  }
  steps.sort((a, b) => a - b);
  return steps[steps.length >> 1] ?? 0;
}

/** A tool's two ends as it goes from pose to pose; each move marks the quad between the ends before and after. */
class Sweep {
  private headingX = 0;
  private headingY = 1;
  private leftX = 0;
  private leftY = 0;
  private rightX = 0;
  private rightY = 0;

  constructor(
    private readonly record: CoverageRecord,
    private readonly tool: SweepSettings,
  ) {}

  /** Put the antenna at a place, heading along a unit vector, without sweeping. */
  place(x: number, y: number, ux: number, uy: number): void {
    const { left, right, forward } = this.tool;
    this.headingX = ux;
    this.headingY = uy;
    this.leftX = x + ux * forward + uy * left;
    this.leftY = y + uy * forward - ux * left;
    this.rightX = x + ux * forward + uy * right;
    this.rightY = y + uy * forward - ux * right;
  }

  /** Go to a place. */
  move(x: number, y: number, ux: number, uy: number): void {
    const { leftX, leftY, rightX, rightY } = this;
    this.place(x, y, ux, uy);
    this.record.mark(leftX, leftY, rightX, rightY, this.rightX, this.rightY, this.leftX, this.leftY);
  }

  /** Turn on the spot. */
  turn(x: number, y: number, ux: number, uy: number): void {
    const { headingX, headingY } = this;
    const angle = Math.atan2(headingX * uy - headingY * ux, headingX * ux + headingY * uy);
    const steps = Math.ceil(Math.abs(angle) / TURN_STEP);
    for (let k = 1; k < steps; k++) {
      const c = Math.cos((angle * k) / steps);
      const s = Math.sin((angle * k) / steps);
      this.move(x, y, headingX * c - headingY * s, headingX * s + headingY * c);
    }
    this.move(x, y, ux, uy);
  }
}
