import { FeeringError, requireNumber, requireObject, requirePoint, requirePoints } from "../errors/index.js";
import { checkPolygon, type Line, type Point, type Polygon, union } from "../geometry/index.js";
import { offsetPolygon } from "../offset/index.js";
import { TUBE, tubesOf } from "./tube.js";

/** What a buffer zone lies about. */
export interface BufferSources {
  /** lines, such as the edge of a watercourse or of a neighbour's field, metres; a loop repeats its first point */
  readonly lines?: readonly Line[];
  /** surfaces, such as a pond; the zone includes them, metres */
  readonly polygons?: readonly Polygon[];
  /** single points, such as a well, metres */
  readonly points?: readonly Point[];
}

/** Options of {@link bufferZone}. */
export interface BufferZoneOptions {
  /** largest gap between an arc and the chords that stand for it, metres, at most 0.05; default 1e-4 */
  readonly tolerance?: number;
}

/**
 * All ground within a distance of water, of a neighbour's edge or of anything else given by lines, polygons or points:
 * ground in which sections must be off. Hand it to section control as closed ground.
 *
 * It reaches on both sides of a line and round its ends, includes the polygons themselves, and joins what overlaps. It is never
 * narrower than the width, and wider by no more than 0.3 mm and the tolerance.
 *
 * This is geometry, not compliance: which width a product's label, a watercourse and the local rules ask for, and from which line
 * it counts, comes first and is the user's to know.
 *
 * @param sources - lines, polygons, points, metres
 * @param width - metres
 * @param options - flattening of arcs
 * @returns polygons that do not overlap, rings closed, exteriors counter-clockwise, holes clockwise; empty for no sources
 * @throws `FeeringError` `not-finite`, `out-of-range` for a width that is not above 0, `too-few-points`, `degenerate`, and as
 * `checkPolygon`
 * @example
 * ```ts
 * bufferZone({ lines: [[[0, 0], [100, 0]]] }, 5); // one polygon of 100 x 10 m with round ends
 * ```
 */
export function bufferZone(sources: BufferSources, width: number, options: BufferZoneOptions = {}): Polygon[] {
  if (sources === null || typeof sources !== "object") {
    throw new FeeringError("too-few-points", "sources is no object, needs lines, polygons or points", {
      argument: "sources",
      value: sources,
    });
  }
  requireNumber(width, "width", { above: 0 });
  requireObject(options, "options");
  const tolerance =
    options.tolerance === undefined
      ? 1e-4
      : requireNumber(options.tolerance, "options.tolerance", { above: 0, max: 0.05 });
  const lines = list(sources.lines, "sources.lines");
  const polygons = list(sources.polygons, "sources.polygons");
  const points = list(sources.points, "sources.points");
  lines.forEach((line, i) => requirePoints(line, `sources.lines[${i}]`, 2));
  points.forEach((point, i) => requirePoint(point, "sources.points", i));
  const surfaces = polygons.map((polygon, i) => checkPolygon(polygon, `sources.polygons[${i}]`));
  // chords lie inside their arcs: so much farther out, they are no nearer than the width
  const zones = surfaces.flatMap((surface) => offsetPolygon(surface, width + tolerance, { tolerance }));
  for (const line of lines) {
    for (const tube of tubesOf(line))
      zones.push(...offsetPolygon(tube, width + Math.max(0, tolerance - TUBE), { tolerance }));
  }
  for (const point of points) zones.push(disc(point, width, tolerance));
  return zones.length > 1 ? union(zones) : zones;
}

function list<T>(given: readonly T[] | undefined, argument: string): readonly T[] {
  if (given === undefined) return [];
  const isList: boolean = Array.isArray(given);
  if (!isList) {
    throw new FeeringError("too-few-points", `${argument} is no list`, { argument, value: given });
  }
  return given;
}

// chords touch the circle from outside
function disc(centre: Point, radius: number, tolerance: number): Polygon {
  const count = Math.max(8, Math.ceil(Math.PI / Math.acos(radius / (radius + tolerance))));
  const reach = radius / Math.cos(Math.PI / count);
  const exterior: Point[] = [];
  for (let k = 0; k < count; k++) {
    const angle = (2 * Math.PI * k) / count;
    exterior.push([centre[0] + reach * Math.cos(angle), centre[1] + reach * Math.sin(angle)]);
  }
  exterior.push(exterior[0]!);
  return { exterior, holes: [] };
}
