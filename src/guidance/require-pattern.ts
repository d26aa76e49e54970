import { FeeringError } from "../errors/feering-error.js";
import { requireNumber, requireObject, requirePoints } from "../errors/require.js";
import { checkLine } from "./check-line.js";
import { checkRule, type GuidancePattern } from "./guidance-pattern.js";

/**
 * Check what the numbers of passes are made from, at a cost that does not grow with the line's points, save on a ring.
 *
 * @throws `FeeringError` as `guidancePattern`, with `pattern` before the names
 */
export function requireRule(pattern: GuidancePattern): void {
  requireObject(pattern, "pattern");
  const { line } = pattern;
  requireObject(line, "pattern.line");
  if (line.kind === "closed") requirePoints(line.points, "pattern.line.points", 3);
  if (line.kind === "closed") requireNumber(line.inradius, "pattern.line.inradius", { min: 0 });
  if (line.kind === "pivot") checkLine(line, "pattern.line");
  // what options may leave out a pattern has
  for (const name of FILLED_IN) {
    if (((pattern[name] as unknown) ?? undefined) !== undefined) continue;
    const argument = `pattern.${name}`;
    throw new FeeringError("not-finite", `${argument} is missing: make patterns by guidancePattern`, { argument });
  }
  checkRule(pattern, line, "pattern");
}

const FILLED_IN = ["propagation", "extension", "shift", "firstPassOffset", "firstPass"] as const;

/**
 * Check a pattern that passes are to be made from: every number of it, in one walk along its points. What its line's maker
 * alone looks for (crossings of a ring, its true inradius) is for `guidancePattern`, which a pattern from a file goes through.
 *
 * @throws `FeeringError` as `guidancePattern`, with `pattern` before the names
 */
export function requirePattern(pattern: GuidancePattern): void {
  requireRule(pattern);
  const { line } = pattern;
  if (line.kind === "curve" || line.kind === "closed") {
    requirePoints(line.points, "pattern.line.points", line.kind === "closed" ? 3 : 2);
    for (let i = 1; i < line.points.length; i++) {
      const [x, y] = line.points[i]!;
      const [fromX, fromY] = line.points[i - 1]!;
      if (x !== fromX || y !== fromY) continue;
      throw new FeeringError("degenerate", `pattern.line.points[${i}] repeats the point before it`, {
        argument: "pattern.line.points",
        index: i,
      });
    }
  } else if (line.kind !== "pivot") checkLine(line, "pattern.line");
}
