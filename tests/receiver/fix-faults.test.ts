import { describe, expect, it } from "vitest";
import { type Fix, FixMonitor, type FixState } from "../../src/receiver/index.js";
import { type Drive, fixAt, moved, range, states } from "./drive.js";
import { random } from "../helpers/random.js";

// the fault scenarios F1 to F16 of a receiver, each: nothing thrown, all finite, off within one fix where unsure, a reason,
// and back within a bounded time

/** Numbers finite, usable and connected only where they may be, a reason where not good. */
function sound(all: readonly FixState[]): void {
  for (const state of all) {
    const { status, reason, age, step, interval, usable, connected } = state;
    const ok =
      [age, step, interval].every((value) => Number.isFinite(value) && value >= 0) &&
      (!usable || status === "good" || status === "duplicate" || status === "out-of-order") &&
      (!connected || status === "good" || status === "recovering") &&
      (reason === "none") === (status === "good") &&
      (status !== "good" || usable);
    if (!ok) expect.fail(JSON.stringify(state));
  }
}

/** A monitor after a second of good fixes. */
function running(drive: Drive = {}, options = {}): FixMonitor {
  const monitor = new FixMonitor(options);
  const before = states(
    monitor,
    range(10).map((i) => fixAt(i, drive)),
  );
  expect(before.at(-1)).toMatchObject({ status: "good", usable: true, connected: true, age: 0 });
  return monitor;
}

describe("F1: dropout", () => {
  it.for([0.1, 0.2, 0.3])("of %f s is held and joined at 10 Hz", (gap) => {
    const monitor = running();
    const [state] = states(monitor, [fixAt(9 + Math.round(gap * 10))]);
    expect(state).toMatchObject({ status: "good", usable: true, connected: true });
  });

  it.for([0.4, 1, 4, 60, 3600])("of %f s is a gap: joined to nothing, usable with the third fix", (gap) => {
    const monitor = running();
    const from = 9 + Math.round(gap * 10);
    const after = states(
      monitor,
      range(4).map((i) => fixAt(from + i)),
    );
    sound(after);
    expect(after.map((s) => [s.status, s.reason, s.usable, s.connected])).toEqual([
      ["recovering", "gap", false, false],
      ["recovering", "gap", false, true],
      ["good", "none", true, true],
      ["good", "none", true, true],
    ]);
  });

  it("breaks the chain from one usable fix to the next, a single poor fix does not", () => {
    const gap = running();
    const after = states(
      gap,
      range(5).map((i) => fixAt(20 + i)),
    );
    expect(after.map((s) => [s.connected, s.continuous])).toEqual([
      [false, false],
      [true, false],
      [true, false],
      [true, true],
      [true, true],
    ]);
    const poor = running({}, { recoverTime: 0 });
    const over = states(poor, [fixAt(10, { quality: 1 }), ...range(4).map((i) => fixAt(11 + i))]);
    expect(over.map((s) => [s.usable, s.continuous])).toEqual([
      [false, false],
      [false, false],
      [false, false],
      [true, true],
      [true, true],
    ]);
  });

  it("is seen by a host that asks while it waits", () => {
    const monitor = running();
    const last = fixAt(9).time;
    expect(monitor.check(last + 0.1)).toMatchObject({ status: "good", usable: true });
    expect(monitor.check(last + 0.3)).toMatchObject({ status: "good", usable: true });
    expect(monitor.check(last + 0.4)).toMatchObject({
      status: "stale",
      reason: "age",
      usable: false,
      connected: false,
    });
    expect(monitor.check(last + 60).age).toBeCloseTo(60, 9);
    // also after that, a fix in time is not usable at once
    expect(states(monitor, [fixAt(10)])[0]).toMatchObject({ status: "recovering", reason: "age", usable: false });
  });

  it("as fixes without a position: off with the first", () => {
    const monitor = running();
    const none: Fix = { ...fixAt(10), quality: 0, latitude: Number.NaN, longitude: Number.NaN };
    const [state] = states(monitor, [none]);
    expect(state).toMatchObject({ status: "no-fix", reason: "no-position", usable: false, connected: false });
    expect(state!.age).toBeCloseTo(0.1, 9);
    const after = states(
      monitor,
      range(3).map((i) => fixAt(11 + i)),
    );
    expect(after.map((s) => s.usable)).toEqual([false, false, true]);
    expect(after[0]).toMatchObject({ status: "recovering", reason: "no-position" });
    sound([state!, ...after]);
  });
});

