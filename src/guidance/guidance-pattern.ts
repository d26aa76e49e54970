import { FeeringError } from "../errors/feering-error.js";
import { requireNumber } from "../errors/require.js";
import { checkLine } from "./check-line.js";
import type { ReferenceLine } from "./reference-line.js";
import { requireOneOf } from "./require-one-of.js";
import { roomInside, VANISHED } from "./room-inside.js";

/** To which sides of the reference line passes are made, looking along the line (ISO 11783-10 GPN attribute E). */
export type Propagation = "both" | "left" | "right" | "none";

/** At which ends passes run on straight, past A backwards, past B forwards (ISO 11783-10 GPN attribute F). */
export type Extension = "both" | "a" | "b" | "none";

/** A move of a whole pattern against drift, metres; the directions are the frame's. */
export interface PatternShift {
  /** metres east */
  readonly east: number;
  /** metres north */
  readonly north: number;
}

/** Settings of {@link guidancePattern}. */
export interface PatternOptions {
  /** distance of neighbouring passes, metres, 1 mm at least */
  readonly swathWidth: number;
  /** to which sides passes are made; default `"both"`, for a spiral `"none"` */
  readonly propagation?: Propagation;
  /** at which ends passes run on; default `"both"` */
  readonly extension?: Extension;
  /** how many passes there are to the left of the first, integer; default no limit */
  readonly swathsLeft?: number;
  /** how many passes there are to the right of the first, integer; default no limit */
  readonly swathsRight?: number;
  /** move of the whole pattern, metres; default none */
  readonly shift?: PatternShift;
  /** distance of the first pass from the reference line, metres, right positive; default 0. Half a swath where the line was driven along the field's edge */
  readonly firstPassOffset?: number;
  /** number that the first pass carries, integer; default 0 */
  readonly firstPass?: number;
}

/**
 * A reference line and the rule that makes passes of it: a plain object that survives JSON.
 *
 * The first pass lies `firstPassOffset` to the right of the line; the pass numbered n lies (n - `firstPass`) swath widths to
 * the right of the first. Made by {@link guidancePattern}.
 */
export interface GuidancePattern {
  /** the line as it was recorded, never moved */
  readonly line: ReferenceLine;
  /** distance of neighbouring passes, metres */
  readonly swathWidth: number;
  /** to which sides passes are made */
  readonly propagation: Propagation;
  /** at which ends passes run on */
  readonly extension: Extension;
  /** how many passes there are to the left of the first; absent where there is no limit */
  readonly swathsLeft?: number;
  /** how many passes there are to the right of the first; absent where there is no limit */
  readonly swathsRight?: number;
  /** move of the whole pattern, kept apart from the line, metres */
  readonly shift: PatternShift;
  /** distance of the first pass from the reference line, metres, right positive (ISO 11783-10 GST attribute E, there in mm) */
  readonly firstPassOffset: number;
  /** number that the first pass carries */
  readonly firstPass: number;
}

/**
 * A guidance pattern: passes one swath width apart, parallel to a reference line.
 *
 * A spiral has one pass unless a propagation is given: its turns are each other's neighbours. A loop (closed line, full
 * circle) has no ends to extend, and no pass farther inside than its inradius.
 * An A+ line ends nowhere ahead of A, so it needs an extension: `"b"` runs on ahead of A, `"a"` behind it.
 * A pattern read back from JSON is checked by putting it in again: `guidancePattern(read.line, read)`.
 *
 * @param line - from `straightLine`, `headingLine`, `curvedLine`, `circleLine`, `closedLine` or `spiralLine`
 * @param options - swath width and the rest
 * @returns a plain object with every default filled in
 * @throws `FeeringError` `not-finite` or `out-of-range` for a setting, `degenerate` for an A+ line with extension
 * `"none"` or a first pass that lies where a loop has vanished, and what the line's maker throws for a damaged line
 * @example
 * ```ts
 * const pattern = guidancePattern(straightLine([0, 0], [0, 400]), { swathWidth: 24 });
 * ```
 */
