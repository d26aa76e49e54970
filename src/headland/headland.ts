import { FeeringError, requireNumber } from "../errors/index.js";
import {
  boundsOf,
  checkPolygon,
  difference,
  LineIndex,
  type Point,
  type Polygon,
  polygonArea,
  union,
} from "../geometry/index.js";
import { offsetPolygon } from "../offset/index.js";
import { type CheckedOptions, checkOptions } from "./check-options.js";
import { driveOrder } from "./drive-order.js";
import { type FieldRounds, fieldRounds, roundAt } from "./field-rounds.js";
import type { HeadlandOptions } from "./headland-options.js";
import type { Headland, HeadlandRound, UncoveredPlace } from "./headland-result.js";
import { nestRings } from "./nest-rings.js";
import { sideRounds } from "./side-rounds.js";
import { uncoveredBy } from "./uncovered.js";

/**
 * The headland of a field: rounds to drive inside its boundary and about its obstacles, the mainfield that they leave, and
 * the ground at corners that no swath reaches.
 *
 * Round i is the line at (i - 1/2) swaths from boundary and obstacles together, each from the field itself: where fronts of
 * both meet they make one round. The mainfield is all ground farther in than the headland is wide: several polygons where
 * the field pinches, an empty list and a reason where the headland fills it.
 *
 * With a minimum radius each corner away from the mainfield is rounded to it by a disc that rolls inside the
 * round; what that leaves uncovered is listed with place and size. A round that can't be driven so, because
 * no turning circle fits inside it or because it bends about an obstacle or an inward corner more tightly, is given all
 * the same, marked and with its reason.
 *
 * Before flattening lines lie within 1e-9 m of their distance, after it within the tolerance; where boundary and obstacles have
 * different numbers of rounds, or sides are chosen, within 2e-6 m more. Uncovered places come out smaller than they are by
 * up to 1 mm along their perimeter.
 *
 * @param field - its polygons, obstacles as holes, metres; polygons that touch or overlap are joined
 * @param options - swath width, number of rounds, how they are driven
 * @returns rounds in driving order, mainfield, headland, areas
 * @throws `FeeringError` `too-few-points`, `not-finite`, `degenerate`, `self-crossing`, `hole-outside` for a field that is
 * none; `not-finite` or `out-of-range` for an option
 * @example
 * ```ts
 * const field = [{ exterior: [[0, 0], [200, 0], [200, 100], [0, 100]], holes: [] }] as const;
 * const made = headland(field, { swathWidth: 6, rounds: 2 });
 * made.rounds.map((round) => round.length); // 576, 528
 * made.areas.mainfield; // 13376: 176 x 76 m
 * ```
 */
export function headland(field: readonly Polygon[], options: HeadlandOptions): Headland {
  if (!Array.isArray(field) || field.length === 0) {
    throw new FeeringError("too-few-points", "field has no polygon, needs a list of at least one", {
      argument: "field",
      value: field,
    });
  }
  const given = field as readonly Polygon[];
  const checked = given.map((polygon, i) => checkPolygon(polygon, `field[${i}]`));
  const settings = checkOptions(given, options);
  const parts = joined(checked);
  // vertices may be finite and the area not
  requireNumber(total(parts), "area of field");
  const sides = settings.sides !== undefined;
  const sets: FieldRounds[] = [];
  let obstacle = 0;
  parts.forEach((part, i) => {
    sets.push(fieldRounds(part, i, obstacle, sides ? 0 : settings.rounds, settings.obstacleRounds, settings));
    obstacle += part.holes.length;
  });
  const corner = boundsOf(parts.flatMap((part) => part.exterior));
  const order = { ...settings, gate: settings.gate ?? ([corner.minX, corner.minY] as const) };
  const along = sides ? sideRounds(given, parts, obstacleGround(parts, settings), settings) : undefined;
  const whole = sets.flatMap((set) => set.mainfield);
  const mainfield = along === undefined ? whole : difference(whole, along.ground);
  // an edge without rounds bounds the mainfield itself
  const shared = sides || settings.rounds === 0 || settings.obstacleRounds === 0;
  const ground = groundBetween(parts, mainfield, shared);
  const rounds = [...sets.flatMap((set) => set.rounds), ...(along?.rounds ?? [])];
  const swaths = [...sets.flatMap((set) => set.swaths), ...(along?.swaths ?? [])];
  const uncovered = placesOf(ground, swaths, sets, rounds, settings);
  return {
    rounds: driveOrder(withAreas(rounds, uncovered, settings), order),
    mainfield,
    headland: ground,
    areas: {
      field: total(parts),
      headland: total(ground),
      mainfield: total(mainfield),
      uncovered: uncovered.reduce((sum, place) => sum + place.area, 0),
    },
    uncovered,
    dropped: [...sets.flatMap((set) => set.dropped), ...(along?.dropped ?? [])],
    ...(mainfield.length === 0 ? { reason: "headland-fills-field" as const } : {}),
  };
}

