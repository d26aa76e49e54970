import { describe, expect, it } from "vitest";
import { jobDefinition } from "../../examples/demo/plan.js";
import { LineIndex, pathLength, type Point, PolygonIndex } from "../../src/geometry/index.js";
import { FieldJob } from "../../src/job/index.js";
import { type Fix, NmeaReader } from "../../src/receiver/index.js";
import { expectWithin } from "../helpers/within.js";
import { demoBytes, demoPlan, demoTaps, fixesOf } from "./drive.js";

const plan = demoPlan();
const { field, frame, made } = plan;

interface Step {
  readonly x: number;
  readonly y: number;
  readonly heading: number;
  readonly speed: number;
  readonly line: string;
  readonly error: number;
  readonly working: number;
}

describe("the demo's drive of 27 minutes", () => {
  const bytes = demoBytes();
  const fixes = fixesOf(bytes);
  const job = new FieldJob(jobDefinition(plan));
  const taps = demoTaps(plan);
  const steps: Step[] = [];
  for (const fix of fixes) {
    taps.upTo(fix.time, job);
    const { x, y, motion, guidance, sections, fix: worth } = job.update(fix);
    if (!worth.usable) continue;
    steps.push({
      x,
      y,
      heading: motion.heading,
      speed: motion.speed,
      line: taps.line,
      error: guidance.crossTrackError,
      working: sections.working.filter(Boolean).length,
    });
  }
  const report = job.report();

  it("is read whole: one fix for each epoch", () => {
    // 27 minutes and 4 s at 10 Hz, 4 s of silence
    expect(fixes).toHaveLength(27 * 600 + 40 + 1 - 40);
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

  it("has a row for each round and for each pass of the mainfield, in the order driven", () => {
    const rows = report.passes.map(({ line, pass }) => `${line.name} ${pass}`);
    expect(rows).toEqual([
      "boundary 1, round 1 0",
      "boundary 1, round 2 0",
      "obstacle 1, round 1 0",
      ...Array.from({ length: 9 }, (_, pass) => `along the lane ${pass}`),
    ]);
    // each round is driven once, and closed by a few metres more; the first begins from a standstill, and on the way from
    // one to the next ground is worked as well
    report.passes.slice(0, 2).forEach((row, i) => {
      expect(row.length).toBeGreaterThan(made.rounds[i]!.length - 10);
      expect(row.length).toBeLessThan(made.rounds[i]!.length + 60);
    });
    // a round's ground: swath and length, less what its corners leave
    const [outer] = made.rounds;
    const corners = outer!.corners.reduce((sum, corner) => sum + corner.uncoveredArea, 0);
    const strip = 24 * pathLength(outer!.line);
    expect(report.passes[0]!.workedArea).toBeGreaterThan(strip - 2 * corners);
    expect(report.passes[0]!.workedArea).toBeLessThan(strip * 1.01);
  });

  it("works the headland while the rounds are driven, and the mainfield after", () => {
    const total = (first: number, last: number): number =>
      report.passes.slice(first, last).reduce((sum, row) => sum + row.workedArea, 0);
    const { headland, mainfield, uncovered } = made.areas;
    const zone = 24 * 10; // m², more than the buffer's ring of 3 m about the pond, part of the headland
    expect(total(0, 3)).toBeLessThan(headland - uncovered);
    expect(total(0, 3)).toBeGreaterThan(0.985 * headland - uncovered - zone);
    // 24 s without a position worth working by, a second more each for recovery
    const lost = 24 * 4.5 * (4 + 20 + 3);
    expect(total(3, 12)).toBeLessThan(1.005 * (mainfield - 0.9 * lost));
    expect(total(3, 12)).toBeGreaterThan(0.985 * mainfield - lost);
  });

  it("misses what it must: the dropout, the fall of quality, corners, the buffer zone, and little else", () => {
    const lost = 24 * 4.5 * (4 + 20 + 3);
    const ring = 3 * 105; // m², the buffer zone round the pond's rim
    expect(report.field!.missed).toBeGreaterThan(24 * 4.5 * 24 * 0.9 + made.areas.uncovered);
    // beyond it: the last pass and the pond's headland end by half sections, at a slant
    expect(report.field!.missed).toBeLessThan(lost + ring + made.areas.uncovered + 1000);
    // nothing lands in the buffer zone but what one section may by its tolerance
    const zone = job.coverage.areasWithin(plan.closed);
    expect(zone.worked).toBeLessThan(0.1 * 3 * 110);
  });

  it("treats less than a quarter of a percent twice, and next to nothing outside", () => {
    expect(report.totals.overlapArea / report.totals.workedArea).toBeLessThan(0.0025);
    expect(report.field!.outside).toBeLessThan(0.001 * report.field!.field);
  });

  it("stays in the field: the boom leaves it by less than 0.4 m, working or not, turns included", () => {
    const index = new PolygonIndex([{ exterior: field[0]!.exterior, holes: [] }]);
    let most = 0;
    for (const { x, y, heading } of steps) {
      const [sin, cos] = [Math.sin((heading * Math.PI) / 180), Math.cos((heading * Math.PI) / 180)];
      for (const side of [-12, 12]) {
        const [tipX, tipY] = [x - 2 * sin + side * cos, y - 2 * cos - side * sin];
        if (!index.contains(tipX, tipY)) most = Math.max(most, index.distanceToBoundary(tipX, tipY));
      }
    }
    expect(most).toBeLessThan(0.4);
  });

  it("keeps the machine 11 m clear of the pond", () => {
    const pond = new LineIndex([...field[0]!.holes[0]!, field[0]!.holes[0]![0]!]);
    for (const { x, y } of steps) expect(pond.nearest(x, y).distance).toBeGreaterThan(11);
  });

  it("is driven as machines drive: no bend tighter than 8 m, 0.8 m/s² sideways", () => {
    // over a second, so that the receiver's noise stays out
    for (let i = 20; i + 10 < steps.length; i += 5) {
      const [a, b, c] = [steps[i - 10]!, steps[i]!, steps[i + 10]!];
      if (b.speed < 1) continue;
      const way = Math.hypot(b.x - a.x, b.y - a.y) + Math.hypot(c.x - b.x, c.y - b.y);
      const before = Math.atan2(b.x - a.x, b.y - a.y);
      const after = Math.atan2(c.x - b.x, c.y - b.y);
      const bend = Math.abs(Math.atan2(Math.sin(after - before), Math.cos(after - before))) / (way / 2);
      expect(bend).toBeLessThan(1 / 8);
      expect(bend * b.speed ** 2).toBeLessThan(1.1);
    }
  });

  it("is guided within 10 cm along rounds and passes while all sections work", () => {
    const errors = steps.filter(({ working }) => working === 8).map(({ error }) => Math.abs(error));
    const near = errors.filter((error) => error < 0.1).length;
    // the rest: the way from round to round, where ground is worked as well
    expect(near / errors.length).toBeGreaterThan(0.97);
  });

  it("comes out the same however the bytes are cut, and from a restart half way", () => {
    const reader = new NmeaReader();
    const other = new FieldJob(jobDefinition(plan));
    const otherTaps = demoTaps(plan);
    const take = (to: FieldJob, given: typeof taps, some: readonly Fix[]): void => {
      for (const fix of some) {
        given.upTo(fix.time, to);
        to.update(fix);
      }
    };
    for (let at = 0; at < bytes.length; ) {
      const size = 1 + ((at * 7919) % 700);
      take(other, otherTaps, reader.push(bytes.subarray(at, at + size)));
      at += size;
    }
    take(other, otherTaps, reader.flush());
    expect(other.report()).toEqual(report);
    expect(other.coverage.snapshot()).toEqual(job.coverage.snapshot());

    // in the second round, and in the mainfield
    for (const cut of [4000, 10_000]) {
      const first = new FieldJob(jobDefinition(plan));
      const sameTaps = demoTaps(plan);
      take(first, sameTaps, fixes.slice(0, cut));
      const second = FieldJob.restore(first.snapshot());
      take(second, sameTaps, fixes.slice(cut));
      expect(second.report()).toEqual(report);
      expect(second.coverage.snapshot()).toEqual(job.coverage.snapshot());
    }
  });

  it("ran as far as its positions ran: against the plain sum of their steps", () => {
    // an oracle of its own: good positions a second apart, summed where the machine moves
    let sum = 0;
    let last: Point | null = null;
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
