import type { FeatureCollection, MultiLineString, MultiPolygon, Polygon } from "geojson";
import fc from "fast-check";
import { describe, expect, expectTypeOf, test } from "vitest";
import {
  type GeoData,
  type GeoJsonFeatureCollection,
  readGeoJson,
  toGeoJson,
  writeGeoJson,
} from "../../src/exchange/index.js";
import type { GeographicPosition } from "../../src/frames/index.js";
import type { GeographicPolygon } from "../../src/survey/index.js";
import { runs } from "../helpers/light.js";
import { random } from "../helpers/random.js";
import { expectCode, expectWithin } from "../helpers/within.js";

const at = (longitude: number, latitude: number): GeographicPosition => ({ latitude, longitude });
const lineOf = (...pairs: [number, number][]): GeographicPosition[] => pairs.map(([lon, lat]) => at(lon, lat));
const wrap = (longitude: number): number => (longitude > 180 ? longitude - 360 : longitude);
const tidy = (longitude: number): number => Number(wrap(longitude).toFixed(6));

/** twice the area of a ring in square degrees, its sides joined by the short way */
function twice(ring: readonly (readonly number[])[]): number {
  let sum = 0;
  let x = ring[0]![0]!;
  for (let i = 1; i < ring.length; i++) {
    const step = ((((ring[i]![0]! - ring[i - 1]![0]!) % 360) + 540) % 360) - 180;
    sum += x * ring[i]![1]! - (x + step) * ring[i - 1]![1]!;
    x += step;
  }
  return sum;
}

const pairs = (ring: readonly GeographicPosition[]): number[][] => ring.map((p) => [p.longitude, p.latitude]);
const areaOf = (rings: readonly number[][][]): number => rings.reduce((sum, ring) => sum + twice(ring) / 2, 0);
const areaOfPolygon = (polygon: GeographicPolygon): number =>
  areaOf([pairs(polygon.exterior), ...polygon.holes.map(pairs)]);

function written(polygon: GeographicPolygon): number[][][][] {
  const { geometry } = toGeoJson({ fields: [{ polygons: [polygon], properties: {} }] }).features[0]!;
  return geometry.type === "Polygon" ? [geometry.coordinates] : (geometry as MultiPolygon).coordinates;
}

/** a closed ring begun at its least vertex, to compare rings that start elsewhere */
function canonical(ring: readonly GeographicPosition[]): GeographicPosition[] {
  const open = ring.slice(0, -1);
  const key = (p: GeographicPosition): string => `${p.latitude} ${p.longitude}`;
  const start = open.reduce((best, p, i) => (key(p) < key(open[best]!) ? i : best), 0);
  return [...open.slice(start), ...open.slice(0, start)];
}

describe("the examples of RFC 7946, 3.1.9", () => {
  test("a line from 45 N 170 E to 45 N 170 W", () => {
    const { features } = toGeoJson({ lines: [{ positions: lineOf([170, 45], [-170, 45]), properties: {} }] });
    expect(features[0]!.geometry).toEqual({
      type: "MultiLineString",
      coordinates: [
        [
          [170, 45],
          [180, 45],
        ],
        [
          [-180, 45],
          [-170, 45],
        ],
      ],
    });
  });

  test("a rectangle from 40 N 170 E to 50 N 170 W", () => {
    const exterior = lineOf([170, 40], [-170, 40], [-170, 50], [170, 50]);
    const parts = written({ exterior, holes: [] });
    const west = [
      [180, 40],
      [180, 50],
      [170, 50],
      [170, 40],
      [180, 40],
    ];
    const east = [
      [-170, 40],
      [-170, 50],
      [-180, 50],
      [-180, 40],
      [-170, 40],
    ];
    expect(parts).toHaveLength(2);
    for (const [i, expected] of [west, east].entries()) {
      expect(parts[i]).toHaveLength(1);
      expect(parts[i]![0]).toHaveLength(5);
      expect(new Set(parts[i]![0]!.map(String))).toEqual(new Set(expected.map(String)));
      expect(twice(parts[i]![0]!)).toBe(twice(expected));
    }
    const document = { type: "MultiPolygon", coordinates: [[west], [east]] };
    const joined = readGeoJson(document).fields[0]!.polygons;
    expect(joined).toHaveLength(1);
    expect(new Set(joined[0]!.exterior.map((p) => `${p.longitude} ${p.latitude}`))).toEqual(
      new Set(exterior.map((p) => `${p.longitude} ${p.latitude}`)),
    );
    expect(readGeoJson(document, { antimeridian: "keep" }).fields[0]!.polygons).toHaveLength(2);
  });
});

