import type { Polygon, Ring } from "../geometry/index.js";
import { type CheckedOptions, checkDistances, checkOptions, requireRoom } from "./check-options.js";
import { drawPolygons } from "./draw-polygons.js";
import { flatSource } from "./flat-source.js";
import { countPoints, type Drawing } from "./flatten.js";
import { mitreTips } from "./mitre-tips.js";
import { nestLoops } from "./nest-loops.js";
import { type PolygonSource, polygonSource } from "./polygon-source.js";
import { SurvivorSweep } from "./survivor-sweep.js";
import type { OffsetOptions } from "./types.js";
import { signedArea } from "../geometry/index.js";

/** Where a tie leaves a ring open, the distance is moved by this share of itself and tried again. */
const NUDGE = 3e-13;
const TRIES = 5;

/**
 * The offsets of polygons at many distances, each from the polygons themselves, in one sweep a direction: far cheaper than
 * one by one, and with no drift from one to the next.
 *
 * @param polygon - one or several, as for {@link offsetPolygon}
 * @param distances - metres, outward positive, inward negative, in any order
 * @param options - for all of them
 * @returns for each distance, in the order given, what {@link offsetPolygon} gives for it
 * @throws `FeeringError` as {@link offsetPolygon}, and `not-finite` with the index of a bad distance
 */
export function offsetPolygonFamily(
  polygon: Polygon | readonly Polygon[],
  distances: readonly number[],
  options: OffsetOptions = {},
): Polygon[][] {
  checkDistances(distances);
  const checked = checkOptions(options);
  const given = polygonSource(polygon, "polygon");
  const { rings } = given;
  let size = 0;
  for (const ring of rings) size += ring.length;
  requireRoom(size, checked, "polygon");
  const out: Polygon[][] = distances.map(() => []);
  if (rings.length === 0) return out;
  const counted = { points: 0 };
  sweepOneWay(given, distances, true, checked, counted, out);
  sweepOneWay(given, distances, false, checked, counted, out);
  distances.forEach((d, i) => {
    if (d === 0) out[i] = sourcePolygons(rings);
  });
  return out;
}

function sweepOneWay(
  given: PolygonSource,
  distances: readonly number[],
  inward: boolean,
  options: CheckedOptions,
  counted: { points: number },
  out: Polygon[][],
): void {
  const wanted = distances.filter((d) => (inward ? d < 0 : d > 0)).map(Math.abs);
  const sizes = [...new Set(wanted)].sort((a, b) => a - b);
  if (sizes.length === 0) return;
  // the ground wanted lies left of every ring
  const { rings } = given;
  const source = inward
    ? (given.source ?? flatSource(rings, true, false))
    : flatSource(
        rings.map((ring) => [...ring].reverse()),
        true,
        false,
      );
  const sweep = inward && given.all ? new SurvivorSweep(source, given.all) : new SurvivorSweep(source);
  sizes.forEach((d, s) => {
    sweep.advance(d, s + 1 < sizes.length);
    let drawn = draw(sweep, d, inward, options, counted);
    for (let t = 1; drawn.open > 0 && t <= TRIES; t++) {
      const nudged = d * (1 + (t % 2 === 0 ? t : -t) * NUDGE);
      const again = new SurvivorSweep(source);
      again.advance(nudged, false);
      drawn = draw(again, nudged, inward, options, counted);
    }
    distances.forEach((distance, i) => {
      if (distance === (inward ? -d : d)) out[i] = drawn.polygons;
    });
  });
}

function draw(
  sweep: SurvivorSweep,
  d: number,
  inward: boolean,
  options: CheckedOptions,
  counted: { points: number },
): { polygons: Polygon[]; open: number } {
  let drawing: Drawing = { d, tolerance: options.tolerance };
  if (options.mitre) drawing = { ...drawing, tips: mitreTips(sweep, d, options.mitreLimit) };
  counted.points += countPoints(sweep.source, sweep.pieces, 0, drawing);
  requireRoom(counted.points, options, "the offset");
  return drawPolygons(sweep.source, sweep.all, sweep.pieces, drawing, inward);
}

function sourcePolygons(rings: readonly Ring[]): Polygon[] {
  return nestLoops(rings.map((ring) => ({ points: [...ring, ring[0]!], area: signedArea(ring) })));
}
