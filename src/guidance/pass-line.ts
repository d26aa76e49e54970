import { requireNumber, requireObject } from "../errors/require.js";
import { PolygonIndex } from "../geometry/polygon-index.js";
import type { Bounds, Line, Point, Polygon } from "../geometry/types.js";
import { clipLine } from "./clip-line.js";
import { curvePieces } from "./curve-pieces.js";
import { FieldClip } from "./field-clip.js";
import { type GuidancePattern, requireInteger } from "./guidance-pattern.js";
import { highestPass, lowestPass, passOffset } from "./pass-number.js";
import { requirePattern } from "./require-pattern.js";
import { firstStation, isStraight, lastStation, patternAxis, type StraightAxis } from "./straight-axis.js";

/** Settings of {@link passLine}. */
export interface PassLineOptions {
  /** keep what lies inside these polygons; their edges count as inside; rings in either winding, holes cut out. Default: no clipping */
  readonly within?: readonly Polygon[];
  /** how far a pass runs on past A and B where the pattern extends it, metres; default 1000 m without `within`, with it as far as the polygons reach */
  readonly length?: number;
}

/** How far an extended end runs where nothing bounds it, metres. */
const DEFAULT_LENGTH = 1000;

/**
 * A pass as explicit lines.
 *
 * A pass that the pattern does not have (beyond its propagation), or that misses every polygon, gives an empty list.
 * Pieces shorter than 1 µm and gaps shorter than that are left out; a corner of a polygon within 1 µm of the pass counts as
 * on it. A boundary that crosses itself counts as inside wherever it is wound round: check it first.
 *
 * A curve's pass is the exact parallel by `offsetLine` of `feering/offset`, its ends extended first where the pattern says
 * so: bends that are tighter than its distance are trimmed, and it may come in several pieces, some of them loops, whose last
 * point repeats the first. Arcs are flattened to 0.1 mm. Where it is all trimmed away the list is empty (see `whyNoPass` for
 * loops that have vanished).
 *
 * @param pattern - from `guidancePattern`
 * @param pass - its number, integer
 * @param options - clipping and length
 * @returns lines in the line's own direction, sorted along it, of two points each where it is straight; ends within 1e-9 m of the edge's crossing
 * @throws `FeeringError` `not-finite` or `out-of-range` for a bad number or length; `too-few-points`, `not-finite` or
 * `degenerate` for a ring that is none; as `guidancePattern` for a damaged pattern
 * @example
 * ```ts
 * const pieces = passLine(pattern, 3, { within: [field] });
 * ```
 */
export function passLine(pattern: GuidancePattern, pass: number, options: PassLineOptions = {}): Line[] {
  requirePattern(pattern);
  requireObject(options, "options");
  const number = requireInteger(pass, "pass");
  const { within } = options;
  const reach =
    options.length === undefined
      ? within === undefined
        ? DEFAULT_LENGTH
        : Number.POSITIVE_INFINITY
      : requireNumber(options.length, "options.length", { above: 0 });
  const clip = within === undefined ? undefined : new FieldClip(within, "options.within");
  if (number < lowestPass(pattern) || number > highestPass(pattern)) return [];
  if (!isStraight(pattern)) return curveLines(pattern, number, within, reach);

  const axis = patternAxis(pattern);
  const right = passOffset(pattern, number);
  const end = axis.length === Number.POSITIVE_INFINITY ? 0 : axis.length;
  const first = Math.max(firstStation(pattern), -reach);
  const last = Math.min(lastStation(pattern, axis), end + reach);
  if (clip === undefined) return [[pointAt(axis, first, right), pointAt(axis, last, right)]];
  clip.cut(
    Float64Array.of(axis.x + right * axis.alongY, axis.y - right * axis.alongX, axis.alongX, axis.alongY, first, last),
  );
  const lines: Line[] = [];
  for (let i = 0; i < clip.count; i++) {
    lines.push([pointAt(axis, clip.pieces[2 * i]!, right), pointAt(axis, clip.pieces[2 * i + 1]!, right)]);
  }
  return lines;
}

// each piece, cut at the polygons
function curveLines(
  pattern: GuidancePattern,
  pass: number,
  within: readonly Polygon[] | undefined,
  reach: number,
): Line[] {
  const offset = passOffset(pattern, pass);
  if (within === undefined) return curvePieces(pattern, offset, reach).map(({ points }) => points);
  const index = new PolygonIndex(within);
  return curvePieces(pattern, offset, Math.min(reach, reachOf(pattern, index.bounds))).flatMap((piece) =>
    clipLine(piece, index),
  );
}

// so far that no place in the box is beside what lies beyond
function reachOf(pattern: GuidancePattern, { minX, minY, maxX, maxY }: Bounds): number {
  const box: Bounds = {
    minX: minX - pattern.shift.east,
    minY: minY - pattern.shift.north,
    maxX: maxX - pattern.shift.east,
    maxY: maxY - pattern.shift.north,
  };
  const { line } = pattern;
  const { radius, points } =
    line.kind === "pivot" ? line : { radius: 0, points: line.kind === "spiral" ? [] : line.points };
  let most = 1;
  for (const [x, y] of points.length > 2 ? [points[0], points[points.length - 1]!] : points) {
    const dx = Math.max(Math.abs(box.minX - x), Math.abs(box.maxX - x));
    const dy = Math.max(Math.abs(box.minY - y), Math.abs(box.maxY - y));
    most = Math.max(most, Math.hypot(dx, dy));
  }
  if (line.kind === "spiral") {
    const [x, y] = line.points[0];
    most = Math.hypot(
      Math.max(Math.abs(box.minX - x), Math.abs(box.maxX - x)),
      Math.max(Math.abs(box.minY - y), Math.abs(box.maxY - y)),
    );
    most += Math.max(line.startRadius, line.endRadius);
  }
  return most + radius + 1;
}

function pointAt(axis: StraightAxis, station: number, right: number): Point {
  return [
    axis.x + station * axis.alongX + right * axis.alongY + 0,
    axis.y + station * axis.alongY - right * axis.alongX + 0,
  ];
}
