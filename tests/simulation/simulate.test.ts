import { describe, expect, it, test } from "vitest";
import { difference, type Point, type Polygon } from "../../src/geometry/index.js";
import { guidancePattern, straightLine } from "../../src/guidance/index.js";
import type { JobDefinition } from "../../src/job/index.js";
import { planField } from "../../src/planning/index.js";
import { NmeaReader } from "../../src/receiver/index.js";
import { evenSections } from "../../src/sections/index.js";
import {
  accuracyReport,
  type Controller,
  drivesOfPasses,
  nmeaText,
  type Scenario,
  simulate,
  Simulation,
} from "../../src/simulation/index.js";
import { expectAngleWithin, expectCode, expectWithin, MM } from "../helpers/within.js";

const WIDTH = 12;
const LENGTH = 150;
const pattern = guidancePattern(straightLine([0, 0], [0, LENGTH]), { swathWidth: WIDTH });
const field: Polygon = {
  exterior: [
    [-WIDTH / 2, 0],
    [3.5 * WIDTH, 0],
    [3.5 * WIDTH, LENGTH],
    [-WIDTH / 2, LENGTH],
  ],
  holes: [],
};
const job: JobDefinition = {
  origin: { latitude: 50, longitude: 10, altitude: 100 },
  machine: { antenna: { x: 1.2, y: 0.1, z: -3 } },
  boom: { sections: evenSections(WIDTH, 12), x: -2, turnOnTime: 0.3, turnOffTime: 0.2 },
  pattern,
  field: [field],
  sections: { overlapTolerance: 0.5, outsideTolerance: 0.5 },
};
// passes run on beyond the field, so that the boom is at work on its whole length
const around: Polygon = {
  exterior: field.exterior.map(([x, y]): Point => [x, y === 0 ? -10 : LENGTH + 10]),
  holes: [],
};
const drives = drivesOfPasses(pattern, [0, 1, 2, 3], { radius: 8, curvatureRate: 0.05, within: [around] });
const tractor = { model: "bicycle", wheelbase: 2.8, maximumAngle: 40, maximumRate: 25, delay: 0.1 } as const;
const errors = { noise: 0.008, drift: 0.01, speedNoise: 0.02 };
const straight: Scenario = {
  drives: [
    {
      line: [
        [0, 0],
        [0, LENGTH],
      ],
    },
  ],
  job: { ...job, field: [] },
};
const laws: readonly Controller[] = [{ law: "pure-pursuit" }, { law: "stanley" }];

