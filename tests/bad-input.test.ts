import { describe, expect, test } from "vitest";
import * as feering from "../src/index.js";

// what callers without a type checker hand over; the type system would refuse it
const f = feering as unknown as Record<string, (...args: unknown[]) => unknown>;
const make = (name: string, ...args: unknown[]): unknown =>
  Reflect.construct((feering as unknown as Record<string, new (...args: unknown[]) => unknown>)[name]!, args);

const ring = [
  [0, 0],
  [100, 0],
  [100, 80],
];
const polygon = { exterior: ring, holes: [] };
const frame = feering.localFrame({ latitude: 52, longitude: 5 });
const boom = { sections: feering.evenSections(6, 2), x: 0, turnOnTime: 0, turnOffTime: 0 };
const coverage = new feering.CoverageRecord();
const helmert = { translation: [1, 2, 3], convention: "position-vector" };

const SETUP: readonly (readonly [what: string, code: string, call: () => unknown])[] = [
  ["coverage: options null", "not-finite", () => make("CoverageRecord", null)],
  ["coverage: field null", "too-few-points", () => coverage.areasWithin(null as never)],
  ["coverage: a polygon null", "too-few-points", () => coverage.missed([null] as never)],
  ["coverage: a ground that is none", "out-of-range", () => coverage.outline({ of: "thrice" as never })],
  ["coverage: a ground that is none", "out-of-range", () => coverage.cellRuns({ of: "" as never })],
  ["coverage: a box null", "not-finite", () => coverage.outline({ within: null as never })],
  ["coverage: merge with nothing", "out-of-range", () => coverage.merge(undefined as never)],
  ["receiver: reader options null", "not-finite", () => make("NmeaReader", null)],
  ["receiver: monitor options null", "not-finite", () => make("FixMonitor", null)],
  ["receiver: qualities as text", "too-few-points", () => make("FixMonitor", { qualities: "45" })],
  ["machine: options null", "not-finite", () => make("HeadingEstimator", null)],
  [
    "machine: a snapshot without state",
    "bad-snapshot",
    () => feering.HeadingEstimator.restore({ ...new feering.HeadingEstimator().snapshot(), state: null as never }),
  ],
  ["sections: options missing", "not-finite", () => make("SectionControl")],
  ["sections: settings null", "not-finite", () => make("SectionControl", { boom, coverage, settings: 5 })],
  ["sections: a section null", "not-finite", () => make("SectionControl", { boom: { sections: [null] }, coverage })],
  ["geometry: duplicates within NaN", "not-finite", () => f.removeDuplicates!(ring, { within: Number.NaN })],
  ["geometry: spikes of negative width", "out-of-range", () => f.removeSpikes!(ring, { width: -1 })],
  ["geometry: a point null", "not-finite", () => f.removeCollinear!([[0, 0], null, [1, 1]])],
  ["geometry: clean options null", "not-finite", () => f.cleanRing!(ring, null)],
  ["geometry: strips null", "too-few-points", () => f.unionStrips!(null)],
  ["geometry: polygon null", "not-finite", () => f.normalisePolygon!(null)],
  ["geometry: a gap in a list", "too-few-points", () => f.union!(new Array(2))],
  ["geometry: nearest options null", "not-finite", () => f.nearestOnLine!(ring, [0, 0], null)],
  ["frames: Helmert without parameters", "not-finite", () => f.helmert!([4e6, 0, 4e6])],
  ["frames: Helmert convention misspelt", "out-of-range", () => f.helmert!([0, 0, 0], { ...helmert, convention: "x" })],
  ["frames: Helmert rotation short", "not-finite", () => f.inverseHelmert!([0, 0, 0], { ...helmert, rotation: [1] })],
  ["frames: UTM of nothing", "not-finite", () => f.toUtm!(null)],
  ["frames: UTM altitude NaN", "not-finite", () => f.toUtm!({ latitude: 1, longitude: 2, altitude: Number.NaN })],
  ["frames: from nothing", "not-finite", () => f.fromUtm!(null)],
  ["frames: grid of nothing", "not-finite", () => f.transverseMercator!(null)],
  ["exchange: positions with NaN", "not-finite", () => f.toLocalLine!(frame, [{ latitude: Number.NaN, longitude: 5 }])],
  ["exchange: latitude 95", "out-of-range", () => f.toLocalLine!(frame, [{ latitude: 95, longitude: 5 }])],
  ["exchange: no polygon", "not-finite", () => f.toLocalPolygon!(frame, null)],
  ["exchange: a point null", "not-finite", () => f.toGeographicLine!(frame, [null])],
  ["exchange: holes missing", "too-few-points", () => f.toGeographicPolygon!(frame, { exterior: ring })],
  ["exchange: columns missing", "too-few-points", () => f.writeCsv!([])],
  ["exchange: a column without value", "bad-format", () => f.writeCsv!([], [{ header: "a" }])],
  ["exchange: rows null", "too-few-points", () => f.writeCsv!(null, [{ header: "a", value: () => 1 }])],
  ["exchange: data null", "not-finite", () => f.writeGeoJson!(null)],
  ["exchange: a field null", "not-finite", () => f.writeGeoJson!({ fields: [null] })],
  ["exchange: lines as text", "too-few-points", () => f.writeGeoJson!({ lines: "x" })],
  ["exchange: read options null", "not-finite", () => f.readGeoJson!("{}", null)],
  ["drawing: content null", "not-finite", () => f.drawField!(null)],
  ["drawing: a polygon null", "not-finite", () => f.drawField!({ field: [null] })],
  ["drawing: holes missing", "too-few-points", () => f.drawField!({ field: [{ exterior: ring }] })],
  ["drawing: a pass null", "not-finite", () => f.drawField!({ field: [polygon], passes: [null] })],
];

