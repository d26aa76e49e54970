import { describe, expect, test } from "vitest";
import { jobDefinition, towedDefinition } from "../../../examples/demo/plan.js";
import { CoverageRecord } from "../../../src/coverage/index.js";
import {
  coverageFromTimeLog,
  type DeviceBoom,
  fromPartfield,
  fromTaskDevice,
  jobDevice,
  jobTaskData,
  WorkLog,
  type WorkLogSummary,
} from "../../../src/exchange/task-content/index.js";
import { readTaskData, writeTaskData } from "../../../src/exchange/task-data/index.js";
import {
  readTimeLogHeader,
  type TimeLogHeader,
  TimeLogRecord,
  timeLogRecords,
  TimeLogWriter,
  writeTimeLogHeader,
} from "../../../src/exchange/time-log/index.js";
import { localFrame } from "../../../src/frames/index.js";
import { FieldJob, type JobDefinition } from "../../../src/job/index.js";
import type { Fix } from "../../../src/receiver/index.js";
import { boom, evenSections, SectionControl, type SectionStep } from "../../../src/sections/index.js";
import { expectCode, expectWithin } from "../../helpers/within.js";
import { demoBytes, demoPlan, demoTaps, fixesOf } from "../../job/drive.js";

const frame = localFrame({ latitude: 47.25, longitude: 20.75, altitude: 88 });

interface Logged {
  readonly header: string;
  readonly pieces: readonly Uint8Array[];
  readonly summary: WorkLogSummary;
}

/** a section control that drives as it is told, its log, and its own record */
function drive(
  fixes: readonly (readonly [time: number, x: number, y: number, heading: number, more?: object])[],
  settings: ConstructorParameters<typeof SectionControl>[0]["settings"] = {},
): { readonly coverage: CoverageRecord; readonly logged: Logged; readonly steps: number } {
  const coverage = new CoverageRecord({ origin: frame.origin });
  const control = new SectionControl({ boom: sprayer, coverage, settings });
  const log = logOf(sprayer.sections.length);
  let steps = 0;
  control.onStep = (step) => {
    steps++;
    log.step(step);
  };
  for (const [time, x, y, heading, more] of fixes) {
    control.update({ time, x, y, heading, speed: 4, usable: true, ...more });
  }
  return { coverage, logged: log.finish(), steps };
}

const sprayer = boom({ sections: evenSections(12, 6), x: -2, turnOnTime: 0.33, turnOffTime: 0.12 });
const { booms } = jobDevice({
  origin: frame.origin,
  machine: { antenna: { x: 0, y: 0, z: -3 } },
  boom: sprayer,
});

function logOf(sections: number, element = "DET-2"): { step(step: SectionStep, fix?: Fix): void; finish(): Logged } {
  const pieces: Uint8Array[] = [];
  const log = new WorkLog(frame, { element, sections }, (bytes) => void pieces.push(bytes));
  return {
    step: (step, fix) => log.step(step, fix),
    finish: () => ({ header: writeTimeLogHeader(log.header), pieces, summary: log.end() }),
  };
}

const back = ({ header, pieces }: Logged, more: object = {}): ReturnType<typeof coverageFromTimeLog> =>
  coverageFromTimeLog(frame, header, pieces, booms, more);

const START = 1_714_557_600; // 2024-05-01 10:00:00 UTC
/** 20 Hz along an arc: 4 m/s, right turn by so many degrees a second */
function arc(count: number, rate: number, from = START): [number, number, number, number, object][] {
  let [x, y, heading] = [5, 5, 40];
  return Array.from({ length: count }, (_, i) => {
    const angle = (heading * Math.PI) / 180;
    const fix: [number, number, number, number, object] = [from + i / 20, x, y, heading, { yawRate: rate }];
    x += 0.2 * Math.sin(angle);
    y += 0.2 * Math.cos(angle);
    heading += rate / 20;
    return fix;
  });
}

