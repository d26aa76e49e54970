import { footOnSegment, type Point } from "../geometry/index.js";
import type { Bend } from "./drivable-line-clothoid.js";
import type { Corners } from "./drivable-line-radii.js";
import { departure } from "./drivable-line-departure.js";
import { CURVATURE_SLACK, type Drawn, direction } from "./drivable-line-drawn.js";
import type { DrivableLine, DrivablePlace, ShortTransition, TightBend } from "./drivable-line-types.js";

/** Share of the larger sum of turns above which turns the other way make a zigzag of a tight bend. */
const BOTH_WAYS = 0.1;

interface Settings {
  readonly radius: number;
  readonly length: number;
  readonly tolerance: number;
  readonly width: number;
  readonly closed: boolean;
}

/**
 * Measure a drawn line against the one given, and put both back to where they were.
 *
 * @param source - the line given, near the origin, without repetitions
 * @param stations - of its vertices, and its length
 * @param origin - added to every point
 * @internal
 */
export function reportOn(
  source: readonly Point[],
  stations: Float64Array,
  corners: Corners,
  drawn: Drawn,
  settings: Settings,
  origin: Point,
): DrivableLine {
  const { radius, length, closed } = settings;
  const place = (p: Point): Point => [p[0] + origin[0], p[1] + origin[1]];
  const { places, largestGap, largestOverlap } = findPlaces(source, stations, corners, drawn, settings, place);
  const tight = radius > 0 ? findTight(corners, stations, closed, place) : [];
  for (const { corner, at, radius: driven, end } of drawn.sharp) {
    const station = stations[corners.sources[corner]!]!;
    tight.push({ at: place(at), station, radius: driven, reason: end ? "end" : "hairpin" });
  }
  tight.sort(byStation);
  const shortened = drawn.fast
    .map(
      ({ corner, at, rate }): ShortTransition => ({
        at: place(at),
        station: stations[corners.sources[corner]!]!,
        length: 1 / (radius * rate),
      }),
    )
    .sort(byStation);
  return {
    points: finish(drawn.xy, closed, place),
    closed,
    drivable: tight.length === 0 && shortened.length === 0 && !(drawn.curvature * radius > 1 + CURVATURE_SLACK),
    report: {
      largestGap,
      largestOverlap,
      places,
      maximumCurvature: drawn.curvature,
      maximumCurvatureRate: length === 0 && drawn.curvature > 0 ? Number.POSITIVE_INFINITY : drawn.rate,
      tight,
      shortened,
    },
  };
}

function byStation(a: { readonly station: number }, b: { readonly station: number }): number {
  return a.station - b.station;
}

function findPlaces(
  source: readonly Point[],
  stations: Float64Array,
  corners: Corners,
  drawn: Drawn,
  settings: Settings,
  place: (p: Point) => Point,
): { places: DrivablePlace[]; largestGap: number; largestOverlap: number } {
  const { closed, tolerance } = settings;
  const { joined } = drawn;
  const m = corners.points.length;
  const places: DrivablePlace[] = [];
  let largestGap = 0;
  let largestOverlap = 0;
  const loop = closed && joined.indexOf(0) < 0;
  const start = closed ? (loop ? 0 : (joined.indexOf(0) + 1) % m) : 1;
  const count = closed ? m : m - 2;
  for (let k = 0; k < count; ) {
    const i = (start + k) % m;
    let size = 1;
    while (k + size < count && joined[(i + size - 1) % m] === 1) size++;
    k += size;
    const found = measure(source, stations, corners, drawn, settings, i, size, loop);
    largestGap = Math.max(largestGap, found.gap);
    largestOverlap = Math.max(largestOverlap, found.overlap);
    if (!(found.gap > tolerance || found.overlap > tolerance)) continue;
    let turn = 0;
    for (let c = 0; c < size; c++) turn += 2 * Math.atan(corners.tangents[(i + c) % m]!);
    places.push({
      at: place(found.at),
      station: found.station,
      angle: Math.max(0, 180 - Math.abs((turn * 180) / Math.PI)),
      gap: found.gap,
      overlap: found.overlap,
    });
  }
  return { places: places.sort(byStation), largestGap, largestOverlap };
}

interface Measured {
  readonly gap: number;
  readonly overlap: number;
  readonly at: Point;
  readonly station: number;
}

