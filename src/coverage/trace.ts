import { FAR, type RowRuns } from "./row-runs.js";

/** A traced ring: corners in cells, x0, y0, x1, y1, ..., not closed. */
export interface TracedRing {
  /** corners, in order, interior on the left */
  readonly corners: Int32Array;
  /** twice the area, cells: positive for an exterior, negative for a hole */
  readonly twiceArea: number;
  /** which connected part of the ground it bounds */
  readonly part: number;
}

/** Set in the flag of a joint when its first or its second corner touches another corner of the outline. */
const TOUCH_FIRST = 1;
const TOUCH_SECOND = 2;

/**
 * Outline of a set of cells along the cells' own edges.
 *
 * Ground that meets only corner to corner is not connected: a ring keeps to its own cell there. A ring that comes back
 * to such a corner is cut in two at it, so that no ring passes a point twice: two holes, or a hole and its exterior,
 * may touch in a point, but nothing crosses, and one connected part has one exterior.
 */
export function traceRuns(runs: RowRuns): TracedRing[] {
  const joints = linkEdges(runs);
  const parts = connect(runs);
  const rings: TracedRing[] = [];
  const runCount = runs.ends.length >> 1;
  const seen = new Uint8Array(2 * runCount);
  const loop = new Loop();
  for (let start = 0; start < 2 * runCount; start++) {
    if (seen[start] === 1) continue;
    loop.clear();
    for (let edge = start; seen[edge] === 0; edge = joints.next[edge]!) {
      seen[edge] = 1;
      const to = joints.next[edge]!;
      const x = runs.ends[edge]!;
      const endX = runs.ends[to]!;
      if (x === endX) continue; // straight on
      const flags = joints.flags[edge]!;
      loop.corner(x, joints.y[edge]!, (flags & TOUCH_FIRST) !== 0, rings, parts[start >> 1]!);
      loop.corner(endX, joints.y[edge]!, (flags & TOUCH_SECOND) !== 0, rings, parts[start >> 1]!);
    }
    loop.finish(rings, parts[start >> 1]!);
  }
  return rings;
}

/** For each upright edge (two a run: its west edge walked down, its east edge walked up) the one that follows it. */
interface Joints {
  readonly next: Int32Array;
  /** height at which it goes over to the next */
  readonly y: Int32Array;
  readonly flags: Uint8Array;
}

function linkEdges(runs: RowRuns): Joints {
  const edges = runs.ends.length;
  const joints = { next: new Int32Array(edges), y: new Int32Array(edges), flags: new Uint8Array(edges) };
  const { rows, starts } = runs;
  for (let i = 0; i < rows.length; i++) {
    const row = rows[i]!;
    if (i === 0 || rows[i - 1] !== row - 1) linkLine(runs, joints, row, 0, 0, starts[i]!, starts[i + 1]!);
    const above = i + 1 < rows.length && rows[i + 1] === row + 1;
    const aboveStart = above ? starts[i + 1]! : 0;
    const aboveEnd = above ? starts[i + 2]! : 0;
    linkLine(runs, joints, row + 1, starts[i]!, starts[i + 1]!, aboveStart, aboveEnd);
  }
  return joints;
}

