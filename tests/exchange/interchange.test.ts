import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, test } from "vitest";
import {
  type GeoData,
  readCsv,
  readGeoJson,
  readSwitchingCsv,
  switchingColumns,
  toLocalPolygon,
  writeCsv,
  writeGeoJson,
} from "../../src/exchange/index.js";
import { readGpx, writeGpx } from "../../src/exchange/gpx/index.js";
import { readKml, writeKml } from "../../src/exchange/kml/index.js";
import { type LocalFrame, localFrame } from "../../src/frames/index.js";
import { polygonArea } from "../../src/geometry/index.js";
import { type GeographicPolygon, measurePolygonGeodesic } from "../../src/survey/index.js";
import { hasData } from "../helpers/data.js";
import { some } from "../helpers/light.js";
import { expectWithin } from "../helpers/within.js";
import { content, farm, frame } from "./pond-farm.js";
import { fileOf, parcels, parcelsOf } from "./real-parcels.js";

type Shapes = Pick<GeoData, "fields" | "lines" | "points">;

/** all positions in order, for comparison */
function positionsOf({ fields, lines, points }: Shapes): { latitude: number; longitude: number }[] {
  return [
    ...fields.flatMap(({ polygons }) => polygons.flatMap(({ exterior, holes }) => [exterior, ...holes].flat())),
    ...lines.flatMap(({ positions }) => positions),
    ...points.map(({ position }) => position),
  ];
}

function expectSamePlaces(actual: Shapes, expected: Shapes, half: number): void {
  const [a, b] = [positionsOf(actual), positionsOf(expected)];
  expect(a).toHaveLength(b.length);
  a.forEach((p, i) => {
    expectWithin(p.latitude, b[i]!.latitude, half, "degrees");
    expectWithin(p.longitude, b[i]!.longitude, half, "degrees");
  });
}

describe("golden files of an invented farm", () => {
  test("each format is written as it was, and reads as what went in", async () => {
    const texts = {
      geojson: writeGeoJson(farm, { indent: 1 }),
      kml: writeKml(farm, { name: "Pond Farm" }),
      gpx: writeGpx(farm),
      csv: writeCsv(content.switchings!, switchingColumns(frame)),
    };
    for (const [format, text] of Object.entries(texts)) {
      await expect(text).toMatchFileSnapshot(`golden/pond-farm.${format}`);
    }
    expectSamePlaces(readGeoJson(texts.geojson), farm, 5.1e-10);
    expectSamePlaces(readKml(texts.kml), farm, 5.1e-10);
    const gpx = readGpx(texts.gpx);
    expect(gpx.points).toHaveLength(farm.points.length);
    const rings = farm.fields.flatMap(({ polygons }) => polygons.flatMap(({ holes }) => 1 + holes.length));
    expect(gpx.lines).toHaveLength(farm.lines.length + rings.reduce((sum, n) => sum + n, 0));
    expect(readSwitchingCsv(texts.csv, frame).map(({ reason }) => reason)).toEqual(
      content.switchings!.map(({ reason }) => reason),
    );
  });
});

const gdal = (() => {
  try {
    return execFileSync("ogrinfo", ["--version"], { encoding: "utf8" }).trim();
  } catch {
    console.warn("skipped: GDAL's ogr2ogr and ogrinfo are not here, no round trips through them");
    return undefined;
  }
})();

