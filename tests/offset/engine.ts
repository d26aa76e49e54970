import { existsSync } from "node:fs";
import { vi } from "vitest";
import type { OffsetLine } from "../../src/offset/index.js";
import type { Point, Polygon, Ring } from "../../src/geometry/types.js";
import { hasData, readData } from "../helpers/data.js";
import { area, type Chain } from "./judgement.js";

/** What `FEERING_LONG=1` asks for: everything instead of a part of it. */
export const LONG: boolean = process.env["FEERING_LONG"] === "1";
// minutes of runs on a busy machine are no hang
if (LONG) vi.setConfig({ testTimeout: 1_200_000 });

/** The engine's lines as chains: a closed one repeats its first point at the end. */
export function chainsOf(lines: readonly OffsetLine[]): Chain[] {
  return lines.map((line) => {
    const { points, stations, closed } = line;
    const first = points[0];
    const last = points[points.length - 1];
    if (!closed || first === undefined || last === undefined || (first[0] === last[0] && first[1] === last[1]))
      return line;
    return { points: [...points, first], stations: [...stations, stations[0]!], closed };
  });
}

/** Length of chains, metres. */
export function lengthOf(chains: readonly { readonly points: readonly Point[] }[]): number {
  let length = 0;
  for (const { points } of chains) {
    for (let i = 1; i < points.length; i++) {
      length += Math.hypot(points[i]![0] - points[i - 1]![0], points[i]![1] - points[i - 1]![1]);
    }
  }
  return length;
}

/** Rings of polygons as chains. */
export function ringsOf(polygons: readonly Polygon[]): Chain[] {
  return polygons.flatMap((polygon) =>
    [polygon.exterior, ...polygon.holes].map((ring) => ({ points: ring, closed: true })),
  );
}

/** Area of polygons, square metres, with the signs their rings have. */
export function areaOf(polygons: readonly Polygon[]): number {
  return ringsOf(polygons).reduce((sum, ring) => sum + area(ring.points), 0);
}

/** One real parcel. */
export interface Parcel {
  readonly name: string;
  readonly polygon: Polygon;
}

/** Real parcels in metres of their national grids; none, with a line that says so, where the data is absent. */
export function parcels(): Parcel[] {
  if (!hasData("parcels")) return [];
  return ["NL", "DK", "DE-SH"].flatMap((country) => {
    const text = new TextDecoder().decode(readData(`parcels/${country}.geojson`));
    const collection = JSON.parse(text) as { features: { geometry: { coordinates: Ring[] } }[] };
    return collection.features.map((feature, i) => {
      const [exterior, ...holes] = feature.geometry.coordinates;
      return { name: `${country} ${i}`, polygon: { exterior: exterior!, holes } };
    });
  });
}

/** Whether an optional package is installed here; prints a line where it is not. */
export function hasPackage(name: string): boolean {
  const there = existsSync(new URL(`../../node_modules/${name}/package.json`, import.meta.url));
  if (!there) console.warn(`skipped: package "${name}" is not installed`);
  return there;
}
