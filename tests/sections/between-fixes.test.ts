import { describe, expect, test } from "vitest";
import { CoverageRecord } from "../../src/coverage/index.js";
import type { Point, Polygon } from "../../src/geometry/index.js";
import { boom, evenSections, SectionControl, type SectionSettings } from "../../src/sections/index.js";
import { expectWithin } from "../helpers/within.js";
import { type Path, poseAt, toolAt } from "./drive.js";
import { some } from "../helpers/light.js";

/** 10 km/h, m/s. */
const SPEED = 10 / 3.6;
const CM = 0.01;

interface Switch {
  section: number;
  on: boolean;
  /** when the host switched, s */
  time: number;
  crossing: number;
}

/** A host that switches by itself at `upcoming`, and tells nothing of it: section control is only told the fixes. */
function drive(control: SectionControl, path: Path, to: number, rate: number): Switch[] {
  const count = control.boom.sections.length;
  const state: boolean[] = new Array(count).fill(false);
  const planned: (number | null)[] = new Array(count).fill(null);
  const seen: Switch[] = [];
  for (let k = 0; k <= to * rate; k++) {
    const time = k / rate;
    for (let i = 0; i < count; i++) {
      const at = planned[i] ?? null;
      if (at === null || at > time) continue;
      state[i] = !state[i];
      seen.push({ section: i, on: state[i]!, time: at, crossing: at });
    }
    const { x, y, heading } = poseAt(path, time);
    const { speed, yawRate } = path;
    const states = control.update({ time, x, y, heading: ((heading % 360) + 360) % 360, speed, yawRate, usable: true });
    for (let i = 0; i < count; i++) {
      if (states.ordered[i] !== state[i]) {
        state[i] = states.ordered[i]!;
        seen.push({ section: i, on: state[i]!, time, crossing: states.crossings[i]! });
      } else if (seen.some((s) => s.section === i)) {
        // the control knows of the last order when it was given
        expect(states.crossings[i]).toBe(seen.filter((s) => s.section === i).at(-1)!.crossing);
      }
      planned[i] = states.upcoming[i]!;
    }
  }
  return seen;
}

/** First instant near `t` at which a state of affairs changes, by steps of 0.2 ms; NaN where there is none. */
function nearest(t: number, around: number, holds: (t: number) => boolean): number {
  const step = 2e-4;
  for (let d = 0; d < around; d += step) {
    if (holds(t + d) !== holds(t + d + step)) return t + d;
    if (holds(t - d) !== holds(t - d - step)) return t - d;
  }
  return Number.NaN;
}

/** Share of a section's line for which a test of points holds, by samples of a centimetre. */
function share(a: Point, b: Point, width: number, holds: (x: number, y: number) => boolean): number {
  const n = Math.round(width * 100);
  let count = 0;
  for (let k = 0; k < n; k++) {
    const f = (k + 0.5) / n;
    if (holds(a[0] + f * (b[0] - a[0]), a[1] + f * (b[1] - a[1]))) count++;
  }
  return count / n;
}

const toolX = -3;
const [turnOnTime, turnOffTime] = [0.7, 0.4];
const sections = evenSections(12, 4);
const make = (settings: SectionSettings, coverage: CoverageRecord, field?: Polygon): SectionControl =>
  new SectionControl({
    boom: boom({ sections, x: toolX, turnOnTime, turnOffTime }),
    coverage,
    settings: { betweenFixes: true, ...settings },
    ...(field === undefined ? {} : { field: [field] }),
  });

const rates = [1, 5, 10, 20];
const ways = [0, 6, -8].flatMap((yawRate) => rates.map((rate) => [rate, yawRate] as const));