describe("lines at 180 degrees", () => {
  test.for([
    ["that only touch it from the west", lineOf([179, 0], [-180, 1], [179, 2]), [[179, 180, 179]]],
    ["that only touch it from the east", lineOf([-179, 0], [180, 1], [-179, 2]), [[-179, -180, -179]]],
    ["that start on it", lineOf([180, 0], [-179, 1]), [[-180, -179]]],
    ["that end on it", lineOf([179, 0], [-180, 1]), [[179, 180]]],
    ["that lie on it", lineOf([180, 0], [180, 1]), [[180, 180]]],
    [
      "that run along it and leave on the other side",
      lineOf([179, 0], [180, 1], [180, 2], [-179, 3]),
      [
        [179, 180, 180],
        [-180, -179],
      ],
    ],
    [
      "that go over it at a vertex",
      lineOf([179, 0], [180, 1], [-179, 0]),
      [
        [179, 180],
        [-180, -179],
      ],
    ],
    [
      "that go to and fro",
      lineOf([179, 0], [-179, 2], [179, 4]),
      [
        [179, 180],
        [-180, -179, -180],
        [180, 179],
      ],
    ],
  ] as const)("%s", ([, positions, expected]) => {
    const data = { lines: [{ positions, properties: {} }] };
    const { geometry } = toGeoJson(data).features[0]!;
    const parts = geometry.type === "LineString" ? [geometry.coordinates] : (geometry as MultiLineString).coordinates;
    expect(parts.map((part) => part.map((p) => p[0]))).toEqual(expected);
    const once = readGeoJson(writeGeoJson(data));
    expect(once.lines).toHaveLength(1);
    expect(once.lines[0]!.positions).toHaveLength(positions.length);
    expect(readGeoJson(writeGeoJson(once))).toEqual(once);
  });

  test("altitudes go along the cut; lines kept whole on request", () => {
    const positions = [
      { latitude: 0, longitude: 179, altitude: 10 },
      { latitude: 2, longitude: -179, altitude: 30 },
    ];
    const data = { lines: [{ positions, properties: {} }] };
    expect(toGeoJson(data).features[0]!.geometry.coordinates).toEqual([
      [
        [179, 0, 10],
        [180, 1, 20],
      ],
      [
        [-180, 1, 20],
        [-179, 2, 30],
      ],
    ]);
    expect(readGeoJson(writeGeoJson(data)).lines[0]!.positions).toEqual(positions);
    const whole = toGeoJson(data, { antimeridian: "keep" }).features[0]!.geometry;
    expect(whole.type).toBe("LineString");
    expectCode(() => toGeoJson(data, { antimeridian: "split" as "cut" }), "out-of-range");
    expectCode(() => readGeoJson("{}", { antimeridian: "cut" as "join" }), "out-of-range");
  });

  test("any line is cut and joined again to what it was, to the decimals written", () => {
    const position = fc.tuple(
      fc.oneof(fc.double({ min: -1, max: 1, noNaN: true }), fc.constantFrom(0, 0.5, -0.5)),
      fc.double({ min: -80, max: 80, noNaN: true }),
    );
    fc.assert(
      fc.property(
        fc.array(position, { minLength: 2, maxLength: 8 }),
        fc.integer({ min: 2, max: 12 }),
        (offsets, decimals) => {
          const positions = offsets.map(([x, latitude]) => at(wrap(180 + x), latitude));
          const text = writeGeoJson({ lines: [{ positions, properties: {} }] }, { decimals });
          const document = JSON.parse(text) as FeatureCollection;
          const { geometry } = document.features[0]!;
          const parts =
            geometry.type === "LineString" ? [geometry.coordinates] : (geometry as MultiLineString).coordinates;
          for (const part of parts) {
            expect(part.length).toBeGreaterThanOrEqual(2);
            for (let i = 1; i < part.length; i++) expect(Math.abs(part[i]![0]! - part[i - 1]![0]!)).toBeLessThan(180);
          }
          const once = readGeoJson(text);
          const back = once.lines[0]!.positions;
          expect(once.lines).toHaveLength(1);
          // a vertex on the line of its neighbours at 180 degrees can't be told from a cut
          expect(back.length).toBeLessThanOrEqual(positions.length);
          if (!positions.some((p) => Math.abs(p.longitude) > 180 - 10 ** -decimals)) {
            const half = 0.5000001 * 10 ** -decimals + 1e-13;
            expect(back).toHaveLength(positions.length);
            back.forEach((p, i) => {
              expectWithin(p.latitude, positions[i]!.latitude, half, "degrees");
              expectWithin(p.longitude, positions[i]!.longitude, half, "degrees");
            });
          }
          expect(readGeoJson(writeGeoJson(once, { decimals }))).toEqual(once);
        },
      ),
      { numRuns: runs(400) },
    );
  });
});