describe.skipIf(gdal === undefined)("through GDAL, an independent reader and writer", () => {
  const folder = mkdtempSync(join(tmpdir(), "feering-"));
  afterAll(() => rmSync(folder, { recursive: true }));
  const convert = (
    name: string,
    text: string | Uint8Array,
    to: string,
    driver: string,
    ...options: string[]
  ): Buffer => {
    writeFileSync(join(folder, name), text);
    rmSync(join(folder, to), { force: true });
    execFileSync("ogr2ogr", ["-f", driver, join(folder, to), join(folder, name), ...options], { stdio: "pipe" });
    return readFileSync(join(folder, to));
  };

  test("GeoJSON: written by us, read and written again by GDAL, read by us", () => {
    const out = convert(
      "a.geojson",
      writeGeoJson(farm),
      "b.geojson",
      "GeoJSON",
      "-lco",
      "RFC7946=YES",
      "-lco",
      "COORDINATE_PRECISION=9",
    );
    const back = readGeoJson(out);
    expectSamePlaces(back, farm, 1.1e-9);
    expect(back.fields.map(({ properties }) => properties["kind"])).toEqual(
      farm.fields.map(({ properties }) => properties["kind"]),
    );
    expect(back.lines.at(-1)!.properties["name"]).toBe("drive");
  });

  test("GeoJSON across 180 degrees: GDAL's cut is joined by us, ours is one surface to GDAL", () => {
    const exterior = [179.9, -179.9, -179.9, 179.9].map((longitude, i) => ({
      latitude: i < 2 ? -17 : -16.5,
      longitude,
    }));
    const whole: Shapes = { fields: [{ polygons: [{ exterior, holes: [] }], properties: {} }], lines: [], points: [] };
    const uncut = writeGeoJson(whole, { antimeridian: "keep" });
    const cut = readGeoJson(
      convert("c.geojson", uncut, "d.geojson", "GeoJSON", "-lco", "RFC7946=YES", "-wrapdateline"),
    );
    expect(cut.fields[0]!.polygons).toHaveLength(1);
    const area = (data: Shapes): number => measurePolygonGeodesic(data.fields[0]!.polygons[0]!).area;
    expectWithin(area(cut) / area(whole), 1, 1e-6, "share");
    const seen = execFileSync("ogrinfo", ["-al", "-q", "-ro", join(folder, "d.geojson")], { encoding: "utf8" });
    expect(seen).toContain("MULTIPOLYGON");
    writeFileSync(join(folder, "e.geojson"), writeGeoJson(whole));
    const ours = execFileSync("ogrinfo", ["-al", "-so", "-ro", join(folder, "e.geojson")], { encoding: "utf8" });
    expect(ours).toContain("Multi Polygon");
    expect(ours).toContain("Feature Count: 1");
  });

  test.for(["KML", "LIBKML"])("KML: ours read by GDAL, GDAL's %s read by us", (driver) => {
    const drivers = execFileSync("ogrinfo", ["--formats"], { encoding: "utf8" });
    if (!new RegExp(`^\\s*${driver} `, "m").test(drivers)) return console.warn(`skipped: this GDAL has no ${driver}`);
    const seen = readGeoJson(
      convert("a.kml", writeKml(farm), "k.geojson", "GeoJSON", "-lco", "COORDINATE_PRECISION=9"),
    );
    expectSamePlaces(seen, farm, 1.1e-9);
    expect(seen.fields[0]!.properties["Name"]).toBe("Pond Piece & Neck");
    const fields = writeGeoJson({ fields: farm.fields });
    const back = readKml(convert("f.geojson", fields, "f.kml", driver));
    expectSamePlaces({ ...back, lines: [], points: [] }, { fields: farm.fields, lines: [], points: [] }, 1e-8);
    expect(back.fields.map(({ properties }) => properties["kind"])).toEqual(["field", "worked"]);
    expect(typeof back.fields[0]!.properties["area"]).toBe("number");
  });

  test("KMZ: made by GDAL, read by us", () => {
    const fields = writeGeoJson({ fields: farm.fields });
    const drivers = execFileSync("ogrinfo", ["--formats"], { encoding: "utf8" });
    if (!drivers.includes("LIBKML")) return console.warn("skipped: this GDAL has no LIBKML");
    const back = readKml(new Uint8Array(convert("g.geojson", fields, "g.kmz", "LIBKML")));
    // an archive of layers: the document's own file links to them
    const names = back.passedOver.map(({ element }) => element);
    expect(back.fields.length > 0 || names.includes("NetworkLink")).toBe(true);
  });

  test("GPX: ours read by GDAL layer by layer, GDAL's read by us", () => {
    writeFileSync(join(folder, "a.gpx"), writeGpx(farm));
    const tracks = execFileSync("ogrinfo", ["-ro", "-al", "-so", join(folder, "a.gpx")], { encoding: "utf8" });
    expect(tracks).toContain(`Feature Count: ${farm.points.length}`);
    expect(tracks).toContain(`Feature Count: ${farm.lines.length + farm.fields.length}`);
    const out = convert("h.gpx", writeGpx({ lines: farm.lines }), "i.gpx", "GPX", "tracks");
    const back = readGpx(out);
    expectSamePlaces(back, { fields: [], lines: farm.lines, points: [] }, 1e-8);
    expect(back.lines.at(-1)!.properties["name"]).toBe("drive");
    const points = convert("j.gpx", writeGpx({ points: farm.points }), "k.gpx", "GPX", "waypoints");
    expectSamePlaces(readGpx(points), { fields: [], lines: [], points: farm.points }, 1e-8);
  });

  test("CSV: GDAL reads our columns and writes them as we read them", () => {
    const text = writeCsv(content.switchings!, switchingColumns(frame));
    const out = convert("a.csv", text, "b.csv", "CSV", "-lco", "LINEFORMAT=CRLF");
    const ours = readCsv(text);
    const theirs = readCsv(out);
    expect(theirs.header).toEqual(ours.header);
    expect(theirs.rows).toEqual(ours.rows);
  });
});

