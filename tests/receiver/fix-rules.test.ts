import { describe, expect, it } from "vitest";
import { emptyFixMemory, type FixMemory } from "../../src/receiver/fix-memory.js";
import { type FixLimits, fixLimits } from "../../src/receiver/fix-monitor-options.js";
import { SAME_TIME, stopWork, timeOrder } from "../../src/receiver/fix-order.js";
import { positionTrouble, qualityTrouble } from "../../src/receiver/fix-quality.js";
import { climbs, longestStep, noteJump, stepFromJump } from "../../src/receiver/fix-step.js";
import { isStanding, travelOf } from "../../src/receiver/fix-travel.js";
import { type Fix, FixMonitor } from "../../src/receiver/index.js";
import { levelDistance } from "../../src/receiver/level-distance.js";
import { isRollover } from "../../src/receiver/rollover.js";
import { noteSecond, sourcesDisagree } from "../../src/receiver/second-source.js";
import { expectCode } from "../helpers/within.js";

// the rules of docs/receiver.md one by one, at their very limits

const fix = (more: Partial<Fix> = {}): Fix => ({
  time: 100,
  dated: false,
  latitude: 52,
  longitude: 5,
  quality: 4,
  ...more,
});
const memoryWith = (more: Partial<FixMemory> = {}): FixMemory => ({ ...emptyFixMemory(), ...more });
const limits = (more: Partial<FixLimits> = {}): FixLimits => ({ ...fixLimits({}), ...more });
const above = (value: number) => value * (1 + Number.EPSILON);
const INFINITE = Number.POSITIVE_INFINITY;

describe("a position", () => {
  it("is none by quality 0 or none, and null island only where both are 0", () => {
    expect(positionTrouble(fix({ quality: 0, latitude: 0, longitude: 0 }))).toBe("null-island");
    expect(positionTrouble(fix({ quality: 0, latitude: 0, longitude: 5 }))).toBe("no-position");
    expect(positionTrouble(fix({ quality: 0, latitude: 5, longitude: 0 }))).toBe("no-position");
    expect(positionTrouble(fix({ quality: Number.NaN }))).toBe("no-position");
    expect(positionTrouble(fix({ latitude: 0, longitude: 0 }))).toBe("none");
  });

  it("lies on the Earth, the limits included", () => {
    for (const latitude of [-90, 90]) {
      for (const longitude of [-360, 360]) expect(positionTrouble(fix({ latitude, longitude }))).toBe("none");
    }
    expect(positionTrouble(fix({ latitude: above(90) }))).toBe("not-finite");
    expect(positionTrouble(fix({ longitude: above(-360) }))).toBe("not-finite");
  });

  it("is a pair of numbers, not of texts that read as such", () => {
    expect(positionTrouble(fix({ latitude: "52" as never }))).toBe("not-finite");
    expect(positionTrouble(fix({ longitude: "5" as never }))).toBe("not-finite");
    expect(positionTrouble(fix({ latitude: Number.NaN }))).toBe("not-finite");
  });
});

describe("accuracy and age of the correction", () => {
  const within = limits({ maximumHorizontalAccuracy: 0.5 });

  it("at the limit is good, over it poor, and good again at 0.8 of it", () => {
    const memory = memoryWith();
    const at = (horizontalAccuracy: number | undefined, time = 100): string =>
      qualityTrouble(fix({ horizontalAccuracy }), time, memory, within);
    expect(at(0.5)).toBe("none");
    expect(at(above(0.5))).toBe("accuracy");
    expect(at(above(0.5 * 0.8))).toBe("accuracy");
    expect(at(0.5 * 0.8)).toBe("none");
    expect(at(0.5)).toBe("none");
    expect(at(0)).toBe("none");
    expect(qualityTrouble(fix({ horizontalAccuracy: 0 }), 100, memoryWith(), within)).toBe("none");
  });

  it("is held for 2 s after it was stated, and then unknown, which is poor", () => {
    const memory = memoryWith();
    expect(qualityTrouble(fix({ horizontalAccuracy: 0.1 }), 100, memory, within)).toBe("none");
    for (const unknown of [undefined, Number.NaN, -0.1, INFINITE, "0.1" as never]) {
      expect(qualityTrouble(fix({ horizontalAccuracy: unknown }), 102, memory, within)).toBe("none");
      expect(memory.accuracy).toBe(0.1);
    }
    expect(qualityTrouble(fix(), above(102), memory, within)).toBe("accuracy");
    expect(memory.accuracy).toBe(-1);
  });

  it("counts for corrected positions, qualities 2 to 5, and for no others", () => {
    const strict = limits({ maximumCorrectionAge: 10, qualities: new Array<boolean>(9).fill(true) });
    const at = (quality: number, correctionAge: number | undefined, memory = memoryWith()): string =>
      qualityTrouble(fix({ quality, correctionAge }), 100, memory, strict);
    for (const quality of [2, 3, 4, 5]) {
      expect(at(quality, 10), `${quality}`).toBe("none");
      expect(at(quality, above(10)), `${quality}`).toBe("correction-age");
      for (const unknown of [undefined, Number.NaN, -1]) expect(at(quality, unknown)).toBe("correction-age");
    }
    for (const quality of [1, 6, 7, 8]) expect(at(quality, undefined), `${quality}`).toBe("none");
    expect(at(4, 0)).toBe("none");
    const memory = memoryWith();
    expect(at(4, 11, memory)).toBe("correction-age");
    expect(at(4, 8.5, memory)).toBe("correction-age");
    expect(at(4, 8, memory)).toBe("none");
  });

  it("in place of a quality that is not allowed say nothing", () => {
    expect(qualityTrouble(fix({ quality: 1 }), 100, memoryWith(), within)).toBe("quality");
    expect(qualityTrouble(fix({ quality: 9 }), 100, memoryWith(), within)).toBe("quality");
  });
});

