import { requireList } from "../errors/index.js";
import { signedArea } from "./area.js";
import { union } from "./boolean-verbs.js";
import { requirePolygon } from "./require-polygon.js";
import { ringContacts } from "./ring-contacts.js";
import type { Point, Polygon, Ring } from "./types.js";

/**
 * The ground that strips cover which a machine swept one after the other: {@link union}, made quick for drives.
 *
 * Strips are quads of four points; one that begins with just the edge with which the one before ended goes on from it. A run
 * of such strips is laid into one polygon by its two sides, as far as these do not cross, and only the runs are united. Turns
 * so tight that a strip folds back on the run begin a new one.
 *
 * @param strips - quads in driving order, metres, open or closed, either way round; one that crosses itself, or that has no
 * area, or another number of corners, is taken as {@link union} takes it
 * @returns polygons that do not overlap, as {@link union}, and as accurate
 * @throws `FeeringError` as {@link union}
 * @example
 * ```ts
 * // two strips of 3 m by 1 m, one after the other
 * unionStrips([[[0, 0], [3, 0], [3, 1], [0, 1]], [[0, 1], [3, 1], [3, 2], [0, 2]]]); // one rectangle of 6 m²
 * ```
 */
export function unionStrips(strips: readonly Ring[]): Polygon[] {
  requireList(strips, "strips");
  const runs: Polygon[] = [];
  let run: Quad[] = [];
  const finish = (): void => {
    if (run.length > 0) layRun(run, 0, run.length, runs);
    run = [];
  };
  strips.forEach((strip, i) => {
    requirePolygon({ exterior: strip, holes: [] }, `strips[${i}]`);
    const corners = quadOf(strip);
    if (corners === undefined) {
      finish();
      runs.push({ exterior: strip, holes: [] });
      return;
    }
    const before = run[run.length - 1];
    const entry = before === undefined ? -1 : entryOf(before, corners, run.length === 1);
    if (entry < 0) {
      finish();
      run.push({ corners, entry: 0, free: true });
    } else {
      run.push({ corners, entry, free: false });
    }
  });
  finish();
  return union(runs);
}

/** A strip, counter-clockwise; it is entered over the edge from corner `entry` on and left over the opposite one. */
interface Quad {
  readonly corners: readonly Point[];
  entry: number;
  /** true while nothing says which way the first strip of a run was driven */
  free: boolean;
}

function quadOf(strip: Ring): readonly Point[] | undefined {
  const n = strip.length;
  const closed = n > 1 && same(strip[0]!, strip[n - 1]!);
  if ((closed ? n - 1 : n) !== 4) return undefined;
  const corners = strip.slice(0, 4);
  // a quad that turns the other way at a corner crosses itself or is dented: no strip to lay edge to edge
  const area = signedArea(corners);
  for (let i = 0; i < 4; i++) {
    const turn = signedArea([corners[i]!, corners[(i + 1) % 4]!, corners[(i + 2) % 4]!]);
    if (!(turn * area > 0)) return undefined;
  }
  return area > 0 ? corners : corners.reverse();
}

/** the edge of a strip that is the exit of the one before, walked the other way; -1 where there is none */
function entryOf(before: Quad, corners: readonly Point[], first: boolean): number {
  for (let exit = 0; exit < 4; exit++) {
    if (!(first && before.free) && exit !== (before.entry + 2) % 4) continue;
    const p = before.corners[exit]!;
    const q = before.corners[(exit + 1) % 4]!;
    for (let entry = 0; entry < 4; entry++) {
      if (!same(corners[entry]!, q) || !same(corners[(entry + 1) % 4]!, p)) continue;
      before.entry = (exit + 2) % 4;
      before.free = false;
      return entry;
    }
  }
  return -1;
}

/** the polygon of a stretch of a run, or of its halves where its sides cross */
function layRun(run: readonly Quad[], from: number, to: number, into: Polygon[]): void {
  const ring: Point[] = [];
  for (let i = from; i < to; i++) {
    const { corners, entry } = run[i]!;
    if (i === from) ring.push(corners[(entry + 1) % 4]!);
    ring.push(corners[(entry + 2) % 4]!);
  }
  for (let i = to - 1; i >= from; i--) {
    const { corners, entry } = run[i]!;
    ring.push(corners[(entry + 3) % 4]!);
    if (i === from) ring.push(corners[entry]!);
  }
  // strips that only touch what came before are united well; strips that cross it are not
  if (to - from > 1 && ringContacts([ring]).length > 0) {
    const middle = (from + to) >> 1;
    layRun(run, from, middle, into);
    layRun(run, middle, to, into);
    return;
  }
  into.push({ exterior: ring, holes: [] });
}

function same(p: Point, q: Point): boolean {
  return p[0] === q[0] && p[1] === q[1];
}
