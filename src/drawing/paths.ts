import { boundsOf, simplifyLine } from "../geometry/index.js";
import type { Line, Point, Polygon, Ring } from "../geometry/types.js";
import type { Sheet } from "./sheet.js";

/** How far a drawn line may leave the true one, millimetres on paper: under half of the thinnest pen. */
const TOLERANCE = 0.04;

/**
 * Worked, twice worked and missed ground smaller than this both ways is left out, millimetres on paper: its edge alone
 * would be drawn larger than it is.
 */
const SPECK = 0.3;

/** Obstacles are never left out: side of the square that a smaller one is drawn as, millimetres on paper. */
const SMALLEST_OBSTACLE = 0.6;

/**
 * Path data of an open line, simplified to the drawing's own fineness or a coarser one, millimetres; empty when less
 * than two points are left.
 */
export function linePath(line: Line, sheet: Sheet, tolerance: number = TOLERANCE): string {
  if (line.length < 2) return "";
  const kept = line.length > 2 ? simplifyLine(line, tolerance / sheet.perMetre) : line;
  return pathData(kept, sheet, false);
}

/** Path data of a polygon with its holes, for the even-odd rule; what is smaller than a speck is left out. */
export function polygonPath(polygon: Polygon, sheet: Sheet): string {
  if (extent(polygon.exterior, sheet) < SPECK) return "";
  const holes = polygon.holes.filter((hole) => extent(hole, sheet) >= SPECK);
  return [polygon.exterior, ...holes].map((ring) => ringPath(ring, sheet)).join("");
}

/** Path data of an obstacle, as a square where it is too small to be seen. */
export function obstaclePath(ring: Ring, sheet: Sheet): string {
  if (ring.length < 3 || extent(ring, sheet) >= SMALLEST_OBSTACLE) return ringPath(ring, sheet);
  const half = SMALLEST_OBSTACLE / 2 / sheet.perMetre;
  const { minX, minY, maxX, maxY } = boundsOf(ring);
  const x = (minX + maxX) / 2;
  const y = (minY + maxY) / 2;
  return ringPath(
    [
      [x - half, y - half],
      [x + half, y - half],
      [x + half, y + half],
      [x - half, y + half],
    ],
    sheet,
  );
}

/** Path data of a ring; empty when it has too few points or all of them fall together. */
export function ringPath(ring: Ring, sheet: Sheet): string {
  if (ring.length < 3) return "";
  // as a line from its first point back to it: a sliver thinner than the tolerance is left as a stroke, and a crossing
  // finer than the pen is no matter on paper
  return pathData(simplifyLine([...ring, ring[0]!], TOLERANCE / sheet.perMetre), sheet, true);
}

/** The longer side of a ring's box, millimetres on paper; 0 for no points. */
function extent(ring: Ring, sheet: Sheet): number {
  if (ring.length === 0) return 0;
  const { minX, minY, maxX, maxY } = boundsOf(ring);
  return Math.max(maxX - minX, maxY - minY) * sheet.perMetre;
}

/** Place of a point on the sheet, millimetres. */
export function onSheet(point: Point, sheet: Sheet): [x: number, y: number] {
  return [sheet.originX + point[0] * sheet.perMetre, sheet.originY - point[1] * sheet.perMetre];
}

function pathData(points: readonly Point[], sheet: Sheet, closed: boolean): string {
  // whole hundredths of a millimetre, so that the relative steps add up exactly
  let out = "";
  let steps = 0;
  let lastX = 0;
  let lastY = 0;
  let firstX = 0;
  let firstY = 0;
  for (let i = 0; i < points.length; i++) {
    const [x, y] = onSheet(points[i]!, sheet);
    const ix = Math.round(x * 100);
    const iy = Math.round(y * 100);
    if (i === 0) {
      out = `M${pair(ix, iy)}l`;
      firstX = ix;
      firstY = iy;
    } else {
      if (ix === lastX && iy === lastY) continue;
      // the way back to the start of a ring is what "z" draws
      if (closed && i === points.length - 1 && ix === firstX && iy === firstY) continue;
      const step = pair(ix - lastX, iy - lastY);
      out += steps > 0 && !step.startsWith("-") ? ` ${step}` : step;
      steps++;
    }
    lastX = ix;
    lastY = iy;
  }
  if (steps === 0) return "";
  return closed ? `${out}z` : out;
}

function pair(x: number, y: number): string {
  const second = decimal(y);
  return decimal(x) + (second.startsWith("-") ? "" : ",") + second;
}

function decimal(units: number): string {
  const text = String(units / 100);
  return text.startsWith("0.") ? text.slice(1) : text.startsWith("-0.") ? `-${text.slice(2)}` : text;
}
