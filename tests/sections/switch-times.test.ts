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
    expectCode(() => switchTimes([null as never]), "not-finite");
    expectCode(() => switchTimes([good], { turnOnTime: -1 }), "out-of-range");
  });
});
