import { execFileSync } from "node:child_process";
import { existsSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { readShapefile, type ShapefileParts } from "../../src/exchange/shapefile/index.js";
import { projectedCrs } from "../../src/frames/index.js";
import { expectCode, expectWithin } from "../helpers/within.js";
import {
  bytesOf,
  type DbfColumn,
  dbfOf,
  joined,
  nullShape,
  partsOf,
  pointOf,
  shpOf,
  square,
  type Xy,
} from "./shapefile-bytes.js";

const degrees = { crs: "WGS 84" } as const;
const pairs = (positions: readonly { latitude: number; longitude: number }[]): number[][] =>
  positions.map(({ latitude, longitude }) => [longitude, latitude]);
const turned = (ring: Xy): Xy => [...ring].reverse();
const polygonsOf = (parts: readonly Xy[]) => {
  const layer = readShapefile({ shp: shpOf(5, [partsOf(5, parts)]) }, degrees).layers[0]!;
  return { polygons: layer.fields[0]!.polygons, rewound: layer.rewound };
};

describe("shapes of the white paper of July 1998", () => {
  const line = [
    [5, 52],
    [6, 53],
    [7, 52.5],
  ];
  test.for([
    ["Point", 1, pointOf(1, [5, 52])],
    ["PointZ", 11, pointOf(11, [5, 52, 7.5, 3])],
    ["PointM", 21, pointOf(21, [5, 52, 3])],
  ] as const)("%s", ([name, type, content]) => {
    const read = readShapefile({ shp: shpOf(type, [content, content]) }, degrees);
    const position = { latitude: 52, longitude: 5, ...(type === 11 ? { altitude: 7.5 } : {}) };
    expect(read.points).toEqual([
      { position, properties: {} },
      { position, properties: {} },
    ]);
    expect(read.layers[0]).toMatchObject({ shapeType: name, measures: type === 1 ? 0 : 2, encoding: "", columns: [] });
  });

  test.for([
    ["PolyLine", 3, undefined, undefined],
    ["PolyLineZ", 13, [1, 2, 3, 4, 5], undefined],
    ["PolyLineZ", 13, [1, 2, 3, 4, 5], [1, -1e39, 3, Number.NaN, 5]],
    ["PolyLineM", 23, undefined, [1, -1e39, 3, Number.NaN, 5]],
    ["PolyLineM", 23, undefined, undefined],
  ] as const)("%s of two parts, measures that are optional", ([name, type, z, m]) => {
    const two = [line, line.slice(1)];
    const read = readShapefile({ shp: shpOf(type, [partsOf(type, two, z, m)]) }, degrees);
    expect(read.lines.map(({ positions }) => pairs(positions))).toEqual(two);
    expect(read.lines.flatMap(({ positions }) => positions.map((p) => p.altitude))).toEqual(
      z ?? [undefined, undefined, undefined, undefined, undefined],
    );
    expect(read.layers[0]).toMatchObject({ shapeType: name, measures: m === undefined ? 0 : 3 });
  });

  test.for([
    ["MultiPoint", 8, undefined, undefined],
    ["MultiPointZ", 18, [1, 2, 3], [4, 5, 6]],
    ["MultiPointM", 28, undefined, [4, 5, 6]],
  ] as const)("%s gives one point for each", ([, type, z, m]) => {
    const read = readShapefile({ shp: shpOf(type, [partsOf(type, [line], z, m)]) }, degrees);
    expect(pairs(read.points.map((p) => p.position))).toEqual(line);
  });

  test.for([
    ["Polygon", 5, undefined, undefined],
    ["PolygonZ", 15, [1, 2, 3, -1e39, 1], [1, 1, 1, 1, 1]],
    ["PolygonM", 25, undefined, [1, 1, 1, 1, 1]],
  ] as const)("%s comes back counter-clockwise, with altitudes of its vertices", ([, type, z, m]) => {
    const read = readShapefile({ shp: shpOf(type, [partsOf(type, [square(5, 52, 1)], z, m)]) }, degrees);
    const { exterior } = read.fields[0]!.polygons[0]!;
    expect(pairs(exterior)).toEqual(turned(square(5, 52, 1)));
    if (z !== undefined) expect(exterior.map((p) => p.altitude)).toEqual([1, undefined, 3, 2, 1]);
  });

  test("null shapes, shapes of no parts and no points are counted", () => {
    const shp = shpOf(5, [nullShape, partsOf(5, [square(5, 52, 1)]), partsOf(5, [])]);
    const dbf = dbfOf([{ name: "N", type: "N", length: 2 }], [["1"], ["2"], ["3"]]);
    const read = readShapefile({ shp, dbf }, degrees);
    expect(read.withoutGeometry).toBe(2);
    expect(read.fields.map((f) => f.properties)).toEqual([{ N: 2 }]);
    expect(readShapefile({ shp: shpOf(0, [nullShape]) }, degrees)).toMatchObject({ withoutGeometry: 1, fields: [] });
    expect(readShapefile({ shp: shpOf(5, []) }, degrees).fields).toEqual([]);
    expect(readShapefile({ shp: shpOf(8, [partsOf(8, [[]])]) }, degrees).withoutGeometry).toBe(1);
  });

  test("multipatch, unknown and mixed kinds are refused by name", () => {
    expect(expectCode(() => readShapefile({ shp: shpOf(31, []) }, degrees), "bad-format").message).toContain(
      "MultiPatch",
    );
    expect(expectCode(() => readShapefile({ shp: shpOf(7, []) }, degrees), "bad-format").message).toContain("type 7");
    const mixed = { shp: shpOf(5, [partsOf(5, [square(5, 52, 1)]), pointOf(1, [5, 52])]) };
    const error = expectCode(() => readShapefile(mixed, degrees), "bad-format");
    expect(error.message).toBe("shp: record 2 is of Point in a file of Polygon: kinds must not be mixed");
    expect(error).toMatchObject({ argument: "shp", index: 2 });
    expect(
      expectCode(() => readShapefile({ shp: shpOf(5, [partsOf(31, [square(5, 52, 1)])]) }, degrees), "bad-format")
        .message,
    ).toContain("MultiPatch");
  });
});

describe("rings of a polygon", () => {
  const outer = square(0, 0, 10);
  const hole = turned(square(2, 2, 2));
  const island = square(2.5, 2.5, 0.5);
  const other = square(20, 0, 10);
  const shapeOf = (polygons: ReturnType<typeof polygonsOf>["polygons"]) => polygons.map((p) => p.holes.length);

  test("as wound by the white paper: several exteriors, holes, an island in a hole", () => {
    const { polygons, rewound } = polygonsOf([outer, hole, island, other, turned(square(22, 2, 2))]);
    expect(shapeOf(polygons)).toEqual([1, 0, 1]);
    expect(rewound).toBe(0);
    expect(pairs(polygons[0]!.holes[0]!)).toEqual(turned(hole));
  });

  test("holes before their exteriors", () => {
    const { polygons } = polygonsOf([hole, turned(square(22, 2, 2)), other, outer]);
    expect(shapeOf(polygons)).toEqual([1, 1]);
    expect(polygons[0]!.exterior[1]!.longitude).toBe(30);
  });

  test("where winding lies, what contains what decides, and is told", () => {
    for (const lies of [
      [outer, turned(hole), island, other],
      [turned(outer), hole, turned(island), turned(other)],
      [outer, hole, turned(island), other],
      [turned(outer), turned(hole), island, other],
    ]) {
      const { polygons, rewound } = polygonsOf(lies);
      expect(shapeOf(polygons)).toEqual([1, 0, 0]);
      expect(rewound).toBeGreaterThan(0);
      for (const { exterior, holes } of polygons) {
        expect(areaOf(exterior)).toBeGreaterThan(0);
        for (const ring of holes) expect(areaOf(ring)).toBeLessThan(0);
      }
    }
  });

  test("a hole that touches its exterior, neighbours with a common side, rings left open", () => {
    const touching = [
      [0, 5],
      [3, 4],
      [3, 6],
      [0, 5],
    ];
    expect(shapeOf(polygonsOf([outer, touching]).polygons)).toEqual([1]);
    expect(shapeOf(polygonsOf([outer, square(10, 0, 10), square(0, 10, 10), square(0, -10, 10)]).polygons)).toEqual([
      0, 0, 0, 0,
    ]);
    // a hole along a side of its exterior
    expect(shapeOf(polygonsOf([outer, turned(square(4, 0, 2))]).polygons)).toEqual([1]);
    expect(shapeOf(polygonsOf([outer, turned(square(4, 8, 2))]).polygons)).toEqual([1]);
    const open = polygonsOf([outer.slice(0, 4), hole.slice(0, 4)]).polygons;
    expect(pairs(open[0]!.exterior)).toEqual(turned(outer));
    expect(open[0]!.holes[0]).toHaveLength(5);
  });

  test("across 180 degrees of longitude: cut there, whole with both signs, or beyond it", () => {
    const whole = [
      [179, 0],
      [179, 1],
      [-179, 1],
      [-179, 0],
      [179, 0],
    ];
    const beyond = whole.map(([x, y]) => [x! < 0 ? x! + 360 : x!, y!]);
    const west = square(179, 0, 1);
    const east = square(-180, 0, 1);
    for (const parts of [[whole], [turned(whole)], [beyond], [west, east]]) {
      const { polygons } = polygonsOf(parts);
      expect(polygons).toHaveLength(1);
      expect(pairs(polygons[0]!.exterior)).toEqual(turned(whole));
    }
    const holed = polygonsOf([whole, turned(square(179.25, 0.25, 0.5))]).polygons;
    expect(holed.map((p) => p.holes.length)).toEqual([1]);
    const lines = readShapefile(
      {
        shp: shpOf(3, [
          partsOf(3, [
            [
              [179, 0],
              [180, 1],
            ],
            [
              [-180, 1],
              [-179, 2],
            ],
          ]),
        ]),
      },
      degrees,
    ).lines;
    expect(lines.map((l) => pairs(l.positions))).toEqual([
      [
        [179, 0],
        [-179, 2],
      ],
    ]);
  });

  test("a ring of two places, a line of one point are refused with record and part", () => {
    const error = expectCode(
      () =>
        polygonsOf([
          outer,
          [
            [1, 1],
            [2, 2],
            [1, 1],
            [2, 2],
          ],
        ]),
      "bad-format",
    );
    expect(error.message).toBe("shp: record 1, part 1 has 2 distinct points, a ring needs 3");
    expectCode(() => readShapefile({ shp: shpOf(3, [partsOf(3, [[[1, 1]]])]) }, degrees), "bad-format");
  });
});

function areaOf(ring: readonly { latitude: number; longitude: number }[]): number {
  let twice = 0;
  for (let i = 1; i < ring.length; i++) {
    const [a, b] = [ring[i - 1]!, ring[i]!];
    twice += a.longitude * b.latitude - b.longitude * a.latitude;
  }
  return twice / 2;
}

describe("the table", () => {
  const point = pointOf(1, [5, 52]);
  const read = (dbf: Uint8Array, more: Partial<ShapefileParts> = {}, options: object = {}) => {
    const count = new DataView(dbf.buffer).getUint32(4, true);
    const shp = shpOf(
      1,
      Array.from({ length: count }, () => point),
    );
    return readShapefile({ shp, dbf, ...more }, { ...degrees, ...options });
  };
  const values = (column: DbfColumn, cells: readonly (string | Uint8Array)[], version?: number) =>
    read(
      dbfOf(
        [column],
        cells.map((cell) => [cell]),
        version === undefined ? {} : { version },
      ),
    ).points.map((p) => p.properties["X"]);

  test("texts: blanks behind are padding, blanks before are not; nothing is null", () => {
    expect(values({ name: "X", type: "C", length: 8 }, ["abc", "  abc", "", "a\0zz", "\0"])).toEqual([
      "abc",
      "  abc",
      null,
      "a",
      null,
    ]);
    expect(values({ name: "X", type: "C", length: 300 }, ["y".repeat(300)])).toEqual(["y".repeat(300)]);
  });

  test("numbers: every digit, null for blanks and asterisks, digits that no double holds stay", () => {
    const cells = [
      "12",
      " -3.25",
      "",
      "********",
      "+5",
      "007",
      "1e3",
      "1.5E-05",
      "-0",
      ".5",
      "5.",
      "123456789012345678",
      "9007199254740993",
      "-9007199254740993",
      "9007199254740992",
      "0.1",
      "123456.789012345678",
      "1D2",
      "0000000000000000012",
    ];
    expect(values({ name: "X", type: "N", length: 20 }, cells)).toEqual([
      12,
      -3.25,
      null,
      null,
      5,
      7,
      1000,
      1.5e-5,
      0,
      0.5,
      5,
      "123456789012345678",
      "9007199254740993",
      "-9007199254740993",
      9007199254740992,
      0.1,
      123456.789012345678,
      100,
      12,
    ]);
    for (const bad of ["1e309", "NaN", "inf", "1,5", "abc", "1 2", "-", ".", "0x10", "1.2.3", "--1", "12*"]) {
      const error = expectCode(() => values({ name: "X", type: "F", length: 20 }, ["1", bad]), "bad-format");
      expect(error.message).toMatch(/^dbf: row 2, "X" is /);
      expect(error).toMatchObject({ argument: "dbf", index: 2 });
    }
  });

  test("any number of up to 15 digits is the double nearest to it", () => {
    for (const text of [
      "0.3",
      "2.675",
      "1.005",
      "123456789.12345",
      "0.00000000000001",
      "999999999999999",
      "4.35",
      "-87.123456789012",
    ]) {
      expect(values({ name: "X", type: "N", length: 20 }, [text])).toEqual([Number(text)]);
    }
  });

  test("truths and days", () => {
    expect(values({ name: "X", type: "L", length: 1 }, ["T", "y", "F", "n", "?", " "])).toEqual([
      true,
      true,
      false,
      false,
      null,
      null,
    ]);
    expectCode(() => values({ name: "X", type: "L", length: 1 }, ["x"]), "bad-format");
    expect(values({ name: "X", type: "D", length: 8 }, ["20260501", "", "00000000", "20240229"])).toEqual([
      "2026-05-01",
      null,
      null,
      "2024-02-29",
    ]);
    for (const bad of ["20260229", "2026050", "20261301", "x0260501"]) {
      expectCode(() => values({ name: "X", type: "D", length: 8 }, [bad]), "bad-format");
    }
  });

  test("FoxPro's numbers, times and money, in their binary form", () => {
    const int = (value: number) => bytesOf(4, (view) => view.setInt32(0, value, true));
    const double = (value: number) => bytesOf(8, (view) => view.setFloat64(0, value, true));
    expect(values({ name: "X", type: "I", length: 4 }, [int(-7)], 0x30)).toEqual([-7]);
    expect(values({ name: "X", type: "B", length: 8 }, [double(1.25)], 0x30)).toEqual([1.25]);
    expectCode(() => values({ name: "X", type: "B", length: 8 }, [double(Number.NaN)], 0x30), "bad-format");
    // 2026-05-01 is Julian day 2461162 (from its noon)
    const time = bytesOf(8, (view) => {
      view.setInt32(0, 2_461_162, true);
      view.setInt32(4, 45_296_000, true);
    });
    expect(values({ name: "X", type: "T", length: 8 }, [time, new Uint8Array(8)], 0x30)).toEqual([
      "2026-05-01T12:34:56.000",
      null,
    ]);
    const money = (units: bigint) => bytesOf(8, (view) => view.setBigInt64(0, units, true));
    expect(
      values({ name: "X", type: "Y", length: 8 }, [money(12_345n), money(-12_345_678_901_234_567n)], 0x30),
    ).toEqual([1.2345, "-1234567890123.4567"]);
  });

  test("columns that can't be read say why; dBASE 7 is refused", () => {
    const dbf = dbfOf(
      [
        { name: "NOTE", type: "M", length: 10 },
        { name: "N", type: "N", length: 3 },
        { name: "Q", type: "Q", length: 2 },
        { name: "__proto__", type: "C", length: 3 },
      ],
      [["1", "5", "", "bad"]],
      { version: 0x83 },
    );
    const { points, layers } = read(dbf);
    expect(points[0]!.properties).toEqual({ N: 5 });
    expect(Object.getPrototypeOf(points[0]!.properties)).toBe(Object.prototype);
    expect(layers[0]!.columns.map(({ name, passedOver }) => [name, passedOver])).toEqual([
      ["NOTE", "points into a .dbt or .fpt file, which is not read"],
      ["N", undefined],
      ["Q", 'is of type "Q", which is not known'],
      ["__proto__", "its name could poison an object"],
    ]);
    const seven = dbfOf([{ name: "N", type: "N", length: 3 }], [["5"]], { version: 4 });
    expect(expectCode(() => read(seven), "bad-format").message).toContain("dBASE 7");
  });

  test("names: the same one twice, none, `constructor`", () => {
    const column = (name: string): DbfColumn => ({ name, type: "N", length: 2 });
    const dbf = dbfOf([column("A"), column("A"), column(""), column("constructo")], [["1", "2", "3", "4"]]);
    expect(read(dbf).points[0]!.properties).toEqual({ A: 1, "A 2": 2, "column 3": 3, constructo: 4 });
  });

  test("rows marked as deleted go with their shapes", () => {
    const dbf = dbfOf([{ name: "N", type: "N", length: 3 }], [["1"], ["2"], ["3"]], { deleted: [1] });
    const { points, layers } = read(dbf);
    expect(points.map((p) => p.properties["N"])).toEqual([1, 3]);
    expect(layers[0]!.deleted).toBe(1);
  });

  test("rows that are more or fewer than the shapes, cut off, badly marked, with something behind", () => {
    const dbf = dbfOf([{ name: "N", type: "N", length: 3 }], [["1"], ["2"]]);
    const two = shpOf(1, [point, point]);
    for (const count of [0, 1, 3]) {
      const shp = shpOf(
        1,
        Array.from({ length: count }, () => point),
      );
      const error = expectCode(() => readShapefile({ shp, dbf }, degrees), "bad-format");
      expect(error.message).toBe(`dbf: has 2 rows for ${count} shapes`);
    }
    const marked = dbf.slice();
    marked[65 + 4] = 0x41;
    expect(expectCode(() => readShapefile({ shp: two, dbf: marked }, degrees), "bad-format").index).toBe(2);
    expectCode(() => readShapefile({ shp: two, dbf: joined([dbf, dbf]) }, degrees), "bad-format");
    for (let end = 0; end < dbf.length - 1; end++) {
      expectCode(() => readShapefile({ shp: two, dbf: dbf.subarray(0, end) }, degrees), "bad-format");
    }
    // without the mark of its end it is whole
    expect(readShapefile({ shp: two, dbf: dbf.subarray(0, -1) }, degrees).points).toHaveLength(2);
  });

  test("a column that only counts, as GDAL puts in, is none", () => {
    const counting = dbfOf([{ name: "FID", type: "N", length: 11 }], [["0"], ["1"]]);
    expect(read(counting).points.map((p) => p.properties)).toEqual([{}, {}]);
    expect(read(counting).layers[0]!.columns[0]!.passedOver).toContain("numbers of the records");
    const other = dbfOf([{ name: "FID", type: "N", length: 11 }], [["1"], ["2"]]);
    expect(read(other).points.map((p) => p.properties)).toEqual([{ FID: 1 }, { FID: 2 }]);
  });

  describe("code pages", () => {
    const column: DbfColumn = { name: "X", type: "C", length: 10 };
    const text = (bytes: readonly number[], driver: number, cpg?: string, encoding?: string) => {
      const dbf = dbfOf([column], [[Uint8Array.from(bytes)]], { driver });
      const layer = read(dbf, cpg === undefined ? {} : { cpg }, encoding === undefined ? {} : { encoding }).layers[0]!;
      return [layer.points[0]!.properties["X"], layer.encoding];
    };
    // Unicode's mapping tables of each page, single characters
    test.for([
      [[0xc3, 0xa4], 0, "UTF-8\r\n", undefined, "ä", "utf-8"],
      [[0xc3, 0xa4], 0, "65001", undefined, "ä", "utf-8"],
      [[0xc3, 0xa4], 0, undefined, undefined, "ä", "utf-8"],
      [[0xe4, 0x80], 0x57, undefined, undefined, "ä€", "windows-1252"],
      [[0xe4], 0, "1252", undefined, "ä", "windows-1252"],
      [[0xe4], 0, "ANSI 1252", undefined, "ä", "windows-1252"],
      [[0xe4], 0x02, "CP1252", undefined, "ä", "windows-1252"],
      [[0xe4], 0, "ISO-8859-1", undefined, "ä", "windows-1252"],
      [[0xe4], 0, "88591", undefined, "ä", "windows-1252"],
      [[0xb1], 0, "ISO 8859-2", undefined, "ą", "iso-8859-2"],
      [[0xb1], 0, "88592", undefined, "ą", "iso-8859-2"],
      [[0xb9], 0xc8, undefined, undefined, "ą", "windows-1250"],
      [[0xe4], 0xc9, undefined, undefined, "д", "windows-1251"],
      [[0x84], 0x01, undefined, undefined, "ä", "ibm437"],
      [[0x84, 0x9b], 0x02, undefined, undefined, "äø", "ibm850"],
      [[0x88], 0x64, undefined, undefined, "ł", "ibm852"],
      [[0x9b], 0x66, undefined, undefined, "ø", "ibm865"],
      [[0xe4], 0, "LDID/87", undefined, "ä", "windows-1252"],
      [[0x8b, 0x9e], 0, "932", undefined, "京", "shift_jis"],
      [[0xe4], 0, "UTF-8", "latin1", "ä", "windows-1252"],
      [[0x94], 0x57, "UTF-8", "OEM 850", "ö", "ibm850"],
      [[0x61], 0xfe, undefined, undefined, "a", "us-ascii"],
    ] as const)("%j by driver %i, .cpg %s, option %s", ([bytes, driver, cpg, encoding, expected, name]) => {
      expect(text(bytes, driver, cpg, encoding)).toEqual([expected, name]);
    });

    test("language drivers are those of GDAL 3.6.2 (ENCODING_FROM_LDID of ogrinfo)", () => {
      const drivers: Record<string, readonly number[]> = {
        ibm437: [0x01, 0x0b, 0x0d, 0x0f, 0x11, 0x15, 0x18, 0x19, 0x1b],
        ibm850: [0x02, 0x0a, 0x0e, 0x10, 0x12, 0x14, 0x16, 0x1a, 0x1d, 0x25, 0x37],
        ibm852: [0x1f, 0x22, 0x23, 0x40, 0x64, 0x87],
        ibm865: [0x08, 0x17, 0x66],
        ibm866: [0x26, 0x65],
        "windows-874": [0x50, 0x7c],
        shift_jis: [0x13, 0x7b],
        gbk: [0x4d, 0x7a],
        "euc-kr": [0x4e, 0x79],
        big5: [0x4f, 0x78],
        "windows-1250": [0xc8],
        "windows-1251": [0xc9],
        "windows-1252": [0x03, 0x57, 0x58, 0x59],
        "windows-1253": [0xcb],
        "windows-1254": [0xca],
        "windows-1257": [0xcc],
        macintosh: [0x04],
      };
      for (const [name, list] of Object.entries(drivers)) {
        for (const driver of list) expect(text([0x61], driver), `0x${driver.toString(16)}`).toEqual(["a", name]);
      }
    });

    test("what is not known, or no text in it, is refused and names the option", () => {
      for (const call of [
        () => text([0xe4], 0),
        () => text([0xe4], 0xfe),
        () => text([0x61], 0, "KLINGON-8"),
        () => text([0x61], 0, "UTF-16"),
        () => text([0x61], 0, "LDID/254"),
      ]) {
        expect(expectCode(call, "bad-format").message).toContain("options.encoding");
      }
      expectCode(() => text([0x61], 0, undefined, "klingon"), "out-of-range");
      const error = expectCode(() => text([0x61, 0xe4], 0, "UTF-8"), "bad-format");
      expect(error.message).toBe('dbf: row 1, "X" is no text in utf-8');
    });
  });
});

describe("what coordinates are", () => {
  // invented place near Utrecht; as gdaltransform (PROJ 9.1.1) gives it, see the comparison below
  const place = { latitude: 52.1, longitude: 5.3 };
  const utm32 =
    'PROJCS["ETRS_1989_UTM_Zone_32N",GEOGCS["GCS_ETRS_1989",DATUM["D_ETRS_1989",SPHEROID["GRS_1980",6378137.0,298.257222101]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]],PROJECTION["Transverse_Mercator"],PARAMETER["False_Easting",500000.0],PARAMETER["False_Northing",0.0],PARAMETER["Central_Meridian",9.0],PARAMETER["Scale_Factor",0.9996],PARAMETER["Latitude_Of_Origin",0.0],UNIT["Meter",1.0]]';
  const geographic = (
    datum: string,
    spheroid = '"GRS_1980",6378137.0,298.257222101',
    unit = '"Degree",0.0174532925199433',
  ) => `GEOGCS["G",DATUM["${datum}",SPHEROID[${spheroid}]],PRIMEM["Greenwich",0.0],UNIT[${unit}]]`;
  const readAt = (x: number, y: number, prj: string | undefined, options: object = {}) =>
    readShapefile({ shp: shpOf(1, [pointOf(1, [x, y])]), ...(prj === undefined ? {} : { prj }) }, options);

  test("nothing said is refused, and the option named; the option takes the place of the file", () => {
    const error = expectCode(() => readAt(5, 52, undefined), "unknown-crs");
    expect(error.message).toContain("options.crs");
    for (const crs of [
      "WGS 84",
      "EPSG:4326",
      "wgs84",
      geographic("D_WGS_1984", '"WGS_1984",6378137.0,298.257223563'),
    ]) {
      const layer = readAt(5.3, 52.1, undefined, { crs }).layers[0]!;
      expect(layer.points[0]!.position).toEqual(place);
      expect(layer.crs).toMatchObject({ kind: "geographic", source: "option" });
    }
    const grid = projectedCrs("EPSG:25832");
    const [x, y] = grid.toProjected(place);
    for (const crs of ["EPSG:25832", grid, utm32, "+proj=utm +zone=32 +ellps=GRS80"]) {
      const layer = readAt(x, y, "nonsense", { crs }).layers[0]!;
      expectWithin(layer.points[0]!.position.latitude, 52.1, 1e-12);
      expect(layer.crs).toMatchObject({ kind: "projected", source: "option", text: "nonsense" });
    }
    expectCode(() => readAt(x, y, undefined, { crs: "EPSG:1" }), "unknown-crs");
    expectCode(() => readAt(x, y, undefined, { crs: 5 }), "unknown-crs");
  });

  test("degrees on WGS 84, ETRS89 and the like are taken as they are; grads and other meridians are converted", () => {
    for (const datum of [
      "D_WGS_1984",
      "WGS_1984",
      "D_ETRS_1989",
      "European_Terrestrial_Reference_System_1989",
      "D_North_American_1983",
      "D_GDA_1994",
      "D_SIRGAS_2000",
      "D_RGF_1993",
    ]) {
      expect(readAt(5.3, 52.1, geographic(datum)).points[0]!.position).toEqual(place);
    }
    const grads = geographic("D_ETRS_1989", undefined, '"Grad",0.01570796326794897');
    expectWithin(readAt(5.3 / 0.9, 52.1 / 0.9, grads).points[0]!.position.latitude, 52.1, 1e-13);
    const ferro = geographic("D_ETRS_1989").replace('"Greenwich",0.0', '"Ferro",-17.66666666666667');
    expectWithin(readAt(5.3 + 17.66666666666667, 52.1, ferro).points[0]!.position.longitude, 5.3, 1e-13);
    expect(readAt(185, 52.1, geographic("D_ETRS_1989")).points[0]!.position.longitude).toBe(-175);
  });

  test("what is not understood is refused, naming it", () => {
    const cases: [string, string][] = [
      [geographic("D_Israel"), "D_Israel"],
      [geographic("D_GGRS_1987"), "D_GGRS_1987"],
      [
        geographic("D_Deutsches_Hauptdreiecksnetz", '"Bessel_1841",6377397.155,299.1528128'),
        "D_Deutsches_Hauptdreiecksnetz",
      ],
      [geographic("D_WGS_1984", '"Bessel_1841",6377397.155,299.1528128'), "D_WGS_1984"],
      [utm32.replace("Transverse_Mercator", "Bonne"), "Bonne"],
      [utm32.replace("Latitude_Of_Origin", "Tilt"), "Tilt"],
      [utm32.replace("D_ETRS_1989", "D_MGI"), "D_MGI"],
      [utm32.replace(',UNIT["Meter",1.0]', ""), "UNIT"],
      [utm32.replace('PARAMETER["Central_Meridian",9.0],', ""), "lon_0"],
      [utm32.replace("6378137.0", "6377000.0"), "D_ETRS_1989"],
      ['LOCAL_CS["here",UNIT["m",1]]', "LOCAL_CS"],
      ['PROJCRS["x",BASEGEOGCRS["y"]]', "PROJCRS"],
      [utm32.slice(0, -1), "needs the end of PROJCS"],
      [`${utm32}]`, "goes on behind its end"],
      ["", "needs a word"],
      ["\0\0\0", "needs a word"],
      ["GEOGCS", "GEOGCS"],
      ["[".repeat(1000), "needs a word"],
      ["A[".repeat(1000), "deeper"],
      ["x".repeat(30_000), "characters"],
      [`PROJCS["x",${'A["b"],'.repeat(2)}`, "needs"],
    ];
    for (const [prj, what] of cases) {
      const error = expectCode(() => readAt(5, 52, prj), "unknown-crs");
      expect(error.message, prj.slice(0, 80)).toContain(what);
      expect(error.argument).toBe("shp");
    }
    // 3 m of seven parameters are worse than the metre accepted
    const dhdn = utm32
      .replace("D_ETRS_1989", "D_Deutsches_Hauptdreiecksnetz")
      .replace('"GRS_1980",6378137.0,298.257222101', '"Bessel_1841",6377397.155,299.1528128');
    expect(expectCode(() => readAt(5e5, 5e6, dhdn), "inaccurate-crs").message).toContain("options.acceptAccuracy");
    expect(readAt(5e5, 5e6, dhdn, { acceptAccuracy: 3 }).layers[0]!.crs.accuracy!.metres).toBe(3);
  });

  test("metres taken for degrees, and degrees beyond the Earth, are refused with the point", () => {
    const error = expectCode(() => readAt(500_000, 5_700_000, geographic("D_WGS_1984")), "out-of-range");
    expect(error.message).toContain("record 1, point 0: [500000, 5700000], needs degrees");
    expectCode(() => readAt(5, 90.001, undefined, degrees), "out-of-range");
    expectCode(() => readAt(5, 1e300, utm32), "out-of-range");
  });

  test("heights in feet, depths, a vertical system beside or in a compound", () => {
    const z = (prj: string) =>
      readShapefile({ shp: shpOf(11, [pointOf(11, [5, 52, 100, 0])]), prj }).points[0]!.position.altitude;
    const ellipsoidal = geographic("D_WGS_1984");
    const feet =
      'VERTCS["h",VDATUM["v"],PARAMETER["Vertical_Shift",0.0],PARAMETER["Direction",1.0],UNIT["Foot",0.3048]]';
    expect(z(ellipsoidal)).toBe(100);
    expectWithin(z(`${ellipsoidal},${feet}`)!, 30.48, 1e-12);
    expectWithin(z(`COMPD_CS["c",${ellipsoidal},${feet}]`)!, 30.48, 1e-12);
    expectWithin(z(`${ellipsoidal},${feet.replace("1.0]", "-1.0]")}`)!, -30.48, 1e-12);
    expectCode(() => z(`${ellipsoidal},${feet.replace('Shift",0.0', 'Shift",5.0')}`), "unknown-crs");
    expectCode(() => z(`${ellipsoidal},${ellipsoidal}`), "unknown-crs");
  });

  const gdal = existsSync("/usr/bin/gdalsrsinfo") && existsSync("/usr/bin/gdaltransform");
  if (!gdal) console.warn("skipped: grids against GDAL's command line, which is not here");
  test.skipIf(!gdal).for([
    // EPSG code, longitude, latitude, metres: of the projection where there is no shift of datum, else of the parameters
    [25832, 10.1, 54.3, 1e-6],
    [32718, -75.5, -12.1, 1e-6],
    [2154, 2.5, 47.1, 1e-6],
    [3035, 12.1, 51.4, 1e-6],
    [3857, 5.3, 52.1, 1e-6],
    [3395, 5.3, 52.1, 1e-6],
    [5070, -93.2, 42.1, 1e-6],
    [2193, 172.5, -43.5, 1e-6],
    [2272, -76.5, 40.1, 1e-6],
    [2263, -74.1, 40.7, 1e-6],
    [3413, -45.5, 78.1, 1e-6],
    [3067, 25.1, 62.3, 1e-6],
    [4647, 9.1, 52.3, 1e-6],
    [2180, 19.5, 52.1, 1e-6],
    [3794, 14.8, 46.1, 1e-6],
    [3812, 4.4, 50.8, 1e-6],
    [28992, 5.3, 52.1, 0.3],
    [31370, 4.4, 50.8, 0.3],
    [2056, 7.5, 46.9, 0.3],
    [27700, -1.5, 52.5, 3],
    [31467, 9.1, 49.5, 5],
    [5514, 15.1, 49.8, 2],
  ] as const)(
    "EPSG:%i as ESRI writes it, against GDAL's own transformation",
    ([code, longitude, latitude, tolerance]) => {
      const run = (command: string, args: string[], input = "") =>
        execFileSync(command, args, { input, encoding: "utf8" });
      const prj = run("gdalsrsinfo", ["-o", "wkt_esri", "--single-line", `EPSG:${code}`]);
      // OGC:CRS84 has the longitude first
      const args = ["-s_srs", "OGC:CRS84", "-t_srs", `EPSG:${code}`, "-output_xy"];
      const [x, y] = run("gdaltransform", args, `${longitude} ${latitude}\n`).trim().split(" ").map(Number);
      const { position } = readAt(x!, y!, prj, { acceptAccuracy: 10 }).points[0]!;
      const east = (position.longitude - longitude) * Math.cos((latitude * Math.PI) / 180);
      expectWithin(Math.hypot(east, position.latitude - latitude) * 111_320, 0, tolerance, `EPSG:${code}, metres`);
    },
  );
});