describe("polygons at 180 degrees", () => {
  /** a star about a place on or near 180 degrees, its hole the same star smaller, so that it fits */
  const star = fc
    .tuple(
      fc.oneof(fc.double({ min: -1, max: 1, noNaN: true }), fc.constant(0)),
      fc.double({ min: -60, max: 60, noNaN: true }),
      fc.array(fc.oneof(fc.double({ min: 0.1, max: 2, noNaN: true }), fc.constantFrom(0.5, 1)), {
        minLength: 3,
        maxLength: 14,
      }),
      fc.array(fc.double({ min: 0.05, max: 0.4, noNaN: true }), { maxLength: 2 }),
    )
    .map(([x, y, radii, holes]) => {
      const ring = (scale: number): GeographicPosition[] =>
        radii.map((r, i) => {
          const a = (2 * Math.PI * i) / radii.length;
          return at(wrap(180 + x + scale * r * Math.cos(a)), y + scale * r * Math.sin(a));
        });
      return { exterior: ring(1), holes: holes.slice(0, 1).map(ring) };
    });

  test("are cut into parts that do not cross and have the same area together, and joined again", () => {
    let cut = 0;
    fc.assert(
      fc.property(star, (polygon) => {
        const parts = written(polygon);
        if (parts.length > 1) cut++;
        for (const part of parts) {
          for (const [r, ring] of part.entries()) {
            expect(ring.length).toBeGreaterThanOrEqual(4);
            expect(ring.at(-1)).toEqual(ring[0]);
            for (let i = 1; i < ring.length; i++) {
              expect(Math.abs(ring[i]![0]! - ring[i - 1]![0]!)).toBeLessThan(180);
              expect(ring[i]).not.toEqual(ring[i - 1]);
            }
            expect(twice(ring) > 0).toBe(r === 0);
          }
        }
        const whole = readGeoJson(
          writeGeoJson({ fields: [{ polygons: [polygon], properties: {} }] }, { antimeridian: "keep" }),
        );
        const expected = whole.fields[0]!.polygons[0]!;
        // rounding of a cut to 0.5e-9 degrees moves a triangle of at most 3 degrees for each
        expectWithin(
          parts.reduce((sum, part) => sum + areaOf(part), 0),
          areaOfPolygon(expected),
          1e-7,
          "square degrees",
        );
        const once = readGeoJson(writeGeoJson(whole));
        expect(once.fields[0]!.polygons).toHaveLength(1);
        const back = once.fields[0]!.polygons[0]!;
        if (!polygon.exterior.some((p) => Math.abs(p.longitude) > 180 - 1e-9)) {
          expect(canonical(back.exterior)).toEqual(canonical(expected.exterior));
          expect(back.holes.map(canonical)).toEqual(expected.holes.map(canonical));
        } else expectWithin(areaOfPolygon(back), areaOfPolygon(expected), 1e-7, "square degrees");
        expect(readGeoJson(writeGeoJson(once))).toEqual(once);
        expect(writeGeoJson(readGeoJson(writeGeoJson(once)))).toBe(writeGeoJson(once));
      }),
      { numRuns: runs(500) },
    );
    expect(cut).toBeGreaterThan(runs(500) / 4);
  });

  test("a comb falls into a part for each tooth, with a hole in one and one over the cut", () => {
    // teeth from 179.9 over 180 to the east, joined in the west
    const exterior = lineOf(
      [179.9, 0],
      [-179.9, 0],
      [-179.9, 0.1],
      [179.95, 0.1],
      [179.95, 0.2],
      [-179.9, 0.2],
      [-179.9, 0.3],
      [179.9, 0.3],
    );
    const inTooth = lineOf([-179.96, 0.04], [-179.96, 0.06], [-179.94, 0.06], [-179.94, 0.04]);
    const over = lineOf([179.98, 0.24], [179.98, 0.26], [-179.98, 0.26], [-179.98, 0.24]);
    const inWest = lineOf([179.92, 0.14], [179.92, 0.16], [179.94, 0.16], [179.94, 0.14]);
    const polygon = { exterior, holes: [inTooth, over, inWest] };
    const parts = written(polygon);
    expect(parts.map((part) => part.length).sort()).toEqual([1, 2, 2]);
    const back = readGeoJson(writeGeoJson({ fields: [{ polygons: [polygon], properties: { name: "Comb" } }] }))
      .fields[0]!;
    expect(back.properties).toEqual({ name: "Comb" });
    expect(back.polygons).toHaveLength(1);
    expect(new Set(back.polygons[0]!.holes.map((hole) => JSON.stringify(canonical(hole))))).toEqual(
      new Set(polygon.holes.map((hole) => JSON.stringify(canonical([...hole, hole[0]!])))),
    );
    expect(canonical(back.polygons[0]!.exterior)).toEqual(canonical([...exterior, exterior[0]!]));
  });

  test("a hole over the cut becomes bays of both parts, and a hole again", () => {
    const exterior = lineOf([179, 0], [-179, 0], [-179, 2], [179, 2]);
    const hole = lineOf([179.5, 0.5], [179.5, 1.5], [-179.5, 1.5], [-179.5, 0.5]);
    const parts = written({ exterior, holes: [hole] });
    expect(parts.map((part) => part.length)).toEqual([1, 1]);
    expectWithin(
      parts.reduce((sum, part) => sum + areaOf(part), 0),
      4 - 1,
      1e-9,
      "square degrees",
    );
    const back = readGeoJson(writeGeoJson({ fields: [{ polygons: [{ exterior, holes: [hole] }], properties: {} }] }));
    expect(back.fields[0]!.polygons[0]!.holes).toHaveLength(1);
    expectWithin(areaOfPolygon(back.fields[0]!.polygons[0]!), 3, 1e-9, "square degrees");
  });

  test("several parts of one field: those that are cut come back as one each", () => {
    const square = (x: number, y: number): GeographicPolygon => ({
      exterior: lineOf([tidy(x), y], [tidy(x + 0.1), y], [tidy(x + 0.1), y + 0.1], [tidy(x), y + 0.1]),
      holes: [],
    });
    const polygons = [square(179.95, 0), square(179, 0), square(179.97, 0.5), square(-179, 3)];
    const back = readGeoJson(writeGeoJson({ fields: [{ polygons, properties: {} }] })).fields[0]!.polygons;
    expect(back.map((polygon) => canonical(polygon.exterior))).toEqual(
      polygons.map(({ exterior }) => canonical([...exterior, exterior[0]!])),
    );
  });

  test("parts that only touch 180 degrees, or meet in part, are joined where they lie on each other", () => {
    const west = [
      [179, 0],
      [180, 0],
      [180, 1],
      [179, 1],
      [179, 0],
    ];
    const eastOf = (low: number, high: number): number[][] => [
      [-180, low],
      [-179, low],
      [-179, high],
      [-180, high],
      [-180, low],
    ];
    const read = (...polygons: number[][][]): readonly GeographicPolygon[] =>
      readGeoJson({ type: "MultiPolygon", coordinates: polygons.map((ring) => [ring]) }).fields[0]!.polygons;
    // another writer's cut: a vertex more on one side
    const joined = read(west, eastOf(0.25, 0.75));
    expect(joined).toHaveLength(1);
    expectWithin(areaOfPolygon(joined[0]!), 1.5, 1e-12, "square degrees");
    expect(read(west, eastOf(1, 2))).toHaveLength(2);
    expect(read(west, eastOf(1.5, 2))).toHaveLength(2);
    expect(read(west, eastOf(0, 0.4), eastOf(0.6, 1))).toHaveLength(1);
  });

  test("a ring round a pole is written whole, and comes back as it was", () => {
    const exterior = lineOf([0, 85], [90, 85], [180, 85], [-90, 85]);
    const parts = written({ exterior, holes: [] });
    expect(parts).toHaveLength(1);
    const once = readGeoJson(writeGeoJson({ fields: [{ polygons: [{ exterior, holes: [] }], properties: {} }] }));
    expect(once.fields[0]!.polygons[0]!.exterior).toHaveLength(5);
    expect(readGeoJson(writeGeoJson(once))).toEqual(once);
    // as others write Antarctica: down to the pole and along it; nothing is joined
    const antarctica = {
      type: "Polygon",
      coordinates: [
        [
          [-180, -90],
          [180, -90],
          [180, -80],
          [0, -75],
          [-180, -80],
          [-180, -90],
        ],
      ],
    };
    expect(readGeoJson(antarctica).fields[0]!.polygons[0]!.exterior).toHaveLength(6);
  });

  test("a polygon whose rings cross there is written whole", () => {
    const bow = lineOf([179, 0], [-179, 1], [-179, 0], [179, 1]);
    expect(written({ exterior: bow, holes: [] }).length).toBeGreaterThan(0);
    const outside = lineOf([179.5, 5], [-179.5, 5], [-179.5, 6]);
    const exterior = lineOf([179, 0], [-179, 0], [-179, 2], [179, 2]);
    const once = readGeoJson(
      writeGeoJson({ fields: [{ polygons: [{ exterior, holes: [outside] }], properties: {} }] }),
    );
    expect(readGeoJson(writeGeoJson(once))).toEqual(once);
  });
});