describe("F2: jump", () => {
  it.for([4, 10, 100, 1000, 10_000, 1e6])(
    "of %f m: off at once, taken after five that agree, joined to nothing",
    (metres) => {
      const monitor = running();
      const after = states(
        monitor,
        range(7).map((i) => moved(fixAt(10 + i), metres)),
      );
      sound(after);
      expect(after.map((s) => s.status)).toEqual(["jump", "jump", "jump", "jump", "good", "good", "good"]);
      expect(after.map((s) => s.usable)).toEqual([false, false, false, false, true, true, true]);
      expect(after.map((s) => s.connected)).toEqual([false, false, false, false, false, true, true]);
      expect(after[0]!.reason).toBe("step");
    },
  );

  it("of one fix and back: joined over it only where that is no gap, usable with the third good one", () => {
    const monitor = running();
    const after = states(monitor, [moved(fixAt(10), 100), ...range(4).map((i) => fixAt(11 + i))]);
    sound(after);
    expect(after.map((s) => [s.status, s.usable, s.connected])).toEqual([
      ["jump", false, false],
      ["recovering", false, true],
      ["recovering", false, true],
      ["good", true, true],
      ["good", true, true],
    ]);
  });

  it("to ever other places is never taken", () => {
    const monitor = running();
    const after = states(
      monitor,
      range(100).map((i) => moved(fixAt(10 + i), 1000 * (1 + (i % 7)))),
    );
    expect(after.some((s) => s.usable || s.connected)).toBe(false);
    sound(after);
  });

  it("of 1 m is found by the reported speed once that has proved right", () => {
    // top speed alone allows 20 m/s * 0.1 s + 0.5 m; speed of 3 m/s allows 0.475 m + 0.5 m
    const monitor = new FixMonitor();
    states(
      monitor,
      range(20).map((i) => fixAt(i)),
    );
    expect(states(monitor, [moved(fixAt(20), 1)])[0]).toMatchObject({ status: "jump", reason: "step", usable: false });
    const blind = new FixMonitor();
    const noSpeed = (fix: Fix): Fix => ({ ...fix, speed: Number.NaN });
    states(
      blind,
      range(20).map((i) => noSpeed(fixAt(i))),
    );
    expect(states(blind, [noSpeed(moved(fixAt(20), 1))])[0]).toMatchObject({ status: "good" });
  });

  it("is not seen in every step of a receiver that always says speed 0", () => {
    const monitor = new FixMonitor();
    const all = states(
      monitor,
      range(200).map((i) => ({ ...fixAt(i, { rate: 1, speed: 5 }), speed: 0 })),
    );
    expect(all.slice(3).every((s) => s.status === "good")).toBe(true);
    // nor after a standstill at which 0 was right
    const later = new FixMonitor();
    states(
      later,
      range(50).map((i) => ({ ...fixAt(i, { rate: 1, speed: 0 }), speed: 0 })),
    );
    const driving = states(
      later,
      range(50).map((i) => ({ ...moved(fixAt(50 + i, { rate: 1, speed: 0 }), 5 * i), speed: 0 })),
    );
    expect(driving.filter((s) => !s.usable).length).toBeLessThanOrEqual(5);
  });

  it("has a margin for the stated accuracy", () => {
    const rough = (fix: Fix): Fix => ({ ...fix, horizontalAccuracy: 2, speed: undefined });
    const monitor = new FixMonitor({ qualities: [1] });
    states(
      monitor,
      range(10).map((i) => rough(fixAt(i, { quality: 1 }))),
    );
    // 20 m/s * 0.1 s + 0.5 m + 3 * 2 m
    expect(states(monitor, [rough(moved(fixAt(10, { quality: 1 }), 8))])[0]!.status).toBe("good");
    expect(states(monitor, [rough(moved(fixAt(11, { quality: 1 }), 17))])[0]!.status).toBe("jump");
  });
});

