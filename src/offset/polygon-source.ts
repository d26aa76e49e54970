import { FeeringError, requirePoints } from "../errors/index.js";
import { checkPolygon, type Point, type Polygon, type Ring, signedArea } from "../geometry/index.js";
import { mayTouch } from "./contacts.js";
import { type FlatSource, flatSource } from "./flat-source.js";
import { joinTouching } from "./join-touching.js";
import type { RingSet } from "./ring-set.js";
import { uncross } from "./uncross.js";
import { windingAt } from "./winding.js";
import { allSegments, type Killers } from "./killers.js";

/** Rings as an offset takes them; their flat source and tree, where the check made them. @internal */
export interface PolygonSource {
  /** open, exteriors counter-clockwise, holes clockwise */
  readonly rings: readonly Ring[];
  readonly source?: FlatSource;
  readonly all?: Killers;
}

/**
 * The rings of polygons, open, exteriors counter-clockwise and holes clockwise, checked.
 *
 * Polygons that overlap or touch are joined first. Rings may touch in points; slits and spikes of no width stay, but where
 * polygons are joined: they are boundary.
 *
 * @internal
 */
export function polygonSource(given: Polygon | readonly Polygon[], argument: string): PolygonSource {
  const polygons: readonly Polygon[] = Array.isArray(given) ? (given as readonly Polygon[]) : [given as Polygon];
  const many = Array.isArray(given);
  const named = (i: number): string => (many ? `${argument}[${i}]` : argument);
  const parts: Ring[][] = [];
  // by index: map passes over the gaps of a sparse list
  for (let i = 0; i < polygons.length; i++) parts.push(ringsOf(polygons[i]!, named(i)));
  const rings = parts.flat();
  if (rings.length === 0) return { rings };
  const source = flatSource(rings, true, false);
  const all = allSegments(source);
  if (!mayTouch(ringSetOf(source, all)) && wellNested(polygons, rings, source, all)) return { rings, source, all };
  const checked = polygons.map((polygon, i) => checkPolygon(polygon, named(i)));
  let joined: Polygon[] = [];
  let apart = parts.map((_, i) => i);
  if (polygons.length > 1) {
    const vertices = parts.map((part) => part.reduce((sum, ring) => sum + ring.length, 0));
    ({ joined, apart } = joinTouching(polygons, source, all, vertices));
  }
  const kept = apart.map((i) => uncrossed(parts[i]!, checked[i]!, argument));
  if (joined.length === 0 && kept.every((part, i) => part === parts[i])) return { rings, source, all };
  return { rings: [...joined.flatMap((polygon) => ringsOf(polygon, argument)), ...kept.flat()] };
}

// the check lets arms of a spike pass that cross over by less than it cleans away
function uncrossed(rings: Ring[], checked: Polygon, argument: string): Ring[] {
  const simple: Ring[] = [];
  for (const ring of rings) {
    const free = uncross(ring);
    if (free === undefined) return ringsOf(checked, argument);
    simple.push(free);
  }
  return simple.every((ring, r) => ring === rings[r]) ? rings : simple;
}

function ringsOf(polygon: Polygon, argument: string): Ring[] {
  const given: Partial<Polygon> | null | undefined = polygon;
  if (given === null || typeof given !== "object" || !Array.isArray(given.holes)) {
    throw new FeeringError("too-few-points", `${argument} is no polygon, needs an exterior ring and a list of holes`, {
      argument,
      value: polygon,
    });
  }
  const rings = [wound(polygon.exterior, 1, `${argument}.exterior`)];
  for (let h = 0; h < polygon.holes.length; h++) {
    rings.push(wound(polygon.holes[h]!, -1, `${argument}.holes[${h}]`));
  }
  return rings;
}

function wound(ring: Ring, sign: 1 | -1, argument: string): Ring {
  requirePoints(ring, argument, 3);
  const points: Point[] = [];
  for (const p of ring) {
    const last = points[points.length - 1];
    if (last === undefined || last[0] !== p[0] || last[1] !== p[1]) points.push(p);
  }
  while (points.length > 1 && same(points[0]!, points[points.length - 1]!)) points.pop();
  if (points.length < 3) {
    throw new FeeringError("too-few-points", `${argument} has ${points.length} distinct vertices, needs 3`, {
      argument,
      value: points.length,
    });
  }
  const area = signedArea(points);
  if (area === 0) {
    throw new FeeringError("degenerate", `${argument} has no area: its ${ring.length} points lie on one line`, {
      argument,
    });
  }
  return area * sign < 0 ? points.reverse() : points;
}

function same(a: Point, b: Point): boolean {
  return a[0] === b[0] && a[1] === b[1];
}

// rings that do not meet: one vertex decides for its ring in which others it lies. A hole is wound round once by the other
// rings of its polygon, an exterior never, and both never by the rings of other polygons
function wellNested(polygons: readonly Polygon[], rings: readonly Ring[], source: FlatSource, all: Killers): boolean {
  const polygonOf = new Int32Array(source.size);
  const ringOf = new Int32Array(source.size);
  const firsts: number[] = [];
  let k = 0;
  let r = 0;
  polygons.forEach((polygon, p) => {
    for (let h = 0; h <= polygon.holes.length; h++, r++) {
      firsts.push(k);
      const end = k + rings[r]!.length;
      polygonOf.fill(p, k, end);
      ringOf.fill(r, k, end);
      k = end;
    }
  });
  return firsts.every((first, ring) => {
    const isHole = ring > 0 && polygonOf[firsts[ring - 1]!] === polygonOf[first];
    const own = windingAt(
      all,
      source.x[first]!,
      source.y[first]!,
      (segment) => polygonOf[segment] === polygonOf[first] && ringOf[segment] !== ring,
    );
    if (own !== (isHole ? 1 : 0)) return false;
    if (polygons.length < 2) return true;
    return (
      windingAt(all, source.x[first]!, source.y[first]!, (segment) => polygonOf[segment] !== polygonOf[first]) === 0
    );
  });
}

function ringSetOf({ size, x, y, next }: FlatSource, { boxes, levels }: Killers): RingSet {
  return { size, x, y, next, boxes, levels };
}
