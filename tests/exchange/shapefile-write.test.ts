import { execFileSync } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { unzipSync } from "fflate";
import fc from "fast-check";
import { read as readByPeer } from "shapefile";
import { afterAll, describe, expect, test } from "vitest";
import type { GeoField, GeoLine, GeoPoint } from "../../src/exchange/geojson/index.js";
import { toGeoJson } from "../../src/exchange/geojson/index.js";
import {
  readShapefile,
  writeShapefile,
  writeShapefileZip,
  type WrittenShapefile,
} from "../../src/exchange/shapefile/index.js";
import { localFrame, projectedCrs } from "../../src/frames/index.js";
import { toLocalPolygon } from "../../src/exchange/index.js";
import { polygonArea } from "../../src/geometry/index.js";
import { hasData, readData } from "../helpers/data.js";
import { runs } from "../helpers/light.js";
import { expectCode } from "../helpers/within.js";

const at = (longitude: number, latitude: number, altitude?: number) =>
  altitude === undefined ? { latitude, longitude } : { latitude, longitude, altitude };
const round = (value: number): number => Number(value.toFixed(6));
const box = (x: number, y: number, side: number) => {
  const [east, north] = [round(x + side), round(y + side)];
  return [at(x, y), at(east, y), at(east, north), at(x, north), at(x, y)];
};
const turned = <T>(ring: readonly T[]): T[] => [...ring].reverse();

/** An invented farm: two fields, one of two parts with an obstacle, a tramline, two gates. */
const farm: { fields: GeoField[]; lines: GeoLine[]; points: GeoPoint[] } = {
  fields: [
    {
      id: "f1",
      polygons: [{ exterior: box(20.75, 47.25, 0.01), holes: [turned(box(20.752, 47.252, 0.001))] }],
      properties: { name: "Lång Äcker", area: 83.6125, crop: null, passes: 34, organic: true, sown: "2026-04-02" },
    },
    {
      id: "f2",
      polygons: [
        { exterior: box(20.77, 47.25, 0.004), holes: [] },
        { exterior: box(20.775, 47.25, 0.002), holes: [] },
      ],
      properties: { name: "Kút-dűlő", area: 16.7, crop: "winter wheat", passes: 12, organic: false, sown: null },
    },
  ],
  lines: [
    { positions: [at(20.75, 47.25), at(20.751, 47.255), at(20.752, 47.26)], properties: { kind: "pass", pass: -3 } },
  ],
  points: [
    { position: at(20.75, 47.25, 112.25), properties: {} },
    { position: at(20.76, 47.26, 113), properties: {} },
  ],
};