describe("F3: duplicate", () => {
  it("changes nothing, and is joined to nothing", () => {
    const monitor = running();
    const [duplicate, next] = states(monitor, [fixAt(9), fixAt(10)]);
    expect(duplicate).toMatchObject({
      status: "duplicate",
      reason: "same-time",
      usable: true,
      connected: false,
      step: 0,
    });
    expect(next).toMatchObject({ status: "good", usable: true, connected: true });
  });

  it("for half a second is a clock that stands still: off", () => {
    const monitor = running();
    const after = states(
      monitor,
      range(8).map(() => fixAt(9)),
    );
    sound(after);
    expect(after.map((s) => s.usable)).toEqual([true, true, true, true, false, false, false, false]);
    expect(after[4]).toMatchObject({ status: "stale", reason: "same-time" });
    expect(
      states(
        monitor,
        range(3).map((i) => fixAt(10 + i)),
      ).map((s) => s.usable),
    ).toEqual([false, false, true]);
  });
});

describe("F4: out of order", () => {
  it("is dropped and counted", () => {
    const monitor = running();
    const [late, next] = states(monitor, [moved(fixAt(8), 50), fixAt(10)]);
    expect(late).toMatchObject({ status: "out-of-order", reason: "time-back", usable: true, connected: false });
    expect(next).toMatchObject({ status: "good", usable: true, connected: true });
    expect(monitor.counts["out-of-order"]).toBe(1);
  });
});

describe("F5 and F16: clocks", () => {
  it("a date that becomes known begins a new time base", () => {
    const monitor = running();
    const after = states(
      monitor,
      range(4).map((i) => fixAt(10 + i, { start: 1.7e9, dated: true })),
    );
    sound(after);
    expect(after.map((s) => [s.status, s.usable, s.connected])).toEqual([
      ["recovering", false, false],
      ["recovering", false, true],
      ["good", true, true],
      ["good", true, true],
    ]);
    expect(after[0]!.reason).toBe("new-time-base");
  });

  it.for([0.9, 3600, 1e8])("a clock set back by %f s is off with the first, and taken with the third", (back) => {
    const monitor = running();
    const after = states(
      monitor,
      range(6).map((i) => ({ ...fixAt(10 + i), time: fixAt(10 + i).time - back })),
    );
    sound(after);
    expect(after.map((s) => s.status)).toEqual([
      "out-of-order",
      "out-of-order",
      "recovering",
      "recovering",
      "good",
      "good",
    ]);
    expect(after.map((s) => s.usable)).toEqual([false, false, false, false, true, true]);
    expect(after.map((s) => s.connected)).toEqual([false, false, false, true, true, true]);
    expect(after[2]!.reason).toBe("new-time-base");
  });

  it.for([
    ["a day, undated", 86_400, false],
    ["1024 weeks, dated", 619_315_200, true],
    ["1024 weeks forward, dated", -619_315_200, true],
  ] as const)("F5: a counter that begins again (%s) is known by its first fix", ([, back, dated]) => {
    const monitor = running({ dated });
    const after = states(
      monitor,
      range(5).map((i) => ({ ...fixAt(10 + i, { dated }), time: fixAt(10 + i).time - back })),
    );
    sound(after);
    expect(after.map((s) => [s.status, s.reason, s.connected])).toEqual([
      ["recovering", "rollover", false],
      ["recovering", "rollover", true],
      ["good", "none", true],
      ["good", "none", true],
      ["good", "none", true],
    ]);
  });

  it("F5: a day back with a date is a clock that was set", () => {
    const monitor = running({ dated: true });
    const [state] = states(monitor, [{ ...fixAt(10, { dated: true }), time: fixAt(10).time - 86_400 }]);
    expect(state).toMatchObject({ status: "out-of-order", usable: false });
  });

  it("a host that asks after a time far back is not told good", () => {
    const monitor = running();
    monitor.update({ ...fixAt(10), time: fixAt(10).time - 5 });
    expect(monitor.check(fixAt(9).time + 0.05)).toMatchObject({
      status: "recovering",
      reason: "time-back",
      usable: false,
    });
  });

  it("two clocks at once are never usable", () => {
    const monitor = running();
    const after = states(
      monitor,
      range(100).map((i) => ({ ...fixAt(10 + i), time: fixAt(10 + i).time - (i % 2) * 5 })),
    );
    expect(after.slice(1).some((s) => s.usable)).toBe(false);
    sound(after);
  });

  it("F6: over a leap second it is off for some fixes once", () => {
    // 59.9, 60.0 ... 60.9, 00.0: Unix time has 60.x and 00.x at one value
    const monitor = running();
    const times = [...range(10).map((i) => 2000 + i / 10), ...range(10).map((i) => 2000 + i / 10)];
    const start = fixAt(10);
    const after = states(
      monitor,
      times.map((time, i) => ({ ...start, time, latitude: fixAt(10 + i).latitude })),
    );
    sound(after);
    expect(after.slice(15).every((s) => s.usable)).toBe(true);
  });
});

