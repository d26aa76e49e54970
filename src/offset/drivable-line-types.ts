import type { Line, Point } from "../geometry/index.js";

/** Transitions of steadily changing curvature between straight and bend: by their length, or by what the steering can do. */
export type ClothoidOptions =
  | {
      /** length in which curvature goes from 0 to 1 / `minimumRadius`, metres, above 0, at most 1.5 times that radius */
      readonly length: number;
    }
  | {
      /**
       * largest change of curvature with distance, 1/m², so that the length, at most 1.5 times that radius, is 1 / (`minimumRadius` * rate). A
       * machine with wheelbase b that turns its wheels by d radians a second at v m/s makes d / (b v), for small angles
       */
      readonly curvatureRate: number;
    };

/** Options of `drivableLine`. */
export interface DrivableLineOptions {
  /** smallest radius the machine can drive, metres; 0 for a line that may keep its corners */
  readonly minimumRadius: number;
  /** whether the last point is joined to the first; default: when both are the same and there are three distinct points */
  readonly closed?: boolean;
  /** largest gap between an arc and the chords that stand for it, metres; default 1e-3 */
  readonly tolerance?: number;
  /** transitions for continuous steering; default none: curvature jumps between straight and arc */
  readonly clothoid?: ClothoidOptions;
  /** width of the swath worked along the line, metres, for the overlap; default 0: the line itself */
  readonly swathWidth?: number;
}

/** One stretch in which a drivable line leaves the line it was made from. */
export interface DrivablePlace {
  /** where the given line is farthest from the new one: the corner of a plain bend, metres */
  readonly at: Point;
  /** its station along the given line, metres */
  readonly station: number;
  /** inner angle between the line's directions before and after, degrees: 180 straight on, 90 a right angle, 0 a reversal */
  readonly angle: number;
  /** width of the ground on the outer side that the given line's swath covers and the new one's does not, metres */
  readonly gap: number;
  /** width of the ground on the inner side that the new line's swath covers beyond the given one's, metres */
  readonly overlap: number;
}

/** A bend for which the line has no room. */
export interface TightBend {
  /** the vertex with the smallest radius; with transitions it can be the new line's sharpest point, metres */
  readonly at: Point;
  /** its station along the given line, metres */
  readonly station: number;
  /** radius that the new line has there instead, metres; 0 where it keeps a corner */
  readonly radius: number;
  /**
   * | reason | meaning |
   * |---|---|
   * | `hairpin` | a bend to one side that no circle of the radius can touch on both its legs |
   * | `zigzag` | bends to both sides, too close to each other |
   * | `end` | a bend too near an end of the line, which keeps its place and heading |
   */
  readonly reason: "hairpin" | "zigzag" | "end";
}

/** A stretch in which curvature changes faster than asked. */
export interface ShortTransition {
  /** where it changes fastest, metres */
  readonly at: Point;
  /** station of the nearest vertex before it, along the given line, metres */
  readonly station: number;
  /** length that a transition of this rate to the smallest radius has, metres */
  readonly length: number;
}

/** What became of a line made drivable. */
export interface DrivableReport {
  /** largest `gap` of all bends, those not listed included, metres: the farthest the given line is from the new one */
  readonly largestGap: number;
  /** largest `overlap` of all bends, those not listed included, metres */
  readonly largestOverlap: number;
  /** every place with a gap or overlap larger than the tolerance, by rising station */
  readonly places: readonly DrivablePlace[];
  /** largest curvature of the new line, 1/m; infinite where it keeps a corner, 0 for a straight line */
  readonly maximumCurvature: number;
  /** largest change of curvature with distance, 1/m²; infinite without transitions, 0 for a straight line */
  readonly maximumCurvatureRate: number;
  /** bends that stay tighter than the radius, by rising station; empty when all is drivable */
  readonly tight: readonly TightBend[];
  /** stretches with transitions shorter than asked, by rising station; empty without transitions */
  readonly shortened: readonly ShortTransition[];
}

/** A line with bounded curvature. */
export interface DrivableLine {
  /** metres, in the given line's direction; a closed line repeats its first point at the end */
  readonly points: Line;
  /** whether it is a loop */
  readonly closed: boolean;
  /** whether its curvature and its transitions keep to what was asked everywhere */
  readonly drivable: boolean;
  /** what it leaves and covers twice, and where it could not be made drivable */
  readonly report: DrivableReport;
}
