import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { readGeoJson, toLocalPolygon } from "../../src/exchange/index.js";
import { localFrame } from "../../src/frames/index.js";
import { polygonArea } from "../../src/geometry/index.js";
import type { Polygon } from "../../src/geometry/types.js";
import { guidancePattern, straightLine } from "../../src/guidance/index.js";
import { FieldJob } from "../../src/job/index.js";
import { NmeaReader } from "../../src/receiver/index.js";
import { evenSections } from "../../src/sections/index.js";
import { boundaryFromCoverage } from "../../src/survey/index.js";
import { expectWithin } from "../helpers/within.js";
import { expectSound, hausdorff } from "./worked.js";

describe("the demo's drive", () => {
  const { fields } = readGeoJson(readFileSync(new URL("../../examples/demo/field.geojson", import.meta.url), "utf8"));
  const origin = { ...fields[0]!.polygons[0]!.exterior[0]!, altitude: 128.95 };
  const frame = localFrame(origin);
  const field: Polygon = toLocalPolygon(frame, fields[0]!.polygons[0]!);
  const a = frame.toLocal({ latitude: 47.24997941, longitude: 20.7501556 });
  const b = frame.toLocal({ latitude: 47.25315796, longitude: 20.75106299 });
  const job = new FieldJob({
    origin,
    field: [field],
    machine: { antenna: { x: 1.2, y: 0, z: -3 } },
    boom: { sections: evenSections(24, 8), x: -2, turnOnTime: 0.4, turnOffTime: 0.25 },
    pattern: guidancePattern(straightLine(a, b), { swathWidth: 24 }),
    fixes: { qualities: [4, 5] },
    sections: { overlapTolerance: 0.5, outsideTolerance: 0.1 },
  });
  for (const fix of new NmeaReader().push(readFileSync(new URL("../../examples/demo/drive.nmea", import.meta.url)))) {
    job.update(fix);
  }

  test("with gaps of 1 m closed the dropout of four seconds is a hole, and so is the pond", () => {
    const { polygons } = boundaryFromCoverage(job.coverage);
    expect(polygons).toHaveLength(1);
    expect(polygons[0]!.holes).toHaveLength(2);
    // 4 s at 4.5 m/s and the way to being trusted again, 24 m wide
    const sizes = polygons[0]!.holes.map((hole) => polygonArea({ exterior: hole, holes: [] })).sort((p, q) => p - q);
    expectWithin(sizes[0]!, 24 * 4.5 * 4.3, 60, "the dropout, m²");
  });

  test("with gaps of 20 m closed it gives the field: 0.4 % of the area, 1.5 m at the worst place, the pond a hole", () => {
    const boundary = boundaryFromCoverage(job.coverage, { closing: 20 });
    const [found] = boundary.polygons;
    expect(boundary.polygons).toHaveLength(1);
    expect(found!.holes).toHaveLength(1);
    // along the east side a metre was not worked, as no whole section fits in; ends go by half sections
    expectWithin(boundary.area, polygonArea(field), 0.004 * polygonArea(field), "area, m²");
    expect(hausdorff([found!.exterior], [field.exterior])).toBeLessThan(1.5);
    expect(hausdorff(found!.holes, field.holes)).toBeLessThan(1.5);
    const pond = polygonArea({ exterior: field.holes[0]!, holes: [] });
    expectWithin(polygonArea({ exterior: found!.holes[0]!, holes: [] }), pond, 0.02 * pond, "pond, m²");
    expectSound(boundary, 0.15);
  });

  test("within a tolerance of 1 m it takes a dozen points", () => {
    const boundary = boundaryFromCoverage(job.coverage, { closing: 20, tolerance: 1 });
    expect(boundary.polygons[0]!.exterior.length).toBeLessThanOrEqual(12);
    expect(hausdorff([boundary.polygons[0]!.exterior], [field.exterior])).toBeLessThan(2.5);
    expectSound(boundary, 1);
  });
});
