import { describe, expect, test } from "vitest";
import { CoverageRecord } from "../../src/coverage/index.js";
import { FieldJob } from "../../src/job/index.js";
import type { Fix } from "../../src/receiver/index.js";
import { boom, evenSections, SectionControl } from "../../src/sections/index.js";

interface Told {
  readonly time: number;
  readonly y: number;
  readonly joined: boolean;
  readonly working: readonly number[];
  readonly landings: readonly number[];
}

function control(latency = 0): { readonly control: SectionControl; readonly told: Told[] } {
  const made = new SectionControl({
    boom: boom({ sections: evenSections(6, 2), turnOnTime: 0.07, turnOffTime: 0.03 }),
    coverage: new CoverageRecord(),
    settings: { latency },
  });
  const told: Told[] = [];
  made.onStep = ({ time, y, joined, working, landings }) =>
    void told.push({ time, y, joined, working: [...working], landings: [...landings] });
  return { control: made, told };
}

const at = (time: number, more: object = {}): Parameters<SectionControl["update"]>[0] => ({
  time,
  x: 0,
  y: 4 * time,
  heading: 0,
  speed: 4,
  usable: true,
  ...more,
});

describe("steps of a boom", () => {
  test("tell where it stood, what landed and when", () => {
    const { control: c, told } = control();
    c.update(at(10));
    c.update(at(10.05));
    c.update(at(10.1));
    c.setMaster(false);
    c.update(at(10.15));
    expect(told.map(({ time, y, joined, working }) => [time, y, joined, working])).toEqual([
      [10, 40, false, [0, 0]],
      [10.05, 4 * 10.05, true, [0, 0]],
      [10.1, 4 * 10.1, true, [1, 1]],
      [10.15, 4 * 10.15, true, [0, 0]],
    ]);
    expect(told[1]!.landings).toEqual([Number.NaN, Number.NaN]);
    // ordered on at 10, 0.07 s before; ordered off at 10.1, 0.03 s before
    for (const landing of told[2]!.landings) expect(landing).toBeCloseTo(10.07, 9);
    for (const landing of told[3]!.landings) expect(landing).toBeCloseTo(10.13, 9);
  });

  test("come with no fix that is not to be worked by, and are not joined after a gap", () => {
    const { control: c, told } = control();
    c.update(at(10));
    c.update(at(10.05, { usable: false }));
    c.update(at(10.1, { connected: false }));
    c.update(at(15));
    c.update(at(14.98));
    expect(told.map(({ time, joined }) => [time, joined])).toEqual([
      [10, false],
      [10.1, false],
      [15, false],
    ]);
  });

  test("are as old as fixes are late", () => {
    const { control: c, told } = control(0.2);
    c.update(at(10));
    expect(told[0]!.time).toBeCloseTo(9.8, 9);
  });

  test("of a job name the boom, and stop when nobody listens", () => {
    const one = { sections: evenSections(6, 2) };
    const job = new FieldJob({
      origin: { latitude: 47, longitude: 20 },
      machine: { antenna: { x: 0, y: 0, z: -3 } },
      boom: one,
      furtherBooms: [{ boom: one }],
    });
    const fix = (i: number): Fix => ({
      time: 1000 + i / 20,
      dated: false,
      latitude: 47 + (i * 0.2) / 111_000,
      longitude: 20,
      quality: 4,
      speed: 4,
      course: 0,
    });
    const told: number[] = [];
    job.onStep = (_step, index) => void told.push(index);
    expect(job.onStep).not.toBeNull();
    for (let i = 0; i < 40; i++) job.update(fix(i));
    expect(told.length).toBeGreaterThan(40);
    expect(told.slice(0, 4)).toEqual([0, 1, 0, 1]);
    job.onStep = null;
    const before = told.length;
    job.update(fix(40));
    expect(told).toHaveLength(before);
  });
});
