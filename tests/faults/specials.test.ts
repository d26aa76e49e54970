import { describe, expect, it } from "vitest";
import { boom, evenSections, SectionControl } from "../../src/sections/index.js";
import { resolveSettings } from "../../src/sections/section-settings.js";
import { CoverageRecord } from "../../src/coverage/index.js";
import { FieldJob } from "../../src/job/index.js";
import { expectCode } from "../helpers/within.js";
import { normal, random } from "../helpers/random.js";
import { driveAlong, fixOf, jobOn, makeWay, ORIGIN, SPEED, WIDTH } from "./drive.js";
import { run } from "./run.js";
import { scenarios } from "./scenarios.js";

const METRE = 1 / 111_195;
const way = makeWay(3, 100);
const fault = (at: number, length: number, size: number) => ({
  at,
  length,
  size,
  way,
  origin: ORIGIN,
  chance: random(7),
});
const scenario = (id: string) => scenarios.find((one) => one.id === id)!;

// what a scenario asks beyond the five of all
describe("F1", () => {
  it.for([1, 4])("leaves the ground across a gap of %i s unworked", (length) => {
    const items = driveAlong(way);
    const { coverage } = run(jobOn(way), scenario("F1").apply(items, fault(10, length, 1)));
    const clean = run(jobOn(way), items).coverage;
    // 0.3 s are joined, and product flows for 0.4 s after the last fix, which nothing shows
    const mid = Math.round(((10 + length / 2) * SPEED) / 0.05);
    for (const aside of [-10, 0, 10]) {
      expect(clean.isCovered(way.x[mid]! + aside, way.y[mid]!)).toBe(true);
      expect(coverage.isCovered(way.x[mid]! + aside, way.y[mid]!)).toBe(false);
    }
    const missing = clean.areas().worked - coverage.areas().worked;
    expect(missing).toBeGreaterThan(WIDTH * SPEED * (length - 0.1));
    // the gap, three fixes, the delay of turning on, two intervals
    expect(missing).toBeLessThan(WIDTH * SPEED * (length + 0.3 + 0.3 + 0.2));
  });
});

describe("F9", () => {
  it.for([1, 2, 3])("switches a section at most twice in any second, %i fixes a quality", (size) => {
    const times = new Map<number, number[]>();
    const items = scenario("F9").apply(driveAlong(way), fault(6, 15, size));
    const job = new FieldJob(jobOn(way));
    job.onSwitch = ({ section, time }) => times.set(section, [...(times.get(section) ?? []), time]);
    for (const { fix } of items) job.update(fix);
    expect(times.size).toBe(24);
    for (const list of times.values()) {
      for (let i = 2; i < list.length; i++) expect(list[i]! - list[i - 2]!).toBeGreaterThan(1 - 1e-6);
    }
  });
});

describe("F10", () => {
  it("parked for an hour with 2 cm of noise adds less than 0.2 m of the width, and holds the heading", () => {
    const deviate = normal(10);
    const job = new FieldJob(jobOn(way));
    const before = driveAlong(way).slice(0, 100);
    for (const { fix } of before) job.update(fix);
    const heading = job.state.motion.heading;
    const worked = job.coverage.areas().worked;
    expect(worked).toBeGreaterThan(0);
    const { place, fix: last } = before[99]!;
    const stand = fixOf(way, place, last.time);
    for (let i = 1; i <= 36_000; i++) {
      const speed = Math.abs(0.05 * deviate());
      job.update({
        ...stand,
        time: last.time + i / 10,
        latitude: stand.latitude + 0.02 * deviate() * METRE,
        longitude: stand.longitude + 0.02 * deviate() * METRE,
        speed,
        course: (360 + 360 * deviate()) % 360,
      });
      if (i > 30) expect(job.state.fix.standing).toBe(true);
    }
    expect(job.state.sections.ordered.includes(true)).toBe(false);
    expect(job.state.sections.reasons[0]).toBe("too-slow");
    const added = job.coverage.areas().worked - worked;
    // the delay of turning off is driven in no time: the machine stopped dead
    expect(added).toBeLessThanOrEqual(WIDTH * 0.2);
    expect(Math.abs(job.state.motion.heading - heading)).toBeLessThan(1);
  });
});

describe("F11", () => {
  it("keeps the heading, and works nothing backwards", () => {
    const items = scenario("F11").apply(driveAlong(way), fault(12, 1, 10));
    let backwards = 0;
    run(jobOn(way), items, (state, _, item) => {
      if (item === null || item.touched !== true) return;
      const apart = Math.abs(((state.motion.heading - way.heading[item.place]! + 540) % 360) - 180);
      expect(apart, `heading at ${item.at} s`).toBeLessThan(20);
      if (!state.motion.reversing) return;
      backwards++;
      expect(state.sections.ordered.includes(true)).toBe(false);
    });
    expect(backwards).toBeGreaterThan(80);
  });
});

describe("F12", () => {
  const known = Object.hasOwn(resolveSettings({}), "latency");
  it.skipIf(!known).for([0.05, 0.2, 0.5])("a latency of %f s shifts edges by no more than its jitter", (latency) => {
    const jitter = 0.04;
    const chance = random(12);
    const plain = jobOn(way);
    const definition = {
      ...plain,
      latency,
      boom: { sections: evenSections(WIDTH, 24), x: 0 },
      // both names: the job hands its own on
      sections: { ...plain.sections, latency },
    };
    const job = new FieldJob(definition);
    let now = 0;
    let edges = 0;
    job.onSwitch = ({ section, reason, on }) => {
      if (section !== 12 || !(reason === "outside-field" || on)) return;
      // where the machine truly is when the order goes out: delays are 0, product lands at once
      const y = way.y[Math.round((now * SPEED) / 0.05)]!;
      const edge = Math.abs(y) < 50 ? 0 : 100;
      edges++;
      expect(Math.abs(y - edge), `edge at ${now} s`).toBeLessThanOrEqual(SPEED * (jitter + 0.1) + 0.05);
    };
    for (const { at, fix } of driveAlong(way)) {
      now = at + latency + jitter * (chance() - 0.5);
      job.update(fix);
    }
    expect(edges).toBe(6);
  });
});

