import type { FeatureCollection, Geometry } from "geojson";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { FeeringError } from "../../src/errors/index.js";
import { readGeoJson, toLocalLine, toLocalPolygon } from "../../src/exchange/index.js";
import { localFrame } from "../../src/frames/index.js";
import { hasData, readData } from "../helpers/data.js";
import { expectCode } from "../helpers/within.js";

const ring = [
  [5, 52],
  [5.01, 52],
  [5.01, 52.01],
  [5, 52.01],
  [5, 52],
];
const hole = [
  [5.002, 52.002],
  [5.002, 52.004],
  [5.004, 52.004],
  [5.004, 52.002],
  [5.002, 52.002],
];
const polygon = { type: "Polygon", coordinates: [ring, hole] } as const;

describe("what is read", () => {
  test("a collection: fields with holes and properties, lines, points, in order", () => {
    const document: FeatureCollection = {
      type: "FeatureCollection",
      features: [
        { type: "Feature", id: "f1", properties: { name: "Long Acre" }, geometry: polygon as unknown as Geometry },
        {
          type: "Feature",
          id: 7,
          properties: null,
          geometry: {
            type: "LineString",
            coordinates: [
              [5, 52],
              [6, 53, 12.5],
            ],
          },
        },
        { type: "Feature", properties: { gate: true }, geometry: { type: "Point", coordinates: [5, 52] } },
        { type: "Feature", properties: {}, geometry: null as unknown as Geometry },
      ],
    };
    for (const input of [document, JSON.stringify(document), `\ufeff${JSON.stringify(document)}`]) {
      const read = readGeoJson(input);
      expect(read.fields).toHaveLength(1);
      expect(read.fields[0]).toMatchObject({ id: "f1", properties: { name: "Long Acre" } });
      expect(read.fields[0]!.polygons[0]!.exterior[1]).toEqual({ latitude: 52, longitude: 5.01 });
      expect(read.fields[0]!.polygons[0]!.holes[0]).toEqual(
        hole.map(([longitude, latitude]) => ({ latitude, longitude })),
      );
      expect(read.lines).toEqual([
        {
          id: 7,
          properties: {},
          positions: [
            { latitude: 52, longitude: 5 },
            { latitude: 53, longitude: 6, altitude: 12.5 },
          ],
        },
      ]);
      expect(read.points).toEqual([{ properties: { gate: true }, position: { latitude: 52, longitude: 5 } }]);
      expect(read.withoutGeometry).toBe(1);
    }
  });

  test("bare geometries of every kind, collections of collections", () => {
    const all = {
      type: "GeometryCollection",
      geometries: [
        polygon,
        { type: "MultiPolygon", coordinates: [[ring], [ring, hole]] },
        {
          type: "MultiLineString",
          coordinates: [
            [
              [0, 0],
              [1, 1],
            ],
            [
              [2, 2],
              [3, 3],
            ],
          ],
        },
        {
          type: "MultiPoint",
          coordinates: [
            [0, 0],
            [1, 1],
          ],
        },
        { type: "GeometryCollection", geometries: [{ type: "Point", coordinates: [9, 9] }] },
      ],
    };
    const read = readGeoJson(all);
    expect(read.fields.map((field) => field.polygons.length)).toEqual([1, 2]);
    expect(read.lines).toHaveLength(2);
    expect(read.points.map((point) => point.position.latitude)).toEqual([0, 1, 9]);
    expect(readGeoJson({ type: "Polygon", coordinates: [] }).withoutGeometry).toBe(1);
  });

  test("the polygon with a hole and the multipolygon of RFC 7946, appendix A", () => {
    const withHole = readGeoJson(
      `{"type":"Polygon","coordinates":[[[100.0,0.0],[101.0,0.0],[101.0,1.0],[100.0,1.0],[100.0,0.0]],
        [[100.8,0.8],[100.8,0.2],[100.2,0.2],[100.2,0.8],[100.8,0.8]]]}`,
    );
    expect(withHole.fields[0]!.polygons[0]!.holes).toHaveLength(1);
    const multi = readGeoJson(
      `{"type":"MultiPolygon","coordinates":[[[[102.0,2.0],[103.0,2.0],[103.0,3.0],[102.0,3.0],[102.0,2.0]]],
        [[[100.0,0.0],[101.0,0.0],[101.0,1.0],[100.0,1.0],[100.0,0.0]],
        [[100.2,0.2],[100.2,0.8],[100.8,0.8],[100.8,0.2],[100.2,0.2]]]]}`,
    );
    expect(multi.fields[0]!.polygons.map((part) => part.holes.length)).toEqual([0, 1]);
  });

  test("open rings are closed and rings of the wrong winding turned", () => {
    const healed = readGeoJson(polygon).fields[0]!.polygons[0]!;
    const open = [[...ring].reverse().slice(0, -1), [...hole].reverse().slice(0, -1)];
    const read = readGeoJson({ type: "Polygon", coordinates: open }).fields[0]!.polygons[0]!;
    for (const [a, b] of [
      [read.exterior, healed.exterior],
      [read.holes[0]!, healed.holes[0]!],
    ] as const) {
      expect(a).toHaveLength(5);
      expect(a[4]).toEqual(a[0]);
      const start = b.findIndex((p) => p.latitude === a[0]!.latitude && p.longitude === a[0]!.longitude);
      const order = Array.from({ length: 4 }, (_, i) => b[(start + i) % 4]);
      expect(a.slice(0, 4)).toEqual(order);
    }
  });

  test("a ring across 180 degrees is wound by the short way, longitudes come back in -180 to 180", () => {
    const clockwise = [
      [179.999, 0],
      [179.999, 0.002],
      [-179.999, 0.002],
      [-179.999, 0],
    ];
    const beyond = [
      [179.999, 0],
      [179.999, 0.002],
      [180.001, 0.002],
      [180.001, 0],
    ];
    for (const coordinates of [clockwise, beyond]) {
      const exterior = readGeoJson({ type: "Polygon", coordinates: [coordinates] }).fields[0]!.polygons[0]!.exterior;
      expect(exterior).toHaveLength(5);
      // counter-clockwise: from the closing point first eastward or southward
      const lons = exterior.map((p) => (p.longitude + 360) % 360);
      let twice = 0;
      for (let i = 1; i < 5; i++) {
        twice += lons[i - 1]! * exterior[i]!.latitude - lons[i]! * exterior[i - 1]!.latitude;
        expect(Math.abs(exterior[i]!.longitude)).toBeLessThanOrEqual(180);
      }
      expect(twice).toBeGreaterThan(0);
    }
  });

  test("older files that name WGS 84 are read", () => {
    for (const name of ["urn:ogc:def:crs:OGC:1.3:CRS84", "EPSG:4326", "urn:ogc:def:crs:EPSG::4326"]) {
      expect(readGeoJson({ ...polygon, crs: { type: "name", properties: { name } } }).fields).toHaveLength(1);
    }
    expect(readGeoJson({ ...polygon, crs: null }).fields).toHaveLength(1);
  });

  test("the input is not changed and shares nothing with the result", () => {
    const properties = { list: [1, { deep: "x" }] };
    const input = { type: "Feature", properties, geometry: polygon };
    const before = JSON.stringify(input);
    const read = readGeoJson(input);
    expect(JSON.stringify(input)).toBe(before);
    expect(read.fields[0]!.properties).toEqual(properties);
    expect(read.fields[0]!.properties["list"]).not.toBe(properties.list);
  });
});

