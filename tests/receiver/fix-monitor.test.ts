import { describe, expect, expectTypeOf, it } from "vitest";
import { type Fix, FixMonitor, type FixMonitorSnapshot, type FixState, NmeaReader } from "../../src/receiver/index.js";
import { expectCode } from "../helpers/within.js";
import { fixAt, moved, range, states } from "./drive.js";
import { bytesOf, epoch } from "./sentences.js";

describe("FixMonitor", () => {
  it("wants three good fixes at the start", () => {
    const monitor = new FixMonitor();
    const all = states(
      monitor,
      range(4).map((i) => fixAt(i)),
    );
    expect(all.map((s) => [s.status, s.reason, s.usable])).toEqual([
      ["recovering", "start", false],
      ["recovering", "start", false],
      ["good", "none", true],
      ["good", "none", true],
    ]);
    expect(monitor.counts).toMatchObject({ good: 2, recovering: 2 });
  });

  it("takes qualities 2, 4 and 5 unless told", () => {
    for (let quality = 1; quality <= 8; quality++) {
      const last = states(
        new FixMonitor(),
        range(5).map((i) => fixAt(i, { quality })),
      ).at(-1)!;
      expect(last.usable, `quality ${quality}`).toBe([2, 4, 5].includes(quality));
      const told = states(
        new FixMonitor({ qualities: [quality] }),
        range(5).map((i) => fixAt(i, { quality })),
      ).at(-1)!;
      expect(told.usable).toBe(true);
    }
  });

  it("takes the owned fix of the reader", () => {
    const reader = new NmeaReader();
    const monitor = new FixMonitor();
    const statuses: string[] = [];
    const text = range(12)
      .map((i) => epoch({ at: 1000 + 10 * i, types: ["GGA", "RMC"], knots: 0 }))
      .join("");
    reader.pushEach(bytesOf(text), (fix) => statuses.push(monitor.update(fix).status));
    expect(statuses).toEqual(["recovering", "recovering", ...range(statuses.length - 2).map(() => "good")]);
    expect(statuses.length).toBeGreaterThanOrEqual(11);
  });

  it("says stale before the first fix, and to a clock that is none", () => {
    const monitor = new FixMonitor();
    expect(monitor.state).toEqual({ ...monitor.check(5) });
    expect(monitor.counts.stale).toBe(0);
    expect(monitor.check(5)).toMatchObject({ status: "stale", reason: "start", usable: false, age: 0 });
    states(
      monitor,
      range(5).map((i) => fixAt(i)),
    );
    for (const time of [Number.NaN, Number.POSITIVE_INFINITY, 0, -1e9]) {
      const fresh = new FixMonitor();
      states(
        fresh,
        range(5).map((i) => fixAt(i)),
      );
      const state = fresh.check(time);
      expect(state, String(time)).toMatchObject({ status: "stale", reason: "clock", usable: false });
      expect(Number.isFinite(state.age)).toBe(true);
    }
    // a host's clock a little behind is no trouble
    expect(monitor.check(fixAt(4).time - 0.05)).toMatchObject({ status: "good", usable: true, age: 0 });
  });

  it("overwrites one state", () => {
    const monitor = new FixMonitor();
    const first = monitor.update(fixAt(0));
    expect(monitor.update(fixAt(1))).toBe(first);
    expect(monitor.check(1000.2)).toBe(first);
    expectTypeOf(first).toEqualTypeOf<FixState>();
  });

  it("goes on from a snapshot through JSON as if nothing had been", () => {
    const faults = (i: number): Fix => {
      if (i === 33) return moved(fixAt(i), 500);
      if (i === 44) return fixAt(i, { quality: 1 });
      if (i === 66) return fixAt(65);
      if (i > 80 && i < 95) return moved(fixAt(i), 700);
      return fixAt(i > 60 ? i + 30 : i);
    };
    for (let cut = 0; cut < 120; cut += 7) {
      const whole = new FixMonitor({ maximumHorizontalAccuracy: 5, qualities: [4] });
      const accurate = (i: number): Fix => ({ ...faults(i), horizontalAccuracy: 0.1 });
      states(whole, range(cut).map(accurate));
      const text = JSON.stringify(whole.snapshot());
      const resumed = FixMonitor.restore(JSON.parse(text) as FixMonitorSnapshot, {
        maximumHorizontalAccuracy: 5,
        qualities: [4],
      });
      expect(resumed.state).toEqual(whole.state);
      const rest = range(120 - cut).map((i) => accurate(cut + i));
      expect(states(resumed, rest)).toEqual(states(whole, rest));
      expect(resumed.snapshot()).toEqual(whole.snapshot());
    }
  });

  it("refuses a damaged snapshot", () => {
    const monitor = new FixMonitor();
    const snapshot = monitor.snapshot();
    for (const damaged of [
      null,
      {},
      { ...snapshot, version: 3 },
      { ...snapshot, goodLatitude: Number.NaN },
      { ...snapshot, usable: 1 },
      { ...snapshot, counts: null },
      { ...snapshot, state: undefined },
      { ...snapshot, state: { ...snapshot.state, age: null } },
      { ...snapshot, counts: { ...snapshot.counts, jump: "3" } },
    ]) {
      expectCode(() => FixMonitor.restore(damaged as never), "bad-snapshot");
    }
    const short: Record<string, unknown> = { ...snapshot };
    delete short["jumpTime"];
    expect(expectCode(() => FixMonitor.restore(short as never), "bad-snapshot").argument).toBe("snapshot.jumpTime");
  });

  it.for([
    [{ qualities: [] }, "too-few-points"],
    [{ qualities: [0] }, "out-of-range"],
    [{ qualities: [4, 9] }, "out-of-range"],
    [{ qualities: [4.5] }, "out-of-range"],
    [{ maximumAge: 0 }, "out-of-range"],
    [{ maximumAge: Number.NaN }, "not-finite"],
    [{ maximumSpeed: 0 }, "out-of-range"],
    [{ jumpMargin: -1 }, "out-of-range"],
    [{ recoverAfter: 0 }, "out-of-range"],
    [{ recoverAfter: 1.5 }, "out-of-range"],
    [{ acceptJumpAfter: 0 }, "out-of-range"],
    [{ recoverTime: -1 }, "out-of-range"],
    [{ maximumHorizontalAccuracy: 0 }, "out-of-range"],
    [{ maximumCorrectionAge: -1 }, "out-of-range"],
  ] as const)("refuses the options %o", ([options, code]) => {
    expectCode(() => new FixMonitor(options), code);
  });
});
