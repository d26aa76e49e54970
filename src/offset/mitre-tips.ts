import { elementPoint, frameOf, newFrame } from "./element-frame.js";
import type { Killers } from "./killers.js";
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

function squaredTo(all: Killers, j: number, x: number, y: number): number {
  const dx = x - all.x1[j]!;
  const dy = y - all.y1[j]!;
  const along = dx * all.f[j]! + dy * all.g[j]!;
  if (along <= 0) return dx * dx + dy * dy;
  if (along >= all.length[j]!) {
    const ex = x - all.x2[j]!;
    const ey = y - all.y2[j]!;
    return ex * ex + ey * ey;
  }
  const across = dx * all.g[j]! - dy * all.f[j]!;
  return across * across;
}
