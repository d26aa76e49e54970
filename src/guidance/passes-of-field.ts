import { FeeringError } from "../errors/feering-error.js";
import { requirePolygon } from "../geometry/require-polygon.js";
import type { Polygon } from "../geometry/types.js";
import { ON_PASS } from "./field-clip.js";
import { type FieldReach, fieldReach } from "./field-reach.js";
import type { GuidancePattern } from "./guidance-pattern.js";
import { highestPass, lowestPass, passOffset } from "./pass-number.js";
import { requirePolygonNear } from "./require-near.js";
import { requirePattern } from "./require-pattern.js";
import { isStraight, patternAxis, type StraightPattern } from "./straight-axis.js";

/** Which passes a field takes, from {@link passesOfField}. */
export interface FieldPasses {
  /** lowest pass number; greater than `last` where there is none */
  readonly first: number;
  /** highest pass number */
  readonly last: number;
  /** how many, 0 where the pattern has no pass on the field */
  readonly count: number;
  /** width of the field under the first pass's swath, metres; less than a swath where the field ends in it */
  readonly firstWidth: number;
  /** width of the field under the last pass's swath, metres: what remains for a narrow last pass */
  readonly lastWidth: number;
  /** width of the field left of the first pass's swath, metres; more than 0 only where the pattern's limits stop short */
  readonly uncoveredLeft: number;
  /** width of the field right of the last pass's swath, metres; more than 0 only where the pattern's limits stop short */
  readonly uncoveredRight: number;
}

/**
 * The passes whose swaths touch a field, and how much of the outer ones lies on it.
 *
 * A swath reaches half its width to either side of its pass, so the line of a narrow outer pass may lie outside the field
 * (`lastWidth` less than half a swath): `passLine` clipped to the field is then empty. Widths are taken square to the line
 * over the field's whole extent; a concave field or several polygons may leave passes in between without ground. Less than
 * 1 µm is no width. Beside a curve or circle distances are taken over the whole field, not at its corners alone. Where passes end (`extension`) is not looked at.
 *
 * @param pattern - from `guidancePattern`
 * @param polygons - the field, metres; one at the least
 * @returns the range of numbers and the outer widths, within 1e-9 m; beside anything but a straight line within 1 cm
 * @throws `FeeringError` `too-few-points` or `not-finite` for a bad polygon, and as `guidancePattern` for a damaged pattern
 * @example
 * ```ts
 * const { first, last, lastWidth } = passesOfField(pattern, [field]);
 * ```
 */
export function passesOfField(pattern: GuidancePattern, polygons: readonly Polygon[]): FieldPasses {
  requirePattern(pattern);
  if (!Array.isArray(polygons) || polygons.length === 0) {
    throw new FeeringError("too-few-points", "polygons is no list of one polygon at the least", {
      argument: "polygons",
      value: polygons,
    });
  }
  polygons.forEach((polygon: Polygon, i) => {
    requirePolygon(polygon, `polygons[${i}]`);
    requirePolygonNear(polygon, `polygons[${i}]`);
  });
  const { left, right } = isStraight(pattern) ? straightReach(pattern, polygons) : fieldReach(pattern, polygons);
  const w = pattern.swathWidth;
  const passAt = (r: number): number => pattern.firstPass + (r - pattern.firstPassOffset) / w;
  // a swath that only touches the edge has no ground under it
  const first = Math.max(lowestPass(pattern), Math.floor(passAt(left + ON_PASS) + 0.5)) + 0;
  const last = Math.min(highestPass(pattern), Math.ceil(passAt(right - ON_PASS) - 0.5)) + 0;
  const count = Math.max(0, last - first + 1);
  const under = (pass: number): number => {
    const centre = passOffset(pattern, pass);
    return Math.max(0, Math.min(right, centre + w / 2) - Math.max(left, centre - w / 2));
  };
  const whole = right - left;
  if (count === 0) {
    // the pattern lies to one side of the field altogether
    const beyondRight = first > highestPass(pattern);
    return {
      first,
      last,
      count,
      firstWidth: 0,
      lastWidth: 0,
      uncoveredLeft: beyondRight ? 0 : whole,
      uncoveredRight: beyondRight ? whole : 0,
    };
  }
  return {
    first,
    last,
    count,
    firstWidth: under(first),
    lastWidth: under(last),
    uncoveredLeft: uncovered(passOffset(pattern, first) - w / 2 - left),
    uncoveredRight: uncovered(right - passOffset(pattern, last) - w / 2),
  };
}

// beside a straight line the farthest place is a corner
function straightReach(pattern: StraightPattern, polygons: readonly Polygon[]): FieldReach {
  const axis = patternAxis(pattern);
  let left = Number.POSITIVE_INFINITY;
  let right = Number.NEGATIVE_INFINITY;
  for (const { exterior } of polygons) {
    for (const [x, y] of exterior) {
      const r = (x - axis.x) * axis.alongY - (y - axis.y) * axis.alongX;
      if (r < left) left = r;
      if (r > right) right = r;
    }
  }
  return { left, right };
}

function uncovered(width: number): number {
  return width > ON_PASS ? width : 0;
}