/** Join the edges that end at one horizontal line: east edges of the runs below it, west edges of those above it. */
function linkLine(
  runs: RowRuns,
  joints: Joints,
  y: number,
  belowStart: number,
  belowEnd: number,
  aboveStart: number,
  aboveEnd: number,
): void {
  const ends = runs.ends;
  let m = aboveStart;
  for (let k = belowStart; k < belowEnd; k++) {
    const west = ends[2 * k]!;
    const east = ends[2 * k + 1]!;
    // first run above that reaches to the east end of this one or beyond
    while (m < aboveEnd && ends[2 * m + 1]! < east) m++;
    const edge = 2 * k + 1;
    joints.y[edge] = y;
    if (m < aboveEnd && ends[2 * m]! < east) {
      if (ends[2 * m + 1] === east) {
        joints.next[edge] = 2 * m + 1;
        continue;
      }
      // ground above on both sides: right, eastward under it, to the next run below or to its own end
      const end = ends[2 * m + 1]!;
      const nextWest = k + 1 < belowEnd ? ends[2 * k + 2]! : FAR;
      joints.next[edge] = nextWest < end ? 2 * k + 2 : 2 * m + 1;
      joints.flags[edge] = nextWest === end ? TOUCH_SECOND : 0;
      continue;
    }
    // nothing above: left, westward over its own top, to the end of a run above or of its own
    const touch = m < aboveEnd && ends[2 * m] === east ? TOUCH_FIRST : 0;
    const end = m > aboveStart ? ends[2 * m - 1]! : -FAR;
    joints.next[edge] = end > west ? 2 * m - 1 : 2 * k;
    joints.flags[edge] = touch | (end === west ? TOUCH_SECOND : 0);
  }

  let k = belowEnd - 1;
  for (let a = aboveEnd - 1; a >= aboveStart; a--) {
    const west = ends[2 * a]!;
    const east = ends[2 * a + 1]!;
    // last run below that reaches to the west end of this one or beyond
    while (k >= belowStart && ends[2 * k]! > west) k--;
    const edge = 2 * a;
    joints.y[edge] = y;
    if (k >= belowStart && ends[2 * k + 1]! > west) {
      if (ends[2 * k] === west) {
        joints.next[edge] = 2 * k;
        continue;
      }
      const end = ends[2 * k]!;
      const previousEast = a > aboveStart ? ends[2 * a - 1]! : -FAR;
      joints.next[edge] = previousEast > end ? 2 * a - 1 : 2 * k;
      joints.flags[edge] = previousEast === end ? TOUCH_SECOND : 0;
      continue;
    }
    const touch = k >= belowStart && ends[2 * k + 1] === west ? TOUCH_FIRST : 0;
    const end = k + 1 < belowEnd ? ends[2 * k + 2]! : FAR;
    joints.next[edge] = end < east ? 2 * k + 2 : 2 * a + 1;
    joints.flags[edge] = touch | (end === east ? TOUCH_SECOND : 0);
  }
}

/** Number of the connected part that each run belongs to: runs of neighbouring rows that share a cell edge. */
function connect(runs: RowRuns): Int32Array {
  const { rows, starts, ends } = runs;
  const parent = new Int32Array(ends.length >> 1).map((_, i) => i);
  const root = (k: number): number => {
    let at = k;
    while (parent[at] !== at) {
      parent[at] = parent[parent[at]!]!;
      at = parent[at]!;
    }
    return at;
  };
  for (let i = 0; i + 1 < rows.length; i++) {
    if (rows[i + 1] !== rows[i]! + 1) continue;
    let a = starts[i]!;
    let b = starts[i + 1]!;
    while (a < starts[i + 1]! && b < starts[i + 2]!) {
      if (ends[2 * a]! < ends[2 * b + 1]! && ends[2 * b]! < ends[2 * a + 1]!) parent[root(b)] = root(a);
      if (ends[2 * a + 1]! < ends[2 * b + 1]!) a++;
      else b++;
    }
  }
  return parent.map((_, i) => root(i));
}

/** A walk along the outline that is cut wherever it comes back to a corner where ground touches. */
class Loop {
  private points: number[] = [];
  private readonly touched = new Map<string, number>();

  clear(): void {
    this.points.length = 0;
    this.touched.clear();
  }

  corner(x: number, y: number, touches: boolean, rings: TracedRing[], part: number): void {
    if (touches) {
      const key = `${x} ${y}`;
      const before = this.touched.get(key);
      if (before !== undefined) {
        // the way since then is a ring of its own
        const ring = this.points.splice(before + 2);
        ring.push(x, y);
        for (let i = 0; i < ring.length - 2; i += 2) this.touched.delete(`${ring[i]!} ${ring[i + 1]!}`);
        addRing(ring, rings, part);
        return;
      }
      this.touched.set(key, this.points.length);
    }
    this.points.push(x, y);
  }

  finish(rings: TracedRing[], part: number): void {
    addRing(this.points, rings, part);
  }
}

function addRing(points: readonly number[], rings: TracedRing[], part: number): void {
  if (points.length < 8) return;
  let twiceArea = 0;
  let px = points[points.length - 2]!;
  let py = points[points.length - 1]!;
  for (let i = 0; i < points.length; i += 2) {
    twiceArea += px * points[i + 1]! - points[i]! * py;
    px = points[i]!;
    py = points[i + 1]!;
  }
  rings.push({ corners: Int32Array.from(points), twiceArea, part });
}
