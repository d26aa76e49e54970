import { zipSync } from "fflate";
import { describe, expect, test } from "vitest";
import { FeeringError } from "../../src/errors/index.js";
import { readShapefile, writeShapefile, writeShapefileZip } from "../../src/exchange/shapefile/index.js";
import { runs } from "../helpers/light.js";
import { random } from "../helpers/random.js";
import { expectCode } from "../helpers/within.js";
import { dbfOf, joined, partsOf, pointOf, shpOf, square } from "./shapefile-bytes.js";

const degrees = { crs: "WGS 84" } as const;
const polygon = shpOf(5, [partsOf(5, [square(5, 52, 1)]), partsOf(5, [square(7, 52, 1), square(9, 52, 1)])]);

/** A copy with 32 bits put in somewhere. */
function patched(bytes: Uint8Array, offset: number, value: number, littleEndian: boolean): Uint8Array {
  const copy = bytes.slice();
  new DataView(copy.buffer).setInt32(offset, value, littleEndian);
  return copy;
}

describe("main files that lie", () => {
  test("cut off anywhere, or with something behind", () => {
    for (let end = 0; end < polygon.length; end++) {
      expectCode(() => readShapefile({ shp: polygon.subarray(0, end) }, degrees), "bad-format");
      // and where the header owns up to it
      if (end >= 100 && end % 2 === 0) {
        const owned = patched(polygon.slice(0, end), 24, end / 2, false);
        const whole = end === 100 || end === 100 + 8 + 48 + 80;
        if (whole) readShapefile({ shp: owned }, degrees);
        else expectCode(() => readShapefile({ shp: owned }, degrees), "bad-format");
      }
    }
    expectCode(() => readShapefile({ shp: joined([polygon, new Uint8Array(2)]) }, degrees), "bad-format");
  });

  // offsets in the first record: 100 number, 104 length, 108 type, 144 parts, 148 points, 152 first part
  const hostile = [-1, 0, 1, 3, 4, 6, 100, 65_535, 0x7fffffff, -0x80000000, 0x40000000, 0x10000000];
  test.for([
    ["file code", 0, false],
    ["file length", 24, false],
    ["version", 28, true],
    ["record number", 100, false],
    ["content length", 104, false],
    ["number of parts", 144, true],
    ["number of points", 148, true],
    ["first part", 152, true],
  ] as const)("%s of every hostile kind, up to 4 GB", ([, offset, littleEndian]) => {
    const own = new DataView(polygon.buffer).getInt32(offset, littleEndian);
    for (const value of hostile) {
      if (value === own) continue;
      expectCode(() => readShapefile({ shp: patched(polygon, offset, value, littleEndian) }, degrees), "bad-format");
    }
  });

  test("parts out of range, out of order, of no length", () => {
    // the second record, of two parts: its content begins at 244
    const second = 244 + 44;
    for (const [a, b] of [
      [0, 10],
      [0, 11],
      [0, -1],
      [0, 0],
      [5, 5],
      [5, 0],
      [1, 5],
      [0, 0x7fffffff],
    ] as const) {
      const shp = patched(patched(polygon, second, a, true), second + 4, b, true);
      expect(expectCode(() => readShapefile({ shp }, degrees), "bad-format")).toMatchObject({
        argument: "shp",
        index: 2,
      });
    }
  });

  test("records out of order say which, NaN and infinities as well", () => {
    const swapped = shpOf(1, [pointOf(1, [5, 52]), pointOf(1, [5, 52])], [2, 1]);
    expect(expectCode(() => readShapefile({ shp: swapped }, degrees), "bad-format").message).toBe(
      "shp: record 1 has number 2",
    );
    for (const bad of [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]) {
      for (const at of [0, 1]) {
        const xy = [5, 52];
        xy[at] = bad;
        expectCode(() => readShapefile({ shp: shpOf(1, [pointOf(1, xy)]) }, degrees), "bad-format");
      }
      expectCode(() => readShapefile({ shp: shpOf(11, [pointOf(11, [5, 52, bad, 0])]) }, degrees), "bad-format");
    }
  });

  test("caps: positions and bytes", () => {
    expect(
      expectCode(() => readShapefile({ shp: polygon }, { ...degrees, maximumPositions: 14 }), "too-large").message,
    ).toContain("options.maximumPositions");
    expect(readShapefile({ shp: polygon }, { ...degrees, maximumPositions: 15 }).fields).toHaveLength(2);
    expect(
      expectCode(() => readShapefile({ shp: polygon }, { ...degrees, maximumLength: polygon.length - 1 }), "too-large")
        .message,
    ).toContain("options.maximumLength");
  });

  test("what is no input at all", () => {
    for (const input of [
      undefined,
      null,
      5,
      "x",
      {},
      { shp: "x" },
      { shp: polygon, dbf: "x" },
      { shp: polygon, prj: 5 },
      { shp: polygon, cpg: {} },
    ]) {
      expectCode(() => readShapefile(input as Uint8Array, degrees), "bad-format");
    }
    expectCode(() => readShapefile(new Uint8Array()), "bad-format");
    expect(expectCode(() => readShapefile(polygon), "bad-format").message).toContain("{ shp, dbf, prj, cpg }");
    expectCode(() => readShapefile({ shp: polygon }, null as unknown as object), "not-finite");
  });
});

