import type { Point } from "../geometry/types.js";

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
 * The line that the passes of a pattern are made from: a plain object that survives JSON.
 *
 * It has a `kind` to branch on and its `points` in walking order. Positions are metres in one local frame; a line that is
 * kept needs the frame's origin kept with it.
 */
export type ReferenceLine = StraightLine | HeadingLine;
