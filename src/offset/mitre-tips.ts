import { elementPoint, frameOf, newFrame } from "./element-frame.js";
import { type Killers, STRIDE } from "./killers.js";
import { OWN } from "./pieces.js";
import type { SurvivorSweep } from "./survivor-sweep.js";

/**
 * The tips of mitred corners: by arc element, for arcs that are whole, within the limit, and whose tip has nothing nearer
 * than the corner. That keeps each tip in the neighbourhood of its own corner, so no two mitres cross: all discs about the
 * points of a mitre's edge that pass through the corner lie in the two about its ends, and both are empty.
 *
 * @param limit - farthest tip, as a multiple of the distance
 *
 * @internal
 */
export function mitreTips(sweep: SurvivorSweep, d: number, limit: number): Map<number, readonly [number, number]> {
  const { source, pieces, all } = sweep;
  const tips = new Map<number, readonly [number, number]>();
  const frame = newFrame();
  const point = new Float64Array(2);
  for (let p = 0; p < pieces.count; p++) {
    const element = pieces.element[p]!;
    frameOf(source, element, frame);
    if (!frame.isArc || pieces.lowCause[p] !== OWN || pieces.highCause[p] !== OWN) continue;
    const half = pieces.high[p]! / 2;
    const reach = d / Math.cos(half);
    // at a right angle the limit is met exactly: it still counts
    if (!(reach <= limit * d * (1 + 1e-12)) || half >= Math.PI / 2) continue;
    elementPoint(frame, half, reach, point);
    const x = point[0]!;
    const y = point[1]!;
    if (!isFree(all, x, y, reach * (1 - 1e-12) - 1e-15 * source.extent)) continue;
    tips.set(element, [x, y]);
  }
  return tips;
}

// whether nothing of the source lies nearer than the radius
function isFree(all: Killers, x: number, y: number, radius: number): boolean {
  const box = Float64Array.of(x, y, x, y);
  const leaves = new Int32Array(all.leaves);
  const found = all.near(box, radius, leaves);
  for (let i = 0; i < found; i++) {
    const last = Math.min(4 * leaves[i]! + 4, all.count);
    for (let j = 4 * leaves[i]!; j < last; j++) if (squaredTo(all, j, x, y) < radius * radius) return false;
  }
  return true;
}

function squaredTo({ data }: Killers, j: number, x: number, y: number): number {
  const i = STRIDE * j;
  const dx = x - data[i]!;
  const dy = y - data[i + 1]!;
  const along = dx * data[i + 4]! + dy * data[i + 5]!;
  if (along <= 0) return dx * dx + dy * dy;
  if (along >= data[i + 6]!) {
    const ex = x - data[i + 2]!;
    const ey = y - data[i + 3]!;
    return ex * ex + ey * ey;
  }
  const across = dx * data[i + 5]! - dy * data[i + 4]!;
  return across * across;
}
