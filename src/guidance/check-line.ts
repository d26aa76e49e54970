import { FeeringError } from "../errors/feering-error.js";
import { requireNumber } from "../errors/require.js";
import { circleLine } from "./circle-line.js";
import { closedLine } from "./closed-line.js";
import { curvedLine } from "./curved-line.js";
import { headingLine } from "./heading-line.js";
import { copyLabels } from "./labels.js";
import type { ReferenceLine } from "./reference-line.js";
import { requireOneOf } from "./require-one-of.js";
import { spiralLine } from "./spiral-line.js";
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
  requireOneOf(given.kind, KINDS, `${argument}.kind`);
  const needed = line.kind === "ab" || line.kind === "curve" ? 2 : line.kind === "closed" ? 3 : 1;
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
    case "curve": {
      // cleaned when it was made: only what no line may have is looked for, so that it comes back point by point
      const curve = within(argument, () => curvedLine(line.points, { ...AS_IT_IS, ...copyLabels(line) }));
      const departure = requireNumber(line.departure ?? 0, `${argument}.departure`, { min: 0 });
      return { ...curve, departure };
    }
    case "closed":
      return within(argument, () => closedLine(line.points, copyLabels(line)));
    case "pivot":
      return within(argument, () => circleLine(line.points[0], line.radius, line));
    case "spiral":
      return within(argument, () => spiralLine(line.points[0], line));
  }
}

const KINDS: readonly ReferenceLine["kind"][] = ["ab", "a-plus", "curve", "closed", "pivot", "spiral"];

const AS_IT_IS = { standstill: 0, spikes: false, smoothing: 0 } as const;

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