describe("what is written", () => {
  test("comes back, positions to the last bit, with ids as a column", () => {
    const { fields, layers } = readShapefile(writeShapefile({ fields: farm.fields }));
    expect(fields).toEqual(
      farm.fields.map(({ id, polygons, properties }) => ({ polygons, properties: { ...properties, id } })),
    );
    expect(layers[0]).toMatchObject({
      shapeType: "Polygon",
      rewound: 0,
      encoding: "utf-8",
      crs: { name: "GCS_WGS_1984", kind: "geographic" },
    });
    expect(readShapefile(writeShapefile({ lines: farm.lines })).lines).toEqual(farm.lines);
    const points = readShapefile(writeShapefile({ points: farm.points }));
    expect(points.points).toEqual(farm.points);
    expect(points.layers[0]).toMatchObject({ shapeType: "PointZ", measures: 0 });
  });

  test("an archive holds each kind as a layer of its own, the same bytes every time", () => {
    const bytes = writeShapefileZip(farm, { name: "spring" });
    const read = readShapefile(bytes);
    expect(read.layers.map(({ name }) => name)).toEqual(["spring_fields", "spring_lines", "spring_points"]);
    expect(read.fields).toHaveLength(2);
    expect(read.lines).toEqual(farm.lines);
    expect(read.points).toEqual(farm.points);
    expect(read.otherFiles).toEqual(["spring_fields.shx", "spring_lines.shx", "spring_points.shx"]);
    expect(writeShapefileZip(farm, { name: "spring" })).toEqual(bytes);
    expect(Object.keys(unzipSync(writeShapefileZip({ lines: farm.lines }))).sort()).toEqual([
      "lines.cpg",
      "lines.dbf",
      "lines.prj",
      "lines.shp",
      "lines.shx",
    ]);
    expect(readShapefile(writeShapefileZip({ fields: [], lines: farm.lines }, { name: "x" })).layers[0]!.name).toBe(
      "x",
    );
    expect(readShapefile(writeShapefileZip({ fields: [] })).layers[0]).toMatchObject({
      name: "fields",
      shapeType: "Polygon",
    });
    expectCode(() => writeShapefileZip({}), "bad-format");
    for (const name of ["", "a/b", "..\\x", "\n", "a".repeat(101)])
      expectCode(() => writeShapefileZip(farm, { name }), "out-of-range");
  });

  test("is the same as the files kept with the tests", () => {
    // FEERING_GOLDEN=write renews it
    const file = new URL("golden/farm-shapefile.zip", import.meta.url);
    if (process.env["FEERING_GOLDEN"] === "write") {
      writeFileSync(file, writeShapefileZip(farm, { name: "farm", modified: "2026-05-01" }));
    }
    const golden = unzipSync(readFileSync(file));
    const now = unzipSync(writeShapefileZip(farm, { name: "farm", modified: "2026-05-01" }));
    expect(Object.keys(now).sort()).toEqual(Object.keys(golden).sort());
    for (const [name, bytes] of Object.entries(golden)) expect(now[name], name).toEqual(bytes);
  });

  test("header, winding and index are those of the white paper", () => {
    const { shp, shx } = writeShapefile({ fields: farm.fields });
    const view = new DataView(shp.buffer);
    const index = new DataView(shx.buffer);
    expect([view.getInt32(0), 2 * view.getInt32(24), view.getInt32(28, true), view.getInt32(32, true)]).toEqual([
      9994,
      shp.length,
      1000,
      5,
    ]);
    expect([36, 44, 52, 60].map((o) => view.getFloat64(o, true))).toEqual([20.75, 47.25, 20.777, 47.26]);
    expect(2 * index.getInt32(24)).toBe(shx.length);
    for (let i = 0; i < 2; i++) {
      const offset = 2 * index.getInt32(100 + 8 * i);
      expect(view.getInt32(offset)).toBe(i + 1);
      expect(view.getInt32(offset + 4)).toBe(index.getInt32(104 + 8 * i));
    }
    // first ring clockwise: from its south-western corner north
    const first = 100 + 8 + 44 + 4 * 2;
    expect([0, 8, 16, 24].map((o) => view.getFloat64(first + o, true))).toEqual([20.75, 47.25, 20.75, 47.26]);
  });

  test("rings open or wound the wrong way are put right; turns of 360 degrees are taken off", () => {
    const field = {
      polygons: [{ exterior: turned(box(-355, 50, 1)).slice(1), holes: [box(-354.8, 50.2, 0.1)] }],
      properties: {},
    };
    const { polygons } = readShapefile(writeShapefile({ fields: [field] })).fields[0]!;
    expect(polygons[0]!.exterior.every((p) => p.longitude >= 5 && p.longitude <= 6)).toBe(true);
    expect(polygons[0]!.holes).toHaveLength(1);
  });

  test("shapes across 180 degrees of longitude are cut, and joined again", () => {
    const fields: GeoField[] = [
      {
        polygons: [{ exterior: [at(179.5, 1), at(-179.5, 1), at(-179.5, 2), at(179.5, 2), at(179.5, 1)], holes: [] }],
        properties: { n: 1 },
      },
    ];
    const lines: GeoLine[] = [{ positions: [at(179.5, 1), at(-179.5, 2)], properties: { n: 1 } }];
    const written = writeShapefile({ fields });
    const view = new DataView(written.shp.buffer);
    expect([36, 52].map((o) => view.getFloat64(o, true))).toEqual([-180, 180]);
    expect(readShapefile(written).fields).toEqual(fields);
    expect(readShapefile(writeShapefile({ lines })).lines).toEqual(lines);
  });

  test("types and names of columns, and what was made of them", () => {
    const row = (properties: Record<string, unknown>): GeoPoint => ({ position: at(5, 52), properties });
    const properties = {
      population_density: 1,
      population_total: 2.5,
      Population: 3,
      größenangabe: "ä",
      flag: true,
      day: "2026-05-01",
      big: "12345678901234567891",
      tiny: 1e-300,
      none: null,
      "": 7,
      "tab\there": 8,
      constructor: "c",
      left: undefined,
    };
    const written = writeShapefile({
      points: [row(properties), row({ population_density: -40, big: 5, tiny: 1e300 })],
    });
    expect(
      written.columns.map(({ property, name, type, length, decimals }) => [property, name, type, length, decimals]),
    ).toEqual([
      ["population_density", "population", "N", 3, 0],
      ["population_total", "populati_2", "N", 3, 1],
      ["Population", "Populati_3", "N", 1, 0],
      ["größenangabe", "größenan", "C", 2, 0],
      ["flag", "flag", "L", 1, 0],
      ["day", "day", "D", 8, 0],
      ["big", "big", "N", 20, 0],
      ["tiny", "tiny", "F", 24, 15],
      ["none", "none", "C", 1, 0],
      ["", "column", "N", 1, 0],
      ["tab\there", "tab_here", "N", 1, 0],
      ["constructor", "constructo", "C", 1, 0],
    ]);
    const { points } = readShapefile(written);
    expect(points[0]!.properties).toMatchObject({
      population: 1,
      größenan: "ä",
      big: "12345678901234567891",
      tiny: 1e-300,
      none: null,
      column: 7,
    });
    expect(points[1]!.properties).toMatchObject({ population: -40, populati_2: null, big: 5, tiny: 1e300, day: null });
  });

  test("what does not fit is refused, with its place", () => {
    const points = (...rows: Record<string, unknown>[]) => ({
      points: rows.map((properties) => ({ position: at(5, 52), properties })),
    });
    const cases: [Record<string, unknown>[], string, string][] = [
      [[{ a: 1 }, { a: "x" }], "bad-format", "points[1].properties.a"],
      [[{ a: true }, { a: 1 }], "bad-format", "points[1].properties.a"],
      [[{ a: [1] }], "bad-format", "points[0].properties.a"],
      [[{ a: {} }], "bad-format", "points[0].properties.a"],
      [[{ a: "é".repeat(128) }], "too-large", "points[0].properties.a"],
      [[{ a: "x\0y" }], "bad-format", "points[0].properties.a"],
      [[{ a: "\ud800" }], "bad-format", "points[0].properties.a"],
      [[{ a: Number.NaN }], "not-finite", "points[0].properties.a"],
      [[{ a: Number.POSITIVE_INFINITY }], "not-finite", "points[0].properties.a"],
      [[Object.fromEntries(Array.from({ length: 256 }, (_, i) => [`p${i}`, 1]))], "too-large", "points"],
    ];
    for (const [rows, code, argument] of cases)
      expect(expectCode(() => writeShapefile(points(...rows)), code).argument).toBe(argument);
    expectCode(() => writeShapefile(farm), "bad-format");
    expectCode(() => writeShapefile({}), "bad-format");
    expectCode(() => writeShapefile({ lines: [{ positions: [at(5, 52)], properties: {} }] }), "too-few-points");
    expectCode(() => writeShapefile({ fields: [{ polygons: [], properties: {} }] }), "too-few-points");
    expectCode(
      () => writeShapefile({ fields: [{ polygons: [{ exterior: box(5, 52, 0), holes: [] }], properties: {} }] }),
      "too-few-points",
    );
    expectCode(() => writeShapefile({ points: [{ position: at(5, 91), properties: {} }] }), "out-of-range");
    expectCode(() => writeShapefile({ points: [{ position: at(Number.NaN, 1), properties: {} }] }), "not-finite");
    const mixed = {
      points: [
        { position: at(5, 52, 1), properties: {} },
        { position: at(5, 52), properties: {} },
      ],
    };
    expect(expectCode(() => writeShapefile(mixed), "bad-format").message).toContain("options.altitudes");
    expect(readShapefile(writeShapefile(mixed, { altitudes: "omit" })).points[0]!.position).toEqual(at(5, 52));
    for (const modified of ["2026-02-30", "1899-12-31", "x"])
      expectCode(() => writeShapefile(farm, { modified }), "out-of-range");
    expectCode(() => writeShapefile({ points: [] }, { altitudes: "x" as "keep" }), "out-of-range");
  });
});

