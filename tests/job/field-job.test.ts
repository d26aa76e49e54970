import { describe, expect, it } from "vitest";
import { guidancePattern, shiftPattern, straightLine } from "../../src/guidance/index.js";
import { FieldJob, type JobSnapshot, type SwitchEvent } from "../../src/job/index.js";
import type { Fix } from "../../src/receiver/index.js";
import { expectCode, expectWithin } from "../helpers/within.js";
import { definition, northward } from "./drive.js";

function drive(job: FieldJob, fixes: Iterable<Fix>): FieldJob {
  for (const fix of fixes) job.update(fix);
  return job;
}

describe("a job", () => {
  it("works one pass from edge to edge: area, distance and time in closed form", () => {
    const job = drive(new FieldJob(definition()), northward());
    const report = job.report();
    // 100 m of field under 24 m, at 4 m/s; the last fix at 80 m: 80 m worked so far. One fix interval is 0.4 m
    expectWithin(report.totals.workedArea, 24 * 80, 24 * 0.4, "worked area, m²");
    expectWithin(report.totals.distance, 100, 0.81, "distance, m");
    expectWithin(report.totals.timeWorked, 20, 0.21, "time worked, s");
    expectWithin(report.totals.workRate, 24 * 4, 3, "work rate, m²/s");
    expect(report.totals.overlapArea).toBe(0);
    expect(report.field!.outside).toBeLessThan(24 * 0.41);
    expect(report.passes).toHaveLength(1);
    expectWithin(report.passes[0]!.error95, 0.001, 1e-9, "95 % of no error: the first class of 1 mm");
  });

  it("gives guidance, section states with reasons and totals with each fix", () => {
    const job = new FieldJob(definition());
    const before = job.update([...northward({ from: -20, to: -20, east: 0.3 })][0]!);
    expectWithin(before.guidance.crossTrackError, 0.3, 1e-6, "cross-track error, m");
    expect(before.guidance.steer).toBe("left");
    expect(before.sections.ordered.some(Boolean)).toBe(false);
    expect(new Set(before.sections.reasons)).toEqual(new Set(["outside-field"]));
    for (const fix of northward({ from: -20, to: 20, east: 0.3 })) job.update(fix);
    // 0.3 m off to the right: 10 % of the leftmost section's ground is still its own, all of them work
    expect(job.state.sections.working).toEqual(new Array(8).fill(true));
    expect(job.state.totals.timeWorked).toBeGreaterThan(4);
  });

  it("tells each order where and why", () => {
    const job = new FieldJob(definition({ boom: { ...definition().boom, x: -5 } }));
    const events: SwitchEvent[] = [];
    job.onSwitch = (event) => events.push(event);
    drive(job, northward({ to: 120 }));
    expect(events.filter((event) => event.on)).toHaveLength(8);
    expect(events.filter((event) => !event.on)).toHaveLength(8);
    for (const event of events) {
      // no delays: the tool is at the edge within one fix interval, 0.4 m
      expectWithin(event.y, event.on ? 0 : 100, 0.4 + 1e-6, "order at the edge, m north");
      expectWithin(event.x, -10.5 + 3 * event.section, 1e-3, "middle of the section, m east");
      // 4 m/s: the edge itself is passed at the exact time, to the millimetre that it is found to
      const exact = event.y + 4 * (event.exactTime - event.time);
      expectWithin(exact, event.on ? 0 : 100, 0.01, "exact instant at the edge, m north");
      expect(event.reason).toBe(event.on ? "working" : "outside-field");
      expect(event.pass).toBe(0);
    }
    expect(job.state.totals.switches).toBe(16);
  });

  it("counts no way across a silence, whether the machine stood or went on", () => {
    const whole = drive(new FieldJob(definition()), northward({ from: 0, to: 80 })).report().totals.distance;
    const silent = new FieldJob(definition());
    for (const fix of northward({ from: 0, to: 80 })) {
      if (fix.time < 1005 || fix.time > 1015) silent.update(fix);
    }
    // 10.2 s at 4 m/s are not told, and steps of half a metre end there
    expectWithin(whole - silent.report().totals.distance, 40.8, 1.01, "way not counted, m");
    const standing = new FieldJob(definition());
    for (const fix of northward({ from: 0, to: 80 })) {
      standing.update(fix.time < 1010 ? fix : { ...fix, time: fix.time + 30 });
    }
    // the steps of the fixes on which it sets off are not told
    expectWithin(standing.report().totals.distance, whole, 1.61, "way of a machine that stood in a silence, m");
  });

  it("does not work the same ground twice", () => {
    const job = drive(new FieldJob(definition()), northward({ to: 120 }));
    const worked = job.report().totals.workedArea;
    const again = [...northward({ to: 120 })].map((fix) => ({ ...fix, time: fix.time + 1000 }));
    drive(job, again);
    const report = job.report();
    expect(report.totals.workedArea - worked).toBeLessThan(24 * 0.41);
    expect(report.totals.overlapArea).toBeLessThan(24 * 0.41);
  });

  it("marks a line live, and its passes exist from then on", () => {
    const { pattern: _, ...rest } = definition();
    const job = new FieldJob(rest);
    expect(job.markA().outcome).toBe("not-finite");
    const fixes = [...northward({ from: 0, to: 60, east: 5 })];
    job.update(fixes[0]!);
    expect(job.state.guidance.status).toBe("no-line");
    expect(job.markA().outcome).toBe("marked");
    expect(job.markB().outcome).toBe("too-near");
    drive(job, fixes.slice(1));
    expectWithin(job.previewLine().length, 60, 0.41, "preview, m");
    expect(job.markB({ name: "new" }).outcome).toBe("marked");
    expect(job.pattern!.swathWidth).toBe(24);
    const next = [...northward({ from: 0, to: 0, east: 29.2 })][0]!;
    const state = job.update({ ...next, time: fixes[fixes.length - 1]!.time + 30 });
    expect(state.guidance.pass).toBe(1);
    expectWithin(state.guidance.crossTrackError, 0.2, 1e-3, "cross-track error on pass 1, m");
  });

  it("takes a shifted pattern, holds, skips and releases passes", () => {
    const job = new FieldJob(definition());
    const fixes = [...northward({ to: 0, east: 1 })];
    drive(job, fixes);
    job.usePattern(shiftPattern(job.pattern!, { east: 0.8, north: 0 }));
    expectWithin(job.state.guidance.crossTrackError, 0.2, 1e-6, "after the shift, m");
    job.skipPass();
    expect(job.state.guidance.pass).toBe(1);
    job.holdPass(2);
    expect(job.state.guidance.pass).toBe(2);
    job.releasePass();
    expect(job.state.guidance.pass).toBe(0);
  });

  it("keeps the passes of each line apart, and those of the same line together", () => {
    const along = guidancePattern(straightLine([0, 0], [0, 100], { name: "lane" }), { swathWidth: 24 });
    const other = guidancePattern(straightLine([0, 0], [0, 100], { id: "7", name: "lane" }), { swathWidth: 24 });
    const fixes = [...northward({ from: -20, to: 120 })];
    const job = drive(new FieldJob(definition({ pattern: along })), fixes.slice(0, 100));
    job.usePattern(other);
    drive(job, fixes.slice(100, 200));
    // the same line, shifted: no line of its own
    job.usePattern(shiftPattern(along, { east: 0.1, north: 0 }));
    const again = FieldJob.restore(job.snapshot());
    for (const one of [job, again]) {
      drive(one, fixes.slice(200));
      const { passes, totals } = one.report();
      expect(passes.map(({ line, pass }) => [line, pass])).toEqual([
        [{ name: "lane" }, 0],
        [{ id: "7", name: "lane" }, 0],
      ]);
      // 0.4 m a fix at 4 m/s: on from 0 m, the line changed at 20 m and at 60 m; one step of half a metre either way
      expectWithin(passes[1]!.length, 40, 0.81, "way on the other line, m");
      expectWithin(passes[0]!.length, 60, 1.61, "way on the line, before and after, m");
      expectWithin(passes[0]!.workedArea + passes[1]!.workedArea, totals.workedArea, 1e-6, "ground of both, m²");
    }
    expect(again.report()).toEqual(job.report());
  });

  it("reads a snapshot in which passes have no line yet", () => {
    const job = drive(new FieldJob(definition()), northward({ to: 40 }));
    const snapshot = job.snapshot();
    const passes = snapshot.account.passes.map(({ line: _, ...rest }) => rest);
    const again = FieldJob.restore({ ...snapshot, account: { ...snapshot.account, passes } });
    expect(again.report()).toEqual(job.report());
  });

  it("works no closed ground, and says so", () => {
    // 20 m of the outer three sections to the right, as a buffer zone beside water is; here a plain rectangle
    const closed = [
      {
        exterior: [
          [3, 40],
          [20, 40],
          [20, 60],
          [3, 60],
        ] as const,
        holes: [],
      },
    ];
    const whole = drive(new FieldJob(definition()), northward({ to: 120 })).report().totals.workedArea;
    const fixes = [...northward({ to: 120 })];
    const job = new FieldJob(definition({ closed }));
    const middle = fixes.findIndex((_, i) => -20 + i * 0.4 > 50);
    drive(job, fixes.slice(0, middle));
    expect(job.state.sections.reasons.slice(5)).toEqual(["closed-zone", "closed-zone", "closed-zone"]);
    expect(job.state.sections.working).toEqual([true, true, true, true, true, false, false, false]);
    const again = FieldJob.restore(job.snapshot());
    for (const one of [job, again]) {
      drive(one, fixes.slice(middle));
      // 9 m by 20 m, at each end within one fix interval
      expectWithin(whole - one.report().totals.workedArea, 9 * 20, 9 * 0.81, "ground left, m²");
      expect(one.coverage.isCovered(4, 50)).toBe(false);
    }
    expect(again.coverage.snapshot()).toEqual(job.coverage.snapshot());
  });

  it("counts neither time nor way while paused, and goes on after", () => {
    const job = new FieldJob(definition());
    const fixes = [...northward({ from: -20, to: 60 })];
    drive(job, fixes.slice(0, 100));
    job.pause();
    const { time, distance } = job.state.totals;
    expect(job.state.sections.ordered.some(Boolean)).toBe(false);
    drive(job, fixes.slice(100, 150));
    expect(job.state.totals.time).toBe(time);
    expect(job.state.totals.distance).toBe(distance);
    expect(new Set(job.state.sections.reasons)).toEqual(new Set(["master-off"]));
    job.resume();
    drive(job, fixes.slice(150));
    expect(job.state.sections.working).toEqual(new Array(8).fill(true));
    expectWithin(job.state.totals.time, time + (fixes.length - 150) * 0.1, 0.11, "time, s");
  });

  it("obeys the master switch and the hand, and says so", () => {
    const job = new FieldJob(definition());
    const fixes = [...northward({ from: 5, to: 60 })];
    drive(job, fixes.slice(0, 20));
    job.setOverride(2, "off");
    expect(job.state.sections.reasons[2]).toBe("off-by-hand");
    drive(job, fixes.slice(20, 40));
    expect(job.state.sections.working[2]).toBe(false);
    expect(job.state.sections.working[3]).toBe(true);
    job.setMaster(false);
    expect(job.state.sections.ordered.some(Boolean)).toBe(false);
    expectCode(() => job.setOverride(8, "on"), "out-of-range");
  });

  it("goes off when fixes stop coming and the host says what time it is", () => {
    const job = new FieldJob(definition());
    const fixes = [...northward({ from: 5, to: 40 })];
    drive(job, fixes);
    const last = fixes[fixes.length - 1]!.time;
    expect(job.tick(last + 0.1).sections.ordered.every(Boolean)).toBe(true);
    const state = job.tick(last + 2);
    expect(state.fix.status).toBe("stale");
    expect(state.sections.ordered.some(Boolean)).toBe(false);
    expect(new Set(state.sections.reasons)).toEqual(new Set(["stale"]));
    const switches = job.state.totals.switches;
    expect(switches).toBe(16);
  });

  it("goes on from a snapshot through JSON bit for bit", () => {
    const fixes = [...northward({ from: -20, to: 120, east: 0.1 })];
    const whole = new FieldJob(
      definition({ boom: { ...definition().boom, x: -3, turnOnTime: 0.35, turnOffTime: 0.2 } }),
    );
    drive(whole, fixes);
    for (const cut of [1, 57, 58, 59, 120, 301]) {
      const first = new FieldJob(
        definition({ boom: { ...definition().boom, x: -3, turnOnTime: 0.35, turnOffTime: 0.2 } }),
      );
      drive(first, fixes.slice(0, cut));
      const { coverage, ...plain } = first.snapshot();
      const again = { ...(JSON.parse(JSON.stringify(plain)) as Omit<JobSnapshot, "coverage">), coverage };
      const second = FieldJob.restore(again);
      expect(second.state, `state at ${cut}`).toEqual(first.state);
      drive(second, fixes.slice(cut));
      expect(second.report(), `report after a cut at ${cut}`).toEqual(whole.report());
      expect(second.coverage.snapshot()).toEqual(whole.coverage.snapshot());
    }
  });

  it("refuses a damaged snapshot with a code", () => {
    const job = drive(new FieldJob(definition()), northward({ to: 10 }));
    const good = job.snapshot();
    expectCode(() => FieldJob.restore(null as never), "bad-snapshot");
    expectCode(() => FieldJob.restore({ ...good, numbers: [] }), "bad-snapshot");
    expectCode(() => FieldJob.restore({ ...good, coverage: good.coverage.slice(0, 20) }), "bad-snapshot");
    expectCode(
      () =>
        FieldJob.restore({
          ...good,
          account: { ...good.account, totals: { ...good.account.totals, time: Number.NaN } },
        }),
      "bad-snapshot",
    );
    expectCode(() => FieldJob.restore({ ...good, version: 3 as never }), "bad-snapshot");
    for (const passes of [[null], [[]], [{ pass: 0 }]]) {
      const account = { ...good.account, passes: passes as never };
      expectCode(() => FieldJob.restore({ ...good, account }), "bad-snapshot");
    }
  });
});