describe("what is refused, with its place", () => {
  const collection = (geometry: unknown): object => ({
    type: "FeatureCollection",
    features: [
      { type: "Feature", properties: {}, geometry: { type: "Point", coordinates: [0, 0] } },
      { type: "Feature", properties: {}, geometry },
    ],
  });
  const point = (...coordinates: unknown[]): unknown => ({ type: "Point", coordinates });
  const cases: [string, unknown, string][] = [
    ["a text for a number", point("5", 52), 'features[1].geometry.coordinates[0] is "5", needs a longitude'],
    ["NaN", point(5, Number.NaN), "features[1].geometry.coordinates[1] is NaN, needs a latitude"],
    ["null", point(5, null), "features[1].geometry.coordinates[1] is null"],
    ["a latitude out of range", point(52, 99.99), "is 99.99, needs a latitude of -90 to 90 degrees"],
    ["swapped pairs", point(52, 105), "are longitude and latitude swapped?"],
    ["projected metres", point(554787.3, 6258009.3), "look like projected metres"],
    ["a pair of one", point(5), "needs [longitude, latitude]"],
    ["an altitude that is none", point(5, 52, "12"), 'coordinates[2] is "12", needs an altitude'],
    [
      "a place in a ring",
      {
        type: "Polygon",
        coordinates: [
          ring,
          [
            [0, 0],
            [1, 0],
            [0, "1"],
          ],
        ],
      },
      "coordinates[1][2][1]",
    ],
    [
      "a ring of two",
      {
        type: "Polygon",
        coordinates: [
          [
            [0, 0],
            [1, 1],
            [0, 0],
          ],
        ],
      },
      "has 2 distinct positions, needs 3",
    ],
    ["a line of one", { type: "LineString", coordinates: [[0, 0]] }, "has 1 positions, needs 2"],
    ["a part without rings", { type: "MultiPolygon", coordinates: [[ring], []] }, "coordinates[1] has no rings"],
    ["coordinates that are no list", { type: "Polygon", coordinates: "none" }, 'coordinates is "none"'],
    ["an unknown type", { type: "Circle", coordinates: [0, 0] }, 'geometry.type is "Circle"'],
    ["a geometry that is none", 3, "features[1].geometry is 3"],
    ["a geometry left out", undefined, "features[1].geometry is undefined"],
  ];
  test.for(cases)("%s", ([, geometry, part]) => {
    const error = expectCode(() => readGeoJson(collection(geometry)), "bad-format");
    expect(error.message).toContain(part);
    expect(error.argument).toContain("features[1].geometry");
  });

  test("documents that are no GeoJSON", () => {
    for (const input of ["", "{", "[]", "null", "3", '"text"', "{}", '{"type":"Topology"}', "undefined"]) {
      expectCode(() => readGeoJson(input), "bad-format");
    }
    expectCode(() => readGeoJson(undefined as unknown as string), "bad-format");
    expectCode(() => readGeoJson({ type: "FeatureCollection" }), "bad-format");
    expectCode(() => readGeoJson({ type: "FeatureCollection", features: [polygon] }), "bad-format");
    expectCode(() => readGeoJson({ type: "Feature", geometry: null, properties: [1] }), "bad-format");
    expectCode(() => readGeoJson({ type: "Feature", geometry: null, properties: null, id: {} }), "bad-format");
    expectCode(() => readGeoJson({ type: "Feature", properties: { f: () => 1 }, geometry: null }), "bad-format");
  });

  test("a foreign crs is refused and the fix named, wherever it stands", () => {
    const crs = { type: "name", properties: { name: "urn:ogc:def:crs:EPSG::25832" } };
    for (const input of [
      { ...polygon, crs },
      { type: "Feature", properties: {}, geometry: { ...polygon, crs } },
    ]) {
      const error = expectCode(() => readGeoJson(input), "unknown-crs");
      expect(error.message).toContain("urn:ogc:def:crs:EPSG::25832");
      expect(error.message).toContain("EPSG:4326");
    }
    expectCode(() => readGeoJson({ ...polygon, crs: { type: "link", properties: { href: "x" } } }), "unknown-crs");
    expectCode(() => readGeoJson({ ...polygon, crs: "EPSG:43260" }), "unknown-crs");
  });
});