describe("a simulated drive", () => {
  it("is the same to the bit for the same scenario, and another for another seed", () => {
    const scenario: Scenario = { drives, job, vehicle: tractor, gnss: { ...errors, latency: 0.13 } };
    const one = simulate(scenario, { nmea: ["GGA", "VTG"] });
    const two = simulate(scenario, { nmea: ["GGA", "VTG"] });
    expect(two.drive).toEqual(one.drive);
    expect(two.events).toEqual(one.events);
    expect(two.nmea === one.nmea).toBe(true);
    expect(two.coverage.hash()).toBe(one.coverage.hash());
    const other = simulate({ ...scenario, seed: 2 });
    expect(other.drive.x).not.toEqual(one.drive.x);
  });

  test.for(laws)("$law: on its line with a perfect receiver, all its way", (controller) => {
    for (const vehicle of [
      tractor,
      { model: "articulated", front: 1.5, rear: 1.8 },
      { model: "tracked", gauge: 2 },
    ] as const) {
      const { status, drive } = simulate({ ...straight, controller, vehicle });
      expect(status).toBe("finished");
      for (const error of drive.crossTrackError) expectWithin(error, 0, 0.01 * MM, vehicle.model);
      // no more than it creeps on within an interval
      expectWithin(drive.y[drive.length - 1]!, LENGTH, 0.2, "end");
    }
  });

  it("comes back to its line as the laws say: pure pursuit 4.3 % over it, Stanley not", () => {
    const start = { x: 0.5, y: 0, heading: 0 };
    // the steering follows at once, the receiver is perfect and says the heading
    const scenario: Scenario = { ...straight, start, gnss: { rate: 50, headingNoise: 0 }, acceleration: 100 };
    const pursuit = simulate({ ...scenario, controller: { law: "pure-pursuit", time: 0, minimum: 6 } }).drive;
    const least = Math.min(...pursuit.crossTrackError);
    expectWithin(-least / 0.5, Math.exp(-Math.PI), 0.004, "overshoot");
    expectWithin(pursuit.y[pursuit.crossTrackError.indexOf(least)]!, Math.PI * 6, 0.5, "its place");
    const held = simulate({ ...scenario, controller: { law: "stanley" } }).drive;
    expect(Math.min(...held.crossTrackError)).toBeGreaterThan(-0.01 * 0.5);
    expectWithin(held.crossTrackError[held.length - 1]!, 0, 1 * MM);
  });

  test.for(laws)("$law: holds a curve", (controller) => {
    const line = Array.from({ length: 200 }, (_, i): Point => [40 - 40 * Math.cos(i / 100), 40 * Math.sin(i / 100)]);
    const { drive, status } = simulate({
      ...straight,
      drives: [{ line }],
      controller,
      gnss: { rate: 20, headingNoise: 0 },
    });
    expect(status).toBe("finished");
    // the blurred curvature at the start of the arc is the rest
    expect(Math.max(...drive.crossTrackError.map(Math.abs))).toBeLessThan(0.05);
    for (let i = drive.length >> 1; i < drive.length - 40; i++)
      expectWithin(drive.crossTrackError[i]!, 0, 5 * MM, "error");
  });

  test.for(laws)("$law: a field to and fro, covered, accurate to what the receiver is", (controller) => {
    const result = simulate({
      drives,
      job,
      vehicle: tractor,
      controller,
      gnss: { ...errors, rate: 20 },
      groundTruth: true,
    });
    expect(result.status).toBe("finished");
    const lines = drives.filter(({ kind }) => kind === "swath").map(({ line }) => line);
    const accuracy = accuracyReport(result.drive, lines, { trim: 25 });
    expect(accuracy.runs.length).toBe(4);
    expect(accuracy.rms).toBeGreaterThan(0.002);
    expect(accuracy.rms).toBeLessThan(0.03);
    const covered = result.report.field!;
    expect(covered.missed / covered.field).toBeLessThan(0.01);
    const truth = result.groundTruth!.areasWithin([field]);
    expect(truth.missed / truth.field).toBeLessThan(0.012);
    // the record is off the truth by the receiver's error at the edges, not by more
    expect(Math.abs(truth.worked - covered.worked)).toBeLessThan(0.005 * covered.field);
    expect(result.events.length).toBeGreaterThan(80);
    expect(result.events.length).toBe(result.report.totals.switches);
  });

  it("drives turns that reverse", () => {
    const way = drivesOfPasses(pattern, [0, 1], { radius: 8, kinds: ["fishtail"], canReverse: true });
    const { status, drive } = simulate({ drives: way, job, gnss: { rate: 20 } });
    expect(status).toBe("finished");
    expect(Math.min(...drive.speed)).toBeLessThan(-0.5);
    expectWithin(drive.x[drive.length - 1]!, WIDTH, 0.05, "on the next pass");
    expect(drive.sectionsWorking.filter((n, i) => n > 0 && drive.speed[i]! < 0).length).toBe(0);
  });

  test.for(laws)("$law: drives backwards along a line", (controller) => {
    const way = [{ line: straight.drives[0]!.line, reversing: true }];
    const { status, drive } = simulate({
      ...straight,
      drives: way,
      controller,
      start: { x: 0.4, y: 0, heading: 180 },
      gnss: { headingNoise: 0 },
    });
    expect(status).toBe("finished");
    expectWithin(drive.crossTrackError[drive.length - 10]!, 0, 5 * MM, "error at the end");
    expect(drive.speed[200]).toBeLessThan(0);
  });

  it("tows its implement, and works where that is", () => {
    const towed = { hitch: -1, drawbar: 5 };
    const { drive, report } = simulate({ drives, job: { ...job, towed }, vehicle: tractor, groundTruth: true });
    const i = drive.y.findIndex((y) => y > 100);
    expectWithin(Math.hypot(drive.x[i]! - drive.implementX[i]!, drive.y[i]! - drive.implementY[i]!), 6, 0.2);
    expect(report.field!.missed / report.field!.field).toBeLessThan(0.02);
  });

  it("starts off its line and comes to it", () => {
    const { drive, status } = simulate({ ...straight, start: { x: -2, y: 5, heading: 30 }, vehicle: tractor });
    expect(status).toBe("finished");
    expectWithin(drive.crossTrackError[0]!, -2, 1e-9, "left of it");
    expectWithin(drive.crossTrackError[drive.length - 1]!, 0, 5 * MM);
  });
});