describe("a log of the work", () => {
  test("makes the same ground again, to the rounding of its places", () => {
    const { coverage, logged, steps } = drive(arc(2000, 6));
    const work = back(logged);
    // instants of switching have records of their own
    expect(work.records).toBeGreaterThan(steps);
    expect(work.gaps).toBe(0);
    expect(coverage.areas().worked).toBeGreaterThan(1000);
    for (const name of ["worked", "workedTwice", "marked"] as const) {
      expectWithin(
        work.coverage.areas()[name] / coverage.areas().marked,
        coverage.areas()[name] / coverage.areas().marked,
        1e-3,
        name,
      );
    }
  });

  test("a straight pass: its instants of switching are in it to the millisecond", () => {
    const fixes = Array.from({ length: 200 }, (_, i) => [START + i / 20, 0, 0.2 * i, 0] as const);
    const { coverage, logged } = drive(fixes);
    const records = Array.from(
      timeLogRecords(logged.header, logged.pieces),
      ({ time, latitude, count, channels, values }) => ({
        time,
        y: frame.toLocal({ latitude, longitude: 20.75 })[1],
        told: Array.from({ length: count }, (_, i) => [channels[i], values[i]! >>> 0]),
      }),
    );
    // ordered on at once, 0.33 s before product lands: between two fixes
    const on = records.find(({ told }) => told.some(([channel, value]) => channel === 1 && value === 1))!;
    expectWithin(on.time - START, 0.33, 5.1e-4, "s");
    expectWithin(on.y, 4 * 0.33, 6e-3, "m");
    // six sections: 01 each, the other ten places 11
    expect(on.told).toEqual([
      [0, 0],
      [1, 1],
      [2, 0xfffff555],
    ]);
    // 12 m wide from there to the last fix at 39.8 m
    const expected = 12 * (39.8 - 1.32);
    expectWithin(coverage.areas().worked, expected, 12 * 0.1, "m²");
    expectWithin(back(logged).coverage.areas().worked, coverage.areas().worked, 12 * 0.11, "m²");
    const work = back(logged);
    expectWithin(work.timeWorked, 9.95 - 0.33, 2e-3, "s");
    expectWithin(work.distanceWorked, 39.8 - 1.32, 0.02, "m");
    expect(logged.summary).toMatchObject({ start: START, stop: START + 9.95, records: records.length });
    expect(logged.summary.length).toBe(logged.pieces.reduce((sum, { length }) => sum + length, 0));
  });

  test("nothing joins across a gap, whatever the state before it", () => {
    const far = arc(100, 0, START + 100).map(
      ([time, x, y, heading, more]) => [time, x + 30, y, heading, more] as const,
    );
    // the second part begins again where the control says so, or after too long a time
    const { coverage, logged } = drive([...arc(100, 0), ...far]);
    expectWithin(back(logged, { longestGap: 1e6 }).coverage.areas().worked, coverage.areas().worked, 3, "m²");
    const near = arc(100, 0, START + 5).map(
      ([time, x, y, heading], i) => [time, x + 30, y, heading, i === 0 ? { connected: false } : {}] as const,
    );
    const jumped = drive([...arc(100, 0), ...near]);
    expectWithin(back(jumped.logged).coverage.areas().worked, jumped.coverage.areas().worked, 3, "m²");
    const records = Array.from(timeLogRecords(logged.header, logged.pieces), ({ time, count, channels, values }) => ({
      time,
      off: count > 1 && channels[1] === 1 && values[1] === 0,
    }));
    // all off where it was last, before the gap and at the end
    const offs = records.flatMap(({ time, off }, i) => (off && i > 0 ? [time - START] : []));
    expect(offs.map((time) => Number(time.toFixed(3)))).toEqual([4.95, 104.95]);
  });

  test("a machine that backs up marks what it marked", () => {
    const there = Array.from({ length: 60 }, (_, i) => [START + i / 20, 0, 0.2 * i, 0] as const);
    const again = Array.from(
      { length: 40 },
      (_, i) => [START + 3 + i / 20, 0, 11.8 - 0.2 * i, 0, { speed: -4 }] as const,
    );
    const { coverage, logged } = drive([...there, ...again]);
    const work = back(logged);
    expectWithin(work.coverage.areas().worked, coverage.areas().worked, 2, "m²");
    expectWithin(work.coverage.areas().workedTwice, coverage.areas().workedTwice, 2, "m²");
  });

  test("quality, altitude, satellites and dilution are those of the fix, and what has no room is not known", () => {
    const pieces: Uint8Array[] = [];
    const log = new WorkLog(
      frame,
      { element: "DET-2", sections: 6, utcOffset: 7200 },
      (bytes) => void pieces.push(bytes),
    );
    const step = {
      time: START,
      x: 1,
      y: 2,
      heading: 90,
      speed: 4,
      joined: false,
      working: new Uint8Array(6),
      landings: new Float64Array(6),
    };
    const fix = {
      time: START,
      dated: true,
      latitude: 1,
      longitude: 2,
      quality: 4,
      altitude: 88.25,
      hdop: 0.8,
      satellites: 17,
    };
    log.step(step, fix);
    log.step({ ...step, time: START + 1 }, { ...fix, hdop: 9999, satellites: 300, altitude: 1e9 });
    log.step({ ...step, time: START + 2 });
    log.end();
    const records = Array.from(
      timeLogRecords(log.header, pieces),
      ({ time, utcTime, status, altitude, hdop, satellites, values }) => ({
        local: time - utcTime,
        status,
        altitude,
        hdop,
        satellites,
        yaw: values[0],
      }),
    );
    const unknown = { local: 7200, altitude: Number.NaN, hdop: Number.NaN, satellites: Number.NaN, yaw: 90_000 };
    expect(records).toEqual([
      { local: 7200, status: 4, altitude: 88.25, hdop: 0.8, satellites: 17, yaw: 90_000 },
      { ...unknown, status: 4 },
      { ...unknown, status: Number.NaN },
    ]);
  });

  test("bad options are refused", () => {
    const make =
      (options: object): (() => unknown) =>
      () =>
        new WorkLog(frame, { element: "DET-2", sections: 6, ...options }, () => undefined);
    expectCode(make({ sections: 0 }), "out-of-range");
    expectCode(make({ sections: 257 }), "out-of-range");
    expectCode(make({ sections: 2.5 }), "out-of-range");
    expectCode(make({ utcOffset: 1e6 }), "out-of-range");
    expectCode(make({ timeZero: Number.NaN }), "not-finite");
    expectCode(() => new WorkLog(frame, null as never, () => undefined), "not-finite");
    expectCode(() => new WorkLog(frame, { element: "DET-2", sections: 6 }, 5 as never), "bad-format");
  });
});