describe("attacks", () => {
  test("deep nesting is refused, a million levels too", () => {
    const deep = (n: number): string => `${"[".repeat(n)}${"]".repeat(n)}`;
    expectCode(() => readGeoJson(`{"type":"Polygon","coordinates":${deep(1e6)}}`), "bad-format");
    expectCode(() => readGeoJson(`{"type":"Feature","geometry":null,"properties":{"a":${deep(1e5)}}}`), "bad-format");
    const nested = `${'{"type":"GeometryCollection","geometries":['.repeat(5000)}${"]}".repeat(5000)}`;
    expect(expectCode(() => readGeoJson(nested), "bad-format").message).toContain("nested deeper than 64");
  });

  test("names that poison prototypes do no harm", () => {
    const text =
      '{"type":"Feature","__proto__":{"type":"Point"},"geometry":{"type":"Point","coordinates":[1,2]},' +
      '"properties":{"__proto__":{"polluted":1},"constructor":{"prototype":{"polluted":1}},"toString":"x"}}';
    const read = readGeoJson(text);
    const properties = read.points[0]!.properties;
    expect(Object.keys(properties)).toEqual(["constructor", "toString"]);
    expect((Object.assign({}, properties) as { polluted?: number }).polluted).toBeUndefined();
    expect(({} as { polluted?: number }).polluted).toBeUndefined();
    expect(Object.getPrototypeOf(properties)).toBe(Object.prototype);
  });

  test("numbers beyond doubles, caps, surrogates and doubled names", () => {
    expectCode(() => readGeoJson('{"type":"Point","coordinates":[1e309,0]}'), "bad-format");
    const huge = '{"type":"Feature","geometry":null,"properties":{"yield":1e309}}';
    expect(expectCode(() => readGeoJson(huge), "bad-format").argument).toBe("properties.yield");
    expectCode(() => readGeoJson(JSON.stringify(polygon), { maximumLength: 10 }), "too-large");
    expectCode(() => readGeoJson(polygon, { maximumPositions: 9 }), "too-large");
    expect(readGeoJson(polygon, { maximumPositions: 10 }).fields).toHaveLength(1);
    expectCode(() => readGeoJson(polygon, { maximumPositions: Number.NaN }), "not-finite");
    const lone = readGeoJson(
      '{"type":"Feature","geometry":{"type":"Point","coordinates":[1,2]},"properties":{"n":"\\ud800"}}',
    );
    expect(lone.points[0]!.properties["n"]).toBe("\ud800");
    expect(readGeoJson('{"type":"Point","coordinates":[1,2],"coordinates":[3,4]}').points[0]!.position.latitude).toBe(
      4,
    );
  });

  test("any JSON value and any mangled document gives data or a typed error", () => {
    const typed = (input: string | object): void => {
      try {
        const read = readGeoJson(input);
        for (const field of read.fields) {
          for (const part of field.polygons) {
            for (const r of [part.exterior, ...part.holes]) {
              expect(r.length).toBeGreaterThanOrEqual(4);
              for (const p of r) expect(Math.abs(p.latitude)).toBeLessThanOrEqual(90);
            }
          }
        }
      } catch (error) {
        expect(error).toBeInstanceOf(FeeringError);
      }
    };
    fc.assert(
      fc.property(fc.jsonValue(), (value) => typed(value as object)),
      { numRuns: 500 },
    );
    const base = JSON.stringify({
      type: "FeatureCollection",
      features: [
        { type: "Feature", properties: { a: [1, 2], b: { c: null } }, geometry: polygon },
        { type: "Feature", properties: null, geometry: { type: "MultiPolygon", coordinates: [[ring], [ring, hole]] } },
        { type: "Feature", properties: null, geometry: { type: "GeometryCollection", geometries: [polygon] } },
      ],
    });
    const bits = [
      "[",
      "]",
      "{",
      "}",
      ",",
      ":",
      '"',
      "null",
      "1e309",
      "-",
      "NaN",
      '"type"',
      "[[",
      "]]",
      "0",
      "91",
      "\\u0000",
    ];
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.nat(base.length), fc.nat(12), fc.constantFrom("", ...bits)), {
          minLength: 1,
          maxLength: 4,
        }),
        (cuts) => {
          let text = base;
          for (const [at, length, put] of cuts) text = text.slice(0, at) + put + text.slice(at + length);
          typed(text);
        },
      ),
      { numRuns: 20_000 },
    );
    for (let cut = 0; cut < base.length; cut++) expectCode(() => readGeoJson(base.slice(0, cut)), "bad-format");
  });

  test("wrong values put in at every place of a valid document give a typed error or data", () => {
    const wrong: unknown[] = [
      null,
      undefined,
      0,
      -1,
      1e300,
      Number.NaN,
      "",
      "x",
      true,
      [],
      [[]],
      {},
      { type: "Point" },
    ];
    const build = (): Record<string, unknown> =>
      JSON.parse(JSON.stringify({ type: "Feature", properties: {}, geometry: polygon })) as Record<string, unknown>;
    const paths: (string | number)[][] = [
      ["type"],
      ["properties"],
      ["geometry"],
      ["geometry", "type"],
      ["geometry", "coordinates"],
      ["geometry", "coordinates", 0],
      ["geometry", "coordinates", 1, 2],
      ["geometry", "coordinates", 1, 2, 0],
    ];
    for (const path of paths) {
      for (const value of wrong) {
        const document = build();
        let target = document as Record<string | number, unknown>;
        for (const step of path.slice(0, -1)) target = target[step] as Record<string | number, unknown>;
        target[path[path.length - 1]!] = value;
        try {
          readGeoJson(document);
        } catch (error) {
          expect(error).toBeInstanceOf(FeeringError);
        }
      }
    }
  });
});