describe("mangled cuts", () => {
  test("are read, written and read to the same, or refused", () => {
    const uniform = random(11);
    const choices = [180, -180, 179, -179, 179.5, -179.5, 0, 90, -90];
    const pick = (): number => choices[Math.floor(uniform() * choices.length)]!;
    const base = written({
      exterior: lineOf([179, 0], [-179, 0], [-179, 2], [179, 2]),
      holes: [lineOf([179.5, 0.5], [179.5, 1.5], [-179.5, 1.5], [-179.5, 0.5])],
    });
    let read = 0;
    for (let n = 0; n < runs(20_000); n++) {
      const parts = structuredClone(base);
      for (let k = 0; k < 1 + (n % 3); k++) {
        const rings = parts[Math.floor(uniform() * parts.length)]!;
        const ring = rings[Math.floor(uniform() * rings.length)]!;
        const at = Math.floor(uniform() * ring.length);
        if (uniform() < 0.3) ring.splice(at, 1);
        else ring[at] = uniform() < 0.5 ? [pick(), ring[at]![1]!] : [ring[at]![0]!, pick() / 100];
      }
      const lines = n % 2 === 0;
      const document = lines
        ? { type: "MultiLineString", coordinates: parts.flat() }
        : { type: "MultiPolygon", coordinates: parts };
      let once: GeoData;
      try {
        once = readGeoJson(document);
      } catch (error) {
        expect((error as { code?: string }).code, String((error as Error).stack)).toBe("bad-format");
        continue;
      }
      read++;
      const again = readGeoJson(writeGeoJson(once));
      if (lines) expect(again, JSON.stringify(document)).toEqual(once);
      // shapes that cross themselves may fall into other parts
      else expect(again.fields[0]!.polygons.length).toBeGreaterThan(0);
    }
    expect(read).toBeGreaterThan(runs(20_000) / 4);
  });
});

