import { headingBetween } from "../geometry/angle.js";
import type { GuidancePattern } from "./guidance-pattern.js";
import { headingVector } from "./heading-vector.js";
import type { HeadingLine, StraightLine } from "./reference-line.js";

/** The straight line under a pattern as numbers: where it begins, which way it runs, how far. */
export interface StraightAxis {
  /** A, shift included, metres */
  readonly x: number;
  /** A, shift included, metres */
  readonly y: number;
  /** unit vector along the line, east */
  readonly alongX: number;
  /** unit vector along the line, north; its right-hand normal is (alongY, -alongX) */
  readonly alongY: number;
  /** degrees, 0 to 360 */
  readonly heading: number;
  /** metres from A to B; infinite where there is no B */
  readonly length: number;
}

/** The axis of a line moved by a shift. */
export function straightAxis(line: StraightLine | HeadingLine, east = 0, north = 0): StraightAxis {
  const a = line.points[0];
  const x = a[0] + east;
  const y = a[1] + north;
  switch (line.kind) {
    case "ab": {
      const b = line.points[1];
      const dx = b[0] - a[0];
      const dy = b[1] - a[1];
      const length = Math.hypot(dx, dy);
      return { x, y, alongX: dx / length, alongY: dy / length, heading: headingBetween(a, b), length };
    }
    case "a-plus": {
      const [alongX, alongY] = headingVector(line.heading);
      return { x, y, alongX, alongY, heading: line.heading, length: Number.POSITIVE_INFINITY };
    }
  }
}

/** A pattern of straight passes. */
export type StraightPattern = GuidancePattern & { readonly line: StraightLine | HeadingLine };

/** Whether the passes of a pattern are straight. */
export function isStraight(pattern: GuidancePattern): pattern is StraightPattern {
  return pattern.line.kind === "ab" || pattern.line.kind === "a-plus";
}

/** The axis of a pattern, its shift included. */
export function patternAxis(pattern: StraightPattern): StraightAxis {
  return straightAxis(pattern.line, pattern.shift.east, pattern.shift.north);
}

/** Where passes begin, as a station along the axis, metres from A; minus infinity where they run on. */
export function firstStation(pattern: GuidancePattern): number {
  return pattern.extension === "both" || pattern.extension === "a" ? Number.NEGATIVE_INFINITY : 0;
}

/** Where passes end, as a station along the axis; infinity where they run on. */
export function lastStation(pattern: GuidancePattern, axis: StraightAxis): number {
  if (pattern.extension === "both" || pattern.extension === "b") return Number.POSITIVE_INFINITY;
  // an A+ line that runs on behind A alone ends there
  return axis.length === Number.POSITIVE_INFINITY ? 0 : axis.length;
}