describe("F13", () => {
  const at = (rate: number): CoverageRecord => run(jobOn(way, { fixes: {} }), driveAlong(way, { rate })).coverage;
  const perimeter = 3 * 2 * (100 + WIDTH);
  const fine = at(20);

  // orders fall within half an interval of the ideal instant, at the ends of each pass and at the start
  it.for([10, 5])("%i Hz works the same ground as 20 Hz within a cell row", (rate) => {
    const record = at(rate);
    expect(Math.abs(record.areas().worked - fine.areas().worked)).toBeLessThan(perimeter * record.cellSize);
  });

  it("1 Hz works the same within half an interval at each edge, and the start", () => {
    const record = at(1);
    expect(Math.abs(record.areas().worked - fine.areas().worked)).toBeLessThan(6 * WIDTH * SPEED * 0.5);
  });

  it("ten fixes in one read work the same to the cell", () => {
    const job = new FieldJob(jobOn(way));
    const single = new FieldJob(jobOn(way));
    for (const { fix } of driveAlong(way)) single.update(fix);
    const items = driveAlong(way);
    // by the clock of the fixes alone it is no burst: no host's tick comes between
    for (let i = 0; i < items.length; i += 10) for (const { fix } of items.slice(i, i + 10)) job.update(fix);
    expect(job.coverage.hash()).toBe(single.coverage.hash());
  });

  it("bursts a second apart work too where the maximum age allows for them", () => {
    const items = driveAlong(way);
    const bursts = items.map((item, i) => ({ ...item, at: items[Math.min(items.length - 1, i - (i % 10) + 9)]!.at }));
    const { worked } = run(jobOn(way, { fixes: { maximumAge: 1.5 } }), bursts).coverage.areas();
    expect(Math.abs(worked - fine.areas().worked)).toBeLessThan(0.02 * fine.areas().worked);
  });
});

describe("F17", () => {
  const square = (points: readonly (readonly [number, number])[]) => ({
    ...jobOn(way),
    field: [{ exterior: points, holes: [] }],
  });
  it.for([
    [
      "two points",
      [
        [0, 0],
        [100, 0],
      ],
    ],
    [
      "three points on a line",
      [
        [0, 0],
        [50, 0],
        [100, 0],
      ],
    ],
    [
      "no number",
      [
        [0, 0],
        [100, 0],
        [100, Number.NaN],
        [0, 100],
      ],
    ],
  ] as const)("a boundary of %s is refused when the job is made", ([, points]) => {
    let code: string | undefined;
    try {
      new FieldJob(square(points));
    } catch (error) {
      code = (error as { code?: string }).code;
    }
    expect(code).toMatch(/^[a-z-]+$/u);
  });

  it("a pole is refused when the frame is made", () => {
    expectCode(() => new FieldJob(jobOn(way, { origin: { latitude: 89.95, longitude: 0 } })), "out-of-range");
  });

  // a million points take some seconds to check and index: FEERING_LONG=1
  const n = process.env["FEERING_LONG"] === "1" ? 1_000_000 : 100_000;
  it(`a boundary of ${n} points changes no answer`, () => {
    const around = Array.from({ length: n }, (_, i): [number, number] => {
      const a = (2 * Math.PI * i) / n;
      return [24 + 150 * Math.cos(a), 50 + 150 * Math.sin(a)];
    });
    const few = Array.from({ length: 2000 }, (_, i) => around[(i * n) / 2000]!);
    const drive = driveAlong(way).slice(0, 300);
    const records = [around, few].map((points) => {
      const job = new FieldJob(square(points));
      for (const { fix } of drive) job.update(fix);
      return job.coverage.hash();
    });
    expect(records[0]).toBe(records[1]);
  });
});

describe("F18", () => {
  it.for([8, 40, 360])("turning on the spot in %i fixes: each area positive, all within the circle", (fixes) => {
    const coverage = new CoverageRecord();
    const control = new SectionControl({
      boom: boom({ sections: evenSections(WIDTH, 24), x: -1 }),
      coverage,
      settings: { minimumSpeed: 0, overlapTolerance: 1 },
    });
    for (let i = 0; i < 24; i++) control.setOverride(i, "on");
    let sum = 0;
    for (let i = 0; i <= 2 * fixes; i++) {
      const states = control.update({
        time: i / 10,
        x: 0,
        y: 0,
        heading: ((i * 360) / fixes) % 360,
        speed: 0,
        yawRate: 3600 / fixes,
        usable: true,
      });
      expect(states.workedArea).toBeGreaterThanOrEqual(0);
      expect(states.overlapArea).toBeGreaterThanOrEqual(0);
      sum += states.workedArea;
    }
    const { worked } = coverage.areas();
    expect(worked).toBeCloseTo(sum, 6);
    const circle = Math.PI * (144 + 1);
    expect(worked).toBeLessThan(circle + 2 * Math.PI * 12.1 * 0.1);
    if (fixes >= 40) expect(worked).toBeGreaterThan(0.97 * circle - Math.PI);
  });
});