describe("F7: antimeridian and poles", () => {
  it("the antimeridian is no jump", () => {
    const monitor = new FixMonitor();
    const all = states(
      monitor,
      range(40).map((i) => {
        const longitude = 179.99998 + i * 1e-6;
        return {
          ...fixAt(i, { speed: 0 }),
          longitude: longitude >= 180 ? longitude - 360 : longitude,
          speed: undefined,
        };
      }),
    );
    expect(all.slice(3).every((s) => s.status === "good" && s.connected && s.step < 0.2)).toBe(true);
  });

  it("a pole is a place like another", () => {
    const monitor = new FixMonitor();
    const all = states(
      monitor,
      range(20).map((i) => ({ ...fixAt(i), latitude: 90, longitude: (i * 77) % 360 })),
    );
    expect(all.slice(3).every((s) => s.status === "good")).toBe(true);
  });
});

describe("F8: what is no number", () => {
  const good = fixAt(10);
  it.for([
    [{ ...good, latitude: Number.NaN }, "invalid", "not-finite"],
    [{ ...good, longitude: Number.POSITIVE_INFINITY }, "invalid", "not-finite"],
    [{ ...good, latitude: 90.1 }, "invalid", "not-finite"],
    [{ ...good, longitude: 361 }, "invalid", "not-finite"],
    [{ ...good, latitude: 0, longitude: 0, quality: 0 }, "invalid", "null-island"],
    [{ ...good, time: Number.NaN }, "invalid", "no-time"],
    [{ ...good, time: Number.POSITIVE_INFINITY }, "invalid", "no-time"],
    [{ ...good, time: Number.NaN, latitude: Number.NaN, quality: 0 }, "no-fix", "no-position"],
    [{ ...good, quality: Number.NaN }, "no-fix", "no-position"],
    [{ ...good, quality: -1 }, "no-fix", "no-position"],
    [{ ...good, quality: 4.5 }, "poor-quality", "quality"],
    [{ ...good, quality: 9 }, "poor-quality", "quality"],
    [{ ...good, quality: Number.POSITIVE_INFINITY }, "poor-quality", "quality"],
    [{ ...good, latitude: undefined as unknown as number }, "invalid", "not-finite"],
  ] as const)("%o is %s by %s", ([fix, status, reason]) => {
    const monitor = running();
    const all = states(monitor, [fix]);
    sound(all);
    expect(all[0]).toMatchObject({ status, reason, usable: false, connected: false });
  });

  it("values beside the position that are no numbers count as not known", () => {
    const monitor = running();
    for (const value of [Number.NaN, Number.POSITIVE_INFINITY, -1, undefined]) {
      const fix = {
        ...good,
        time: good.time + (monitor.counts.good - 8) / 10,
        speed: value,
        horizontalAccuracy: value,
      };
      expect(monitor.update(fix), String(value)).toMatchObject({ status: "good", usable: true });
    }
  });
});