describe("the order of times", () => {
  const running = (more: Partial<FixMemory> = {}): FixMemory =>
    memoryWith({ started: true, latest: 0, hasGood: true, usable: true, status: "good", reason: "none", ...more });

  it("is one time within a millisecond", () => {
    const memory = running();
    expect(timeOrder(SAME_TIME, false, memory, limits())).toBe("none");
    expect(memory.latest).toBe(SAME_TIME);
    const again = running();
    expect(timeOrder(0.999 * SAME_TIME, false, again, limits())).toBe("same-time");
    expect(timeOrder(-0.999 * SAME_TIME, false, again, limits())).toBe("same-time");
    expect(again.sameRun).toBe(2);
    expect(timeOrder(-SAME_TIME, false, again, limits())).toBe("time-back");
  });

  it("gives the rate by two steps alike within a fifth", () => {
    const step = (last: number, next: number): number => {
      const memory = running({ lastInterval: last, interval: 7 });
      timeOrder(next, false, memory, limits());
      return memory.interval;
    };
    expect(step(0.8, 1)).toBe(1);
    expect(step(1.2, 1)).toBe(1);
    expect(step(4, 5)).toBe(5);
    expect(step(0.79, 1)).toBe(7);
    expect(step(1.21, 1)).toBe(7);
  });

  it("set back for three fixes that rise is a new time base, late ones that do not rise are none", () => {
    const memory = running({ latest: 100 });
    expect(timeOrder(0, false, memory, limits())).toBe("time-back");
    expect(timeOrder(SAME_TIME, false, memory, limits())).toBe("time-back");
    expect(memory.backRun).toBe(2);
    expect(memory.usable).toBe(true);
    expect(timeOrder(51, false, memory, limits())).toBe("none");
    expect(memory).toMatchObject({ first: 51, latest: 51, hasGood: false, usable: false, trouble: "new-time-base" });

    const late = running({ latest: 100 });
    for (const time of [60, 50, 50.0005, 40]) expect(timeOrder(time, false, late, limits())).toBe("time-back");
    expect(late.backRun).toBe(1);
    expect(late).toMatchObject({ latest: 100, usable: true });
    // what comes in order between late ones begins their count anew
    expect(timeOrder(41, false, late, limits())).toBe("time-back");
    expect(timeOrder(101, false, late, limits())).toBe("none");
    expect(late.backRun).toBe(0);
  });

  it("needs two set back even where one good fix is enough", () => {
    const memory = running({ latest: 100 });
    const quick = limits({ recoverAfter: 1 });
    expect(timeOrder(50, false, memory, quick)).toBe("time-back");
    expect(timeOrder(51, false, memory, quick)).toBe("none");
  });

  it("forgets with a new time base all that was known by the old one", () => {
    const memory = running({
      latest: 100,
      lastInterval: 1,
      backRun: 2,
      sameRun: 3,
      jumpRun: 2,
      accuracy: 0.1,
      speedTrust: 7,
      hasSecond: true,
      notBefore: 500,
    });
    expect(timeOrder(1.7e9, true, memory, limits())).toBe("none");
    expect(memory).toMatchObject({
      dated: true,
      first: 1.7e9,
      latest: 1.7e9,
      lastInterval: 0,
      backRun: 0,
      sameRun: 0,
      jumpRun: 0,
      hasGood: false,
      accuracy: -1,
      accuracyTime: 1.7e9,
      speedTrust: 0,
      notBefore: 1.7e9,
      hasSecond: false,
      usable: false,
      run: 0,
      trouble: "new-time-base",
      status: "recovering",
      reason: "new-time-base",
    });
  });

  it("of a first fix is what it is", () => {
    const memory = memoryWith();
    expect(timeOrder(5, true, memory, limits())).toBe("none");
    expect(memory).toMatchObject({ started: true, dated: true, first: 5, latest: 5, hasGood: false });
  });

  it("stopped work keeps what was said unless that was good", () => {
    const good = running();
    stopWork(good, "age");
    expect(good).toMatchObject({ usable: false, run: 0, trouble: "age", status: "recovering", reason: "age" });
    const poor = running({ status: "poor-quality", reason: "accuracy" });
    stopWork(poor, "age");
    expect(poor).toMatchObject({ usable: false, trouble: "age", status: "poor-quality", reason: "accuracy" });
  });

  it("begins again after 1024 weeks (IS-GPS-200), and after a day where there is no date, within a second and a half", () => {
    const weeks = 1024 * 7 * 86_400;
    for (const sign of [1, -1]) {
      for (const off of [0, 1.5, -1.5]) expect(isRollover(sign * weeks + off, true)).toBe(true);
      for (const off of [1.6, -1.6]) expect(isRollover(sign * weeks + off, true)).toBe(false);
    }
    for (const off of [0, 1.5, -1.5]) {
      expect(isRollover(-86_400 + off, false)).toBe(true);
      expect(isRollover(-86_400 + off, true)).toBe(false);
      expect(isRollover(86_400 + off, false)).toBe(false);
    }
    for (const off of [1.6, -1.6]) expect(isRollover(-86_400 + off, false)).toBe(false);
  });
});