describe("tables that lie", () => {
  const shp = shpOf(1, [pointOf(1, [5, 52]), pointOf(1, [5, 52])]);
  const dbf = dbfOf(
    [
      { name: "A", type: "N", length: 4 },
      { name: "B", type: "C", length: 4 },
    ],
    [
      ["1", "x"],
      ["2", "y"],
    ],
  );
  const set = (offset: number, value: number, size: 1 | 2 | 4): Uint8Array => {
    const copy = dbf.slice();
    const view = new DataView(copy.buffer);
    if (size === 4) view.setUint32(offset, value, true);
    else if (size === 2) view.setUint16(offset, value, true);
    else view.setUint8(offset, value);
    return copy;
  };
  test("rows, header and row lengths of 0, too long, of 4 GB", () => {
    for (const value of [0, 1, 3, 0x7fffffff, 0xffffffff])
      expectCode(() => readShapefile({ shp, dbf: set(4, value, 4) }, degrees), "bad-format");
    for (const value of [0, 1, 32, 33, 65, 96, 98, 0xffff])
      expectCode(() => readShapefile({ shp, dbf: set(8, value, 2) }, degrees), "bad-format");
    for (const value of [0, 1, 8, 10, 0xffff])
      expectCode(() => readShapefile({ shp, dbf: set(10, value, 2) }, degrees), "bad-format");
    for (const value of [0, 3, 5, 255])
      expectCode(() => readShapefile({ shp, dbf: set(32 + 16, value, 1) }, degrees), "bad-format");
    for (const value of [0, 1, 2, 4, 0xff])
      expectCode(() => readShapefile({ shp, dbf: set(0, value, 1) }, degrees), "bad-format");
  });

  test("columns without a length, more than fit, without an end", () => {
    const none = dbfOf([{ name: "A", type: "N", length: 0 }], [[], []]);
    expectCode(() => readShapefile({ shp, dbf: none }, degrees), "bad-format");
    const many = Array.from({ length: 256 }, (_, i) => ({ name: `C${i}`, type: "C", length: 1 }));
    expectCode(() => readShapefile({ shp, dbf: dbfOf(many, [[], []]) }, degrees), "too-large");
    expectCode(() => readShapefile({ shp, dbf: set(96, 0x20, 1) }, degrees), "bad-format");
  });
});