describe("what goes wrong", () => {
  it("a constant offset of the receiver shows whole in the truth, and not at all in what the job saw", () => {
    const { drive } = simulate({ ...straight, gnss: { offset: [0.07, 0] } });
    const i = drive.length - 20;
    expectWithin(drive.crossTrackError[i]!, -0.07, 2 * MM);
    expectWithin(drive.measuredError[i]!, 0, 2 * MM);
  });

  it("stands before a drive as long as it is told to, and does the same work", () => {
    const line: Point[] = [
      [0, 0],
      [0, 60],
      [0, LENGTH],
    ];
    const halves = (wait: number): Scenario["drives"] => [{ line: line.slice(0, 2) }, { line: line.slice(1), wait }];
    const plain = simulate({ ...straight, drives: halves(0) });
    const stood = simulate({ ...straight, drives: halves(30) });
    expect(stood.status).toBe("finished");
    // braking, creeping and starting take some seconds beside it
    const { speed, y, time } = stood.drive;
    const standing = Array.from(speed.keys()).filter((i) => speed[i] === 0 && time[i]! > 5);
    expectWithin(time[standing.at(-1)!]! - time[standing[0]!]!, 30, 1, "s");
    for (const i of standing) expectWithin(y[i]!, 60, 0.5, "m");
    expectWithin(stood.time - plain.time, 30 + 60 / 30, 12, "s");
    expectWithin(stood.report.totals.workedArea, plain.report.totals.workedArea, 2, "m²");
    expectWithin(simulate({ ...straight, drives: [{ line, wait: 9 }] }).time, plain.time + 9, 0.5, "s");
    expectCode(() => simulate({ ...straight, drives: [{ line, wait: -1 }] }), "out-of-range");
  });

  it("a short dropout is bridged, a long one waited for, sections off", () => {
    for (const [seconds, waits] of [
      [1, false],
      [8, true],
    ] as const) {
      const { drive, status } = simulate({ ...straight, gnss: { changes: [{ from: 20, seconds, quality: 0 }] } });
      expect(status).toBe("finished");
      const stood = drive.speed.some((speed, i) => speed === 0 && drive.time[i]! > 20);
      expect(stood, `${seconds} s`).toBe(waits);
      expect(
        drive.sectionsWorking.filter((n, i) => n > 0 && drive.time[i]! > 20.5 && drive.time[i]! < 20 + seconds),
      ).toHaveLength(0);
    }
  });

  it("a position that never comes times out, standing", () => {
    const { status, time, drive } = simulate({ ...straight, gnss: { quality: 0 }, maximumTime: 30 });
    expect([status, drive.speed[drive.length - 1]]).toEqual(["timed-out", 0]);
    expectWithin(time, 30, 0.11);
  });

  it("latency costs ground at a job that knows nothing of it: sections late by speed times latency", () => {
    // a way into the field at speed, sections switched by its edge alone
    const into: Scenario = {
      drives: [
        {
          line: [
            [0, -60],
            [0, 60],
          ],
        },
      ],
      job: { ...job, boom: { sections: evenSections(12, 1) }, sections: { outsideTolerance: 0.5 } },
      groundTruth: true,
    };
    // ground worked up to the same end, with the entry late
    const worked = (latency: number, known: number): number =>
      simulate({ ...into, gnss: { latency, rate: 20 }, job: { ...into.job, latency: known } }).groundTruth!.areas()
        .worked / 12;
    const prompt = worked(0, 0);
    expectWithin(prompt - worked(0.4, 0), 3 * 0.4, 0.35, "metres worked too few");
    expectWithin(prompt - worked(0.4, 0.4), 0, 0.35, "with the latency known");
  });

  it("turns too tight for the machine are driven wide, and do not hang", () => {
    const tight = drivesOfPasses(pattern, [0, 1], { radius: 3 });
    const clumsy = { model: "bicycle", wheelbase: 4, maximumAngle: 20, maximumRate: 10 } as const;
    const { status, drive } = simulate({ drives: tight, job, vehicle: clumsy });
    expect(["finished", "lost"]).toContain(status);
    expect(Math.max(...drive.crossTrackError.map(Math.abs))).toBeGreaterThan(1);
  });

  it("a scenario that is none is refused, with the argument's path", () => {
    const refused = (change: object, code: string, argument: string): void => {
      expect(expectCode(() => new Simulation({ ...straight, ...change }), code).argument).toBe(argument);
    };
    refused({ drives: [] }, "too-few-points", "scenario.drives");
    refused({ drives: [{ line: [[0, 0]] }] }, "too-few-points", "scenario.drives[0].line");
    refused(
      {
        drives: [
          {
            line: [
              [1, 1],
              [1, 1],
            ],
          },
        ],
      },
      "degenerate",
      "scenario.drives",
    );
    refused({ speed: 0 }, "out-of-range", "scenario.speed");
    refused({ seed: 0.5 }, "out-of-range", "scenario.seed");
    refused({ controller: { law: "by-hand" } }, "out-of-range", "scenario.controller.law");
    refused({ vehicle: { model: "boat" } }, "out-of-range", "scenario.vehicle.model");
    refused({ gnss: { rate: 1000 } }, "out-of-range", "scenario.gnss.rate");
    expectCode(() => simulate(straight, { nmea: ["XYZ" as never] }), "out-of-range");
    expectCode(() => drivesOfPasses(pattern, [0, 1], { radius: 0 }), "out-of-range");
  });
});