describe("P33: write and read", () => {
  const longitude = fc.double({ min: -179.9, max: 179.9, noNaN: true });
  const latitude = fc.double({ min: -80, max: 80, noNaN: true });
  const text = fc
    .string({ unit: "binary", maxLength: 20 })
    .filter((s) => !s.includes("\0") && s === s.trimEnd() && s !== "" && !/\s$/.test(s));
  const number = fc.oneof(
    fc.double({ noNaN: true, noDefaultInfinity: true }),
    fc.integer(),
    fc.double({ min: -1e4, max: 1e4, noNaN: true }).map((v) => Number(v.toFixed(3))),
  );
  const row = fc.record({
    text: fc.option(text),
    number: fc.option(number.map((v) => v + 0)),
    whole: fc.option(fc.maxSafeInteger()),
    truth: fc.option(fc.boolean()),
    day: fc.option(
      fc
        .date({ min: new Date("0001-01-01"), max: new Date("9999-12-31"), noInvalidDate: true })
        .map((d) => d.toISOString().slice(0, 10)),
    ),
  });
  const field = fc.record({
    polygons: fc
      .tuple(
        fc.double({ min: -170, max: 170, noNaN: true }),
        fc.double({ min: -70, max: 70, noNaN: true }),
        fc.integer({ min: 1, max: 4 }),
        fc.integer({ min: 0, max: 3 }),
      )
      .map(([x, y, parts, holes]) =>
        Array.from({ length: parts }, (_, i) => ({
          exterior: box(round(x) + 2 * i, y, 1),
          holes: Array.from({ length: holes }, (_, j) => turned(box(x + 2 * i + 0.1 + 0.3 * j, y + 0.1, 0.15))),
        })),
      ),
    properties: row,
  });

  test("points, lines and fields with every kind of value, to the last bit; and once more the same", () => {
    fc.assert(
      fc.property(
        fc.array(fc.record({ position: fc.record({ latitude, longitude }), properties: row }), {
          minLength: 1,
          maxLength: 8,
        }),
        (points) => {
          const plain = points.map(({ position, properties }) => ({
            position: { latitude: position.latitude + 0, longitude: position.longitude + 0 },
            properties: { ...properties },
          }));
          const once = readShapefile(writeShapefile({ points: plain }));
          expect(once.points).toEqual(plain);
          expect(readShapefile(writeShapefile({ points: once.points })).points).toEqual(once.points);
        },
      ),
      { numRuns: runs(400) },
    );
    fc.assert(
      fc.property(
        fc.array(
          fc.record({
            positions: fc.array(
              fc.record({ latitude, longitude, altitude: fc.double({ min: -1e3, max: 1e4, noNaN: true }) }),
              { minLength: 2, maxLength: 9 },
            ),
            properties: row,
          }),
          { minLength: 1, maxLength: 5 },
        ),
        (lines) => {
          // steps of more than half a turn go the short way, over 180 degrees: another test
          fc.pre(
            lines.every(({ positions }) =>
              positions.every((p, i) => i === 0 || Math.abs(p.longitude - positions[i - 1]!.longitude) < 180),
            ),
          );
          const once = readShapefile(writeShapefile({ lines }));
          expect(once.layers[0]!.shapeType).toBe("PolyLineZ");
          expect(JSON.stringify(once.lines)).toBe(JSON.stringify(lines));
        },
      ),
      { numRuns: runs(200) },
    );
    fc.assert(
      fc.property(fc.array(field, { minLength: 1, maxLength: 4 }), (fields) => {
        const once = readShapefile(writeShapefileZip({ fields }));
        expect(JSON.stringify(once.fields)).toBe(JSON.stringify(fields));
        expect(readShapefile(writeShapefile({ fields: once.fields })).fields).toEqual(once.fields);
      }),
      { numRuns: runs(200) },
    );
  });
});