describe("archives", () => {
  const { shp, shx, dbf, prj, cpg } = writeShapefile({
    points: [{ position: { latitude: 52, longitude: 5 }, properties: { a: 1 } }],
  });

  test("in folders, in any case, with other files, several layers, one by name", () => {
    const bytes = zipSync({
      "Daten/": new Uint8Array(),
      "Daten/FELD.SHP": shp,
      "daten/feld.DBF": dbf,
      "Daten/Feld.Prj": prj,
      "DATEN/feld.Cpg": cpg,
      "Daten/feld.shx": shx,
      "Daten/feld.shp.xml": new Uint8Array([1]),
      "__MACOSX/Daten/._FELD.SHP": new Uint8Array([1, 2, 3]),
      "other\\place.shp": shp,
      "other\\place.prj": prj,
      "no-shape.dbf": dbf,
      readme: new Uint8Array([1]),
    });
    const read = readShapefile(bytes);
    expect(read.layers.map(({ name }) => name)).toEqual(["Daten/FELD", "other/place"]);
    expect(read.points.map((p) => p.properties)).toEqual([{ a: 1 }, {}]);
    expect(read.otherFiles).toEqual([
      "Daten/feld.shx",
      "Daten/feld.shp.xml",
      "__MACOSX/Daten/._FELD.SHP",
      "no-shape.dbf",
      "readme",
    ]);
    for (const layer of ["feld", "Feld.shp", "daten/feld"])
      expect(readShapefile(bytes, { layer }).layers.map(({ name }) => name)).toEqual(["Daten/FELD"]);
    expect(expectCode(() => readShapefile(bytes, { layer: "acre" }), "out-of-range").message).toContain(
      '"other/place"',
    );
    expectCode(() => readShapefile(bytes, { layer: 5 as unknown as string }), "out-of-range");
  });

  test("without a .shp file, with one twice, without a .prj file", () => {
    expectCode(() => readShapefile(zipSync({ "a.dbf": dbf })), "bad-format");
    expectCode(() => readShapefile(zipSync({})), "bad-format");
    expectCode(() => readShapefile(zipSync({ "a.shp": shp, "A.SHP": shp, "a.prj": prj })), "bad-format");
    const error = expectCode(() => readShapefile(zipSync({ "a.shp": shp })), "unknown-crs");
    expect(error.argument).toBe("a.shp");
    expect(readShapefile(zipSync({ "a.shp": shp }), degrees).points).toHaveLength(1);
  });

  test("cut off anywhere, and with a comment behind", () => {
    const bytes = writeShapefileZip({ points: [{ position: { latitude: 52, longitude: 5 }, properties: {} }] });
    for (let end = 0; end < bytes.length; end++) expectCode(() => readShapefile(bytes.subarray(0, end)), "bad-format");
    const commented = joined([bytes, new Uint8Array(10)]);
    new DataView(commented.buffer).setUint16(bytes.length - 2, 10, true);
    expect(readShapefile(commented).points).toHaveLength(1);
    expectCode(() => readShapefile(joined([bytes, new Uint8Array(10)])), "bad-format");
  });

  /** Offsets of an archive's first entry: in the directory, and of the record at the end. */
  const placesOf = (bytes: Uint8Array) => {
    const view = new DataView(bytes.buffer);
    const end = bytes.length - 22;
    return { end, directory: view.getUint32(end + 16, true) };
  };

  test("bombs: claimed or hidden, 1000 times as much as there is", () => {
    const zeros = new Uint8Array(16 << 20);
    const bomb = zipSync({ "a.shp": zeros }, { level: 9 });
    expect(bomb.length).toBeLessThan(25_000);
    expectCode(() => readShapefile(bomb, degrees), "too-large");
    expectCode(() => readShapefile(bomb, { ...degrees, maximumLength: 1e6 }), "too-large");
    // the same with a small claim in the directory alone, and in both headers
    const { directory } = placesOf(bomb);
    const view = new DataView(bomb.buffer);
    view.setUint32(directory + 24, 1000, true);
    expect(expectCode(() => readShapefile(bomb, degrees), "bad-format").message).toContain(
      "header is not that of the directory",
    );
    view.setUint32(22, 1000, true);
    expect(expectCode(() => readShapefile(bomb, degrees), "bad-format").message).toContain(
      "more than the 1000 bytes claimed",
    );
    // and a claim of 4 GB for a few bytes
    const small = zipSync({ "a.shp": shp });
    const liar = new DataView(small.buffer);
    liar.setUint32(placesOf(small).directory + 24, 0xfffffff0, true);
    liar.setUint32(22, 0xfffffff0, true);
    expectCode(() => readShapefile(small, degrees), "too-large");
    expectCode(() => readShapefile(small, { ...degrees, maximumLength: 1e12 }), "too-large");
  });

  test("many files, each small, are counted together", () => {
    const files: Record<string, Uint8Array> = {};
    for (let i = 0; i < 20; i++) files[`a${i}.shp`] = new Uint8Array(1 << 20);
    expectCode(() => readShapefile(zipSync(files), { ...degrees, maximumLength: 10e6 }), "too-large");
  });

  test("headers that lie: offsets, sizes, methods, checksums, encryption, counts, 64 bits", () => {
    const bytes = zipSync({ "a.shp": shp, "a.prj": prj });
    const { end, directory } = placesOf(bytes);
    expect(readShapefile(bytes).points).toHaveLength(1);
    const lies: [number, 2 | 4, number][] = [
      [end + 8, 2, 1],
      [end + 10, 2, 1],
      [end + 10, 2, 3],
      [end + 10, 2, 0xffff],
      [end + 4, 2, 1],
      [end + 12, 4, 0xffffffff],
      [end + 12, 4, 10],
      [end + 16, 4, 0xffffffff],
      [end + 16, 4, 0],
      [directory, 4, 0],
      [directory + 8, 2, 1],
      [directory + 10, 2, 12],
      [directory + 16, 4, 0],
      [directory + 20, 4, 0x7fffffff],
      [directory + 20, 4, 1],
      [directory + 24, 4, 127],
      [directory + 28, 2, 0xffff],
      [directory + 42, 4, 0x7fffffff],
      [directory + 42, 4, 1],
      [8, 2, 0],
      [26, 2, 0xffff],
    ];
    for (const [offset, size, value] of lies) {
      const copy = bytes.slice();
      const view = new DataView(copy.buffer);
      if (size === 2) view.setUint16(offset, value, true);
      else view.setUint32(offset, value, true);
      // a directory of one entry less lies about its count on this disk
      expectCode(() => readShapefile(copy), "bad-format");
    }
  });
});