function measure(
  source: readonly Point[],
  stations: Float64Array,
  corners: Corners,
  drawn: Drawn,
  settings: Settings,
  first: number,
  size: number,
  loop: boolean,
): Measured {
  const n = source.length;
  const m = corners.points.length;
  const last = (first + size - 1) % m;
  // the source's edges on which the place starts and ends
  const before = loop ? n - 1 : corners.edges[(first + m - 1) % m]!;
  const after = loop ? n - 1 : corners.edges[last]!;
  const bend = drawn.bends[first];
  if (size === 1 && bend !== undefined && (before + 1) % n === after) {
    const plain = plainBend(Math.abs(corners.tangents[first]!), bend, settings.width);
    if (plain !== undefined) return { ...plain, at: source[after]!, station: stations[after]! };
  }
  const made: Point[] = [];
  const total = drawn.xy.length / 2;
  const from = drawn.first[first]!;
  const to = drawn.last[last]!;
  let steps = (to - from + total) % total;
  // once round, when the only straight between two places is just long enough
  if (steps === 0 && settings.closed && size > 1) steps = total;
  for (let k = 0, p = from; k <= steps; k++, p = (p + 1) % total) made.push([drawn.xy[2 * p]!, drawn.xy[2 * p + 1]!]);
  const given: Point[] = [loop ? source[n - 1]! : onEdge(source, before, made[0]!)];
  for (let v = (before + 1) % n; ; v = (v + 1) % n) {
    given.push(source[v]!);
    if (v === after) break;
  }
  if (!loop) given.push(onEdge(source, after, made[made.length - 1]!));
  else made.push(made[0]!);
  // the straights beside, as far as a swath's edge can look
  const u = direction(corners.points[(first + m - 1) % m]!, corners.points[first]!);
  const v = direction(corners.points[last]!, corners.points[(last + 1) % m]!);
  const reach = loop ? 0 : settings.width;
  const inner = reach > 0 ? 1 : 0;
  if (reach > 0) {
    const a = made[0]!;
    const b = made[made.length - 1]!;
    const ahead: Point = [a[0] - reach * u[0], a[1] - reach * u[1]];
    const behind: Point = [b[0] + reach * v[0], b[1] + reach * v[1]];
    for (const line of [made, given]) {
      line.unshift(ahead);
      line.push(behind);
    }
  }
  const found = departure(
    given,
    [inner, given.length - 1 - inner],
    made,
    [inner, made.length - 1 - inner],
    settings.width,
    settings.tolerance / 4,
  );
  const vertex = (before + Math.max(0, found.segment - inner)) % n;
  const base = source[vertex]!;
  const lap = stations[n]!;
  const station = stations[vertex]! + Math.hypot(found.at[0] - base[0], found.at[1] - base[1]);
  return { ...found, station: settings.closed && station >= lap ? station - lap : station };
}

// the point of an edge of the source that is nearest to a point of the new line
function onEdge(source: readonly Point[], edge: number, p: Point): Point {
  return footOnSegment(p, source[edge]!, source[(edge + 1) % source.length]!);
}

// gap and overlap of a single bend between straights, in closed form; none where the swath reaches past the centre of clothoids
function plainBend(half: number, bend: Bend, width: number): { gap: number; overlap: number } | undefined {
  const { radius, shift } = bend;
  if (half === 0 || radius === 0) return { gap: 0, overlap: 0 };
  const secant = Math.hypot(1, half);
  const gap = (radius * half * half) / (1 + secant) + shift * secant;
  const inner = radius - width / 2;
  if (inner >= 0) return { gap, overlap: (inner * half * half) / (secant * (1 + secant)) + shift };
  return bend.transition === 0 ? { gap, overlap: 0 } : undefined;
}

function findTight(corners: Corners, stations: Float64Array, closed: boolean, place: (p: Point) => Point): TightBend[] {
  const { points, tangents, radii, tight } = corners;
  const m = points.length;
  const out: TightBend[] = [];
  const free = closed ? Math.max(0, tight.indexOf(0)) : 0;
  for (let k = 0; k < m; ) {
    if (tight[(free + k) % m] === 0) {
      k++;
      continue;
    }
    let worst = (free + k) % m;
    let left = 0;
    let right = 0;
    let end = false;
    for (; k < m && tight[(free + k) % m] === 1; k++) {
      const i = (free + k) % m;
      if (radii[i]! < radii[worst]!) worst = i;
      const turn = 2 * Math.atan(tangents[i]!);
      if (turn > 0) left += turn;
      else right -= turn;
      if (!closed && (i === 1 || i === m - 2)) {
        const other = points[i === 1 ? 0 : m - 1]!;
        const leg = Math.hypot(points[i]![0] - other[0], points[i]![1] - other[1]);
        if (radii[i]! * Math.abs(tangents[i]!) > leg * (1 - 1e-9)) end = true;
      }
    }
    const both = Math.min(left, right) > BOTH_WAYS * Math.max(left, right);
    out.push({
      at: place(points[worst]!),
      station: stations[corners.sources[worst]!]!,
      radius: radii[worst]!,
      reason: both ? "zigzag" : end ? "end" : "hairpin",
    });
  }
  return out;
}

// points in place, none twice; a ring from where it was given to start
function finish(xy: readonly number[], closed: boolean, place: (p: Point) => Point): Point[] {
  const total = xy.length / 2;
  let start = 0;
  if (closed) {
    let best = Number.POSITIVE_INFINITY;
    for (let i = 0; i < total; i++) {
      const d = Math.hypot(xy[2 * i]!, xy[2 * i + 1]!);
      if (d < best) {
        best = d;
        start = i;
      }
    }
  }
  const out: Point[] = [];
  let lastX = Number.NaN;
  let lastY = Number.NaN;
  for (let k = 0; k < total; k++) {
    const i = (start + k) % total;
    const x = xy[2 * i]!;
    const y = xy[2 * i + 1]!;
    if (Math.hypot(x - lastX, y - lastY) < 1e-7) {
      // the end of an open line stands as it was given
      if (k === total - 1 && !closed && out.length > 1) out[out.length - 1] = place([x, y]);
      continue;
    }
    out.push(place([x, y]));
    lastX = x;
    lastY = y;
  }
  if (closed) {
    const a = out[0]!;
    const b = out[out.length - 1]!;
    if (Math.hypot(a[0] - b[0], a[1] - b[1]) < 1e-7) out.pop();
    out.push(a);
  }
  return out;
}
