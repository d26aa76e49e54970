import { type Line, type Point, type Polygon, union } from "../geometry/index.js";

/** turns below this make no sector of their own, radians: it would be thinner than the snapping of boolean operations */
const LEAST_TURN = 1e-6;

/**
 * The ground on the left of a line within a distance of it, square at its ends: all points that have their foot on the line,
 * not before or beyond it.
 *
 * @param line - no two neighbours coincide, metres
 * @param width - metres
 * @param tolerance - largest gap between arcs and their chords, metres
 *
 * @internal
 */
export function strip(line: Line, closed: boolean, width: number, tolerance: number): Polygon[] {
  const parts: Polygon[] = [];
  const n = line.length - 1;
  for (let i = 0; i < n; i++) {
    const a = line[i]!;
    const b = line[i + 1]!;
    const normal = leftOf(a, b);
    parts.push({
      exterior: [a, b, shifted(b, normal, width), shifted(a, normal, width)],
      holes: [],
    });
    const c = i + 2 <= n ? line[i + 2]! : closed ? line[1]! : undefined;
    if (c !== undefined) {
      const sector = sectorAt(b, normal, leftOf(b, c), width, tolerance);
      if (sector !== undefined) parts.push(sector);
    }
  }
  return union(parts);
}

// the pie between two normals where the line turns right, so that the left side opens
function sectorAt(at: Point, from: Point, to: Point, width: number, tolerance: number): Polygon | undefined {
  const turn = Math.atan2(from[0] * to[1] - from[1] * to[0], from[0] * to[0] + from[1] * to[1]);
  if (turn > -LEAST_TURN) return undefined;
  const step = 2 * Math.acos(Math.max(0, 1 - tolerance / width));
  const count = Math.max(1, Math.ceil(-turn / step));
  const start = Math.atan2(from[1], from[0]);
  const exterior: Point[] = [at, shifted(at, from, width)];
  for (let k = 1; k < count; k++) {
    const angle = start + (turn * k) / count;
    exterior.push([at[0] + width * Math.cos(angle), at[1] + width * Math.sin(angle)]);
  }
  exterior.push(shifted(at, to, width));
  return { exterior, holes: [] };
}

function leftOf(a: Point, b: Point): Point {
  const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
  return [-(b[1] - a[1]) / length, (b[0] - a[0]) / length];
}

function shifted(p: Point, normal: Point, by: number): Point {
  return [p[0] + normal[0] * by, p[1] + normal[1] * by];
}