describe("F9: quality", () => {
  it("off with the first poor fix, on a second after the last", () => {
    const monitor = running();
    const after = states(monitor, [fixAt(10, { quality: 1 }), ...range(12).map((i) => fixAt(11 + i))]);
    sound(after);
    expect(after[0]).toMatchObject({ status: "poor-quality", reason: "quality", usable: false });
    expect(after.findIndex((s) => s.usable)).toBe(10);
    expect(after.slice(1, 10).every((s) => s.status === "recovering" && s.reason === "quality")).toBe(true);
  });

  it("that flaps 4-5-4-1 switches at most twice a second, whatever the pattern", () => {
    const next = random(5);
    const monitor = new FixMonitor();
    let switched = 0;
    let before = false;
    const seconds = 200;
    for (let i = 0; i < seconds * 20; i++) {
      const quality = [4, 5, 4, 1][Math.floor(next() * (i % 400 < 200 ? 4 : 3.02))]!;
      const state = monitor.update(fixAt(i, { rate: 20, quality }));
      if (quality === 1) expect(state.usable).toBe(false);
      if (state.usable !== before) switched++;
      before = state.usable;
    }
    expect(switched).toBeGreaterThan(10);
    expect(switched / seconds).toBeLessThanOrEqual(2);
  });

  it("by accuracy has hysteresis, and holds a value stated once a second", () => {
    const monitor = new FixMonitor({ maximumHorizontalAccuracy: 0.1, recoverTime: 0, recoverAfter: 1 });
    const at = (i: number, accuracy?: number): FixState => ({
      ...monitor.update({ ...fixAt(i), horizontalAccuracy: accuracy }),
    });
    expect(at(0)).toMatchObject({ status: "poor-quality", reason: "accuracy" });
    expect(at(1, 0.09).status).toBe("poor-quality");
    expect(at(2, 0.079).status).toBe("good");
    expect(at(3, 0.1).status).toBe("good");
    expect(at(4, 0.101)).toMatchObject({ status: "poor-quality", reason: "accuracy" });
    expect(at(5, 0.09).status).toBe("poor-quality");
    expect(at(6, 0.05).status).toBe("good");
    expect(range(20).every((i) => at(7 + i).status === "good")).toBe(true);
    expect(at(27)).toMatchObject({ status: "poor-quality", reason: "accuracy" });
  });

  it("F15: by the age of the correction, growing, says so", () => {
    const monitor = new FixMonitor({ maximumCorrectionAge: 20, recoverTime: 0, recoverAfter: 1, qualities: [1, 4] });
    const at = (i: number, correctionAge: number | undefined, quality = 4): FixState => ({
      ...monitor.update({ ...fixAt(i, { quality }), correctionAge }),
    });
    for (let i = 0; i <= 20; i++) expect(at(i, i).status).toBe("good");
    expect(at(21, 21)).toMatchObject({ status: "poor-quality", reason: "correction-age", usable: false });
    expect(at(22, 17).status).toBe("poor-quality");
    expect(at(23, 16).status).toBe("good");
    expect(at(24, undefined)).toMatchObject({ status: "poor-quality", reason: "correction-age" });
    // an autonomous position has no correction
    expect(at(25, undefined, 1).status).toBe("good");
  });
});

describe("F15: two receivers", () => {
  it("that are far apart stop the work, and let it begin again well within the limit", () => {
    const monitor = running({}, { maximumDisagreement: 2, recoverTime: 0, recoverAfter: 1 });
    const apart = (i: number, metres: number): FixState => {
      monitor.updateSecond(moved(fixAt(i), metres));
      return { ...monitor.update(fixAt(i)) };
    };
    const all = [1.9, 2.1, 1.7, 1.5, 1.9].map((metres, i) => apart(10 + i, metres));
    sound(all);
    expect(all.map((s) => s.reason)).toEqual(["none", "sources", "sources", "none", "none"]);
    expect(all[1]).toMatchObject({ status: "poor-quality", usable: false, connected: false });
  });

  it("may have driven between their times", () => {
    const monitor = running({}, { maximumDisagreement: 0.1 });
    monitor.updateSecond(fixAt(9.5, { speed: 3 }));
    expect(states(monitor, [fixAt(10)])[0]!.status).toBe("good");
  });

  it("a second one that is silent, without a position, of poor quality or not there is not missed", () => {
    const monitor = running();
    monitor.updateSecond(moved(fixAt(9), 100));
    expect(states(monitor, [fixAt(13)])[0]!.reason).toBe("gap");
    const blind = running();
    for (const odd of [
      moved(fixAt(10, { quality: 1 }), 100),
      { ...fixAt(10), quality: 0, latitude: 0, longitude: 0 },
      { ...moved(fixAt(10), 100), time: Number.NaN },
      undefined as unknown as Fix,
      {} as unknown as Fix,
    ]) {
      blind.updateSecond(odd);
    }
    expect(states(blind, [fixAt(10)])[0]).toMatchObject({ status: "good", usable: true });
  });
});

