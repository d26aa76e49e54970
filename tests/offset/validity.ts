import { orient2d } from "robust-predicates";
import { DistanceField } from "./distance-field.js";
import type { Chain } from "./judgement.js";

/** What is wrong with chains as drawings: they must be simple, without repeats and spikes. */
export interface Validity {
  /** pairs of segments that cross at a point within both */
  readonly crossings: string[];
  /** pairs that lie on one another over a length, neighbours that turn back on themselves with them */
  readonly overlaps: string[];
  /** pairs, not neighbours, that touch without crossing */
  readonly touches: string[];
  /** consecutive points nearer than `shortest` */
  readonly repeats: string[];
}

/** Checks all chains together: also one against another. */
export function checkValidity(chains: readonly Chain[], shortest: number): Validity {
  const flat: number[] = [];
  const chainOf: number[] = [];
  const before: number[] = [];
  const repeats: string[] = [];
  chains.forEach((chain, c) => {
    const p = chain.points;
    const first = chainOf.length;
    const n = p.length - 1;
    for (let i = 0; i < n; i++) {
      const a = p[i]!;
      const b = p[i + 1]!;
      if (!(Math.hypot(b[0] - a[0], b[1] - a[1]) > shortest)) {
        repeats.push(
          `chain ${c} points ${i} and ${i + 1} of ${p.length} at ${a[0]} ${a[1]}: ${Math.hypot(b[0] - a[0], b[1] - a[1])} m`,
        );
      }
      flat.push(a[0], a[1], b[0], b[1]);
      before.push(i > 0 ? first + i - 1 : chain.closed ? first + n - 1 : -1);
      chainOf.push(c);
    }
  });
  const crossings: string[] = [];
  const overlaps: string[] = [];
  const touches: string[] = [];
  // the origin stays at zero: predicates must see the coordinates as they were given
  const tree = new DistanceField(Float64Array.from(flat), 0, 0);
  const s = tree.segments;
  for (let i = 0; i < tree.count; i++) {
    const ax = s[i * 4]!;
    const ay = s[i * 4 + 1]!;
    const bx = s[i * 4 + 2]!;
    const by = s[i * 4 + 3]!;
    tree.inBox(Math.min(ax, bx), Math.min(ay, by), Math.max(ax, bx), Math.max(ay, by), (j) => {
      if (j <= i) return;
      const cx = s[j * 4]!;
      const cy = s[j * 4 + 1]!;
      const dx = s[j * 4 + 2]!;
      const dy = s[j * 4 + 3]!;
      const c = orient2d(ax, ay, bx, by, cx, cy);
      const d = orient2d(ax, ay, bx, by, dx, dy);
      const a = orient2d(cx, cy, dx, dy, ax, ay);
      const b = orient2d(cx, cy, dx, dy, bx, by);
      const where = `chain ${chainOf[i]} and ${chainOf[j]} at ${ax} ${ay}`;
      const follows = before[j] === i;
      const precedes = before[i] === j;
      if (c === 0 && d === 0) {
        if (follows || precedes) {
          // neighbours on one line: straight on is right, back is a spike
          if ((bx - ax) * (dx - cx) + (by - ay) * (dy - cy) < 0) overlaps.push(`spike: ${where}`);
          return;
        }
        const along = Math.abs(bx - ax) > Math.abs(by - ay);
        const low = along ? Math.max(Math.min(ax, bx), Math.min(cx, dx)) : Math.max(Math.min(ay, by), Math.min(cy, dy));
        const high = along
          ? Math.min(Math.max(ax, bx), Math.max(cx, dx))
          : Math.min(Math.max(ay, by), Math.max(cy, dy));
        if (low < high) overlaps.push(where);
        else if (low === high) touches.push(where);
        return;
      }
      if (follows || precedes) return;
      if (c > 0 !== d > 0 && c !== 0 && d !== 0 && a > 0 !== b > 0 && a !== 0 && b !== 0) crossings.push(where);
      else if (c * d <= 0 && a * b <= 0) touches.push(where);
    });
  }
  return { crossings, overlaps, touches, repeats };
}
