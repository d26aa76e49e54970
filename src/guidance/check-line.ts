import { FeeringError } from "../errors/feering-error.js";
import { headingLine } from "./heading-line.js";
import type { ReferenceLine } from "./reference-line.js";
import { straightLine } from "./straight-line.js";

/**
 * Check a line that may come from a file, and copy it.
 *
 * @throws `FeeringError` what the maker of its kind throws, the argument named under `argument`; `out-of-range` for
 * an unknown kind
 */
export function checkLine(line: ReferenceLine, argument: string): ReferenceLine {
  const given = line as { readonly kind?: unknown; readonly points?: unknown } | null | undefined;
  const points = given?.points;
  if (given === null || given === undefined || !Array.isArray(points)) {
    throw new FeeringError("out-of-range", `${argument} is no reference line with a kind and points`, {
      argument,
      value: line,
    });
  }
  const needed = line.kind === "ab" ? 2 : 1;
  if (points.length < needed) {
    throw new FeeringError("too-few-points", `${argument}.points has ${points.length} points, needs ${needed}`, {
      argument: `${argument}.points`,
      value: points.length,
    });
  }
  switch (line.kind) {
    case "ab":
      return within(argument, () => straightLine(line.points[0], line.points[1], line));
    case "a-plus":
      return within(argument, () => headingLine(line.points[0], line.heading, line));
    default:
      throw new FeeringError(
        "out-of-range",
        `${argument}.kind is ${JSON.stringify(given.kind)}, needs "ab" or "a-plus"`,
        {
          argument: `${argument}.kind`,
          value: given.kind,
        },
      );
  }
}

// the maker names its own arguments; the caller's path goes in front
function within<T>(argument: string, make: () => T): T {
  try {
    return make();
  } catch (error) {
    if (!(error instanceof FeeringError)) throw error;
    throw new FeeringError(error.code, `${argument}: ${error.message}`, {
      argument: `${argument}.${error.argument}`,
      value: error.value,
      cause: error,
    });
  }
}