describe("F15: a step of height", () => {
  const high = (i: number, altitude: number | undefined): Fix => ({ ...fixAt(i), altitude });

  it("is a jump by height, taken after five that agree", () => {
    const monitor = new FixMonitor();
    states(
      monitor,
      range(10).map((i) => high(i, 100)),
    );
    const after = states(
      monitor,
      range(7).map((i) => high(10 + i, 104)),
    );
    sound(after);
    expect(after.map((s) => [s.status, s.usable, s.connected])).toEqual([
      ["jump", false, false],
      ["jump", false, false],
      ["jump", false, false],
      ["jump", false, false],
      ["good", true, false],
      ["good", true, true],
      ["good", true, true],
    ]);
    expect(after.slice(0, 4).every((s) => s.reason === "height")).toBe(true);
  });

  it("of one fix and back is over with the third good one", () => {
    const monitor = new FixMonitor();
    states(
      monitor,
      range(10).map((i) => high(i, 100)),
    );
    const after = states(monitor, [high(10, 150), ...range(3).map((i) => high(11 + i, 100))]);
    sound(after);
    expect(after.map((s) => [s.status, s.reason])).toEqual([
      ["jump", "height"],
      ["recovering", "height"],
      ["recovering", "height"],
      ["good", "none"],
    ]);
  });

  it("is none within the limit, up a slope, where no height is known, and without a limit", () => {
    for (const [heights, options] of [
      [[100, 102.9, 100], {}],
      [[100, undefined, 500], {}],
      [[100, Number.NaN, 500], {}],
      [[100, 500, 100], { maximumHeightStep: Number.POSITIVE_INFINITY }],
    ] as const) {
      const monitor = new FixMonitor(options);
      states(
        monitor,
        range(10).map((i) => high(i, 100)),
      );
      const after = states(
        monitor,
        heights.map((height, i) => high(10 + i, height)),
      );
      expect(after.every((s) => s.status === "good")).toBe(true);
    }
    const climbing = new FixMonitor();
    const up = states(
      climbing,
      range(20).map((i) => ({ ...fixAt(i, { speed: 15, rate: 1 }), altitude: 14 * i })),
    );
    expect(up.slice(3).every((s) => s.status === "good")).toBe(true);
  });
});

describe("F10: standing", () => {
  it("is known after 2 s near one place, whatever the receiver says of speed", () => {
    const next = random(3);
    for (const speed of [0, 1.5, Number.NaN]) {
      const monitor = new FixMonitor();
      const all = states(
        monitor,
        range(100).map((i) => ({ ...moved(fixAt(i, { speed: 0 }), 0.04 * (next() - 0.5)), speed })),
      );
      sound(all);
      expect(all.map((s) => s.standing)).toEqual(range(100).map((i) => i >= 20));
    }
  });

  it("ends with the first place that is 0.3 m away, and with a gap", () => {
    const monitor = new FixMonitor();
    states(
      monitor,
      range(30).map((i) => fixAt(i, { speed: 0 })),
    );
    expect(states(monitor, [moved(fixAt(30, { speed: 0 }), 0.31)])[0]).toMatchObject({
      standing: false,
      status: "good",
    });
    states(
      monitor,
      range(30).map((i) => fixAt(31 + i, { speed: 0 })),
    );
    expect(monitor.state.standing).toBe(true);
    expect(states(monitor, [fixAt(70, { speed: 0 })])[0]!.standing).toBe(false);
    expect(states(monitor, [{ ...fixAt(71), latitude: Number.NaN }])[0]!.standing).toBe(false);
  });

  it("is not seen in driving, and has a wider circle for a rough position", () => {
    const monitor = new FixMonitor();
    expect(
      states(
        monitor,
        range(100).map((i) => fixAt(i, { speed: 0.5 })),
      ).some((s) => s.standing),
    ).toBe(false);
    const rough = new FixMonitor();
    const all = states(
      rough,
      range(100).map((i) => ({ ...moved(fixAt(i, { speed: 0 }), (i % 2) * 0.5), horizontalAccuracy: 0.2 })),
    );
    expect(all.at(-1)!.standing).toBe(true);
  });
});

describe("F11: the hint of reversing", () => {
  it("is course against heading, with hysteresis, and unknown where there are not both", () => {
    const monitor = running();
    const cases: [Partial<Fix>, string][] = [
      [{ course: 350, heading: 10 }, "forwards"],
      [{ course: 170, heading: 10 }, "backwards"],
      [{ course: 100, heading: 10 }, "backwards"],
      [{ course: 69, heading: 10 }, "forwards"],
      [{ course: 100, heading: 10 }, "forwards"],
      [{ course: 130, heading: 10 }, "backwards"],
      [{ course: 130, heading: 10, speed: 0.2 }, "unknown"],
      [{ course: 130, heading: 10 }, "backwards"],
      [{ course: 130, heading: undefined }, "unknown"],
      [{ course: Number.NaN, heading: 10 }, "unknown"],
      [{ course: 1, heading: 359 }, "forwards"],
      [{ course: 1, heading: 359, speed: undefined }, "unknown"],
    ];
    const all = states(
      monitor,
      cases.map(([change], i) => ({ ...fixAt(10 + i), ...change })),
    );
    expect(all.map((s) => s.travel)).toEqual(cases.map(([, travel]) => travel));
    // the change from driven to said speed must not look like a jump
    expect(all.every((s) => s.status === "good")).toBe(true);
    expect(states(monitor, [{ ...fixAt(30), quality: 0 }])[0]!.travel).toBe("unknown");
  });
});

