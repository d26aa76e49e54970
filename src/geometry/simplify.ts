import { FeeringError, requireNumber, requirePoints } from "../errors/index.js";
import { signedArea } from "./area.js";
import { ringCrossings } from "./ring-crossings.js";
import type { Line, Point, Ring } from "./types.js";

/**
 * Simplify a line: keep few of its points, and none of the dropped ones farther than the tolerance from what is left.
 *
 * Its ends stay. The result may cross itself where the line passes near itself.
 *
 * @param line - metres, two points at least
 * @param tolerance - metres, 0 drops only what is exactly on a straight piece
 * @returns a new line of some of the points
 * @throws `FeeringError` `too-few-points`, `not-finite`, `out-of-range`
 * @see D. H. Douglas and T. K. Peucker, Cartographica 10 (2), 1973
 */
export function simplifyLine(line: Line, tolerance: number): Point[] {
  requirePoints(line, "line", 2);
  requireNumber(tolerance, "tolerance", { min: 0 });
  const keep = new Uint8Array(line.length);
  mark(line, 0, line.length - 1, tolerance, keep);
  return line.filter((_, i) => keep[i] === 1);
}

/**
 * Simplify a ring. It never collapses, and where it did not cross itself before it does not after: a tolerance that
 * would do either is halved for this ring until it does not.
 *
 * @param ring - open or closed, metres, three points at least
 * @param tolerance - metres, 0 drops only what is exactly on a straight piece
 * @returns a new closed ring of some of the points, wound as it was
 * @throws `FeeringError` `too-few-points`, `not-finite`, `out-of-range`
 */
export function simplifyRing(ring: Ring, tolerance: number): Point[] {
  requirePoints(ring, "ring", 3);
  requireNumber(tolerance, "tolerance", { min: 0 });
  const first = ring[0]!;
  const last = ring[ring.length - 1]!;
  const open = first[0] === last[0] && first[1] === last[1] ? ring.slice(0, -1) : [...ring];
  if (open.length < 3) {
    throw new FeeringError("too-few-points", `ring has ${open.length} distinct vertices, needs 3`, {
      argument: "ring",
      value: open.length,
    });
  }
  const start = farthest(open, 0);
  const points = [...open.slice(start), ...open.slice(0, start), open[start]!];
  const other = farthest(points, 0);
  const sense = Math.sign(signedArea(open));
  let reach = tolerance;
  for (let tries = 0; tries < HALVINGS; tries++) {
    const keep = new Uint8Array(points.length);
    mark(points, 0, other, reach, keep);
    mark(points, other, points.length - 1, reach, keep);
    const kept = points.filter((_, i) => keep[i] === 1);
    if (kept.length === points.length) return kept;
    if (
      kept.length >= 4 &&
      Math.sign(signedArea(kept)) === sense &&
      ringCrossings(kept).every(({ kind }) => kind === "touch")
    )
      return kept;
    reach /= 2;
  }
  return points;
}

// the last of them is a millionth of the tolerance asked for
const HALVINGS = 20;

// douglas-peucker between two points already kept, with a stack of its own: a spiral would exhaust the engine's
function mark(line: Line, from: number, to: number, tolerance: number, keep: Uint8Array): void {
  keep[from] = 1;
  keep[to] = 1;
  const stack: number[] = [from, to];
  while (stack.length > 0) {
    const end = stack.pop()!;
    const start = stack.pop()!;
    const a = line[start]!;
    const b = line[end]!;
    const ex = b[0] - a[0];
    const ey = b[1] - a[1];
    const squared = ex * ex + ey * ey;
    let worst = tolerance * tolerance;
    let split = -1;
    for (let i = start + 1; i < end; i++) {
      let dx = line[i]![0] - a[0];
      let dy = line[i]![1] - a[1];
      if (squared > 0) {
        const t = (dx * ex + dy * ey) / squared;
        if (t >= 1) {
          dx = line[i]![0] - b[0];
          dy = line[i]![1] - b[1];
        } else if (t > 0) {
          const across = (dx * ey - dy * ex) / Math.sqrt(squared);
          dx = across;
          dy = 0;
        }
      }
      const gap = dx * dx + dy * dy;
      if (gap > worst) {
        worst = gap;
        split = i;
      }
    }
    if (split < 0) continue;
    keep[split] = 1;
    stack.push(start, split, split, end);
  }
}

function farthest(points: Line, from: number): number {
  const a = points[from]!;
  let best = from;
  let distance = -1;
  for (let i = 0; i < points.length; i++) {
    const d = Math.hypot(points[i]![0] - a[0], points[i]![1] - a[1]);
    if (d > distance) {
      distance = d;
      best = i;
    }
  }
  return best;
}
