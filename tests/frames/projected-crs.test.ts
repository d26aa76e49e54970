import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  degreesFromArcSeconds,
  type HelmertParameters,
  type ProjectedCrs,
  projectedCrs,
  toUtm,
} from "../../src/frames/index.js";
import { readTable } from "../helpers/reference.js";
import { expectAngleWithin, expectCode, expectWithin } from "../helpers/within.js";

const DEGREE = 111_320;
const meta = JSON.parse(
  readFileSync(new URL("../reference/geodesy/epsg_meta.json", import.meta.url), "utf8"),
) as Record<string, { name: string; proj_string: string }>;
const operations = JSON.parse(
  readFileSync(new URL("../reference/geodesy/epsg_datum_ops.json", import.meta.url), "utf8"),
) as { op: string; accuracy_m: number; pipeline: string }[];

const kept = new Map<string, ProjectedCrs>();
/** One instance for a code; what it was made with is part of the key. */
function crsOf(code: string, options: Parameters<typeof projectedCrs>[1] = {}): ProjectedCrs {
  const key = code + JSON.stringify(options);
  let crs = kept.get(key);
  if (crs === undefined) kept.set(key, (crs = projectedCrs(`EPSG:${code}`, options)));
  return crs;
}

describe("projections against PROJ 9.1.1, every code of the table", () => {
  it.for(readTable("geodesy/epsg_projection.csv"))("row $id: EPSG:$epsg", (row) => {
    const n = (name: string) => Number(row[name]);
    const crs = crsOf(row["epsg"]!, { positions: "own-datum" });
    expect(crs.accuracy).toMatchObject({ metres: 1e-6, kind: "projection", frameMetres: 0 });
    const position = { latitude: n("lat"), longitude: n("lon") };
    // x is the easting whatever the authority's order is
    const [x, y] = crs.toProjected(position);
    expectWithin(x, n("easting"), 1e-6, "easting");
    expectWithin(y, n("northing"), 1e-6, "northing");
    const back = crs.toGeographic([x, y]);
    expectWithin(back.latitude * DEGREE, n("lat") * DEGREE, 2e-8, "latitude in metres");
    expectAngleWithin(back.longitude, n("lon"), 4e-8 / DEGREE / Math.cos((n("lat") * Math.PI) / 180), "longitude");
    // the same from a proj string of the caller's, as EPSG registries print them
    const own = projectedCrs(meta[row["epsg"]!]!.proj_string, { positions: "own-datum" });
    const [ox, oy] = own.toProjected(position);
    expectWithin(ox, n("easting"), 1e-6, "easting by string");
    expectWithin(oy, n("northing"), 1e-6, "northing by string");
  });
});

/** Seven parameters out of a PROJ pipeline; an inverse step goes from the grid's datum, a plain one towards it. */
function shiftOf(pipeline: string): HelmertParameters {
  const step = /\+step (\+inv )?\+proj=helmert ([^]*?)(?= \+step)/.exec(pipeline)!;
  const value = (name: string) => Number(new RegExp(`\\+${name}=(\\S+)`).exec(step[2]!)?.[1] ?? 0);
  const sign = step[1] === undefined ? -1 : 1;
  expect(sign > 0 || value("rx") === 0).toBe(true);
  return {
    translation: [sign * value("x"), sign * value("y"), sign * value("z")],
    rotation: [
      degreesFromArcSeconds(value("rx")),
      degreesFromArcSeconds(value("ry")),
      degreesFromArcSeconds(value("rz")),
    ],
    scale: value("s") * 1e-6,
    convention: step[2]!.includes("coordinate_frame") ? "coordinate-frame" : "position-vector",
  };
}