describe("types and bytes", () => {
  test("the object form is a FeatureCollection of @types/geojson, and such a one is read", () => {
    expectTypeOf<GeoJsonFeatureCollection>().toExtend<FeatureCollection>();
    const made: FeatureCollection = toGeoJson({ points: [{ position: at(5, 52), properties: { name: "gate" } }] });
    expect(readGeoJson(made).points).toEqual([{ position: at(5, 52), properties: { name: "gate" } }]);
    const polygon: Polygon = {
      type: "Polygon",
      coordinates: [
        [
          [0, 0],
          [1, 0],
          [1, 1],
          [0, 0],
        ],
      ],
    };
    expect(readGeoJson(polygon).fields).toHaveLength(1);
  });

  test("bytes are read as UTF-8, with or without a byte order mark; other bytes are refused with their place", () => {
    const text = writeGeoJson({ points: [{ position: at(5, 52), properties: { name: "Große Wiese" } }] });
    const bytes = new TextEncoder().encode(text);
    expect(readGeoJson(bytes)).toEqual(readGeoJson(text));
    expect(readGeoJson(new Uint8Array([0xef, 0xbb, 0xbf, ...bytes]))).toEqual(readGeoJson(text));
    const latin = Uint8Array.from(text, (c) => c.charCodeAt(0));
    const error = expectCode(() => readGeoJson(latin), "bad-format");
    expect(error.index).toBe(text.indexOf("ß"));
    expect(error.message).toContain("0xdf");
    expectCode(() => readGeoJson(bytes.subarray(0, bytes.indexOf(0xc3) + 1)), "bad-format");
    expectCode(() => readGeoJson(bytes, { maximumLength: 10 }), "too-large");
    for (let end = 0; end < bytes.length; end++) expectCode(() => readGeoJson(bytes.subarray(0, end)), "bad-format");
  });
});
