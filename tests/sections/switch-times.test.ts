import { describe, expect, test } from "vitest";
import { CoverageRecord } from "../../src/coverage/index.js";
import { boom, evenSections, SectionControl, type SeenEdge, switchTimes } from "../../src/sections/index.js";
import { normal } from "../helpers/random.js";
import { expectCode, expectWithin } from "../helpers/within.js";
import { run } from "./drive.js";

/** Edges of valves that take `on` and `off` s, of a tool `ahead` m farther ahead than told, all set to 0.2 s. */
function edges(speeds: readonly number[], on: number, off: number, ahead: number, error = () => 0): SeenEdge[] {
  return speeds.flatMap((speed): SeenEdge[] => [
    { speed, wanted: 20, seen: 20 + speed * (on - 0.2) + ahead + error(), kind: "on" },
    { speed, wanted: 80, seen: 80 + speed * (off - 0.2) + ahead + error(), kind: "off" },
  ]);
}
const set = { turnOnTime: 0.2, turnOffTime: 0.2 };

describe("switch times from seen edges", () => {
  test("come out exactly, and apart from a tool's place that is wrong", () => {
    const found = switchTimes(edges([1.5, 3, 4.5], 0.65, 0.35, -0.4), set);
    expectWithin(found.turnOnTime!.value, 0.65, 1e-9);
    expectWithin(found.turnOffTime!.value, 0.35, 1e-9);
    expectWithin(found.distance!.value, -0.4, 1e-9);
    expectWithin(found.residual, 0, 1e-9);
    expectWithin(found.turnOnTime!.standardError!, 0, 1e-6);
  });

  // published rows: 10 km/h 0.3 s 0.8333 m, 20 km/h 0.6 s 3.3333 m, 15 km/h 0.2 s 0.8333 m, by v Δt
  test.for([
    [10, 0.3, 0.8333],
    [20, 0.6, 3.3333],
    [15, 0.2, 0.8333],
  ] as const)("%d km/h and %d s late is %d m", ([kmh, late, metres]) => {
    const found = switchTimes([{ speed: kmh / 3.6, wanted: 0, seen: metres, kind: "off" }], set);
    expectWithin(found.turnOffTime!.value, 0.2 + late, 2e-5);
    expect(found.turnOnTime).toBeNull();
    expect(found.distance).toBeNull();
    expect(found.turnOffTime!.standardError).toBeNull();
  });

  test("at one speed keep the distance in the times", () => {
    const found = switchTimes(edges([2, 2, 2.005], 0.5, 0.4, 0.2), set);
    expect(found.distance).toBeNull();
    expectWithin(found.turnOnTime!.value, 0.6, 1e-3);
    expectWithin(found.turnOffTime!.value, 0.5, 1e-3);
  });

  test("take the distance from the kind that has two speeds", () => {
    const list: SeenEdge[] = [
      ...edges([2, 4], 0.7, 0.4, 0.3).filter((edge) => edge.kind === "on"),
      { speed: 3, wanted: 80, seen: 80 + 3 * 0.2 + 0.3, kind: "off" },
    ];
    const found = switchTimes(list, set);
    expectWithin(found.distance!.value, 0.3, 1e-9);
    expectWithin(found.turnOffTime!.value, 0.4, 1e-9);
    expect(found.distance!.standardError).toBeNull();
  });

  // the textbook's formulas for a line y = a + b x: b's error is sqrt(s2 / Sxx), a's sqrt(s2 (1 / n + mean(x)2 / Sxx))
  test("are those of a straight line through the lateness over the speed", () => {
    const late = [0.1, 0.4, 0.5];
    for (const kind of ["on", "off"] as const) {
      const list = late.map((y, k): SeenEdge => ({ speed: k + 1, wanted: 10, seen: 10 + y, kind }));
      const found = switchTimes(list);
      const time = kind === "on" ? found.turnOnTime! : found.turnOffTime!;
      expect(kind === "on" ? found.turnOffTime : found.turnOnTime).toBeNull();
      const s2 = 0.02 / 3;
      expectWithin(time.value, 0.2, 1e-12);
      expectWithin(found.distance!.value, -0.2 / 3, 1e-12);
      expectWithin(time.standardError!, Math.sqrt(s2 / 2), 1e-12);
      expectWithin(found.distance!.standardError!, Math.sqrt(s2 * (1 / 3 + 4 / 2)), 1e-12);
      expectWithin(found.residual, Math.sqrt(s2 / 3), 1e-12);
    }
  });

  test("of both kinds have errors by all edges together", () => {
    // two on, 0.1 m either way of 0.5 m at 2 m/s; two off, 0.3 m either way of 1 m at 4 m/s
    const found = switchTimes([
      { speed: 2, wanted: 0, seen: 0.4, kind: "on" },
      { speed: 2, wanted: 0, seen: 0.6, kind: "on" },
      { speed: 4, wanted: 5, seen: 5.7, kind: "off" },
      { speed: 4, wanted: 5, seen: 6.3, kind: "off" },
    ]);
    // four edges less two times are left to tell the variance: 0.2 m2 / 2
    expectWithin(found.turnOnTime!.value, 0.25, 1e-12);
    expectWithin(found.turnOffTime!.value, 0.25, 1e-12);
    expectWithin(found.turnOnTime!.standardError!, Math.sqrt(0.1 / 8), 1e-12);
    expectWithin(found.turnOffTime!.standardError!, Math.sqrt(0.1 / 32), 1e-12);
    expectWithin(found.residual, Math.sqrt(0.05), 1e-12);
    expect(found.distance).toBeNull();
  });

  test("tell a distance by speeds more than a centimetre a second apart", () => {
    const at = (...speeds: number[]) =>
      switchTimes(speeds.map((speed): SeenEdge => ({ speed, wanted: 0, seen: speed, kind: "on" }))).distance;
    expect(0.02 - 0.01).toBe(0.01);
    expect(at(0.01, 0.02)).toBeNull();
    expectWithin(at(0.01, 0.0201)!.value, 0, 1e-9);
    expectWithin(at(0.0201, 0.01)!.value, 0, 1e-9);
    expect(at(0.01)).toBeNull();
  });

  test("say how sure they are: 19 of 20 lie within two standard errors", () => {
    const error = normal(3);
    let inside = 0;
    const n = 400;
    for (let k = 0; k < n; k++) {
      const found = switchTimes(
        edges([1, 2, 3, 4, 5, 2, 4, 3], 0.65, 0.35, 0.1, () => 0.05 * error()),
        set,
      );
      if (Math.abs(found.turnOnTime!.value - 0.65) < 2 * found.turnOnTime!.standardError!) inside++;
    }
    expectWithin(inside / n, 0.95, 0.035);
  });

  test("set in the boom, put the edges where they were wanted", () => {
    const valves = { on: 0.62, off: 0.34 };
    const seenAt = (times: { turnOnTime: number; turnOffTime: number }, speed: number): SeenEdge[] => {
      const control = new SectionControl({
        boom: boom({ sections: evenSections(3, 1), ...times }),
        field: [
          {
            exterior: [
              [-5, 20],
              [5, 20],
              [5, 80],
              [-5, 80],
            ],
            holes: [],
          },
        ],
        coverage: new CoverageRecord(),
        settings: { betweenFixes: true },
      });
      run(control, { x: 0, y: 0, heading: 0, speed, yawRate: 0 }, 0, 50 / speed, 5);
      const on = control.state.crossings[0]!;
      run(control, { x: 0, y: 50, heading: 0, speed, yawRate: 0 }, 50 / speed, 95 / speed, 5, (input) => ({
        ...input,
        y: speed * input.time,
      }));
      const off = control.state.crossings[0]!;
      return [
        { speed, wanted: 20, seen: speed * (on + valves.on), kind: "on" },
        { speed, wanted: 80, seen: speed * (off + valves.off), kind: "off" },
      ];
    };
    const first = { turnOnTime: 0.2, turnOffTime: 0.2 };
    const found = switchTimes([...seenAt(first, 2), ...seenAt(first, 4)], first);
    const times = { turnOnTime: found.turnOnTime!.value, turnOffTime: found.turnOffTime!.value };
    expectWithin(times.turnOnTime, valves.on, 2e-3);
    expectWithin(times.turnOffTime, valves.off, 2e-3);
    for (const edge of seenAt(times, 3)) expectWithin(edge.seen, edge.wanted, 0.01);
  });

  test("refuse what is no edge", () => {
    expectCode(() => switchTimes([]), "too-few-points");
    expectCode(() => switchTimes(undefined as never), "too-few-points");
    const good: SeenEdge = { speed: 2, wanted: 0, seen: 1, kind: "on" };
    for (const [change, code, argument] of [
      [{ speed: 0 }, "out-of-range", "edges.speed"],
      [{ speed: -1 }, "out-of-range", "edges.speed"],
      [{ wanted: Number.NaN }, "not-finite", "edges.wanted"],
      [{ seen: undefined }, "not-finite", "edges.seen"],
      [{ kind: "up" }, "out-of-range", "edges.kind"],
    ] as const) {
      const error = expectCode(() => switchTimes([good, { ...good, ...change } as never]), code);
      expect([error.argument, error.index]).toEqual([argument, 1]);
    }
    for (const none of [undefined, null, 5, {}]) expectCode(() => switchTimes([none as never]), "not-finite");
    for (const name of ["turnOnTime", "turnOffTime"]) {
      for (const time of [0, 30]) expect(() => switchTimes([good], { [name]: time })).not.toThrow();
      for (const time of [-0.001, 30.001]) {
        const error = expectCode(() => switchTimes([good], { [name]: time }), "out-of-range");
        expect(error.argument).toBe(`options.${name}`);
      }
    }
    expect(switchTimes([good], null as never).turnOnTime!.value).toBe(0.5);
    expect(switchTimes([{ ...good, speed: 50 }]).turnOnTime!.value).toBe(0.02);
    expectCode(() => switchTimes([{ ...good, speed: 50.001 }]), "out-of-range");
    expect(expectCode(() => switchTimes([]), "too-few-points")).toMatchObject({ argument: "edges", value: [] });
    // what has a length is no list yet
    expectCode(() => switchTimes({ length: 1, 0: good } as never), "too-few-points");
    expect(expectCode(() => switchTimes([good, { ...good, kind: "up" } as never]), "out-of-range")).toMatchObject({
      value: "up",
    });
  });
});