describe("datum shifts against PROJ 9.1.1", () => {
  const rows = readTable("geodesy/epsg_datum.csv");
  /** these operations are the ones built in */
  const builtIn = new Set([
    "4258-28992-helmert",
    "4326-27700-helmert",
    "4258-31370-helmert",
    "4258-5514-helmert",
    "4258-2056-helmert",
  ]);

  it.for(rows.filter((row) => row["op"]!.endsWith("helmert")))("row $id: $op", (row) => {
    const n = (name: string) => Number(row[name]);
    const operation = operations.find((o) => o.op === row["op"])!;
    const named = crsOf(row["epsg"]!, { shift: shiftOf(operation.pipeline), shiftAccuracy: 1 });
    expect(named.accuracy.kind).toBe("given");
    const position = { latitude: n("lat"), longitude: n("lon") };
    const [x, y] = named.toProjected(position);
    expectWithin(x, n("easting"), 1e-3, "easting");
    expectWithin(y, n("northing"), 1e-3, "northing");
    const back = named.toGeographic([x, y]);
    expectWithin(back.latitude * DEGREE, n("lat") * DEGREE, 2e-8, "latitude in metres");
    expectAngleWithin(back.longitude, n("lon"), 4e-8 / DEGREE, "longitude");
    if (builtIn.has(row["op"]!)) {
      const crs = crsOf(row["epsg"]!, { acceptAccuracy: 3 });
      expect(crs.accuracy.kind).toBe("helmert");
      const [bx, by] = crs.toProjected(position);
      expectWithin(bx, n("easting"), 1e-3, "built-in easting");
      expectWithin(by, n("northing"), 1e-3, "built-in northing");
    }
  });

  it("state an accuracy that holds against the official grids of shifts, and no idle one", () => {
    const worst = new Map<string, number>();
    for (const row of rows) {
      if (!row["op"]!.endsWith("grid") || row["op"] === "4326-31467-grid") continue;
      const n = (name: string) => Number(row[name]);
      const crs = crsOf(row["epsg"]!, { acceptAccuracy: 3 });
      const [x, y] = crs.toProjected({ latitude: n("lat"), longitude: n("lon") });
      const off = Math.hypot(x - n("easting"), y - n("northing"));
      worst.set(row["epsg"]!, Math.max(worst.get(row["epsg"]!) ?? 0, off));
    }
    expect([...worst.keys()].sort()).toEqual(["27700", "28992", "31370", "31467"]);
    for (const [code, off] of worst) {
      const stated = crsOf(code, { acceptAccuracy: 3 }).accuracy.metres!;
      expect(off, `EPSG:${code} is off by ${off} m, states ${stated} m`).toBeLessThanOrEqual(stated);
      expect(stated, `EPSG:${code} is off by ${off} m, states ${stated} m`).toBeLessThanOrEqual(5 * off);
    }
  });
});