describe("a job's set-up", () => {
  it.for<[string, () => unknown, string]>([
    ["no definition", () => new FieldJob(undefined as never), "not-finite"],
    [
      "a field that no record can hold: its report would throw",
      () =>
        new FieldJob(
          definition({
            field: [
              {
                exterior: [
                  [0, 0],
                  [1e9, 0],
                  [0, 100],
                ],
                holes: [],
              },
            ],
          }),
        ),
      "too-large",
    ],
    [
      "an origin near a pole",
      () => new FieldJob(definition({ origin: { latitude: 89.95, longitude: 0 } })),
      "out-of-range",
    ],
    [
      "a boundary that crosses itself",
      () =>
        new FieldJob(
          definition({
            field: [
              {
                exterior: [
                  [0, 0],
                  [10, 10],
                  [10, 0],
                  [0, 9],
                ],
                holes: [],
              },
            ],
          }),
        ),
      "self-crossing",
    ],
    [
      "closed ground that is no list",
      () => new FieldJob(definition({ closed: definition().field![0] as never })),
      "too-few-points",
    ],
    [
      "closed ground that crosses itself",
      () =>
        new FieldJob(
          definition({
            closed: [
              {
                exterior: [
                  [0, 0],
                  [10, 10],
                  [10, 0],
                  [0, 9],
                ],
                holes: [],
              },
            ],
          }),
        ),
      "self-crossing",
    ],
    [
      "sections that overlap",
      () =>
        new FieldJob(
          definition({
            boom: {
              sections: [
                { left: -3, right: 0 },
                { left: -1, right: 3 },
              ],
            },
          }),
        ),
      "overlap",
    ],
    ["a swath of no width", () => new FieldJob(definition({ swathWidth: 0 })), "out-of-range"],
    ["a label that is no text", () => new FieldJob(definition({ labels: { crop: 7 as never } })), "out-of-range"],
    [
      "an antenna that is nowhere",
      () => new FieldJob(definition({ machine: { antenna: { x: Number.NaN, y: 0, z: 0 } } })),
      "not-finite",
    ],
    [
      "a pattern without width",
      () => new FieldJob(definition({ pattern: guidancePattern(straightLine([0, 0], [0, 9]), { swathWidth: -1 }) })),
      "out-of-range",
    ],
  ])("refuses %s", ([, call, code]) => {
    expectCode(call, code);
  });

  it("keeps labels as they are, and shares nothing with what it was given", () => {
    const labels = { crop: '<wheat> & "rye"', notes: "__proto__" };
    const given = definition({ labels });
    const frozen = JSON.stringify(given);
    const job = drive(new FieldJob(given), northward({ to: 20 }));
    expect(job.report().labels).toEqual(labels);
    expect(JSON.stringify(given)).toBe(frozen);
    expect(JSON.parse(JSON.stringify(job.report()))).toEqual(job.report());
  });
});