describe("the longest step", () => {
  const trusting = (more: Partial<FixMemory> = {}): FixMemory =>
    memoryWith({ goodSpeed: 2, speedTrust: 10, accuracy: -1, ...more });
  const longest = (memory: FixMemory, { interval = 0.5, speed = 4, step = 0, age = 1 } = {}): number =>
    longestStep(interval, speed, step, memory, limits({ maximumSpeed: 20, jumpMargin: 0.5 }), age);

  it("is by the faster of the speeds at both ends, a quarter and 1 m/s more, once trusted", () => {
    expect(longest(trusting())).toBe((1.25 * 4 + 1) * 0.5 + 0.5);
    expect(longest(trusting({ goodSpeed: 6 }))).toBe((1.25 * 6 + 1) * 0.5 + 0.5);
    expect(longest(trusting({ goodSpeed: 0 }), { speed: 0 })).toBe(1);
    // never beyond what the machine can do
    expect(longest(trusting({ goodSpeed: 30 }))).toBe(20 * 0.5 + 0.5);
  });

  it("is by the machine's top speed while that is not so", () => {
    const top = 20 * 0.5 + 0.5;
    expect(longest(trusting({ speedTrust: 9 }))).toBe(top);
    expect(longest(trusting(), { speed: -1 })).toBe(top);
    expect(longest(trusting({ goodSpeed: -1 }))).toBe(top);
    expect(longest(trusting(), { age: 0.49 })).toBe(top);
    expect(longest(trusting(), { age: 0.5 })).toBe(3.5);
  });

  it("takes three times the accuracy on top, at most of 10 m", () => {
    expect(longest(trusting({ accuracy: 0.25 }))).toBe(3.5 + 0.75);
    expect(longest(trusting({ accuracy: 10 }))).toBe(Math.min(10.5 + 30, 3.5 + 30));
    expect(longest(trusting({ accuracy: 11 }))).toBe(3.5 + 30);
    expect(longest(trusting({ accuracy: 0 }))).toBe(3.5);
  });

  it("trusts a speed that fits ten steps in a row, the limit included", () => {
    const memory = trusting({ speedTrust: 3 });
    longest(memory, { step: 3.5 });
    expect(memory.speedTrust).toBe(4);
    longest(memory, { step: above(3.5) });
    expect(memory.speedTrust).toBe(0);
    for (let i = 0; i < 12; i++) longest(memory, { step: 3 });
    expect(memory.speedTrust).toBe(10);
    longest(memory, { step: 9, speed: -1 });
    expect(memory.speedTrust).toBe(10);
  });
});

