import { FeeringError, requirePoints } from "../errors/index.js";
import { checkPolygon, type Point, type Polygon, type Ring, signedArea, union } from "../geometry/index.js";
import { mayTouch } from "./contacts.js";
import { type FlatSource, flatSource } from "./flat-source.js";
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
 * Polygons that overlap or touch are joined first. Rings may touch in points; slits and spikes of no width stay: they are
 * boundary.
 *
 * @internal
 */
export function polygonSource(given: Polygon | readonly Polygon[], argument: string): PolygonSource {
  const polygons: readonly Polygon[] = Array.isArray(given) ? (given as readonly Polygon[]) : [given as Polygon];
  const many = Array.isArray(given);
  const rings = polygons.flatMap((polygon, i) => ringsOf(polygon, many ? `${argument}[${i}]` : argument));
  if (rings.length === 0) return { rings };
  const source = flatSource(rings, true, false);
  const all = allSegments(source);
  if (!mayTouch(source, all) && wellNested(polygons, rings)) return { rings, source, all };
  polygons.forEach((polygon, i) => checkPolygon(polygon, many ? `${argument}[${i}]` : argument));
  if (polygons.length < 2) return { rings, source, all };
  return { rings: union(polygons).flatMap((polygon) => ringsOf(polygon, argument)) };
}

function ringsOf(polygon: Polygon, argument: string): Ring[] {
  const given: Partial<Polygon> | null | undefined = polygon;
  if (given === null || typeof given !== "object" || !Array.isArray(given.holes)) {
    throw new FeeringError("too-few-points", `${argument} is no polygon, needs an exterior ring and a list of holes`, {
      argument,
      value: polygon,
    });
  }
  return [
    wound(polygon.exterior, 1, `${argument}.exterior`),
    ...polygon.holes.map((hole, h) => wound(hole, -1, `${argument}.holes[${h}]`)),
  ];
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

// rings that do not meet: one vertex decides for its ring whether it lies in another
function wellNested(polygons: readonly Polygon[], rings: readonly Ring[]): boolean {
  const boxes = rings.map(boxOf);
  let r = 0;
  const owner = polygons.flatMap((polygon, i) => [polygon.exterior, ...polygon.holes].map(() => i));
  for (; r < rings.length; r++) {
    const isHole = r > 0 && owner[r] === owner[r - 1];
    for (let o = 0; o < rings.length; o++) {
      if (o === r) continue;
      const otherIsExterior = o === 0 || owner[o] !== owner[o - 1];
      const inside = boxInside(boxes[r]!, boxes[o]!) && contains(rings[o]!, rings[r]![0]!);
      const own = owner[r] === owner[o];
      if (isHole && own && otherIsExterior ? !inside : inside) return false;
    }
  }
  return true;
}

type Box = readonly [west: number, south: number, east: number, north: number];

function boxOf(points: Ring): Box {
  let west = Number.POSITIVE_INFINITY;
  let south = Number.POSITIVE_INFINITY;
  let east = Number.NEGATIVE_INFINITY;
  let north = Number.NEGATIVE_INFINITY;
  for (const p of points) {
    west = Math.min(west, p[0]);
    south = Math.min(south, p[1]);
    east = Math.max(east, p[0]);
    north = Math.max(north, p[1]);
  }
  return [west, south, east, north];
}

function boxInside(inner: Box, outer: Box): boolean {
  return inner[0] >= outer[0] && inner[1] >= outer[1] && inner[2] <= outer[2] && inner[3] <= outer[3];
}

function contains(ring: Ring, p: Point): boolean {
  let inside = false;
  let a = ring[ring.length - 1]!;
  for (const b of ring) {
    if (a[1] > p[1] !== b[1] > p[1]) {
      const cross = (a[0] - p[0]) * (b[1] - p[1]) - (b[0] - p[0]) * (a[1] - p[1]);
      if (cross > 0 === b[1] > a[1]) inside = !inside;
    }
    a = b;
  }
  return inside;
}