export function guidancePattern(line: ReferenceLine, options: PatternOptions): GuidancePattern {
  const checked = checkLine(line, "line");
  const pattern = { line: checked, ...checkRule(options ?? {}, checked, "options") };
  requireRoom(pattern, "options.firstPassOffset");
  return pattern;
}

/** Check the rule that makes passes of a line, and fill in its defaults. */
export function checkRule(
  given: Partial<PatternOptions>,
  line: ReferenceLine,
  argument: string,
): Omit<GuidancePattern, "line"> {
  const extension = requireOneOf(given.extension ?? "both", EXTENSIONS, `${argument}.extension`);
  if (line.kind === "a-plus" && extension === "none") {
    throw new FeeringError("degenerate", "an A+ line has no point B: without an extension its passes have no length", {
      argument: `${argument}.extension`,
      value: extension,
    });
  }
  const { swathsLeft, swathsRight } = given;
  return {
    swathWidth: requireNumber(given.swathWidth, `${argument}.swathWidth`, { min: SMALLEST_SWATH, max: LARGEST }),
    propagation: requireOneOf(
      given.propagation ?? (line.kind === "spiral" ? "none" : "both"),
      PROPAGATIONS,
      `${argument}.propagation`,
    ),
    extension,
    ...(swathsLeft === undefined ? {} : { swathsLeft: requireCount(swathsLeft, `${argument}.swathsLeft`) }),
    ...(swathsRight === undefined ? {} : { swathsRight: requireCount(swathsRight, `${argument}.swathsRight`) }),
    shift: checkShift(given.shift ?? { east: 0, north: 0 }, `${argument}.shift`),
    firstPassOffset: requireOffset(given.firstPassOffset ?? 0, `${argument}.firstPassOffset`),
    firstPass: requireInteger(given.firstPass ?? 0, `${argument}.firstPass`),
  };
}

/** Check the distance of a first pass from its line. */
export function requireOffset(value: unknown, argument: string): number {
  return requireNumber(value, argument, { min: -LARGEST, max: LARGEST }) + 0;
}

/**
 * Check that the first pass of a loop has not vanished.
 *
 * @throws `FeeringError` `degenerate` where it has
 */
export function requireRoom(pattern: GuidancePattern, argument: string): void {
  const room = roomInside(pattern.line);
  if (room === undefined) return;
  const inside = room.right ? pattern.firstPassOffset : -pattern.firstPassOffset;
  if (inside < room.distance - VANISHED) return;
  throw new FeeringError(
    "degenerate",
    `a first pass ${inside} m inside a loop of inradius ${room.distance} m has vanished`,
    { argument, value: pattern.firstPassOffset },
  );
}

/** Smallest swath width, metres: anything less is a mistake of unit. */
const SMALLEST_SWATH = 1e-3;

/** Largest width, offset or shift, metres: more is a mistake of unit. */
const LARGEST = 1e6;

const PROPAGATIONS: readonly Propagation[] = ["both", "left", "right", "none"];
const EXTENSIONS: readonly Extension[] = ["both", "a", "b", "none"];

/** Check a shift, and copy it. */
export function checkShift(shift: PatternShift, argument: string): PatternShift {
  const limits = { min: -LARGEST, max: LARGEST };
  return {
    east: requireNumber(shift?.east, `${argument}.east`, limits) + 0,
    north: requireNumber(shift?.north, `${argument}.north`, limits) + 0,
  };
}

/** Check a whole number, of either sign, that a double holds exactly. */
export function requireInteger(value: unknown, argument: string): number {
  const number = requireNumber(value, argument, { min: Number.MIN_SAFE_INTEGER, max: Number.MAX_SAFE_INTEGER });
  if (!Number.isInteger(number)) {
    throw new FeeringError("out-of-range", `${argument} is ${number}, needs a whole number`, { argument, value });
  }
  return number + 0;
}

function requireCount(value: unknown, argument: string): number {
  requireNumber(value, argument, { min: 0 });
  return requireInteger(value, argument);
}