describe("a jump", () => {
  const there = { latitude: 52.0001, longitude: 5 };
  const step = levelDistance(52, 5, there.latitude, there.longitude);
  const jumped = (more: Partial<FixMemory> = {}): FixMemory =>
    memoryWith({ jumpRun: 1, jumpTime: 100, jumpLatitude: 52, jumpLongitude: 5, ...more });
  const from = (memory: FixMemory, bounds: FixLimits, time = 100.5, altitude?: number): number =>
    stepFromJump(there.latitude, there.longitude, altitude, time, memory, bounds, 0.5);

  it("goes on where the machine can have come from its place, the limit included", () => {
    // 11.1 m in half a second
    expect(from(jumped(), limits({ maximumSpeed: 20, jumpMargin: step - 10 }))).toBe(step);
    expect(from(jumped(), limits({ maximumSpeed: 20, jumpMargin: step - 10.001 }))).toBe(INFINITE);
    expect(from(jumped(), limits({ maximumSpeed: 2 * step, jumpMargin: 0 }))).toBe(step);
    expect(from(jumped(), limits({ maximumSpeed: 1.999 * step, jumpMargin: 0 }))).toBe(INFINITE);
  });

  it("is not on where there was none, or too long ago", () => {
    const wide = limits({ maximumSpeed: 1000 });
    expect(from(jumped({ jumpRun: 0 }), wide)).toBe(INFINITE);
    expect(from(jumped(), wide, 100.5)).toBe(step);
    expect(from(jumped(), wide, 100.6)).toBe(INFINITE);
  });

  it("does not go on at another height", () => {
    const wide = limits({ maximumSpeed: 1000, maximumHeightStep: 3 });
    const high = jumped({ hasJumpAltitude: true, jumpAltitude: 10 });
    expect(from(high, wide, 100.5, 10 + 3 + step)).toBe(step);
    expect(from(high, wide, 100.5, 10.001 + 3 + step)).toBe(INFINITE);
    expect(from({ ...high, hasJumpAltitude: false }, wide, 100.5, 100)).toBe(step);
    expect(from(high, wide)).toBe(step);
  });

  it("is counted while its places agree, and taken after five", () => {
    const memory = memoryWith({ jumpRun: 3 });
    expect(noteJump(1, 2, 30, 4, true, memory, limits())).toBe(false);
    expect(memory).toMatchObject({
      jumpRun: 4,
      jumpTime: 4,
      jumpLatitude: 1,
      jumpLongitude: 2,
      hasJumpAltitude: true,
      jumpAltitude: 30,
    });
    expect(noteJump(1, 2, undefined, 5, true, memory, limits())).toBe(true);
    expect(memory).toMatchObject({ jumpRun: 5, hasJumpAltitude: false, jumpAltitude: 0 });
    expect(noteJump(1, 2, 30, 6, false, memory, limits())).toBe(false);
    expect(memory.jumpRun).toBe(1);
  });

  it("by height is one beyond the limit and a slope of 100 %", () => {
    const bounds = limits({ maximumHeightStep: 3 });
    expect(climbs(10, 18, 5, bounds)).toBe(false);
    expect(climbs(10, 2, 5, bounds)).toBe(false);
    expect(climbs(10, 18.001, 5, bounds)).toBe(true);
    expect(climbs(10, 1.999, 5, bounds)).toBe(true);
    for (const unknown of [undefined, Number.NaN]) expect(climbs(10, unknown, 0, bounds)).toBe(false);
  });
});

describe("standing", () => {
  const at = (latitude: number, time: number): Fix => ({ time, dated: true, latitude, longitude: 5, quality: 4 });
  const anchored = (more: Partial<FixMemory> = {}): FixMemory =>
    memoryWith({ hasAnchor: true, anchorTime: 98, anchorLatitude: 52, anchorLongitude: 5, ...more });
  // at the limit: a place whose distance is the limit to the last bit is found by its accuracy
  const latitude = 52.000005;
  const away = levelDistance(52, 5, latitude, 5);

  it("is 2 s within the circle, the limits included", () => {
    expect(away).toBeGreaterThan(0.3);
    expect(away / 3).toBeLessThan(1);
    let accuracy = away / 3;
    while (3 * accuracy < away) accuracy = above(accuracy);
    expect(isStanding(at(latitude, 100), true, anchored({ accuracy }))).toBe(3 * accuracy >= away);
    expect(isStanding(at(latitude, 100), true, anchored({ accuracy: 0.99 * accuracy }))).toBe(false);
    expect(isStanding(at(52, 100), true, anchored())).toBe(true);
    expect(isStanding(at(52, 99.999), true, anchored())).toBe(false);
    expect(isStanding(at(52, 100), false, anchored())).toBe(false);
    expect(isStanding(at(52, 100), true, anchored({ hasAnchor: false }))).toBe(false);
  });

  it("begins anew at another place, and goes no wider than 3 m however rough the position", () => {
    const memory = anchored({ accuracy: 100 });
    const far = 52.00003;
    expect(levelDistance(52, 5, far, 5)).toBeGreaterThan(3);
    expect(isStanding(at(far, 100), true, memory)).toBe(false);
    expect(memory).toMatchObject({ hasAnchor: true, anchorTime: 100, anchorLatitude: far, anchorLongitude: 5 });
    expect(isStanding(at(latitude, 100), true, anchored({ accuracy: 100 }))).toBe(true);
  });
});

