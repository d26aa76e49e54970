import { boundsOf, footOnSegment, segmentCrossing } from "../geometry/index.js";
import type { Line, Point } from "../geometry/types.js";

/** Two places of a track that a lap may close between. */
export interface Contact {
  /** metres between them, 0 where the track crosses itself */
  readonly gap: number;
  /** segment of the earlier place */
  readonly early: number;
  /** the earlier place, metres */
  readonly from: Point;
  /** metres along the track to the earlier place */
  readonly start: number;
  /** segment of the later place */
  readonly late: number;
  /** the later place, metres */
  readonly to: Point;
  /** metres along the track to the later place */
  readonly end: number;
}

/** What counts as a contact, all in metres. */
export interface ContactLimits {
  /** farthest apart */
  readonly maximumGap: number;
  /** how far along the track the earlier place may lie */
  readonly maximumInRun: number;
  /** least length of track between the two */
  readonly minimumLap: number;
}

/**
 * Where a track comes back to its first stretch. While it stays near, that is one contact: the first crossing in it,
 * or without one the place of the smallest gap.
 *
 * @param track - metres, neighbours differ
 * @param stations - metres along the track at each point
 * @param limits - what counts
 * @returns contacts in the order of driving
 */
export function contacts(track: Line, stations: readonly number[], limits: ContactLimits): Contact[] {
  const found: Contact[] = [];
  let current: Contact | undefined;
  const stretch = track.filter((_, i) => i === 0 || stations[i - 1]! <= limits.maximumInRun);
  const { minX, minY, maxX, maxY } = boundsOf(stretch);
  const low: Point = [minX, minY];
  const high: Point = [maxX, maxY];
  for (let late = 1; late + 1 < track.length; late++) {
    const far = boxGap(low, high, track[late]!, track[late + 1]!) > limits.maximumGap;
    const here = far ? undefined : nearestEarly(track, stations, late, limits);
    if (here !== undefined) {
      if (current === undefined || (here.gap < current.gap && current.gap > 0)) current = here;
    } else if (current !== undefined) {
      found.push(current);
      current = undefined;
    }
  }
  if (current !== undefined) found.push(current);
  return found;
}

function nearestEarly(
  track: Line,
  stations: readonly number[],
  late: number,
  limits: ContactLimits,
): Contact | undefined {
  const reach = Math.min(limits.maximumInRun, stations[late]! - limits.minimumLap);
  const c = track[late]!;
  const d = track[late + 1]!;
  let best: Contact | undefined;
  for (let early = 0; early < late && stations[early]! <= reach; early++) {
    const a = track[early]!;
    const whole = track[early + 1]!;
    const bound = best?.gap ?? limits.maximumGap;
    if (boxGap(a, whole, c, d) > bound) continue;
    const span = stations[early + 1]! - stations[early]!;
    const share = Math.min(1, (reach - stations[early]!) / span);
    const b: Point = share === 1 ? whole : [a[0] + (whole[0] - a[0]) * share, a[1] + (whole[1] - a[1]) * share];
    const pair = closest(a, b, c, d);
    if (pair.gap > bound) continue;
    const end = stations[late]! + (stations[late + 1]! - stations[late]!) * pair.u;
    // of equal gaps the earlier place on the late segment
    if (best === undefined || pair.gap < best.gap || end < best.end) {
      const start = stations[early]! + span * share * pair.t;
      best = { gap: pair.gap, early, from: pair.from, start, late, to: pair.to, end };
    }
  }
  return best;
}

interface Pair {
  readonly gap: number;
  readonly from: Point;
  readonly to: Point;
  /** place on the first segment, 0 to 1 */
  readonly t: number;
  /** place on the second segment, 0 to 1 */
  readonly u: number;
}

/** The two points of two segments that are nearest to each other. */
function closest(a: Point, b: Point, c: Point, d: Point): Pair {
  const met = segmentCrossing(c, d, a, b);
  if (met.kind !== "none") {
    const at = met.kind === "point" ? met.point : met.from;
    return { gap: 0, from: at, to: at, t: shareOf(a, b, at), u: shareOf(c, d, at) };
  }
  let best: Pair | undefined;
  const offer = (from: Point, to: Point): void => {
    const gap = Math.hypot(to[0] - from[0], to[1] - from[1]);
    if (best === undefined || gap < best.gap) best = { gap, from, to, t: shareOf(a, b, from), u: shareOf(c, d, to) };
  };
  offer(footOnSegment(c, a, b), c);
  offer(footOnSegment(d, a, b), d);
  offer(a, footOnSegment(a, c, d));
  offer(b, footOnSegment(b, c, d));
  return best!;
}

function shareOf(a: Point, b: Point, p: Point): number {
  const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
  return length === 0 ? 0 : Math.min(1, Math.hypot(p[0] - a[0], p[1] - a[1]) / length);
}

// distance of the boxes of two segments: no more than that of the segments
function boxGap(a: Point, b: Point, c: Point, d: Point): number {
  // hot: every late segment against the whole first stretch
  const x = Math.max(Math.min(a[0], b[0]) - Math.max(c[0], d[0]), Math.min(c[0], d[0]) - Math.max(a[0], b[0]), 0);
  const y = Math.max(Math.min(a[1], b[1]) - Math.max(c[1], d[1]), Math.min(c[1], d[1]) - Math.max(a[1], b[1]), 0);
  return Math.max(x, y);
}