describe("projectedCrs", () => {
  it("refuses a shift that is missing or worse than accepted, and says what to do", () => {
    const refused = [
      "EPSG:27700",
      "EPSG:31467",
      "+proj=tmerc +lat_0=49 +lon_0=-2 +k=0.9996012717 +x_0=400000 +y_0=-100000 +ellps=airy +units=m",
      "+proj=lcc +lat_0=90 +lon_0=4.36 +lat_1=51.16 +lat_2=49.83 +x_0=150000 +y_0=5400088 +datum=rnb72",
      "+proj=tmerc +lon_0=9 +ellps=bessel +nadgrids=BETA2007.gsb",
      "+proj=utm +zone=15 +datum=NAD27",
      "+proj=merc +lon_0=9 +R=6371000",
    ];
    for (const definition of refused) {
      const error = expectCode(() => projectedCrs(definition), "inaccurate-crs");
      expect(error.argument).toBe("definition");
      expect(error.message).toContain("options.shift");
      expect(projectedCrs(definition, { positions: "own-datum" }).accuracy.kind).toBe("projection");
      expect(projectedCrs(definition, { acceptAccuracy: Infinity }).accuracy.metres).toBeGreaterThanOrEqual(3);
    }
    expect(projectedCrs("EPSG:27700", { acceptAccuracy: 3 }).accuracy).toMatchObject({
      metres: 3,
      kind: "helmert",
      frame: "ETRS89",
      frameMetres: 1,
    });
    expectCode(() => projectedCrs("EPSG:28992", { acceptAccuracy: 0.1 }), "inaccurate-crs");
    expect(projectedCrs("EPSG:25832", { acceptAccuracy: 1e-6 }).accuracy.metres).toBe(1e-6);
  });

  it("says what it takes as equal and what that costs", () => {
    expect(projectedCrs("EPSG:25832").accuracy).toMatchObject({ kind: "projection", frame: "ETRS89", frameMetres: 1 });
    expect(projectedCrs("EPSG:25832").accuracy.reason).toContain("WGS 84 is taken as ETRS89");
    expect(projectedCrs("EPSG:26915").accuracy.frameMetres).toBe(2);
    expect(projectedCrs("EPSG:32632").accuracy).toMatchObject({ frameMetres: 0, reason: "projection only" });
    const named = projectedCrs("+proj=utm +zone=32 +ellps=GRS80 +towgs84=0,0,0,0,0,0,0 +units=m +no_defs").accuracy;
    expect(named).toMatchObject({ kind: "projection", metres: 1e-6, frameMetres: null });
  });

  it("takes parameters in the string as named by the caller, their accuracy too", () => {
    const text =
      "+proj=tmerc +lon_0=9 +k=1 +x_0=3500000 +ellps=bessel +towgs84=598.1,73.7,418.2,0.202,0.045,-2.455,6.7";
    expect(projectedCrs(text).accuracy).toMatchObject({ kind: "given", metres: null });
    expectCode(() => projectedCrs(text, { shiftAccuracy: 3 }), "inaccurate-crs");
    const position = { latitude: 50, longitude: 9.5 };
    const table = projectedCrs("EPSG:31467", { acceptAccuracy: 3 });
    const given = projectedCrs(text, { shiftAccuracy: 3, acceptAccuracy: 3 });
    const [x, y] = given.toProjected(position);
    expectWithin(x, table.toProjected(position)[0], 1e-9);
    expectWithin(y, table.toProjected(position)[1], 1e-9);
  });

  it("gives metres for a grid in feet", () => {
    const inFeet =
      "+proj=lcc +lat_0=40.16666666666666 +lon_0=-74 +lat_1=41.03333333333333 +lat_2=40.66666666666666 +x_0=300000 +y_0=0 +datum=NAD83 +units=us-ft";
    const inMetres = inFeet.replace("us-ft", "m");
    const position = { latitude: 40.8, longitude: -73.2 };
    expect(projectedCrs(inFeet).toProjected(position)).toEqual(projectedCrs(inMetres).toProjected(position));
  });

  it("agrees with the library's own UTM", () => {
    const crs = projectedCrs("EPSG:32632");
    const utm = toUtm({ latitude: 48.1, longitude: 11.5 });
    const [x, y] = crs.toProjected({ latitude: 48.1, longitude: 11.5 });
    expectWithin(x, utm.easting, 1e-8);
    expectWithin(y, utm.northing, 1e-8);
  });

  it("has the zones of its families where they belong", () => {
    const middle = (code: number, longitude: number, easting: number) => {
      const crs = projectedCrs(`EPSG:${code}`, { positions: "own-datum" });
      expectWithin(crs.toProjected({ latitude: -10, longitude })[0], easting, 1e-6, `EPSG:${code}`);
    };
    middle(32601, -177, 5e5);
    middle(32760, 177, 5e5);
    middle(25838, 45, 5e5);
    middle(26901, -177, 5e5);
    middle(28348, 105, 5e5);
    middle(28358, 165, 5e5);
    middle(7846, 93, 5e5);
    middle(7859, 171, 5e5);
    middle(31978, -75, 5e5);
    middle(31985, -33, 5e5);
    middle(5343, -72, 1.5e6);
    middle(5349, -54, 7.5e6);
    middle(31466, 6, 2.5e6);
    middle(31469, 15, 5.5e6);
    expect(projectedCrs("epsg:7855").name).toBe("EPSG:7855 GDA2020 / MGA zone 55");
  });

  it("has the published example of Lambert with two parallels (EPSG 9802)", () => {
    // NAD27 / Texas South Central in US survey feet; definition, point and result from memory (IOGP 373-7-2, 3.1.1)
    const crs = projectedCrs(
      "+proj=lcc +lat_0=27.83333333333333 +lon_0=-99 +lat_1=28.38333333333333 +lat_2=30.28333333333333 +x_0=609601.2192024384 +y_0=0 +ellps=clrk66",
      { positions: "own-datum" },
    );
    const [x, y] = crs.toProjected({ latitude: 28.5, longitude: -96 });
    expectWithin((x * 3937) / 1200, 2963503.91, 0.01);
    expectWithin((y * 3937) / 1200, 254759.8, 0.01);
  });

  it("has the published Krovak example (IOGP 373-7-2, PROJ builtins.gie 3484)", () => {
    const crs = projectedCrs("EPSG:5514", { positions: "own-datum" });
    const latitude = 50 + 12 / 60 + 32.442 / 3600;
    const longitude = 16 + 50 / 60 + 59.179 / 3600;
    const [x, y] = crs.toProjected({ latitude, longitude });
    expectWithin(x, -568991.0, 0.01);
    expectWithin(y, -1050538.64, 0.01);
  });

  it("refuses what is no projected grid, by a typed error at set-up", () => {
    const unknown: unknown[] = [
      "EPSG:99999",
      "EPSG:",
      "EPSG:4326",
      "25832",
      "",
      "hello",
      'PROJCS["x"]',
      "+lat_0=1",
      "+proj=",
      "+proj=nonsense",
      "+proj=longlat +datum=WGS84",
      "+proj=geocent +datum=WGS84",
      "+proj=utm +zone=61 +datum=WGS84",
      "+proj=utm +datum=WGS84",
      "+proj=lcc +lat_0=90",
      "+proj=tmerc +lon_0=abc",
      "+proj=tmerc +lat_0=95",
      "+proj=tmerc +k=0",
      "+proj=tmerc +lonn_0=9",
      "+proj=tmerc +datum=elsewhere",
      "+proj=tmerc +ellps=elsewhere +towgs84=1,2,3",
      "+proj=tmerc +ellps=bessel +towgs84=1,2",
      "+proj=tmerc +ellps=bessel +towgs84=1,2,x",
      "+init=epsg:25832",
      "+proj=tmerc proj=x",
      `+proj=tmerc ${"+south ".repeat(1000)}`,
      "+proj=constructor",
      "+proj=tmerc +__proto__=1",
      undefined,
      null,
      25832,
      {},
    ];
    for (const definition of unknown) expectCode(() => projectedCrs(definition as string), "unknown-crs");
    expectCode(() => projectedCrs("EPSG:25832", { positions: "local" as "wgs84" }), "out-of-range");
    expectCode(() => projectedCrs("EPSG:25832", { acceptAccuracy: NaN }), "not-finite");
    expectCode(() => projectedCrs("EPSG:25832", { shiftAccuracy: -1 }), "out-of-range");
    const shift = { translation: [1, 2, NaN], convention: "position-vector" } as const;
    expect(expectCode(() => projectedCrs("EPSG:27700", { shift }), "not-finite").index).toBe(2);
    const convention = "bursa-wolf" as "position-vector";
    expectCode(() => projectedCrs("EPSG:27700", { shift: { translation: [1, 2, 3], convention } }), "out-of-range");
  });

  it("never throws anything but a typed error, whatever the string", () => {
    const word = fc.oneof(
      fc.constantFrom("+proj=tmerc", "+proj=lcc", "+proj=omerc", "+ellps=bessel", "+zone=3", "+towgs84=1,2,3"),
      fc.constantFrom("+lat_1=45", "+lat_2=-45", "+alpha=1e9", "+pm=paris", "+a=1", "+rf=0.1", "+axis=neu", "+south"),
      fc.string({ maxLength: 12 }).map((text) => `+${text}`),
    );
    fc.assert(
      fc.property(fc.array(word, { maxLength: 6 }), (words) => {
        try {
          const crs = projectedCrs(words.join(" "), { acceptAccuracy: Infinity });
          expect(Number.isFinite(crs.toProjectedBatch(Float64Array.of(NaN, 0))[0]!)).toBe(false);
        } catch (error) {
          expect((error as { code?: string }).code).toMatch(/unknown-crs|inaccurate-crs/);
        }
      }),
      { numRuns: 300 },
    );
  });
});

