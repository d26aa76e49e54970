import type { Line, Point } from "../geometry/types.js";

/** What rides along with a line as plain data; nothing here changes a number. */
export interface LineLabels {
  /** identity given by the caller, kept as it is */
  readonly id?: string;
  /** name that the operator reads, kept as it is */
  readonly name?: string;
  /** free text kept with the line: the origin of its frame, correction source, day of recording */
  readonly note?: string;
}

/**
 * An AB line: straight through A and B, walked from A to B (ISO 11783-10 guidance pattern type 1).
 *
 * Made by `straightLine`.
 */
export interface StraightLine extends LineLabels {
  /** kind of line, the discriminant of {@link ReferenceLine} */
  readonly kind: "ab";
  /** A, then B, metres in the local frame */
  readonly points: readonly [a: Point, b: Point];
}

/**
 * An A+ line: straight through A in a given heading, without an end of its own (ISO 11783-10 guidance pattern type 2).
 *
 * Made by `headingLine`.
 */
export interface HeadingLine extends LineLabels {
  /** kind of line, the discriminant of {@link ReferenceLine} */
  readonly kind: "a-plus";
  /** A alone, metres in the local frame */
  readonly points: readonly [a: Point];
  /** direction, degrees clockwise from the frame's north, 0 included to 360 excluded */
  readonly heading: number;
}

/**
 * A recorded curve, walked from its first point to its last (ISO 11783-10 guidance pattern type 3). It may cross itself.
 *
 * Made by `curvedLine`.
 */
export interface CurvedLine extends LineLabels {
  /** kind of line, the discriminant of {@link ReferenceLine} */
  readonly kind: "curve";
  /** the curve, two distinct points at the least, metres in the local frame; straight between them */
  readonly points: Line;
  /** largest distance of what was recorded from this curve, metres; 0 where it was not smoothed */
  readonly departure: number;
}

/**
 * A closed line, round a boundary or an obstacle, say: walked from its first point round to it again.
 *
 * Made by `closedLine`.
 */
export interface ClosedLine extends LineLabels {
  /** kind of line, the discriminant of {@link ReferenceLine} */
  readonly kind: "closed";
  /** the ring in walking order, the first point not repeated, metres in the local frame */
  readonly points: Line;
  /** largest distance that a point inside has from the ring, metres: a pass as far inside has vanished */
  readonly inradius: number;
}

/** Which way round a circle is walked, seen from above. */
export type Rotation = "clockwise" | "counter-clockwise";

/**
 * A circle, or an arc of one, about a centre (ISO 11783-10 guidance pattern type 4): exact, no polygon.
 *
 * Made by `circleLine`.
 */
export interface CircleLine extends LineLabels {
  /** kind of line, the discriminant of {@link ReferenceLine} */
  readonly kind: "pivot";
  /** the centre alone, metres in the local frame */
  readonly points: readonly [centre: Point];
  /** metres, more than 0 */
  readonly radius: number;
  /** which way round it is walked */
  readonly rotation: Rotation;
  /** where it starts: direction from the centre, degrees clockwise from the frame's north, 0 included to 360 excluded */
  readonly start: number;
  /** where an arc ends, as `start`; absent for a full circle */
  readonly end?: number;
}

/**
 * An Archimedean spiral about a centre (ISO 11783-10 guidance pattern type 5): the radius changes by one pitch in a turn.
 *
 * Made by `spiralLine`.
 */
export interface SpiralLine extends LineLabels {
  /** kind of line, the discriminant of {@link ReferenceLine} */
  readonly kind: "spiral";
  /** the centre alone, metres in the local frame */
  readonly points: readonly [centre: Point];
  /** radius where it starts, metres */
  readonly startRadius: number;
  /** radius where it ends, metres */
  readonly endRadius: number;
  /** distance of neighbouring turns, metres */
  readonly pitch: number;
  /** which way round it is walked */
  readonly rotation: Rotation;
  /** where it starts: direction from the centre, degrees clockwise from the frame's north, 0 included to 360 excluded */
  readonly start: number;
}

/**
 * The line that the passes of a pattern are made from: a plain object that survives JSON.
 *
 * It has a `kind` to branch on and its `points` in walking order. Positions are metres in one local frame; a line that is
 * kept needs the frame's origin kept with it.
 */
export type ReferenceLine = StraightLine | HeadingLine | CurvedLine | CircleLine | SpiralLine | ClosedLine;