describe("F13: other rates", () => {
  it.for([1, 2, 5, 10, 20, 50])("%i Hz is good and joined", (rate) => {
    const monitor = new FixMonitor();
    const all = states(
      monitor,
      range(100).map((i) => fixAt(i, { rate })),
    );
    sound(all);
    expect(all.map((s) => s.usable)).toEqual(range(100).map((i) => i >= 2));
    expect(all.map((s) => s.connected)).toEqual(range(100).map((i) => i >= 1));
    expect(all.at(-1)!.interval).toBeCloseTo(1 / rate, 6);
  });

  it("a change of rate is followed", () => {
    const monitor = running();
    const after = states(
      monitor,
      range(10).map((i) => fixAt(10 + 10 * i)),
    );
    expect(after.map((s) => s.usable)).toEqual([true, false, false, true, true, true, true, true, true, true]);
    const back = states(
      monitor,
      range(10).map((i) => fixAt(101 + i)),
    );
    expect(back.every((s) => s.usable && s.connected)).toBe(true);
    expect(states(monitor, [fixAt(115)])[0]).toMatchObject({ status: "recovering", reason: "gap" });
  });

  it("a lost fix at 1 Hz is a gap", () => {
    const monitor = running({ rate: 1 });
    expect(states(monitor, [fixAt(11, { rate: 1 })])[0]).toMatchObject({ status: "recovering", reason: "gap" });
  });

  it("a stated maximum age goes before", () => {
    const monitor = running({ rate: 1 }, { maximumAge: 3 });
    expect(states(monitor, [fixAt(12, { rate: 1 })])[0]).toMatchObject({ status: "good", connected: true });
    expect(states(monitor, [fixAt(16, { rate: 1 })])[0]).toMatchObject({ status: "recovering", connected: false });
  });
});

describe("any faults together", () => {
  it("throw nothing, stay finite, and end in good once the fixes are", () => {
    const next = random(99);
    const odd = [Number.NaN, Number.POSITIVE_INFINITY, -1, 0, 1e308, undefined as unknown as number];
    for (let round = 0; round < 80; round++) {
      const monitor = new FixMonitor({ maximumHorizontalAccuracy: 1, maximumCorrectionAge: 30 });
      let i = 0;
      for (; i < 300; i++) {
        let fix: Fix = { ...fixAt(i), horizontalAccuracy: 0.02, correctionAge: 1 };
        const fault = Math.floor(next() * 24);
        if (fault === 0) fix = moved(fix, 10 ** (next() * 7 - 1));
        else if (fault === 1) fix = { ...fix, time: fix.time - next() * 100 };
        else if (fault === 2) fix = { ...fix, time: fixAt(i - 1).time };
        else if (fault === 3) fix = { ...fix, quality: Math.floor(next() * 9) };
        else if (fault === 4) fix = { ...fix, dated: true };
        else if (fault === 5) {
          const key = ["time", "latitude", "longitude", "quality", "speed", "correctionAge"][Math.floor(next() * 6)]!;
          fix = { ...fix, [key]: odd[Math.floor(next() * odd.length)]! };
        } else if (fault === 6) {
          sound([{ ...monitor.check(fix.time + next() * 2 - 0.5) }].filter((s) => s.status === "stale"));
          continue;
        }
        sound([{ ...monitor.update(fix) }]);
      }
      // bounded recovery: whatever was before, a second and five fixes, and three more where the clock was set
      let last: FixState | undefined;
      for (let n = 0; n < 40; n++)
        last = { ...monitor.update({ ...fixAt(i + n), horizontalAccuracy: 0.02, correctionAge: 1 }) };
      expect(last, `round ${round}`).toMatchObject({ status: "good", usable: true, connected: true });
    }
  });
});