const square = (longitude: number): number[][] => [
  [longitude, 1],
  [longitude - 1, 1],
  [longitude - 1, 0],
  [longitude, 1],
];

// found by fuzz: gaps of a list went through as polygons that were not there, and broke the joining over 180 degrees
test.each<[type: string, coordinates: unknown[]]>([
  ["MultiPolygon", [[square(0)]]],
  ["MultiPolygon", [[square(180)]]],
  ["Polygon", [square(0)]],
  ["MultiLineString", [square(0)]],
  ["LineString", square(0)],
])("a gap in the list of a %s is refused", (type, coordinates) => {
  coordinates.length += 1;
  coordinates.push(coordinates[0]);
  expectCode(() => readGeoJson({ type, coordinates }), "bad-format");
  expectCode(() => readGeoJson({ type: "Feature", geometry: null, properties: { list: coordinates } }), "bad-format");
});

test("a gap in the lists of a polygon to bring into a frame is refused", () => {
  const frame = localFrame({ latitude: 1, longitude: 1 });
  const exterior = square(0).map(([longitude, latitude]) => ({ latitude: latitude!, longitude: longitude! }));
  const gap = exterior.slice(0, 1);
  gap[2] = exterior[2]!;
  expect(expectCode(() => toLocalLine(frame, gap), "not-finite").argument).toBe("positions[1]");
  const holes = Array(1) as never;
  expect(expectCode(() => toLocalPolygon(frame, { exterior, holes }), "too-few-points").argument).toBe(
    "polygon.holes[0]",
  );
});

const parcels = "parcels/NL.geojson";
test.skipIf(!hasData(parcels))("real parcels in projected metres are refused with the fix named", () => {
  const text = new TextDecoder().decode(readData(parcels));
  expect(expectCode(() => readGeoJson(text), "bad-format").message).toContain("projected metres");
});