describe("a plan", () => {
  test.for(laws)("$law: is driven from gate to end: rounds, swaths, turns and the ways between", (controller) => {
    const ground: Polygon = {
      exterior: [
        [0, 0],
        [260, 0],
        [260, 120],
        [140, 120],
        [140, 190],
        [0, 190],
      ],
      holes: [],
    };
    const plan = planField([ground], { swathWidth: WIDTH, minimumRadius: 7, curvatureRate: 0.08 });
    const result = simulate({
      drives: plan.drives,
      vehicle: tractor,
      controller,
      gnss: { ...errors, rate: 20 },
      job: { ...job, field: [ground], headland: difference([ground], plan.mainfield) },
    });
    expect(result.status).toBe("finished");
    const lines = plan.drives.filter(({ kind }) => kind === "swath").map(({ line }) => line);
    const accuracy = accuracyReport(result.drive, lines, { trim: 25 });
    expect(accuracy.percentile95).toBeLessThan(0.06);
    const { field: all, missed } = result.report.field!;
    expect(missed / all).toBeLessThan(0.04);
    expect(result.report.totals.overlapArea / all).toBeLessThan(0.08);
    // way as planned, within what rounding its corners saves
    expect(result.report.totals.distance).toBeGreaterThan(
      0.95 * (plan.totals.workingDistance + plan.totals.nonWorkingDistance),
    );
    expect(result.report.totals.distance).toBeLessThan(
      1.05 * (plan.totals.workingDistance + plan.totals.nonWorkingDistance),
    );
  });
});

describe("the stepper", () => {
  it("goes the same way as simulate, and stops where it ends", () => {
    const scenario: Scenario = { ...straight, gnss: errors };
    const { drive } = simulate(scenario);
    const simulation = new Simulation(scenario);
    let i = 0;
    do {
      expect(simulation.state.truth.x).toBe(drive.x[i]);
      i++;
    } while (simulation.step());
    expect(simulation.state.status).toBe("finished");
    const { time } = simulation.state;
    expect(simulation.step()).toBe(false);
    expect(simulation.state.time).toBe(time);
    expect(simulate(scenario, { recordEvery: 10 }).drive.length).toBe(Math.ceil(drive.length / 10));
    expect(simulate(scenario, { recordEvery: 0 }).drive.length).toBe(0);
  });
});

describe("the NMEA text", () => {
  it("is read back by the reader: places to 0.2 mm, headings, one fix a step", () => {
    const scenario: Scenario = {
      ...straight,
      gnss: { ...errors, headingNoise: 0.1, changes: [{ from: 5, seconds: 1, quality: 0 }] },
    };
    const { nmea, fixes, drive } = simulate(scenario, { nmea: ["GGA", "RMC", "VTG", "HDT"] });
    const read = [...new NmeaReader().push(new TextEncoder().encode(nmea))];
    expect(read.length).toBeGreaterThanOrEqual(fixes - 1);
    const simulation = new Simulation(scenario);
    for (let i = 0; i < 100; i++) {
      const fix = read[i]!;
      const made = simulation.state.fix;
      expect(fix.quality).toBe(drive.quality[i]);
      if (fix.quality > 0) {
        // a ten-millionth of a minute
        expectWithin(fix.latitude, made.latitude, 1e-9);
        expectWithin(fix.longitude, made.longitude, 1e-9);
        expectAngleWithin(fix.heading!, made.heading!, 0.006);
        expectWithin(fix.time, made.time, 0.0006);
      }
      simulation.step();
    }
    expect(nmeaText(simulation.state.fix, ["VTG"])).toMatch(/^\$GNVTG,.*\*[0-9A-F]{2}\r\n$/);
  });
});