describe.skipIf(!parcels.every(([country]) => hasData(fileOf(country))))("real parcels", () => {
  // in a frame: geodesic areas of so small rings are good to 1e-8 of them
  const areaOf = (polygons: readonly GeographicPolygon[], frame: LocalFrame): number =>
    polygons.reduce((sum, polygon) => sum + polygonArea(toLocalPolygon(frame, polygon)), 0);

  test.for(parcels)("%s through GeoJSON and KML: areas within what the rounding can move", ([country, crs]) => {
    const fields = parcelsOf(country, crs);
    expect(fields).toHaveLength(100);
    const [json, kml] = [readGeoJson(writeGeoJson({ fields })).fields, readKml(writeKml({ fields })).fields];
    expect(json).toHaveLength(fields.length);
    expect(kml).toHaveLength(fields.length);
    const picked = some(
      fields.map((_, i) => i).filter((i) => i % 10 === 0),
      10,
    );
    for (const i of picked) {
      const { polygons } = fields[i]!;
      const frame = localFrame(polygons[0]!.exterior[0]!);
      const area = areaOf(polygons, frame);
      const sides = polygons.flatMap(({ exterior, holes }) => [exterior, ...holes]);
      const perimeter = sides.reduce(
        (sum, ring) => sum + measurePolygonGeodesic({ exterior: ring, holes: [] }).perimeter,
        0,
      );
      // 9 decimals: half a unit moves a vertex by 0.08 mm at most, the area by that along the perimeter
      for (const read of [json[i]!, kml[i]!]) expectWithin(areaOf(read.polygons, frame), area, 8e-5 * perimeter, "m²");
      const exact = readGeoJson(writeGeoJson({ fields: [fields[i]!] }, { decimals: 15 })).fields[0]!;
      const fine = readKml(writeKml({ fields: [fields[i]!] }, { decimals: 15 })).fields[0]!;
      for (const read of [exact, fine]) expectWithin(areaOf(read.polygons, frame) / area, 1, 1e-9, "share");
    }
    // a second time nothing moves
    expect(readGeoJson(writeGeoJson({ fields: json })).fields).toEqual(json);
    expect(readKml(writeKml({ fields: kml })).fields).toEqual(kml);
  });
});
