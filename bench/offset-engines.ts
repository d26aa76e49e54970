import type { Point, Polygon } from "../src/geometry/index.js";
import { unionStrips } from "../src/geometry/index.js";
import { offsetLineFamily, offsetPolygon, offsetPolygonFamily } from "../src/offset/index.js";

/** Chords a quadrant that all engines flatten arcs with. */
export const CHORDS = 16;

/** Sagitta of such a chord, metres. */
export function sagitta(distance: number): number {
  return Math.abs(distance) * (1 - Math.cos(Math.PI / (4 * CHORDS)));
}

/** An engine's result in its own form. */
export type Result = unknown;

/**
 * One engine. Sources are loaded beforehand and results stay in the engine's own form: reading and writing are not timed
 * for peers. Ours takes and gives `[x, y]` points, so its times hold both.
 */
export interface Engine {
  readonly name: string;
  /** load a polygon, a line, several polygons */
  load(source: Polygon | readonly Point[] | readonly Polygon[]): Result;
  /** inward offsets of a loaded polygon at each distance from the source */
  rings(source: Result, distances: readonly number[]): Result[];
  /** inward offsets by steps, each from the one before; undefined where the engine has no need of it */
  chained(source: Result, steps: readonly number[]): Result[];
  /** both sides of a loaded line at each distance */
  sides(source: Result, distances: readonly number[]): Result[];
  /** one covered area of loaded polygons */
  union(source: Result): Result;
  /** lines and rings of a result */
  chains(result: Result): (readonly Point[])[];
  /** what `sides` gives where it is not the two parallels alone: then its deviation cannot be measured */
  readonly band?: string;
  free(results: readonly Result[]): void;
}

function chainsOf(polygons: readonly Polygon[]): (readonly Point[])[] {
  return polygons.flatMap((polygon) => [polygon.exterior, ...polygon.holes]);
}

export function ringOf(ring: readonly Point[]): Point[] {
  const last = ring[ring.length - 1]!;
  return last[0] === ring[0]![0] && last[1] === ring[0]![1] ? [...ring] : [...ring, ring[0]!];
}

export const isPolygon = (source: Polygon | readonly Point[] | readonly Polygon[]): source is Polygon =>
  "exterior" in source;
export const isLine = (source: readonly Point[] | readonly Polygon[]): source is readonly Point[] =>
  Array.isArray(source[0]);

/** Ours, with chords as coarse as the peers' or at our own default of 0.1 mm. */
export function ours(fine: boolean): Engine {
  const tolerance = (distances: readonly number[]): { tolerance?: number } =>
    fine ? {} : { tolerance: sagitta(Math.min(...distances.map(Math.abs))) };
  return {
    name: fine ? "feering, arcs at 0.1 mm" : "feering",
    load: (source) => source,
    rings: (source, distances) =>
      distances.length === 1
        ? [offsetPolygon(source as Polygon, -distances[0]!, tolerance(distances))]
        : offsetPolygonFamily(
            source as Polygon,
            distances.map((d) => -d),
            tolerance(distances),
          ),
    chained(source, steps) {
      // from the source, always: a chain of ours is a family
      let sum = 0;
      return this.rings(
        source,
        steps.map((step) => (sum += step)),
      );
    },
    sides: (source, distances) =>
      offsetLineFamily(source as Point[], [...distances, ...distances.map((d) => -d)], tolerance(distances)),
    union: (source) => unionStrips((source as Polygon[]).map((strip) => strip.exterior)),
    chains: (result) => {
      const list = result as readonly ({ points: readonly Point[] } | Polygon)[];
      return list.flatMap((item) => ("points" in item ? [item.points] : chainsOf([item])));
    },
    free: () => undefined,
  };
}