describe("logs of others", () => {
  const channels = (list: readonly (readonly [ddi: number, element: string])[]): TimeLogHeader => ({
    start: "record",
    type: 4,
    position: { latitude: "record", longitude: "record" },
    channels: list.map(([ddi, element]) => ({ ddi, element, value: "record" })),
  });
  /** a pass to the north, 100 m at 5 m/s and 5 Hz; what each record tells */
  function pass(header: TimeLogHeader, tell: (i: number) => readonly (readonly [number, number])[]): Uint8Array[] {
    const pieces: Uint8Array[] = [];
    const writer = new TimeLogWriter(header, (bytes) => void pieces.push(bytes));
    const record = new TimeLogRecord();
    for (let i = 0; i <= 100; i++) {
      const { latitude, longitude } = frame.toGeodetic([0, i]);
      record.clear();
      record.setTime(START + i / 5, 0);
      record.latitude = latitude;
      record.longitude = longitude;
      for (const [channel, value] of tell(i)) record.add(channel, value);
      writer.write(record);
    }
    writer.end();
    return pieces;
  }
  const own: DeviceBoom = {
    element: "DET-1",
    boom: { sections: evenSections(9, 3) },
    sectionElements: ["DET-4", "DET-3", "DET-2"],
    // numbered from the right
    places: [2, 1, 0],
  };
  const worked = (header: TimeLogHeader, tell: Parameters<typeof pass>[1], more: object = {}): number =>
    coverageFromTimeLog(frame, header, pass(header, tell), [own], more).coverage.areas().worked;

  test("work states of the sections, the direction from the drive", () => {
    const header = channels([
      [141, "DET-4"],
      [141, "DET-3"],
      [141, "DET-2"],
    ]);
    const both = (i: number): readonly (readonly [number, number])[] =>
      i === 10
        ? [
            [0, 1],
            [2, 1],
          ]
        : i === 60
          ? [[0, 0]]
          : [];
    // two sections of 3 m: one for 50 m, one for 90 m
    expectWithin(worked(header, both), 3 * 50 + 3 * 90, 3, "m²");
  });

  test("the boom's own state alone, and over those of the sections", () => {
    expectWithin(
      worked(channels([[141, "DET-1"]]), (i) => (i === 20 ? [[0, 1]] : [])),
      9 * 80,
      3,
      "m²",
    );
    const header = channels([
      [141, "DET-1"],
      [161, "DET-1"],
    ]);
    const tell = (i: number): readonly (readonly [number, number])[] =>
      i === 0
        ? [
            [0, 1],
            [1, 0xffffffd5 | 0],
          ]
        : i === 50
          ? [[0, 0]]
          : [];
    expectWithin(worked(header, tell), 9 * 50, 3, "m²");
  });

  test("condensed states stand in the order of the sections' numbers", () => {
    // the lowest bits are section number 1, the rightmost here; error and not installed are not on
    const header = channels([[161, "DET-1"]]);
    const coverage = coverageFromTimeLog(
      frame,
      header,
      pass(header, (i) => (i === 5 ? [[0, 0b10_11_01]] : [])),
      [own],
    ).coverage;
    expect(coverage.isCovered(3, 50)).toBe(true);
    expect(coverage.isCovered(0, 50)).toBe(false);
    expect(coverage.isCovered(-3, 50)).toBe(false);
  });

  test("states that the header fixes once for all", () => {
    const fixed: TimeLogHeader = {
      ...channels([[141, "DET-1"]]),
      channels: [{ ddi: 141, element: "DET-1", value: 1 }],
    };
    // the direction is known once 1.5 m are driven, for the way before as well
    expectWithin(
      worked(fixed, () => []),
      9 * 100,
      2,
      "m²",
    );
  });

  test("an antenna ahead of the reference point, and aside", () => {
    const header = channels([
      [141, "DET-1"],
      [144, "DET-1"],
    ]);
    const tell = (i: number): readonly (readonly [number, number])[] =>
      i === 0
        ? [
            [0, 1],
            [1, 0],
          ]
        : [];
    const { coverage } = coverageFromTimeLog(frame, header, pass(header, tell), [own], { antenna: { x: 10, y: 2 } });
    expectWithin(coverage.areas().worked, 900, 2, "m²");
    // 4.5 m to each side of 2 m to the left, from 10 m behind to 90 m
    expect([
      coverage.isCovered(-6, 0),
      coverage.isCovered(2, -9),
      coverage.isCovered(3, 50),
      coverage.isCovered(0, 92),
    ]).toEqual([true, true, false, false]);
  });

  test("records without a place, too far apart, and cut off", () => {
    const header = channels([
      [141, "DET-1"],
      [144, "DET-1"],
    ]);
    const all = pass(header, (i) =>
      i === 0
        ? [
            [0, 1],
            [1, 0],
          ]
        : [],
    );
    const whole = Buffer.concat(all);
    const read = (bytes: Uint8Array, more: object = {}): ReturnType<typeof coverageFromTimeLog> =>
      coverageFromTimeLog(frame, header, [bytes], [own], more);
    expect(read(whole, { longestGap: 0.1 })).toMatchObject({ gaps: 100, distanceWorked: 0 });
    expectCode(() => read(whole.subarray(0, -3)), "bad-format");
    expectWithin(read(whole.subarray(0, -3), { damage: "keep" }).coverage.areas().worked, 9 * 99, 2, "m²");
    const record = new TimeLogRecord();
    record.setTime(START + 21, 0);
    const more: Uint8Array[] = [];
    const writer = new TimeLogWriter(header, (bytes) => void more.push(bytes));
    writer.write(record);
    writer.end();
    expect(coverageFromTimeLog(frame, header, [whole, ...more], [own])).toMatchObject({
      withoutPlace: 1,
      records: 102,
    });
  });

  test("several logs come into one record", () => {
    const header = channels([
      [141, "DET-1"],
      [144, "DET-1"],
    ]);
    const bytes = pass(header, (i) =>
      i === 0
        ? [
            [0, 1],
            [1, 0],
          ]
        : [],
    );
    const into = new CoverageRecord();
    for (let k = 0; k < 2; k++) coverageFromTimeLog(frame, header, bytes, [own], { into });
    expectWithin(into.areas().workedTwice, 900, 2, "m²");
  });

  test("a log of something else is refused", () => {
    const none: [Uint8Array] = [new Uint8Array(0)];
    const refused = (header: TimeLogHeader, code: string, more: object = {}): unknown =>
      expectCode(() => coverageFromTimeLog(frame, header, none, [own], more), code);
    refused(channels([[141, "DET-77"]]), "bad-format");
    refused(channels([[6, "DET-1"]]), "bad-format");
    refused(channels([]), "bad-format");
    refused({ ...channels([[141, "DET-1"]]), position: null }, "bad-format");
    refused(channels([[141, "DET-1"]]), "out-of-range", { longestGap: -1 });
    refused(channels([[141, "DET-1"]]), "not-finite", { antenna: { x: Number.NaN, y: 0 } });
    expectCode(() => coverageFromTimeLog(frame, channels([]), none, null as never), "too-few-points");
  });
});