describe("set-up given what the types would refuse", () => {
  test.for(SETUP)("%s: %s", ([, code, call]) => {
    expect(call).toThrow(
      expect.objectContaining({ name: "FeeringError", code, argument: expect.any(String) as string }),
    );
  });
});

describe("the loop given what the types would refuse", () => {
  const nothing = [undefined, null] as never[];

  test.for(nothing)("is off or unchanged, and throws nothing: %s", (given) => {
    expect(new feering.FixMonitor().update(given)).toMatchObject({ status: "invalid", usable: false });
    expect(new feering.HeadingEstimator().update(given)).toMatchObject({ source: "none", reason: "not-finite" });
    const control = new feering.SectionControl({ boom: feering.boom(boom), coverage: new feering.CoverageRecord() });
    expect(control.update(given).ordered).toEqual([false, false]);
    expect(new feering.NmeaReader().push(given)).toEqual([]);
    const record = new feering.CoverageRecord();
    expect(record.markFrom(given)).toBe(0);
    expect(record.refused).toBe(1);
    const job = new feering.FieldJob({
      origin: { latitude: 52, longitude: 5 },
      machine: { antenna: { x: 0, y: 0, z: 0 } },
      boom,
    });
    expect(job.update(given).fix.status).toBe("invalid");
  });

  // text that reads as a number, a gear that is none, a time beyond all clocks: seen to break the next snapshot
  const odd = ["5", "", true, null, {}, [], Number.NaN, 1e308, -1e308, Number.POSITIVE_INFINITY];

  test("odd values leave a state that its own snapshot can restore, sections off where place or time is one", () => {
    const definition = {
      origin: { latitude: 52, longitude: 5 },
      machine: { antenna: { x: 1, y: 0, z: -3 } },
      boom,
      pattern: feering.guidancePattern(feering.straightLine([0, 0], [0, 100]), { swathWidth: 6 }),
    };
    const keys = ["time", "latitude", "longitude", "quality", "speed", "course", "heading", "horizontalAccuracy"];
    for (const key of keys) {
      for (const value of odd) {
        const job = new feering.FieldJob(definition);
        for (let i = 0; i < 20; i++) {
          const { latitude, longitude } = job.frame.toGeodetic([0, i / 5]);
          const fix = { time: 1e9 + i / 10, dated: true, latitude, longitude, quality: 4, speed: 2, course: 0 };
          const given = i === 18 ? { ...fix, [key]: value } : fix;
          const { fix: worth, sections } = job.update(given, (i === 17 ? value : undefined) as never);
          if (!worth.usable) expect(sections.ordered).toEqual([false, false]);
          if (i === 16) expect(sections.ordered).toEqual([true, true]);
        }
        job.tick(value as never);
        if (!(typeof value === "number" && Number.isFinite(value))) expect(job.state.sections.ordered[0]).toBe(false);
        const { coverage: bytes, ...plain } = job.snapshot();
        const kept = { ...(JSON.parse(JSON.stringify(plain)) as typeof plain), coverage: bytes };
        expect(() => feering.FieldJob.restore(kept), `${key} ${JSON.stringify(value)}`).not.toThrow();
      }
    }
  });

  test("a tick without a time turns sections off", () => {
    for (const value of [Number.NaN, Number.POSITIVE_INFINITY, 1e308]) {
      const options = { boom: feering.boom(boom), coverage: new feering.CoverageRecord() };
      const control = new feering.SectionControl(options);
      for (let i = 0; i < 9; i++) control.update({ time: i / 10, x: 0, y: i / 5, heading: 0, speed: 2, usable: true });
      expect(control.state.ordered).toEqual([true, true]);
      const states = control.tick(value);
      expect(states.ordered).toEqual([false, false]);
      expect(states.reasons).toEqual(["stale", "stale"]);
      expect(() => feering.SectionControl.restore(control.snapshot(), options)).not.toThrow();
    }
  });

  test("more quads than there is room for are left out, however many are asked for", () => {
    const record = new feering.CoverageRecord();
    record.mark(0, 0, 1, 0, 1, 1, 0, 1);
    const shares = new Float64Array(2).fill(7);
    const corners = Float64Array.of(0, 0, 1, 0, 1, 1, 0, 1);
    record.coveredShares(corners, shares, Number.POSITIVE_INFINITY);
    // the second quad has no corners
    expect([...shares]).toEqual([1, Number.NaN]);
    shares.fill(7);
    record.coveredShares(corners, shares, Number.NaN);
    expect([...shares]).toEqual([7, 7]);
  });

  test("a boom written by hand gets its times", () => {
    const record = new feering.CoverageRecord();
    const control = new feering.SectionControl({
      boom: { sections: feering.evenSections(6, 2) } as never,
      coverage: record,
    });
    for (let i = 0; i < 20; i++) control.update({ time: i / 10, x: 0, y: i / 5, heading: 0, speed: 2, usable: true });
    expect(control.state.working).toEqual([true, true]);
    expect(record.areas().worked).toBeGreaterThan(20);
  });
});