// polygons whose boxes meet may touch
function joined(polygons: readonly Polygon[]): readonly Polygon[] {
  const boxes = polygons.map((polygon) => boundsOf(polygon.exterior));
  const near = boxes.some((a, i) =>
    boxes.some((b, j) => j < i && a.minX <= b.maxX && b.minX <= a.maxX && a.minY <= b.maxY && b.minY <= a.maxY),
  );
  return near ? union(polygons) : polygons;
}

function obstacleGround(parts: readonly Polygon[], settings: CheckedOptions): Polygon[] {
  const holes = parts.flatMap((part) => part.holes.map((hole) => ({ exterior: hole, holes: [] })));
  if (holes.length === 0 || settings.obstacleRounds === 0) return holes;
  const { join, tolerance, width, obstacleRounds } = settings;
  return offsetPolygon(holes, obstacleRounds * width, { join, tolerance });
}

function groundBetween(parts: readonly Polygon[], mainfield: readonly Polygon[], shared: boolean): Polygon[] {
  if (shared) return difference(parts, mainfield);
  const rings = [...parts, ...mainfield].flatMap((polygon) => [polygon.exterior, ...polygon.holes]);
  return nestRings(rings);
}

function placesOf(
  ground: readonly Polygon[],
  swaths: readonly (readonly Polygon[])[],
  sets: readonly FieldRounds[],
  rounds: readonly HeadlandRound[],
  settings: CheckedOptions,
): UncoveredPlace[] {
  return uncoveredBy(ground, swaths).map((place) => {
    const set = sets.find((one) => one.holds(place.at)) ?? sets[0]!;
    const round = settings.sides === undefined ? roundAt(set.levels, place.at) : nearestNumber(rounds, place.at);
    return { at: place.at, area: place.area, round, outline: place.outline };
  });
}

function nearestNumber(rounds: readonly HeadlandRound[], at: Point): number {
  let number = 1;
  let least = Number.POSITIVE_INFINITY;
  for (const round of rounds) {
    const { distance } = new LineIndex(round.line).nearest(at[0], at[1]);
    if (distance >= least) continue;
    least = distance;
    number = round.number;
  }
  return number;
}

// each place goes to the nearest corner of its round, unless it is far from all of them
function withAreas(
  rounds: readonly HeadlandRound[],
  uncovered: readonly UncoveredPlace[],
  settings: CheckedOptions,
): HeadlandRound[] {
  const areas = new Map<object, number>();
  for (const place of uncovered) {
    let best: object | undefined;
    let least = Number.POSITIVE_INFINITY;
    for (const round of rounds) {
      if (round.source !== "side" && round.number !== place.round) continue;
      for (const corner of round.corners) {
        const distance = Math.hypot(corner.at[0] - place.at[0], corner.at[1] - place.at[1]);
        const reach = (1.5 * (settings.radius + settings.width)) / Math.sin((corner.angle * Math.PI) / 360);
        if (distance < least && distance <= reach) {
          least = distance;
          best = corner;
        }
      }
    }
    if (best !== undefined) areas.set(best, (areas.get(best) ?? 0) + place.area);
  }
  return rounds.map((round) => ({
    ...round,
    corners: round.corners.map((corner) => ({ ...corner, uncoveredArea: areas.get(corner) ?? 0 })),
  }));
}

function total(polygons: readonly Polygon[]): number {
  return polygons.reduce((sum, polygon) => sum + polygonArea(polygon), 0);
}