describe("through npm shapefile", () => {
  test("what we write reads the same there", async () => {
    const { shp, dbf } = writeShapefile({ fields: farm.fields });
    const peer = await readByPeer(shp, dbf, { encoding: "utf-8" });
    const ours = toGeoJson({ fields: farm.fields });
    peer.features.forEach((feature, i) => {
      const reversed = (rings: number[][][]) => rings.map((ring) => [...ring].reverse());
      const geometry = feature.geometry;
      const unwound =
        geometry.type === "Polygon"
          ? reversed(geometry.coordinates)
          : geometry.type === "MultiPolygon"
            ? geometry.coordinates.map(reversed)
            : [];
      expect(unwound).toEqual((ours.features[i]!.geometry as { coordinates: unknown }).coordinates);
      const { sown, ...rest } = feature.properties!;
      const day = sown as Date;
      const expectedDay = farm.fields[i]!.properties["sown"];
      // a blank day becomes the end of 1899 there
      if (expectedDay !== null) {
        expect(new Date(day.getTime() - day.getTimezoneOffset() * 60_000).toISOString().slice(0, 10)).toBe(expectedDay);
      }
      const { sown: _, ...expected } = farm.fields[i]!.properties;
      expect(rest).toEqual({ ...expected, id: farm.fields[i]!.id });
    });
  });
});