describe("the way of travel", () => {
  it("is told at its very limits", () => {
    const at = (apart: number, speed = 1): string => travelOf(fix({ course: apart, heading: 0, speed }), "unknown");
    expect([at(0), at(59.9), at(60), at(119.9), at(120), at(180), at(240), at(240.1), at(300), at(300.1)]).toEqual([
      "forwards",
      "forwards",
      "unknown",
      "unknown",
      "backwards",
      "backwards",
      "backwards",
      "unknown",
      "unknown",
      "forwards",
    ]);
    expect(at(0, 0.3)).toBe("forwards");
    expect(at(0, 0.299)).toBe("unknown");
    expect(travelOf(fix({ course: 90, heading: 0, speed: 1 }), "backwards")).toBe("backwards");
    expect(travelOf(fix({ course: 350, heading: 10, speed: 1 }), "backwards")).toBe("forwards");
    for (const lacking of ["course", "heading", "speed"]) {
      expect(travelOf(fix({ course: 0, heading: 0, speed: 1, [lacking]: undefined }), "forwards")).toBe("unknown");
    }
  });
});

describe("a second receiver", () => {
  const degree = 1e-5;
  const distance = levelDistance(52, 5, 52 + degree, 5);
  const beside = (more: Partial<FixMemory> = {}): FixMemory =>
    memoryWith({
      hasSecond: true,
      secondTime: 100,
      secondLatitude: 52 + degree,
      secondLongitude: 5,
      secondAccuracy: 0,
      accuracy: -1,
      ...more,
    });
  const disagree = (memory: FixMemory, maximumDisagreement: number, first: Partial<Fix> = {}): boolean =>
    sourcesDisagree(fix(first), memory, limits({ maximumDisagreement, maximumSpeed: 8 }), 0.5);

  it("disagrees beyond the limit, and agrees again at 0.8 of it", () => {
    const memory = beside();
    expect(disagree(memory, distance)).toBe(false);
    expect(disagree(memory, 0.999 * distance)).toBe(true);
    expect(disagree(memory, 1.2 * distance)).toBe(true);
    expect(disagree(memory, 1.26 * distance)).toBe(false);
    expect(disagree(memory, 1.2 * distance)).toBe(false);
  });

  it("has three times both accuracies on top", () => {
    expect(disagree(beside({ accuracy: 0.1, secondAccuracy: 0.2 }), distance - 0.899)).toBe(false);
    expect(disagree(beside({ accuracy: 0.1, secondAccuracy: 0.2 }), distance - 0.901)).toBe(true);
    expect(disagree(beside({ accuracy: -1 }), distance - 0.001)).toBe(true);
  });

  it("may have driven since, by the speed or, where that is not known, by the machine's fastest", () => {
    const later = { time: 100.25 };
    // a quarter more and 1 m/s on top, for a quarter of a second
    expect(disagree(beside(), distance - 0.87, { ...later, speed: 2 })).toBe(false);
    expect(disagree(beside(), distance - 0.88, { ...later, speed: 2 })).toBe(true);
    expect(disagree(beside(), distance - 0.249, { ...later, speed: 0 })).toBe(false);
    expect(disagree(beside(), distance - 0.251, { ...later, speed: 0 })).toBe(true);
    for (const speed of [undefined, -1, Number.NaN]) {
      expect(disagree(beside({ secondLatitude: 52 + 3 * degree }), 3 * distance - 1.99, { ...later, speed })).toBe(
        false,
      );
      expect(disagree(beside({ secondLatitude: 52 + 3 * degree }), 3 * distance - 2.01, { ...later, speed })).toBe(
        true,
      );
    }
  });

  it("that is silent for longer than the maximum age, or was never there, says nothing", () => {
    expect(disagree(beside(), 0.01, { time: 100.5, speed: 0 })).toBe(true);
    const memory = beside({ sourcesPoor: true });
    expect(disagree(memory, 0.01, { time: 100.6, speed: 0 })).toBe(false);
    expect(memory.sourcesPoor).toBe(false);
    expect(disagree(beside({ hasSecond: false }), 0.01)).toBe(false);
  });

  it("is noted where it has a good position, with its accuracy where that is one", () => {
    const noted = (more: Partial<Fix>): FixMemory => {
      const memory = memoryWith({ secondAccuracy: 9 });
      noteSecond(fix(more), memory, limits());
      return memory;
    };
    expect(noted({ horizontalAccuracy: 0.25 })).toMatchObject({
      hasSecond: true,
      secondTime: 100,
      secondLatitude: 52,
      secondLongitude: 5,
      secondAccuracy: 0.25,
    });
    for (const none of [undefined, Number.NaN, -1]) expect(noted({ horizontalAccuracy: none }).secondAccuracy).toBe(0);
    expect(noted({ horizontalAccuracy: 0 }).secondAccuracy).toBe(0);
    for (const bad of [
      { quality: 0 },
      { quality: 1 },
      { latitude: Number.NaN },
      { longitude: 400 },
      { time: Number.NaN },
    ]) {
      expect(noted(bad).hasSecond).toBe(false);
    }
    const memory = memoryWith();
    noteSecond(undefined as never, memory, limits());
    expect(memory.hasSecond).toBe(false);
  });
});