describe("a host that switches between fixes", () => {
  test.for(some(ways))("meets a tilted boundary to 2 cm at 10 km/h, %d Hz and %d degrees/s", ([rate, yawRate]) => {
    let checked = 0;
    for (const [tilt, outsideTolerance] of [
      [0, 0],
      [25, 0],
      [-50, 0.5],
      [35, 1],
    ] as const) {
      const slope = Math.tan((tilt * Math.PI) / 180);
      const field: Polygon = {
        exterior: [
          [-90, 12 - 90 * slope],
          [90, 12 + 90 * slope],
          [90, 31.3 + 90 * slope],
          [-90, 31.3 - 90 * slope],
        ],
        holes: [],
      };
      const out = (x: number, y: number) => y < 12 + slope * x || y > 31.3 + slope * x;
      const path: Path = { x: 0.2, y: -8.03, heading: yawRate === 0 ? 4 : -2 * yawRate, speed: SPEED, yawRate };
      const control = make({ outsideTolerance }, new CoverageRecord(), field);
      const limit = Math.min(Math.max(outsideTolerance, 1e-3 / 3), 1 - 1e-3 / 3);
      const seen = drive(control, path, 16, rate);
      checked += seen.length;
      for (const { section, on, time } of seen) {
        const { left, right } = sections[section]!;
        const landing = time + (on ? turnOnTime : turnOffTime);
        const ideal = nearest(
          landing,
          0.6,
          (t) => share(toolAt(path, t, toolX, left), toolAt(path, t, toolX, right), 3, out) <= limit,
        );
        // samples of a centimetre across a boundary tilted by 50 degrees and more
        const metres = SPEED * (landing - ideal);
        expectWithin(
          metres,
          0,
          2 * CM + 0.5 * CM * Math.abs(slope),
          `section ${section} ${on ? "on" : "off"}, ${tilt} degrees`,
        );
      }
    }
    expect(checked).toBeGreaterThanOrEqual(10);
  });

  test.for(some(ways))(
    "meets worked ground to 2 cm and half a cell at 10 km/h, %d Hz and %d degrees/s",
    ([rate, yawRate]) => {
      let checked = 0;
      for (const tilt of [0, 30, -45]) {
        const slope = Math.tan((tilt * Math.PI) / 180);
        // cells of 2.5 cm: half a cell is what the record can tell of an edge
        const coverage = new CoverageRecord({ cellSize: 0.025 });
        const from = (x: number) => 14.02 + slope * x;
        coverage.mark(-40, from(-40), 40, from(40), 40, from(40) + 11, -40, from(-40) + 11);
        const worked = (x: number, y: number) => y >= from(x) && y <= from(x) + 11 && Math.abs(x) < 40;
        const path: Path = { x: 0.2, y: -9.01, heading: yawRate === 0 ? 4 : -2 * yawRate, speed: SPEED, yawRate };
        const control = make({ overlapTolerance: 0.5 }, coverage);
        const seen = drive(control, path, 14, rate).filter((s) => s.time > 0);
        checked += seen.length;
        for (const { section, on, time } of seen) {
          const { left, right } = sections[section]!;
          const landing = time + (on ? turnOnTime : turnOffTime);
          const ideal = nearest(
            landing,
            0.6,
            (t) => share(toolAt(path, t, toolX, left), toolAt(path, t, toolX, right), 3, worked) <= 0.5,
          );
          expectWithin(
            SPEED * (landing - ideal),
            0,
            2 * CM + 1.25 * CM,
            `section ${section} ${on ? "on" : "off"}, ${tilt}`,
          );
        }
      }
      expect(checked).toBeGreaterThanOrEqual(6);
    },
  );

  test("has its orders in the record, at the time it switched", () => {
    for (const rate of [1, 2, 10]) {
      const coverage = new CoverageRecord();
      const field: Polygon = {
        exterior: [
          [-20, 10.5],
          [20, 10.5],
          [20, 40.5],
          [-20, 40.5],
        ],
        holes: [],
      };
      const control = make({}, coverage, field);
      drive(control, { x: 0, y: -3.3, heading: 0, speed: SPEED, yawRate: 0 }, 20, rate);
      // without: up to two intervals short, 66 m² at 1 Hz
      expectWithin(coverage.areas().worked, 12 * 30, 12 * 0.05 + 0.01, `${rate} Hz`);
      expect(coverage.isCovered(0, 10.45) || coverage.isCovered(0, 40.55)).toBe(false);
    }
  });

  test("is told otherwise by the next fix, the hand, the master and a lost position", () => {
    const field: Polygon = {
      exterior: [
        [-20, -20],
        [20, -20],
        [20, 40],
        [-20, 40],
      ],
      holes: [],
    };
    const start = (): SectionControl => {
      const control = make({}, new CoverageRecord(), field);
      // the off is due at (40 + 3) / 3 - 0.4 = 13.93 s
      for (let k = 0; k <= 27; k++)
        control.update({ time: k / 2, x: 0, y: 1.5 * k, heading: 0, speed: 3, usable: true });
      expectWithin(control.state.upcoming[0]!, 43 / 3 - 0.4, 1e-3);
      expect(control.state.ordered).toEqual([true, true, true, true]);
      return control;
    };
    const slower = start();
    slower.update({ time: 13.8, x: 0, y: 41, heading: 0, speed: 1, usable: true });
    // due at 13.8 + 2 - 0.4 s now, not before the next fix
    expect(slower.state.upcoming[0]).toBeNull();
    expect(slower.tick(14).ordered).toEqual([true, true, true, true]);

    const early = start();
    expect(early.tick(13.9).ordered[0]).toBe(true);
    const states = early.tick(13.95);
    expect(states.ordered).toEqual([false, false, false, false]);
    expect(states.reasons[0]).toBe("outside-field");
    expectWithin(states.crossings[0]!, 43 / 3 - 0.4, 1e-3);
    expect(states.upcoming[0]).toBeNull();
    expect(states.switches[0]).toBe(2);

    const hand = start();
    expect(hand.setOverride(0, "on").upcoming[0]).toBeNull();
    expect(hand.tick(14).ordered).toEqual([true, false, false, false]);
    expect(start().setMaster(false).upcoming).toEqual([null, null, null, null]);
    const lost = start();
    lost.update({ time: 13.9, x: Number.NaN, y: 0, heading: 0, speed: 3, usable: true });
    expect(lost.state).toMatchObject({ ordered: [false, false, false, false], reasons: new Array(4).fill("position") });
    expect(lost.state.upcoming[0]).toBeNull();
    expect(lost.tick(14).switches[0]).toBe(2);
  });
});

