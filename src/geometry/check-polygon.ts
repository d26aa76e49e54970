import { FeeringError } from "../errors/index.js";
import { boundsOf } from "./bounds.js";
import { cleanRingNamed } from "./clean-ring.js";
import { normalisePolygon } from "./normalise-polygon.js";
import { BOUNDARY, windingOf } from "./point-in-polygon.js";
import { requirePolygon } from "./require-polygon.js";
import { type RingContact, ringContacts } from "./ring-contacts.js";
import type { Bounds, Point, Polygon, Ring } from "./types.js";

/**
 * Check a polygon that comes from outside, and bring it into the form that is used everywhere.
 *
 * Duplicate points and spikes within 0.1 mm (`DUPLICATE_DISTANCE`) are cleaned away. A ring may touch itself, and a hole
 * may touch its exterior or another hole, in single points, as long as they do not cross there: a pinched field is a
 * field. Rings that run along each other are refused.
 *
 * @param polygon - as the caller gave it, metres
 * @param argument - its name, for the messages
 * @returns a cleaned polygon: rings closed, exterior counter-clockwise, holes clockwise
 * @throws `FeeringError` `too-few-points` for fewer than three distinct vertices; `not-finite`; `degenerate` for a
 * ring without area; `self-crossing` for a ring that crosses or overlaps itself, with the place and the segments in the
 * message and the first of the segments as `index`; `hole-outside` for a hole that is not in the exterior, crosses it or
 * runs along it, or meets another hole so, with the hole's number as `index`. Segments are numbered by the vertex that
 * they start from in the ring as given
 * @example
 * ```ts
 * checkPolygon({ exterior: [[0, 0], [2, 2], [2, 0], [0, 2]], holes: [] }, "field");
 * // throws self-crossing: field.exterior crosses itself at (1, 1): segments 0 and 2
 * ```
 */
export function checkPolygon(polygon: Polygon, argument = "polygon"): Polygon {
  requirePolygon(polygon, argument);
  const given: Ring[] = [polygon.exterior, ...polygon.holes];
  const name = (ring: number): string => (ring === 0 ? `${argument}.exterior` : `${argument}.holes[${ring - 1}]`);
  const rings = given.map((ring, r) => cleanRingNamed(ring, {}, name(r)));
  const contacts = ringContacts(rings);
  // own crossings first: what crosses itself says nothing about holes
  const own = contacts.find((contact) => contact.ring === contact.otherRing && contact.kind !== "touch");
  if (own !== undefined) throw selfCrossing(own, given[own.ring]!, rings[own.ring]!, name(own.ring));
  const mutual = contacts.find((contact) => contact.ring !== contact.otherRing && contact.kind !== "touch");
  if (mutual !== undefined) {
    const { ring, otherRing, point } = mutual;
    const verb = mutual.kind === "overlap" ? "runs along" : "crosses";
    throw new FeeringError("hole-outside", `${name(otherRing)} ${verb} ${name(ring)} at ${place(point)}`, {
      argument: name(otherRing),
      index: otherRing - 1,
      value: point,
    });
  }
  checkHoles(rings, name);
  return normalisePolygon({ exterior: rings[0]!, holes: rings.slice(1) });
}

function selfCrossing(contact: RingContact, given: Ring, cleaned: Ring, name: string): FeeringError {
  // cleaning keeps the points themselves, so each can be found again
  const first = given.indexOf(cleaned[contact.segment]!);
  const second = given.indexOf(cleaned[contact.otherSegment]!);
  const verb = contact.kind === "overlap" ? "overlaps" : "crosses";
  return new FeeringError(
    "self-crossing",
    `${name} ${verb} itself at ${place(contact.point)}: segments ${first} and ${second}`,
    { argument: name, index: first, value: contact.point },
  );
}

// no ring crosses another here, so one point that is on no boundary decides for its whole ring
function checkHoles(rings: readonly Ring[], name: (ring: number) => string): void {
  const boxes = rings.map(boundsOf);
  for (let h = 1; h < rings.length; h++) {
    if (!contains(rings[0]!, rings[h]!)) {
      throw new FeeringError("hole-outside", `${name(h)} is not inside ${name(0)}`, {
        argument: name(h),
        index: h - 1,
      });
    }
    for (let other = 1; other < h; other++) {
      if (apart(boxes[h]!, boxes[other]!)) continue;
      if (contains(rings[other]!, rings[h]!) || contains(rings[h]!, rings[other]!)) {
        throw new FeeringError("hole-outside", `${name(h)} and ${name(other)} lie in each other`, {
          argument: name(h),
          index: h - 1,
        });
      }
    }
  }
}

function contains(outer: Ring, inner: Ring): boolean {
  for (const p of inner) {
    const winding = windingOf(outer, p);
    if (winding !== BOUNDARY) return winding !== 0;
  }
  // every vertex touches: then the middles of edges do not
  for (let i = 1; i < inner.length; i++) {
    const a = inner[i - 1]!;
    const b = inner[i]!;
    const winding = windingOf(outer, [a[0] + (b[0] - a[0]) / 2, a[1] + (b[1] - a[1]) / 2]);
    if (winding !== BOUNDARY) return winding !== 0;
  }
  return true;
}

function apart(a: Bounds, b: Bounds): boolean {
  return a.maxX < b.minX || b.maxX < a.minX || a.maxY < b.minY || b.maxY < a.minY;
}

function place(point: Point): string {
  return `(${point[0]}, ${point[1]})`;
}