describe("the demo's job", () => {
  const plan = demoPlan();

  function logged(definition: JobDefinition): { readonly job: FieldJob; readonly log: Logged; readonly text: string } {
    const job = new FieldJob(definition);
    const taps = demoTaps(plan);
    const device = jobDevice(definition);
    const pieces: Uint8Array[] = [];
    const [first] = device.booms;
    const log = new WorkLog(
      job.frame,
      { element: first!.element, sections: first!.places.length },
      (bytes) => void pieces.push(bytes),
    );
    let now: Fix | undefined;
    job.onStep = (step) => log.step(step, now);
    for (const fix of fixesOf(demoBytes())) {
      taps.upTo(fix.time, job);
      now = fix;
      job.update(fix);
    }
    const summary = log.end();
    const text = writeTaskData(jobTaskData(job, { logs: [{ file: "TLG00001", summary }], utcOffset: 3600 }));
    return { job, log: { header: writeTimeLogHeader(log.header), pieces, summary }, text };
  }

  test.each([
    ["on the machine", jobDefinition(plan)],
    ["on a towed implement", towedDefinition(plan)],
  ])("%s goes out as task, times and time log, and comes back with equal areas", (_, definition) => {
    const { job, log, text } = logged(definition);
    const data = readTaskData(text);
    expect(data.problems).toEqual([]);
    const [task] = data.tasks;
    const report = job.report();
    // from the document alone, as another program has it
    const found = fromPartfield(job.frame, data.partfields[0]!, { allocations: task!.guidanceAllocations });
    const { booms: read } = fromTaskDevice(data.devices[0]!);
    expect(task!.timeLogs).toEqual([{ file: "TLG00001", length: log.summary.length, type: 1 }]);
    expect(task!.status).toBe("completed");
    const work = coverageFromTimeLog(job.frame, readTimeLogHeader(log.header), log.pieces, read, {
      coverage: definition.coverage ?? {},
    });
    const before = job.coverage.areasWithin(definition.field!);
    const after = work.coverage.areasWithin(found.field);
    expectWithin(after.worked / before.worked, 1, 1e-4, "worked");
    for (const name of ["worked", "workedTwice", "missed", "outside", "field"] as const) {
      // 1e-7 degrees are 1.1 cm: at random, along all edges, far less than this
      expectWithin(after[name], before[name], 1e-4 * before.field, name);
    }
    const total = (ddi: number): number => task!.times[0]!.values.find((value) => value.ddi === ddi)!.value;
    expectWithin(total(116), report.totals.workedArea, 0.5, "m²");
    expectWithin(total(117), report.totals.distanceWorked * 1000, 0.5, "mm");
    expectWithin(total(118), (report.totals.distance - report.totals.distanceWorked) * 1000, 0.5, "mm");
    expectWithin(total(119), report.totals.timeWorked, 0.5, "s");
    expectWithin(total(120), report.totals.time - report.totals.timeWorked, 0.5, "s");
    expectWithin(work.timeWorked, report.totals.timeWorked, 0.01 * report.totals.timeWorked, "s");
    expectWithin(work.distanceWorked, report.totals.distanceWorked, 0.01 * report.totals.distanceWorked, "m");
    // local time, as the standard has it: 16 April 2025, an hour ahead of UTC
    expect(task!.times[0]!.start).toBe(new Date(report.startTime * 1000 + 3_600_000).toISOString().slice(0, -1));
    expect(found.patterns[0]!.pattern.swathWidth).toBe(report.pattern!.swathWidth);
    expect(data.farms[0]!.designator).toBe(report.labels.farm);
  });

  test("a job that did nothing yet is a task without times", () => {
    const bare = new FieldJob({ origin: frame.origin, machine: { antenna: { x: 0, y: 0, z: -3 } }, boom: sprayer });
    const data = readTaskData(writeTaskData(jobTaskData(bare, { status: "planned" })));
    expect(data.problems).toEqual([]);
    expect(data.tasks).toMatchObject([{ id: "TSK-1", status: "planned", times: [], guidanceAllocations: [] }]);
    expect(data.partfields).toEqual([]);
    expectCode(() => jobTaskData(bare, { logs: 5 as never }), "too-few-points");
    expectCode(() => jobTaskData(bare, { utcOffset: Number.NaN }), "not-finite");
    expectCode(() => jobTaskData(null as never), "not-finite");
  });
});
