import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { readGeoJson, toLocalPolygon } from "../../src/exchange/index.js";
import { localFrame } from "../../src/frames/index.js";
import type { Polygon } from "../../src/geometry/index.js";
import { FieldJob } from "../../src/job/index.js";
import { guidancePattern, straightLine } from "../../src/guidance/index.js";
import { NmeaReader } from "../../src/receiver/index.js";
import { evenSections } from "../../src/sections/index.js";
import { expectWithin } from "../helpers/within.js";
import { demoBytes, fixesOf } from "./drive.js";

const { fields } = readGeoJson(readFileSync(new URL("../../examples/demo/field.geojson", import.meta.url), "utf8"));
const origin = { ...fields[0]!.polygons[0]!.exterior[0]!, altitude: 128.95 };
const frame = localFrame(origin);
const field: Polygon[] = fields[0]!.polygons.map((polygon) => toLocalPolygon(frame, polygon));

function newJob(): FieldJob {
  const a = frame.toLocal({ latitude: 47.24997941, longitude: 20.7501556 });
  const b = frame.toLocal({ latitude: 47.25315796, longitude: 20.75106299 });
  return new FieldJob({
    origin,
    field,
    machine: { antenna: { x: 1.2, y: 0, z: -3 } },
    boom: { sections: evenSections(24, 8), x: -2, turnOnTime: 0.4, turnOffTime: 0.25 },
    pattern: guidancePattern(straightLine(a, b), { swathWidth: 24 }),
    fixes: { qualities: [4] },
    sections: { overlapTolerance: 0.5, outsideTolerance: 0.1 },
  });
}

describe("the demo's drive of 25 minutes", () => {
  const bytes = demoBytes();
  const fixes = fixesOf(bytes);
  const job = newJob();
  for (const fix of fixes) job.update(fix);
  const report = job.report();

  it("is read whole: one fix for each epoch", () => {
    expect(fixes).toHaveLength(14_960);
  });

  it("keeps account: worked and missed make up the field, new and again make up what was marked", () => {
    const ground = report.field!;
    expectWithin(ground.worked + ground.missed, ground.field, 1e-6, "worked and missed, m²");
    const areas = job.coverage.areas();
    expectWithin(report.totals.workedArea, areas.worked, 1e-6 * areas.worked, "sum of what was new, m²");
    expectWithin(
      report.totals.overlapArea,
      areas.marked - areas.worked,
      1e-6 * areas.worked,
      "sum of what was again, m²",
    );
    const passes = report.passes.reduce((sum, pass) => sum + pass.workedArea, 0);
    expect(passes).toBeLessThanOrEqual(areas.worked * (1 + 1e-9));
    expectWithin(passes, areas.worked, 0.002 * areas.worked, "sum over the passes, m²");
  });

  it("misses what it must: the dropout, the fall of quality, and little else", () => {
    // 4 s and 20 s without a position worth working by, 24 m wide at 4.5 m/s, a second more each for recovery
    const lost = 24 * 4.5 * (4 + 20 + 2);
    expect(report.field!.missed).toBeGreaterThan(24 * 4.5 * 24 * 0.9);
    // beyond it: the ground beside the pond, and a metre along the east side that no whole section fits in
    expect(report.field!.missed).toBeLessThan(lost + 1500);
  });

  it("treats less than a quarter of a percent twice", () => {
    expect(report.totals.overlapArea / report.totals.workedArea).toBeLessThan(0.0025);
    expect(report.field!.outside).toBeLessThan(0.001 * report.field!.field);
  });

  it("comes out the same however the bytes are cut, and from a restart half way", () => {
    const reader = new NmeaReader();
    const other = newJob();
    for (let at = 0; at < bytes.length; ) {
      const size = 1 + ((at * 7919) % 700);
      for (const fix of reader.push(bytes.subarray(at, at + size))) other.update(fix);
      at += size;
    }
    for (const fix of reader.flush()) other.update(fix);
    expect(other.report()).toEqual(report);
    expect(other.coverage.snapshot()).toEqual(job.coverage.snapshot());

    const first = newJob();
    for (const fix of fixes.slice(0, 7000)) first.update(fix);
    const second = FieldJob.restore(first.snapshot());
    for (const fix of fixes.slice(7000)) second.update(fix);
    expect(second.report()).toEqual(report);
    expect(second.coverage.snapshot()).toEqual(job.coverage.snapshot());
  });

  it("ran as far as its positions ran: against the plain sum of their steps", () => {
    // an oracle of its own: good positions a second apart, summed where the machine moves
    let sum = 0;
    let last: readonly [number, number] | null = null;
    for (const fix of fixes) {
      if (Math.abs(fix.time - Math.round(fix.time)) > 0.01) continue;
      const place = frame.toLocal({ latitude: fix.latitude, longitude: fix.longitude });
      if (last !== null && fix.speed! > 0.2) sum += Math.hypot(place[0] - last[0], place[1] - last[1]);
      last = place;
    }
    // antenna and reference point differ in turns, the dropout counts here: 0.5 %
    expectWithin(report.totals.distance, sum, 0.005 * sum, "distance, m");
  });
});