describe("the monitor", () => {
  const later = (time: number, more: Partial<Fix> = {}): Fix => fix({ time, ...more });
  const working = (options = {}): FixMonitor => {
    const monitor = new FixMonitor(options);
    for (let i = 0; i < 20; i++) monitor.update(later(i / 10, { speed: 0 }));
    expect(monitor.state).toMatchObject({ status: "good", usable: true, connected: true, continuous: true });
    return monitor;
  };
  const LAST = 1.9;

  it("takes no time beyond thirty thousand years, and none that is no number", () => {
    expect(new FixMonitor().update(later(1e12)).reason).toBe("start");
    expect(new FixMonitor().update(later(above(1e12)))).toMatchObject({ status: "invalid", reason: "no-time" });
    expect(new FixMonitor().update(later("5" as never))).toMatchObject({ status: "invalid", reason: "no-time" });
    for (const none of [undefined, null]) {
      expect(new FixMonitor().update(none as never)).toMatchObject({ status: "invalid", reason: "no-time", age: 0 });
    }
  });

  it("asked between fixes says what it said, with its age, until that is too old", () => {
    const monitor = working({ maximumAge: 0.5 });
    expect(monitor.check(LAST + 0.5)).toMatchObject({
      status: "good",
      usable: true,
      connected: false,
      continuous: false,
      step: 0,
    });
    expect(monitor.check(LAST + 0.501)).toMatchObject({ status: "good", usable: true });
    expect(monitor.check(LAST + 0.5021)).toMatchObject({ status: "stale", reason: "age", usable: false });
    // not a millisecond more
    expect(monitor.state.age).toBeCloseTo(0.5021, 9);
  });

  it("asked by a clock well behind the fixes, or by none, says so", () => {
    for (const behind of [LAST - 0.6, Number.NaN, -INFINITE, INFINITE, LAST + 2 * Number.MAX_VALUE]) {
      expect(working({ maximumAge: 0.5 }).check(behind)).toMatchObject({
        status: "stale",
        reason: "clock",
        usable: false,
        continuous: false,
      });
    }
    expect(working({ maximumAge: 0.5 }).check(LAST - 0.4)).toMatchObject({ status: "good", age: 0 });
  });

  it("joins a place to the last one within the maximum age, and a gap to nothing", () => {
    expect(working({ maximumAge: 0.5 }).update(later(LAST + 0.5, { speed: 0 }))).toMatchObject({
      status: "good",
      connected: true,
    });
    expect(working({ maximumAge: 0.5 }).update(later(LAST + 0.51, { speed: 0 }))).toMatchObject({
      status: "recovering",
      reason: "gap",
      connected: false,
      continuous: false,
    });
  });

  it("gives up the second source's word with a poor quality of the first", () => {
    const monitor = working({ maximumDisagreement: 1, qualities: [4] });
    monitor.updateSecond(later(LAST + 0.1, { latitude: 52.001 }));
    expect(monitor.update(later(LAST + 0.1, { quality: 5, speed: 0 })).reason).toBe("quality");
    monitor.updateSecond(later(LAST + 0.2, { latitude: 52.001 }));
    expect(monitor.update(later(LAST + 0.2, { speed: 0 })).reason).toBe("sources");
  });

  it("says a fix repeated, or late, without joining it, and keeps what was said before for those who ask", () => {
    const monitor = working();
    expect(monitor.update(later(LAST, { speed: 0 }))).toMatchObject({
      status: "duplicate",
      usable: true,
      continuous: false,
      connected: false,
      age: 0,
    });
    expect(monitor.check(LAST)).toMatchObject({ status: "good", reason: "none" });
    expect(monitor.update(later(LAST - 0.1, { speed: 0 }))).toMatchObject({
      status: "out-of-order",
      usable: true,
      continuous: false,
      connected: false,
    });
    expect(monitor.check(LAST)).toMatchObject({ status: "good", reason: "none" });
  });

  it("makes ages doubtful by a time farther back than the maximum age", () => {
    const far = working({ maximumAge: 0.5 });
    expect(far.update(later(LAST - 0.49, { speed: 0 }))).toMatchObject({ status: "out-of-order", usable: true });
    expect(far.update(later(LAST - 0.52, { speed: 0 }))).toMatchObject({ status: "out-of-order", usable: false });
  });

  it("has limits of age that hold to the last bit", () => {
    const limit = 0.5 + SAME_TIME;
    const once = (): FixMonitor => {
      const monitor = new FixMonitor({ maximumAge: 0.5, recoverAfter: 1, maximumHeightStep: 1 });
      monitor.update(later(0, { altitude: 50 }));
      return monitor;
    };
    expect(once().state.status).toBe("good");
    expect(once().check(limit)).toMatchObject({ status: "good", age: limit });
    expect(once().check(above(limit)).reason).toBe("age");
    expect(once().check(-limit)).toMatchObject({ status: "good", age: 0 });
    expect(once().check(-above(limit)).reason).toBe("clock");
    expect(once().check(Number.MAX_VALUE).reason).toBe("clock");
    expect(once().update(later(limit))).toMatchObject({ status: "good", connected: true });
    expect(once().update(later(limit, { altitude: 60 }))).toMatchObject({ status: "jump", reason: "height" });
    const twice = once();
    twice.update(later(limit));
    expect(twice.update(later(0))).toMatchObject({ status: "out-of-order", usable: true });
  });

  it("says a jump that goes on is one of place, though the time that passed would allow it", () => {
    const monitor = new FixMonitor({ recoverAfter: 1 });
    for (let i = 0; i < 10; i++) monitor.update(later(i / 10));
    // 5.6 m: too far for 0.1 s, not for 0.3 s
    const jumped = { latitude: 52.00005 };
    for (const time of [1, 1.1, 1.2]) {
      expect(monitor.update(later(time, jumped)), `${time}`).toMatchObject({ status: "jump", reason: "step" });
    }
  });

  it("shares nothing with a snapshot that it goes on from", () => {
    const snapshot = working().snapshot();
    const before = JSON.stringify(snapshot);
    const monitor = FixMonitor.restore(snapshot);
    monitor.update(later(LAST + 0.1, { speed: 0 }));
    expect(JSON.stringify(snapshot)).toBe(before);
    expect(monitor.counts.good).toBe(snapshot.counts.good + 1);
  });

  it("holds a jump's reason while it lasts: the height first, then the place", () => {
    const monitor = working({ maximumHeightStep: 1 });
    for (let i = 1; i <= 5; i++) monitor.update(later(LAST + i / 10, { altitude: 50, speed: 0 }));
    expect(monitor.state.status).toBe("good");
    const height = monitor.update(later(LAST + 0.6, { altitude: 60, speed: 0 }));
    expect(height).toMatchObject({ status: "jump", reason: "height" });
    expect(monitor.update(later(LAST + 0.7, { altitude: 60, speed: 0 }))).toMatchObject({ reason: "height" });
    const step = working();
    expect(step.update(later(LAST + 0.1, { latitude: 52.01, speed: 0 }))).toMatchObject({
      status: "jump",
      reason: "step",
    });
    expect(step.update(later(LAST + 0.2, { latitude: 52.01, speed: 0 }))).toMatchObject({
      status: "jump",
      reason: "step",
    });
  });

  it("does not call a height a jump after a gap", () => {
    const monitor = working({ maximumAge: 0.5, maximumHeightStep: 1 });
    monitor.update(later(LAST + 0.1, { altitude: 50, speed: 0 }));
    const after = monitor.update(later(LAST + 0.1 + 0.6, { altitude: 60, speed: 0 }));
    expect(after).toMatchObject({ status: "recovering", reason: "gap" });
    const at = working({ maximumAge: 0.5, maximumHeightStep: 1 });
    at.update(later(LAST + 0.1, { altitude: 50, speed: 0 }));
    expect(at.update(later(LAST + 0.6, { altitude: 60, speed: 0 })).status).toBe("jump");
  });

  it("takes a new place after five that agree, and works on from the next", () => {
    const monitor = working();
    for (let i = 1; i <= 4; i++) {
      expect(monitor.update(later(LAST + i / 10, { latitude: 52.01, speed: 0 })).status).toBe("jump");
    }
    expect(monitor.update(later(LAST + 0.5, { latitude: 52.01, speed: 0 }))).toMatchObject({
      status: "good",
      connected: false,
      continuous: false,
      step: 0,
    });
    const slow = working({ recoverAfter: 4, acceptJumpAfter: 2 });
    slow.update(later(LAST + 0.1, { latitude: 52.01, speed: 0 }));
    expect(slow.update(later(LAST + 0.2, { latitude: 52.01, speed: 0 })).status).toBe("good");
    expect(slow.snapshot().run).toBe(4);
  });

  it("counts no more than it needs while it works", () => {
    expect(working().snapshot().run).toBe(3);
  });

  it("believes a speed that is one: not below 0, not NaN, no text", () => {
    for (const speed of [undefined, Number.NaN, -1, -2, INFINITE, "3" as never]) {
      const monitor = new FixMonitor();
      monitor.update(later(0, { speed }));
      expect(monitor.snapshot().goodSpeed).toBe(-1);
    }
    for (const speed of [0, 3]) {
      const monitor = new FixMonitor();
      monitor.update(later(0, { speed }));
      expect(monitor.snapshot().goodSpeed).toBe(speed);
    }
  });

  it("goes through a step at its limit, and past it not", () => {
    const latitude = 52.0001;
    const step = levelDistance(52, 5, latitude, 5);
    const to = (jumpMargin: number): string => {
      const monitor = new FixMonitor({ maximumSpeed: 1, jumpMargin, maximumAge: 2 });
      monitor.update(later(0));
      return monitor.update(later(1, { latitude })).status;
    };
    expect(step - 1 + 1).toBe(step);
    expect(to(step - 1)).toBe("recovering");
    expect(to(step - 1.001)).toBe("jump");
  });

  it("begins as its snapshot says, version 2", () => {
    expect(new FixMonitor().snapshot()).toEqual({
      version: 2,
      started: false,
      dated: false,
      first: 0,
      latest: 0,
      interval: 1,
      lastInterval: 0,
      backRun: 0,
      backTime: 0,
      sameRun: 0,
      hasGood: false,
      goodTime: 0,
      goodLatitude: 0,
      goodLongitude: 0,
      goodSpeed: -1,
      speedTrust: 0,
      run: 0,
      usable: false,
      chain: false,
      trouble: "start",
      notBefore: 0,
      jumpRun: 0,
      jumpTime: 0,
      jumpLatitude: 0,
      jumpLongitude: 0,
      hasAltitude: false,
      goodAltitude: 0,
      hasJumpAltitude: false,
      jumpAltitude: 0,
      hasAnchor: false,
      anchorTime: 0,
      anchorLatitude: 0,
      anchorLongitude: 0,
      hasSecond: false,
      secondTime: 0,
      secondLatitude: 0,
      secondLongitude: 0,
      secondAccuracy: 0,
      sourcesPoor: false,
      accuracy: -1,
      accuracyTime: 0,
      accuracyPoor: false,
      correctionPoor: false,
      status: "recovering",
      reason: "start",
      counts: {
        good: 0,
        "no-fix": 0,
        invalid: 0,
        "poor-quality": 0,
        jump: 0,
        duplicate: 0,
        "out-of-order": 0,
        stale: 0,
        recovering: 0,
      },
      state: {
        status: "stale",
        reason: "start",
        usable: false,
        connected: false,
        continuous: false,
        age: 0,
        step: 0,
        interval: 1,
        standing: false,
        travel: "unknown",
      },
    });
  });
});

