/**
 * What went wrong, as a literal to branch on.
 *
 * | code | meaning |
 * |---|---|
 * | `not-finite` | a number is NaN or infinite, or is no number at all; what should hold numbers is no object |
 * | `out-of-range` | a number lies outside its stated range |
 * | `too-few-points` | a line, ring or list has fewer distinct points than it needs |
 * | `degenerate` | a shape has no length or no area |
 * | `self-crossing` | a boundary crosses or overlaps itself |
 * | `hole-outside` | a hole is not inside its exterior ring, or two holes overlap |
 * | `overlap` | sections of one boom overlap or their edges cross over |
 * | `unknown-crs` | a coordinate reference system is not understood |
 * | `inaccurate-crs` | a datum shift would only be a ballpark one |
 * | `bad-snapshot` | bytes or objects to restore from are damaged or of another version |
 * | `bad-format` | a file or text is not what its format asks for |
 * | `too-large` | an input is larger than the stated cap |
 * | `wrong-state` | a verb was called before what it needs was given |
 * | `boolean-failed` | a boolean operation on polygons failed after every documented retry |
 */
export type FeeringErrorCode =
  | "not-finite"
  | "out-of-range"
  | "too-few-points"
  | "degenerate"
  | "self-crossing"
  | "hole-outside"
  | "overlap"
  | "unknown-crs"
  | "inaccurate-crs"
  | "bad-snapshot"
  | "bad-format"
  | "too-large"
  | "wrong-state"
  | "boolean-failed";

/** Where a `FeeringError` points: which argument, which element of it, which value. */
export interface FeeringErrorDetails {
  /** name of the offending argument, with its path: `options.swathWidth`, `polygon.holes` */
  readonly argument: string;
  /** index of the offending element, where the argument is a list */
  readonly index?: number;
  /** the offending value itself */
  readonly value?: unknown;
  /** the error underneath, where there is one */
  readonly cause?: unknown;
}

/**
 * The one error class of the library: a caller's mistake, found at set-up.
 *
 * The live loop never throws it. Branch on {@link FeeringError.code}, not on `instanceof`: two copies of the package
 * in one program have two classes.
 *
 * @example
 * ```ts
 * try {
 *   straightLine([0, 0], [0, 0]);
 * } catch (error) {
 *   if ((error as FeeringError).code === "degenerate") console.log((error as FeeringError).message);
 * }
 * ```
 */
export class FeeringError extends Error {
  /** what went wrong, as a literal */
  readonly code: FeeringErrorCode;
  /** name of the offending argument, with its path */
  readonly argument: string;
  /** index of the offending element, where the argument is a list */
  readonly index: number | undefined;
  /** the offending value */
  readonly value: unknown;

  /**
   * @param code - what went wrong
   * @param message - one sentence that names what, where and which value
   * @param details - argument, index and value apart, for programs
   */
  constructor(code: FeeringErrorCode, message: string, details: FeeringErrorDetails) {
    super(message, details.cause === undefined ? undefined : { cause: details.cause });
    this.name = "FeeringError";
    this.code = code;
    this.argument = details.argument;
    this.index = details.index;
    this.value = details.value;
  }
}
