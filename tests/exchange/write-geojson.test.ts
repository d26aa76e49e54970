import type { FeatureCollection, Polygon as GeoJsonPolygon } from "geojson";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  type GeoData,
  readGeoJson,
  toGeographicLine,
  toGeographicPolygon,
  toLocalLine,
  toLocalPolygon,
  writeGeoJson,
} from "../../src/exchange/index.js";
import { localFrame } from "../../src/frames/index.js";
import { signedArea } from "../../src/geometry/index.js";
import { expectCode, expectWithin } from "../helpers/within.js";

const latitude = fc.double({ min: -89, max: 89, noNaN: true });
const longitude = fc.double({ min: -180, max: 180, noNaN: true });
const position = fc.record({ latitude, longitude });
const high = fc.record({ latitude, longitude, altitude: fc.double({ min: -100, max: 4000, noNaN: true }) });
/** a star-shaped ring of 3 to 9 corners about a centre, 100 m to 20 km out */
const ring = fc
  .tuple(
    latitude,
    longitude,
    fc.array(fc.double({ min: 0.001, max: 0.2, noNaN: true }), { minLength: 3, maxLength: 9 }),
  )
  .map(([lat, lon, radii]) =>
    radii.map((r, i) => ({
      latitude: Math.max(-90, Math.min(90, lat + r * Math.sin((2 * Math.PI * i) / radii.length))),
      longitude: lon + r * Math.cos((2 * Math.PI * i) / radii.length),
    })),
  );
const properties = fc.dictionary(
  fc.string().filter((name) => name !== "__proto__"),
  fc.jsonValue().filter((value) => !JSON.stringify(value).includes("__proto__")),
  { maxKeys: 3, noNullPrototype: true },
);
const data = fc.record({
  fields: fc.array(
    fc.record({
      polygons: fc.array(fc.record({ exterior: ring, holes: fc.array(ring, { maxLength: 2 }) }), {
        minLength: 1,
        maxLength: 2,
      }),
      properties,
      id: fc.oneof(fc.string(), fc.integer()),
    }),
    { maxLength: 3 },
  ),
  lines: fc.array(
    fc.record({ positions: fc.array(fc.oneof(position, high), { minLength: 2, maxLength: 5 }), properties }),
    { maxLength: 2 },
  ),
  points: fc.array(fc.record({ position: fc.oneof(position, high), properties }), { maxLength: 2 }),
});

describe("a polygon between degrees and metres", () => {
  test("comes out closed, exterior counter-clockwise and holes clockwise, however it went in", () => {
    const frame = localFrame({ latitude: 47.25, longitude: 20.75 });
    const open = {
      exterior: [
        [0, 0],
        [0, 80],
        [100, 80],
        [100, 0],
      ],
      holes: [
        [
          [40, 30],
          [60, 30],
          [60, 50],
        ],
      ],
    } as const;
    const places = toGeographicPolygon(frame, open);
    expect(places.exterior[4]).toEqual(places.exterior[0]);
    const back = toLocalPolygon(frame, { ...places, exterior: [...places.exterior].reverse() });
    expectWithin(signedArea(back.exterior), 8000, 1e-3);
    expectWithin(signedArea(back.holes[0]!), -200, 1e-3);
    expect(back.holes[0]).toHaveLength(4);
    expect(back.holes[0]![3]).toEqual(back.holes[0]![0]);
  });
});

describe("round trips", () => {
  test("read(write(read(x))) is read(x), and a second writing is the same text", () => {
    fc.assert(
      fc.property(data, (generated) => {
        const once = readGeoJson(writeGeoJson(generated));
        const text = writeGeoJson(once);
        expect(readGeoJson(text)).toEqual(once);
        expect(writeGeoJson(readGeoJson(text))).toBe(text);
      }),
      { numRuns: 200 },
    );
  });

  test("positions come back within half a unit of the last decimal", () => {
    fc.assert(
      fc.property(
        fc.array(high, { minLength: 2, maxLength: 6 }),
        fc.integer({ min: 3, max: 12 }),
        (positions, decimals) => {
          const back = readGeoJson(writeGeoJson({ lines: [{ positions, properties: {} }] }, { decimals })).lines[0]!;
          const half = 0.5000001 * 10 ** -decimals + 3e-14;
          back.positions.forEach((p, i) => {
            expectWithin(p.latitude, positions[i]!.latitude, half, "degrees");
            const turned = Math.abs(p.longitude - positions[i]!.longitude);
            expectWithin(Math.min(turned, 360 - turned), 0, half, "degrees");
            expectWithin(p.altitude!, positions[i]!.altitude, 0.5001e-4, "m");
          });
        },
      ),
    );
  });

  test("a polygon of a frame goes out and comes back within 0.1 mm", () => {
    fc.assert(
      fc.property(
        fc.double({ min: -80, max: 80, noNaN: true }),
        longitude,
        fc.array(
          fc.tuple(fc.double({ min: -5e3, max: 5e3, noNaN: true }), fc.double({ min: -5e3, max: 5e3, noNaN: true })),
          {
            minLength: 4,
            maxLength: 4,
          },
        ),
        (lat, lon, points) => {
          const frame = localFrame({ latitude: lat, longitude: lon, altitude: 120 });
          const square = [
            [0, 0],
            [100, 0],
            [100, 100],
            [0, 100],
            [0, 0],
          ] as const;
          const line = readGeoJson(
            writeGeoJson({ lines: [{ positions: toGeographicLine(frame, points), properties: {} }] }),
          ).lines[0]!;
          toLocalLine(frame, line.positions).forEach((p, i) => {
            expectWithin(Math.hypot(p[0] - points[i]![0], p[1] - points[i]![1]), 0, 1e-4, "m");
          });
          const polygon = { exterior: square, holes: [] };
          const part = readGeoJson(
            writeGeoJson({ fields: [{ polygons: [toGeographicPolygon(frame, polygon)], properties: {} }] }),
          ).fields[0]!.polygons[0]!;
          toLocalPolygon(frame, part).exterior.forEach((p, i) => {
            expectWithin(Math.hypot(p[0] - square[i]![0], p[1] - square[i]![1]), 0, 1e-4, "m");
          });
        },
      ),
    );
  });

  test("altitudes of a file do not move its shapes in a frame", () => {
    const frame = localFrame({ latitude: 52, longitude: 5, altitude: 10 });
    const there = [{ latitude: 52.05, longitude: 5.05, altitude: 3000 }];
    expect(toLocalLine(frame, there)).toEqual([frame.toLocal({ latitude: 52.05, longitude: 5.05 })]);
  });
});

