import { CircleLocator } from "./circle-locator.js";
import { CurveLocator } from "./curve-locator.js";
import type { GuidancePattern } from "./guidance-pattern.js";
import { type LineLocator, StraightLocator } from "./line-locator.js";
import { isChain, linePath } from "./line-path.js";
import { isStraight } from "./straight-axis.js";

/** Length of line before and after a place over which its curvature is averaged where nothing else is said, metres. */
export const CURVATURE_WINDOW = 2;

/** The locator of a pattern's line. */
export function makeLocator(pattern: GuidancePattern, window: number = CURVATURE_WINDOW): LineLocator {
  if (isStraight(pattern)) return new StraightLocator(pattern);
  const { line, extension } = pattern;
  const { east, north } = pattern.shift;
  if (isChain(line)) return new CurveLocator(linePath(line), extension, east, north, window);
  if (line.kind === "pivot") return new CircleLocator(line, extension, east, north);
  // the straight ones are gone already
  throw new TypeError(`no locator for a line of kind ${line.kind}`);
}
