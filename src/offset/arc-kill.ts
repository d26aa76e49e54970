import { ANY_PART, DISC_END, DISC_START, type Kill, STRIP_LEFT, STRIP_RIGHT } from "./kill.js";

/**
 * Where a killer kills the circle of radius d about the origin: one connected arc about the direction of the killer's
 * nearest point. Angles run from the y axis toward the x axis, radians.
 *
 * The killer must not pass through the origin; directions are taken from the killer's normal, never from the foot, which
 * cancels.
 *
 * @returns whether there is any; then its ends and what they touch are in `kill`
 *
 * @internal
 */
export function arcKill(kill: Kill, d: number): boolean {
  // hot: once an arc and killer that passed the filters
  const part = kill.parts[0]!;
  if (part === ANY_PART) return capsuleKill(kill, d);
  return part === STRIP_LEFT ? stripKill(kill, d) : discKill(kill, d, part);
}

// for an arc all of whose feet lie in the strip
function stripKill(kill: Kill, d: number): boolean {
  const f = kill.killer[4]!;
  const g = kill.killer[5]!;
  const height = g * kill.killer[0]! - f * kill.killer[1]!;
  const h = Math.abs(height) / d;
  if (h >= 2) return false;
  const middle = height > 0 ? Math.atan2(g, -f) : Math.atan2(-g, f);
  const w = Math.acos(h - 1);
  kill.ends[0] = middle - w;
  kill.ends[1] = middle + w;
  const part = height > 0 ? STRIP_LEFT : STRIP_RIGHT;
  kill.parts[0] = part;
  kill.parts[1] = part;
  return true;
}

// for an arc all of whose feet lie beyond one end
function discKill(kill: Kill, d: number, part: number): boolean {
  const x = kill.killer[part === DISC_START ? 0 : 2]!;
  const y = kill.killer[part === DISC_START ? 1 : 3]!;
  const distance = Math.sqrt(x * x + y * y);
  if (distance >= 2 * d) return false;
  const middle = Math.atan2(x, y);
  const w = Math.acos(distance / (2 * d));
  kill.ends[0] = middle - w;
  kill.ends[1] = middle + w;
  kill.parts[0] = part;
  kill.parts[1] = part;
  return true;
}

function capsuleKill(kill: Kill, d: number): boolean {
  const x1 = kill.killer[0]!;
  const y1 = kill.killer[1]!;
  const f = kill.killer[4]!;
  const g = kill.killer[5]!;
  const length = kill.killer[6]!;
  const towardStart = Math.atan2(x1, y1);
  const distance1 = Math.sqrt(x1 * x1 + y1 * y1);
  let from = Number.POSITIVE_INFINITY;
  let to = Number.NEGATIVE_INFINITY;
  let fromPart = DISC_START;
  let toPart = DISC_START;
  let reference = towardStart;
  if (length === 0) {
    if (distance1 >= 2 * d) return false;
    const w = Math.acos(distance1 / (2 * d));
    from = -w;
    to = w;
  } else {
    const x2 = kill.killer[2]!;
    const y2 = kill.killer[3]!;
    const foot = -(x1 * f + y1 * g);
    const height = g * x1 - f * y1;
    // unit normal from the origin toward the killer
    const tx = height > 0 ? g : -g;
    const ty = height > 0 ? -f : f;
    const towardLine = Math.atan2(tx, ty);
    const towardEnd = Math.atan2(x2, y2);
    if (foot > 0) reference = foot < length ? towardLine : towardEnd;
    if (distance1 < 2 * d) {
      const c = wrapped(towardStart - reference);
      const w = Math.acos(distance1 / (2 * d));
      from = c - w;
      to = c + w;
    }
    const distance2 = Math.sqrt(x2 * x2 + y2 * y2);
    if (distance2 < 2 * d) {
      const c = wrapped(towardEnd - reference);
      const w = Math.acos(distance2 / (2 * d));
      if (c - w < from) {
        from = c - w;
        fromPart = DISC_END;
      }
      if (c + w > to) {
        to = c + w;
        toPart = DISC_END;
      }
    }
    const h = Math.abs(height) / d;
    if (h < 2) {
      const c = wrapped(towardLine - reference);
      const w = Math.acos(h - 1);
      const along = d * Math.sqrt(h * (2 - h));
      // going on in angle leads along the killer against the sign of the height
      const part = height > 0 ? STRIP_LEFT : STRIP_RIGHT;
      const step = height > 0 ? -along : along;
      if (foot - step >= 0 && foot - step <= length && c - w < from) {
        from = c - w;
        fromPart = part;
      }
      if (foot + step >= 0 && foot + step <= length && c + w > to) {
        to = c + w;
        toPart = part;
      }
    }
  }
  kill.ends[0] = reference + from;
  kill.ends[1] = reference + to;
  kill.parts[0] = fromPart;
  kill.parts[1] = toPart;
  return from < to;
}

function wrapped(angle: number): number {
  if (angle > Math.PI) return angle - 2 * Math.PI;
  if (angle <= -Math.PI) return angle + 2 * Math.PI;
  return angle;
}