describe("options of a monitor", () => {
  it("name what is wrong with them", () => {
    const wrong = (options: object): { code: string; argument: string; index?: number; value?: unknown } => {
      try {
        fixLimits(options);
      } catch (error) {
        return error as never;
      }
      throw new Error("taken");
    };
    expect(wrong({ qualities: [] })).toMatchObject({
      code: "too-few-points",
      argument: "options.qualities",
      value: [],
    });
    expect(wrong({ qualities: [4, 2.5] })).toMatchObject({
      code: "out-of-range",
      argument: "options.qualities",
      index: 1,
      value: 2.5,
    });
    expect(wrong({ recoverAfter: 2.5 })).toMatchObject({
      code: "out-of-range",
      argument: "options.recoverAfter",
      value: 2.5,
    });
    expect(wrong({ acceptJumpAfter: 0 })).toMatchObject({ argument: "options.acceptJumpAfter" });
    for (const name of ["maximumDisagreement", "maximumHeightStep", "maximumSpeed", "maximumAge"]) {
      expect(wrong({ [name]: 0 })).toMatchObject({ code: "out-of-range", argument: `options.${name}` });
      expect(wrong({ [name]: Number.NaN })).toMatchObject({ code: "not-finite", argument: `options.${name}` });
    }
    expectCode(() => fixLimits({ maximumSpeed: INFINITE }), "not-finite");
    expect(fixLimits({ maximumHeightStep: INFINITE }).maximumHeightStep).toBe(INFINITE);
    expect(fixLimits({ qualities: [1, 8] }).qualities).toEqual([
      false,
      true,
      false,
      false,
      false,
      false,
      false,
      false,
      true,
    ]);
  });
});