const gdal = existsSync("/usr/bin/ogr2ogr") && existsSync("/usr/bin/ogrinfo");
if (!gdal) console.warn("skipped: shapefiles through GDAL's command line, which is not here");
const folder = gdal ? mkdtempSync(join(tmpdir(), "shapefile-")) : "";
afterAll(() => {
  if (gdal) rmSync(folder, { recursive: true });
});
const save = (name: string, { shp, shx, dbf, prj, cpg }: WrittenShapefile): string => {
  for (const [ending, bytes] of Object.entries({ shp, shx, dbf, prj, cpg }))
    writeFileSync(join(folder, `${name}.${ending}`), bytes);
  return join(folder, `${name}.shp`);
};
const load = (name: string) => {
  const part = (ending: string) =>
    existsSync(join(folder, `${name}.${ending}`))
      ? new Uint8Array(readFileSync(join(folder, `${name}.${ending}`)))
      : undefined;
  return { shp: part("shp")!, dbf: part("dbf"), prj: part("prj"), cpg: part("cpg") };
};

describe.skipIf(!gdal)("through GDAL", () => {
  const ogr = (...args: string[]) =>
    execFileSync("ogr2ogr", args, { cwd: folder, encoding: "utf8", stdio: ["ignore", "pipe", "pipe"] });

  test("what we write reads there without a warning, and comes back the same", () => {
    const path = save("farm", writeShapefile({ fields: farm.fields }));
    const info = execFileSync("ogrinfo", ["-al", "-so", path], { encoding: "utf8" });
    expect(info).toContain("Feature Count: 2");
    expect(info).toContain('ID["EPSG",4326]');
    ogr("-f", "ESRI Shapefile", "copy.shp", "farm.shp", "-lco", "ENCODING=UTF-8");
    const copy = readShapefile(load("copy"));
    const expected = readShapefile(load("farm"));
    // GDAL has no truths in this format: T and F are texts there
    const without = ({ organic: _, ...rest }: Record<string, unknown>) => rest;
    expect(copy.fields.map((f) => f.polygons)).toEqual(expected.fields.map((f) => f.polygons));
    expect(copy.fields.map((f) => without(f.properties))).toEqual(expected.fields.map((f) => without(f.properties)));
    save("gates", writeShapefile({ points: farm.points }));
    ogr("-f", "ESRI Shapefile", "gates2.shp", "gates.shp");
    expect(readShapefile(load("gates2")).points.map((p) => p.position)).toEqual(farm.points.map((p) => p.position));
  });

  test("what it writes from GeoJSON in a grid, with Z, with M, in an archive, in another code page", () => {
    const document = JSON.stringify(toGeoJson({ fields: farm.fields }));
    writeFileSync(join(folder, "farm.geojson"), document);
    ogr("-f", "ESRI Shapefile", "utm.shp", "farm.geojson", "-t_srs", "EPSG:32634", "-lco", "ENCODING=ISO-8859-1");
    const utm = readShapefile(load("utm"));
    expect(utm.layers[0]!.crs).toMatchObject({ kind: "projected", name: "WGS_1984_UTM_Zone_34N" });
    expect(utm.fields[0]!.properties["name"]).toBe("Lång Äcker");
    utm.fields.forEach((field, i) =>
      field.polygons.forEach((polygon, j) =>
        polygon.exterior.forEach((p, k) => {
          const q = farm.fields[i]!.polygons[j]!.exterior[k]!;
          expect(Math.abs(p.latitude - q.latitude) + Math.abs(p.longitude - q.longitude)).toBeLessThan(1e-11);
        }),
      ),
    );
    for (const [name, type] of [
      ["z", "POLYGONZ"],
      ["m", "POLYGONM"],
      ["zm", "POLYGONZM"],
    ] as const) {
      ogr(
        "-f",
        "ESRI Shapefile",
        `${name}.shp`,
        "farm.geojson",
        "-lco",
        `SHPT=${type}`,
        "-nlt",
        type.replace("POLYGON", "MULTIPOLYGON"),
      );
      const read = readShapefile(load(name));
      expect(read.fields.map((f) => f.polygons.map((p) => p.holes.length))).toEqual([[1], [0, 0]]);
    }
    ogr("-f", "ESRI Shapefile", "farm.shz", "farm.geojson");
    expect(readShapefile(new Uint8Array(readFileSync(join(folder, "farm.shz")))).fields).toHaveLength(2);
  });
});

