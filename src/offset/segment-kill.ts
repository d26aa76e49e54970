import { DISC_END, DISC_START, type Kill, STRIP_LEFT, STRIP_RIGHT } from "./kill.js";

/**
 * Where a killer kills the shifted line y = d of a segment that lies along the x axis (x along it, y toward its shifted
 * line). All that lies nearer than d to a segment is a convex capsule, so it is one interval: the least and the greatest
 * of the places where the line passes its two discs and the two sides of its strip.
 *
 * @returns whether there is any; then its ends and what they touch are in `kill`
 *
 * @internal
 */
export function segmentKill(kill: Kill, d: number): boolean {
  // hot: once a piece and killer that passed the filters
  const x1 = kill.killer[0]!;
  const y1 = kill.killer[1]!;
  const f = kill.killer[4]!;
  const g = kill.killer[5]!;
  const length = kill.killer[6]!;
  let from = Number.POSITIVE_INFINITY;
  let to = Number.NEGATIVE_INFINITY;
  let fromPart = DISC_START;
  let toPart = DISC_START;
  const h1 = y1 * (2 * d - y1);
  if (h1 > 0) {
    const r = Math.sqrt(h1);
    from = x1 - r;
    to = x1 + r;
  }
  if (length > 0) {
    const x2 = kill.killer[2]!;
    const y2 = kill.killer[3]!;
    const h2 = y2 * (2 * d - y2);
    if (h2 > 0) {
      const r = Math.sqrt(h2);
      if (x2 - r < from) {
        from = x2 - r;
        fromPart = DISC_END;
      }
      if (x2 + r > to) {
        to = x2 + r;
        toPart = DISC_END;
      }
    }
    if (g !== 0) {
      const base = y1 / g;
      // l: place of the foot along the killer
      const left = (f > 0 ? (d * g) / (1 + f) : (d * (1 - f)) / g) - base;
      if (left >= 0 && left <= length) {
        const t = x1 + left * f - d * g;
        if (t < from) {
          from = t;
          fromPart = STRIP_LEFT;
        }
        if (t > to) {
          to = t;
          toPart = STRIP_LEFT;
        }
      }
      const right = (f < 0 ? (d * g) / (1 - f) : (d * (1 + f)) / g) - base;
      if (right >= 0 && right <= length) {
        const t = x1 + right * f + d * g;
        if (t < from) {
          from = t;
          fromPart = STRIP_RIGHT;
        }
        if (t > to) {
          to = t;
          toPart = STRIP_RIGHT;
        }
      }
    }
  }
  kill.ends[0] = from;
  kill.ends[1] = to;
  kill.parts[0] = fromPart;
  kill.parts[1] = toPart;
  return from < to;
}

/**
 * The same for the neighbour at a reflex joint, by its own form, which loses no digits at the joint: the bisector.
 *
 * @param along - length of the element
 * @param atEnd - whether the joint is the end of the element, else its start
 *
 * @internal
 */
export function reflexKill(kill: Kill, d: number, along: number, atEnd: boolean): void {
  // hot
  const f = kill.killer[4]!;
  const g = Math.abs(kill.killer[5]!);
  const q = f > 0 ? (d * g) / (1 + f) : (d * (1 - f)) / g;
  let reach = q;
  let part = STRIP_LEFT;
  if (q > kill.killer[6]!) {
    // beyond the neighbour: the disc about its far end
    const x = atEnd ? kill.killer[2]! : kill.killer[0]!;
    const y = atEnd ? kill.killer[3]! : kill.killer[1]!;
    const r = Math.sqrt(Math.max(y * (2 * d - y), 0));
    reach = atEnd ? along - x + r : x + r;
    part = atEnd ? DISC_END : DISC_START;
  }
  kill.ends[0] = atEnd ? along - reach : Number.NEGATIVE_INFINITY;
  kill.ends[1] = atEnd ? Number.POSITIVE_INFINITY : reach;
  kill.parts[0] = part;
  kill.parts[1] = part;
}
