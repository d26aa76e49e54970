import type { GeographicPosition } from "../../frames/position.js";
import { type Point, pointInPolygon } from "../../geometry/index.js";
import { across, distinctPlaces, samePlace } from "../rings.js";
import type { TaskLineString, TaskPoint } from "./task-shapes.js";
import { keptElement, rawError, type RawElement } from "./raw-element.js";
import type { ReadContext } from "./read-context.js";
import type { Draft } from "./element-table.js";
import type { TaskOther } from "./task-element.js";

/**
 * A polygon out of its lines: rings open, one exterior each. Version 3 allows several exteriors; then there are as many polygons, and each interior goes
 * to the exterior that it lies in.
 *
 * @throws `FeeringError` `bad-format` for a polygon without an exterior, and a ring of fewer than three places
 */
export function shapePolygon(
  draft: Draft,
  raw: RawElement,
  elements: readonly RawElement[],
  context: ReadContext,
): Draft[] {
  const exteriors: TaskLineString[] = [];
  const interiors: { readonly ring: TaskLineString; readonly at: RawElement }[] = [];
  const strangers: RawElement[] = [];
  (draft["lineStrings"] as TaskLineString[]).forEach((line, i) => {
    const at = elements[i]!;
    if (line.type === "exterior") exteriors.push(openRing(line, at, context));
    else if (line.type === "interior") interiors.push({ ring: openRing(line, at, context), at });
    else {
      strangers.push(at);
      context.problem(at, "LSG of PLN is neither exterior nor interior; kept as it is");
    }
  });
  delete draft["lineStrings"];
  if (exteriors.length === 0) throw rawError(raw, "PLN has no exterior (LSG of type 1)");
  if (strangers.length > 0) {
    const other = (draft["other"] ?? {}) as TaskOther;
    draft["other"] = { ...other, children: [...(other.children ?? []), ...strangers.map(keptElement)] };
  }
  if (exteriors.length === 1) {
    return [{ ...draft, exterior: exteriors[0], interiors: interiors.map(({ ring }) => ring) }];
  }
  if (context.major >= 4) context.problem(raw, `PLN has ${exteriors.length} exteriors; version 4 has one`);
  if (draft["area"] !== undefined) {
    context.problem(raw, `the area of PLN is that of ${exteriors.length} exteriors together; its parts have none`);
  }
  // its id, and what is not understood, stay with the first part
  const { area: _area, id: _id, other: _other, ...rest } = draft;
  const { area: _whole, ...first } = draft;
  const parts = exteriors.map((exterior, i) => ({
    ...(i === 0 ? first : rest),
    exterior,
    interiors: [] as TaskLineString[],
  }));
  for (const { ring, at } of interiors) {
    const home = exteriors.findIndex((exterior) => liesIn(ring.points, exterior.points));
    if (home < 0) context.problem(at, "the interior lies in none of the exteriors; it is given to the first");
    parts[Math.max(0, home)]!.interiors.push(ring);
  }
  return parts;
}

/**
 * A guidance pattern with its one line.
 *
 * @throws `FeeringError` `bad-format` for another number of lines, and a line without a point
 */
export function shapePattern({ lineStrings, ...draft }: Draft, raw: RawElement): Draft {
  const lines = lineStrings as TaskLineString[];
  if (lines.length !== 1) throw rawError(raw, `GPN has ${lines.length} elements LSG, needs 1`);
  const line = lines[0]!;
  if (line.points.length === 0) throw rawError(raw, "the line of GPN has no points");
  return { ...draft, line };
}

function openRing(line: TaskLineString, at: RawElement, context: ReadContext): TaskLineString {
  const { points } = line;
  if (distinctPlaces(points) < 3) throw rawError(at, `a ring of ${points.length} points has fewer than three places`);
  const first = points[0]!;
  const last = points[points.length - 1]!;
  if (!samePlace(first, last)) {
    if (context.major >= 4) context.problem(at, "the ring is not closed, as version 4 has it; it is taken for closed");
    return line;
  }
  if (hasMore(last, first)) context.problem(at, "the point that closes the ring has more than a place; it is left out");
  return { ...line, points: points.slice(0, -1) };
}

// whether a point says anything that another at the same place does not
function hasMore(point: TaskPoint, than: TaskPoint): boolean {
  return (Object.keys(point) as (keyof TaskPoint)[]).some((name) => {
    const value = point[name];
    return typeof value === "object" || (name !== "longitude" && value !== than[name]);
  });
}

function liesIn(ring: readonly TaskPoint[], exterior: readonly TaskPoint[]): boolean {
  const origin = exterior[0]!;
  const flat = (p: GeographicPosition): Point => [across(origin.longitude, p.longitude), p.latitude - origin.latitude];
  const polygon = { exterior: exterior.map(flat), holes: [] };
  let inside = 0;
  for (const point of ring) {
    const where = pointInPolygon(polygon, flat(point));
    if (where !== "boundary") inside += where === "inside" ? 1 : -1;
  }
  // on the boundary all over: it lies in it as well as in any
  return inside >= 0;
}