describe("conversions of a ProjectedCrs", () => {
  const crs = projectedCrs("EPSG:3035");

  it("catch what proj4 makes garbage of", () => {
    expectCode(() => crs.toProjected({ latitude: 95, longitude: 5 }), "out-of-range");
    expectCode(() => crs.toProjected({ latitude: NaN, longitude: 5 }), "not-finite");
    expectCode(() => crs.toProjected({ latitude: 52, longitude: Infinity }), "not-finite");
    expectCode(() => crs.toGeographic([NaN, 0]), "not-finite");
    expectCode(() => crs.toGeographic([1e9, 1e9]), "out-of-range");
    // the far side of the projection's centre
    expectCode(() => crs.toProjected({ latitude: -52, longitude: -170 }), "out-of-range");
  });

  it("give NaN in batches, in place or not, and the same numbers as singly", () => {
    const latLon = Float64Array.of(52, 5, 95, 5, NaN, 5, 48, 11);
    const xy = crs.toProjectedBatch(latLon);
    expect([...xy]).toEqual([
      ...crs.toProjected({ latitude: 52, longitude: 5 }),
      NaN,
      NaN,
      NaN,
      NaN,
      ...crs.toProjected({ latitude: 48, longitude: 11 }),
    ]);
    const back = crs.toGeographicBatch(xy, xy);
    expectWithin(back[0]!, 52, 1e-12);
    expectWithin(back[7]!, 11, 1e-12);
    expect([back[2], back[5]]).toEqual([NaN, NaN]);
  });

  it("take any turn of longitude, and pass over prime meridians", () => {
    const [x] = crs.toProjected({ latitude: 52, longitude: 365 });
    expectWithin(x, crs.toProjected({ latitude: 52, longitude: 5 })[0], 1e-9);
    // Paris is 2.33722917 degrees east of Greenwich (EPSG:8903, grads turned to degrees)
    const paris = projectedCrs(
      "+proj=lcc +lat_1=49 +lat_0=49 +lon_0=0 +k_0=0.99987742 +x_0=600000 +ellps=clrk80ign +pm=paris",
      {
        positions: "own-datum",
      },
    );
    expectWithin(paris.toProjected({ latitude: 49, longitude: 2.337229166667 })[0], 600000, 1e-3);
  });
});