describe("parcels of three countries", () => {
  const frameOf = (file: string) => (file.startsWith("NL") ? "EPSG:28992" : "EPSG:25832");
  for (const file of ["NL.geojson", "DK.geojson", "DE-SH.geojson"]) {
    test.skipIf(!hasData(`parcels/${file}`))(`${file}: rings to the last bit, areas to 1e-9`, () => {
      const document = JSON.parse(new TextDecoder().decode(readData(`parcels/${file}`))) as {
        crs_note: string;
        features: {
          geometry: { type: string; coordinates: [number, number][][] };
          properties: Record<string, unknown>;
        }[];
      };
      const crs = projectedCrs(/EPSG:\d+/.exec(document.crs_note)?.[0] ?? frameOf(file));
      const fields: GeoField[] = document.features.map(({ geometry, properties }) => {
        const polygons = (
          geometry.type === "Polygon"
            ? [geometry.coordinates]
            : (geometry.coordinates as unknown as [number, number][][][])
        ).map((rings) => {
          const [exterior, ...holes] = rings.map((ring) => ring.map((xy) => crs.toGeographic(xy)));
          return { exterior: exterior!, holes };
        });
        return { polygons, properties };
      });
      const read = readShapefile(writeShapefileZip({ fields }));
      expect(read.layers[0]!.rewound).toBe(0);
      expect(read.fields).toHaveLength(fields.length);
      read.fields.forEach((field, i) => {
        const before = fields[i]!;
        expect(field.properties).toEqual(before.properties);
        expect(field.polygons.map((p) => p.holes.length)).toEqual(before.polygons.map((p) => p.holes.length));
        const frame = localFrame(before.polygons[0]!.exterior[0]!);
        const area = (f: GeoField) => f.polygons.reduce((sum, p) => sum + polygonArea(toLocalPolygon(frame, p)), 0);
        expect(Math.abs(area(field) / area(before) - 1)).toBeLessThan(1e-9);
        const places = (f: GeoField) =>
          f.polygons.flatMap((p) => [p.exterior, ...p.holes].flat().map((q) => `${q.latitude} ${q.longitude}`)).sort();
        const distinct = (f: GeoField) => [...new Set(places(f))];
        expect(distinct(field)).toEqual(distinct(before));
      });
    });
  }
});
