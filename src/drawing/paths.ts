import { simplifyLine } from "../geometry/index.js";
import type { Line, Point, Polygon, Ring } from "../geometry/types.js";
import type { Sheet } from "./sheet.js";

/** How far a drawn line may leave the true one, millimetres on paper: under half of the thinnest pen. */
const TOLERANCE = 0.04;

/** What is smaller than this both ways is left out, millimetres on paper: less than a pen's width. */
const SPECK = 0.1;

/**
 * Path data of an open line, simplified to the drawing's own fineness or a coarser one, millimetres; empty when less
 * than two points are left.
 */
export function linePath(line: Line, sheet: Sheet, tolerance: number = TOLERANCE): string {
  if (line.length < 2) return "";
  const kept = line.length > 2 ? simplifyLine(line, tolerance / sheet.perMetre) : line;
  return pathData(kept, sheet, false);
}

/** Path data of a polygon with its holes, for the even-odd rule; empty when it is smaller than a pen's width. */
export function polygonPath(polygon: Polygon, sheet: Sheet): string {
  const outer = ringPath(polygon.exterior, sheet);
  return outer === "" ? "" : outer + polygon.holes.map((hole) => ringPath(hole, sheet)).join("");
}

/** Path data of a ring; empty when it is smaller than a pen's width both ways. */
export function ringPath(ring: Ring, sheet: Sheet): string {
  if (ring.length < 3) return "";
  let width = 0;
  let height = 0;
  const first = ring[0]!;
  for (const point of ring) {
    width = Math.max(width, Math.abs(point[0] - first[0]));
    height = Math.max(height, Math.abs(point[1] - first[1]));
  }
  if (Math.max(width, height) * sheet.perMetre < SPECK) return "";
  // as a line from its first point back to it: a sliver thinner than the tolerance is left as a stroke, and a crossing
  // finer than the pen is no matter on paper
  return pathData(simplifyLine([...ring, first], TOLERANCE / sheet.perMetre), sheet, true);
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