describe("fuzz", () => {
  test("mutated files and archives give data or one typed error", () => {
    const fields = [
      {
        polygons: [
          {
            exterior: square(5, 52, 1).map(([x, y]) => ({ latitude: y!, longitude: x! })),
            holes: [square(5.2, 52.2, 0.1).map(([x, y]) => ({ latitude: y!, longitude: x! }))],
          },
        ],
        properties: { name: "ä", n: 1.5, t: true, d: "2026-05-01" },
      },
      {
        polygons: [{ exterior: square(7, 52, 1).map(([x, y]) => ({ latitude: y!, longitude: x! })), holes: [] }],
        properties: { name: "b", n: 2, t: null, d: null },
      },
    ];
    const written = writeShapefile({ fields });
    const grid = new TextEncoder().encode(
      'PROJCS["E",GEOGCS["G",DATUM["D_ETRS_1989",SPHEROID["GRS_1980",6378137.0,298.257222101]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]],PROJECTION["Transverse_Mercator"],PARAMETER["False_Easting",500000.0],PARAMETER["Central_Meridian",9.0],UNIT["Meter",1.0]]',
    );
    const lines = shpOf(13, [
      partsOf(
        13,
        [
          [
            [5, 52],
            [6, 53],
            [7, 52],
          ],
        ],
        [1, 2, 3],
        [1, 2, 3],
      ),
    ]);
    const zip = writeShapefileZip({ fields });
    const chance = random(9);
    const whole = (below: number): number => Math.floor(below * chance());
    const mutate = (bytes: Uint8Array): Uint8Array => {
      let copy: Uint8Array = bytes.slice();
      for (let n = 1 + whole(3); n > 0; n--) {
        const kind = whole(6);
        const at = whole(copy.length);
        if (kind === 0) copy[at] = whole(256);
        else if (kind === 1) copy[at] = copy[at]! ^ (1 << whole(8));
        else if (kind === 2) copy = copy.slice(0, at);
        else if (kind === 3 && at + 4 <= copy.length)
          new DataView(copy.buffer).setInt32(at, [0, -1, 1, 0x7fffffff, -0x80000000][whole(5)]!, chance() < 0.5);
        else if (kind === 4 && at + 8 <= copy.length)
          new DataView(copy.buffer).setFloat64(at, [Number.NaN, 1e308, -1e39, 180, 90.1, 1e-300][whole(6)]!, true);
        else copy = joined([copy.slice(0, at), copy.slice(Math.min(copy.length, at + whole(20)))]);
        if (copy.length === 0) return copy;
      }
      return copy;
    };
    let read = 0;
    let refused = 0;
    const count = runs(40_000);
    for (let i = 0; i < count; i++) {
      const which = i % 5;
      const input =
        which === 0
          ? { ...written, shp: mutate(written.shp) }
          : which === 1
            ? { ...written, dbf: mutate(written.dbf) }
            : which === 2
              ? { ...written, prj: mutate(i % 2 === 0 ? written.prj : grid), cpg: mutate(written.cpg) }
              : which === 3
                ? { shp: mutate(lines), prj: written.prj }
                : mutate(zip);
      try {
        const { fields: found, lines: foundLines } = readShapefile(input);
        read++;
        for (const field of found) {
          for (const { exterior } of field.polygons) {
            for (const p of exterior) expect(Math.abs(p.latitude) <= 90 && Math.abs(p.longitude) <= 180).toBe(true);
          }
        }
        for (const { positions } of foundLines) expect(positions.length).toBeGreaterThan(1);
      } catch (error) {
        if (!(error instanceof FeeringError)) throw error;
        refused++;
      }
    }
    expect(read).toBeGreaterThan(count / 20);
    expect(refused).toBeGreaterThan(count / 20);
    expect(({} as Record<string, unknown>)["polluted"]).toBeUndefined();
  });
});