describe("what is written", () => {
  const clockwise = [
    { latitude: 0, longitude: 0 },
    { latitude: 1, longitude: 0 },
    { latitude: 1, longitude: 1 },
    { latitude: 0, longitude: 1 },
  ];
  test("longitude first, exterior counter-clockwise, holes clockwise, closed, of the asked decimals", () => {
    const hole = clockwise
      .map((p) => ({ latitude: 0.25 + p.latitude / 2, longitude: 0.25 + p.longitude / 2 }))
      .reverse();
    const text = writeGeoJson(
      { fields: [{ polygons: [{ exterior: clockwise, holes: [hole] }], properties: { a: 1 }, id: "x" }] },
      { decimals: 3 },
    );
    expect(text).toBe(
      '{"type":"FeatureCollection","features":[{"type":"Feature","id":"x","properties":{"a":1},"geometry":' +
        '{"type":"Polygon","coordinates":[[[0,0],[1,0],[1,1],[0,1],[0,0]],' +
        "[[0.75,0.25],[0.25,0.25],[0.25,0.75],[0.75,0.75],[0.75,0.25]]]}}]}",
    );
    const typed = JSON.parse(text) as FeatureCollection<GeoJsonPolygon>;
    expect(typed.features[0]!.geometry.coordinates).toHaveLength(2);
  });
  test("several parts are a MultiPolygon, numbers have no more digits than asked for and no -0", () => {
    const part = { exterior: clockwise, holes: [] };
    expect(writeGeoJson({ fields: [{ polygons: [part, part], properties: {} }] })).toContain('"MultiPolygon"');
    const point = writeGeoJson({
      points: [{ position: { latitude: -1e-12, longitude: 5.1234567894, altitude: 1.00004 }, properties: {} }],
    });
    expect(point).toContain("[5.123456789,0,1]");
    expect(writeGeoJson({})).toBe('{"type":"FeatureCollection","features":[]}');
    expect(writeGeoJson({}, { indent: 2 })).toContain("\n  ");
  });
  test("bad data is refused with its path", () => {
    const nowhere = { latitude: Number.NaN, longitude: 5 };
    const error = expectCode(() => writeGeoJson({ points: [{ position: nowhere, properties: {} }] }), "not-finite");
    expect(error.message).toContain("points[0].position.latitude is NaN");
    expectCode(
      () => writeGeoJson({ points: [{ position: { latitude: 99.99, longitude: 5 }, properties: {} }] }),
      "out-of-range",
    );
    expectCode(() => writeGeoJson({ lines: [{ positions: [clockwise[0]!], properties: {} }] }), "too-few-points");
    expectCode(() => writeGeoJson({ fields: [{ polygons: [], properties: {} }] }), "too-few-points");
    const tiny = clockwise.map((p) => ({ latitude: p.latitude * 1e-9, longitude: p.longitude * 1e-9 }));
    expectCode(
      () => writeGeoJson({ fields: [{ polygons: [{ exterior: tiny, holes: [] }], properties: {} }] }, { decimals: 6 }),
      "too-few-points",
    );
    const bad: GeoData["points"] = [{ position: clockwise[0]!, properties: { x: Number.NaN } }];
    expect(expectCode(() => writeGeoJson({ points: bad }), "bad-format").argument).toBe("points[0].properties.x");
    expectCode(() => writeGeoJson({}, { decimals: 99 }), "out-of-range");
  });
});
