import { describe, expect, it } from "vitest";
import type { Point, Polygon } from "../../src/geometry/index.js";
import { type Headland, headland } from "../../src/headland/index.js";
import { hasData, readData } from "../helpers/data.js";
import { expectWithin } from "../helpers/within.js";
import { depth, distanceToRing, inAny, spread } from "./oracle.js";

// real parcels of three countries, from the test data of the fiboa field-boundary converters: NL RVO/PDOK (CC0-1.0), DK Danish
// Agricultural Agency (CC0-1.0), DE-SH Land Schleswig-Holstein (DL-DE-ZERO-2.0), in metres of national grids
const COUNTRIES = ["NL", "DK", "DE-SH"];
const EVERY = Number(process.env["FEERING_PARCELS_EVERY"] ?? 20);
const TOLERANCE = 1e-4; // m
const FAR = 1e-8; // m: the last digit of an easting of 3.2e7 m is 4e-9 m

interface Features {
  features: { geometry: { type: string; coordinates: Point[][] | Point[][][] } }[];
}

function parcels(country: string): Polygon[] {
  const data = JSON.parse(Buffer.from(readData(`parcels/${country}.geojson`)).toString("utf8")) as Features;
  return data.features.map(({ geometry }) => {
    const rings = (geometry.type === "Polygon" ? geometry.coordinates : geometry.coordinates[0]) as Point[][];
    return { exterior: rings[0]!, holes: rings.slice(1) };
  });
}

describe.each(COUNTRIES)("parcels of %s", (country) => {
  it.skipIf(!hasData(`parcels/${country}.geojson`))("have rounds at their distance, and nothing missing", () => {
    parcels(country).forEach((parcel, i) => {
      if (i % EVERY !== 0) return;
      for (const swathWidth of [3, 12]) {
        let made: Headland;
        try {
          made = headland([parcel], { swathWidth, rounds: 2 });
        } catch (error) {
          // a parcel that is no field is said to be none
          expect(["self-crossing", "hole-outside"], `parcel ${i}: ${String(error)}`).toContain(
            (error as { code: string }).code,
          );
          continue;
        }
        check([parcel], swathWidth, made, `${country} ${i}, ${swathWidth} m`);
      }
    });
  });

  it.skipIf(!hasData(`parcels/${country}.geojson`))(
    "are covered but for what is listed, by a machine that turns in 6 m",
    () => {
      parcels(country).forEach((parcel, i) => {
        if (i % EVERY !== 5) return;
        let made: Headland;
        try {
          made = headland([parcel], { swathWidth: 6, rounds: 2, minimumRadius: 6 });
        } catch (error) {
          expect(["self-crossing", "hole-outside"], `parcel ${i}: ${String(error)}`).toContain(
            (error as { code: string }).code,
          );
          return;
        }
        const driven = made.rounds.filter((round) => round.reason !== "too-narrow").map((round) => round.line);
        for (const [x, y] of spread([parcel], 60)) {
          if (!inAny(made.headland, x, y)) continue;
          const nearest = Math.min(Number.POSITIVE_INFINITY, ...driven.map((line) => distanceToRing(line, x, y)));
          if (Math.abs(nearest - 3) < 5e-3) continue;
          const listed = made.uncovered.some((place) => inAny([place.outline], x, y));
          expect(listed, `parcel ${i} at (${x}, ${y}), ${nearest} from a round`).toBe(nearest > 3);
        }
      });
    },
  );
});

function check(field: readonly Polygon[], w: number, made: Headland, name: string): void {
  expectWithin(made.areas.headland + made.areas.mainfield, made.areas.field, 1e-5, name);
  for (const round of made.rounds) {
    const step = Math.max(1, Math.floor(round.line.length / 40));
    for (let k = 0; k + 1 < round.line.length; k += step) {
      const [ax, ay] = round.line[k]!;
      const [bx, by] = round.line[k + 1]!;
      expectWithin(depth(field, ax, ay), round.distance, TOLERANCE + FAR, `${name}, round ${round.number}`);
      expectWithin(
        depth(field, (ax + bx) / 2, (ay + by) / 2),
        round.distance,
        TOLERANCE + FAR,
        `${name}, ${round.number}`,
      );
    }
  }
  for (const [x, y] of spread(field, 80)) {
    const d = depth(field, x, y);
    for (const level of [0.5 * w, 1.5 * w]) {
      if (Math.abs(d - level) < TOLERANCE + FAR) continue;
      const rings = made.rounds.filter((round) => round.distance === level).map((round) => round.line);
      const around = rings.filter((ring) => inAny([{ exterior: ring, holes: [] }], x, y)).length;
      expect(around % 2 === 1, `${name}: (${x}, ${y}) at depth ${d}, round at ${level}`).toBe(d > level);
    }
    if (Math.abs(d - 2 * w) > TOLERANCE + FAR) {
      expect(inAny(made.mainfield, x, y), `${name}: (${x}, ${y}) at depth ${d}`).toBe(d > 2 * w);
    }
  }
}