describe("instants told to a host that switches with the fixes", () => {
  test.for(some(rates))("are those of the rule to 2 cm at %d Hz, and foretold before they come", (rate) => {
    for (const outsideTolerance of [0, 0.5]) {
      const field: Polygon = {
        exterior: [
          [-90, 10.2 - 27],
          [90, 10.2 + 27],
          [90, 33.7 + 27],
          [-90, 33.7 - 27],
        ],
        holes: [],
      };
      const control = new SectionControl({
        boom: boom({ sections, x: toolX, turnOnTime, turnOffTime }),
        coverage: new CoverageRecord(),
        field: [field],
        settings: { outsideTolerance },
      });
      const path: Path = { x: 0.1, y: -9, heading: 0, speed: SPEED, yawRate: 0 };
      const limit = Math.max(outsideTolerance, 1e-3 / 3);
      const out = (x: number, y: number) => y < 10.2 + 0.3 * x || y > 33.7 + 0.3 * x;
      const was: boolean[] = new Array(4).fill(false);
      let before: (number | null)[] = new Array(4).fill(null);
      let changes = 0;
      for (let k = 0; k <= 20 * rate; k++) {
        const time = k / rate;
        const { x, y } = poseAt(path, time);
        const states = control.update({ time, x, y, heading: 0, speed: SPEED, usable: true });
        for (let i = 0; i < 4; i++) {
          if (states.upcoming[i] !== null) {
            expect(states.upcoming[i]).toBeGreaterThan(time);
            expect(states.upcoming[i]).toBeLessThanOrEqual(time + 1 / rate + 1e-9);
          }
          if (states.ordered[i] === was[i]) continue;
          changes++;
          was[i] = states.ordered[i]!;
          const { left, right } = sections[i]!;
          const delay = was[i] ? turnOnTime : turnOffTime;
          const crossing = states.crossings[i]!;
          const ideal = nearest(
            crossing + delay,
            1.2,
            (t) => share(toolAt(path, t, toolX, left), toolAt(path, t, toolX, right), 3, out) <= limit,
          );
          expectWithin(SPEED * (crossing + delay - ideal), 0, 2 * CM, `section ${i}`);
          expect(Math.abs(crossing - time)).toBeLessThanOrEqual((outsideTolerance === 0 ? 1 : 0.5) / rate + 0.01);
          if (crossing < time) expect(before[i]).toBe(crossing);
        }
        before = [...states.upcoming];
      }
      expect(changes).toBe(8);
    }
  });
});

describe("a second between two orders on", () => {
  test("holds for any length of worked strips, by the rule, by hand and by a position that comes and goes", () => {
    for (const betweenFixes of [false, true]) {
      const coverage = new CoverageRecord();
      for (let y = 3; y < 60; y += 0.9) coverage.mark(-6, y, 6, y, 6, y + 0.45, -6, y + 0.45);
      const control = new SectionControl({
        boom: boom({ sections, turnOnTime: 0.2, turnOffTime: 0.2 }),
        coverage,
        settings: { betweenFixes },
      });
      const on: number[] = [];
      let last = false;
      let offs = 0;
      for (let k = 0; k <= 20 * 20; k++) {
        const time = k / 20;
        if (k % 7 === 0) control.setOverride(0, k % 2 === 0 ? "on" : "off");
        if (k % 11 === 0) control.setOverride(0, "auto");
        const states = control.update({ time, x: 0, y: SPEED * time, heading: 0, speed: SPEED, usable: k % 13 !== 0 });
        if (states.ordered[0] && !last) on.push(states.crossings[0]! > time - 0.05 ? states.crossings[0]! : time);
        if (!states.ordered[0] && last) offs++;
        last = states.ordered[0]!;
        if (k % 13 === 0) expect(last).toBe(false);
      }
      expect(on.length).toBeGreaterThan(5);
      expect(Math.abs(offs - on.length)).toBeLessThanOrEqual(1);
      for (let k = 1; k < on.length; k++) expect(on[k]! - on[k - 1]!).toBeGreaterThanOrEqual(1 - 0.05 - 1e-6);
    }
  });
});
