import { describe, expect, test } from "vitest";
import { CoverageRecord } from "../../src/coverage/index.js";
import { boom, evenSections, SectionControl, type SectionSettings } from "../../src/sections/index.js";
import { random } from "../helpers/random.js";
import { expectCode, expectWithin } from "../helpers/within.js";
import { light } from "../helpers/light.js";

const SPEED = 4;
const [turnOnTime, turnOffTime] = [0.5, 0.3];

/** Drive north from y = 0 over a field from 20 to 60; fixes tell where the machine was `age(k)` before. Gives where product truly began and ended. */
function edges(settings: SectionSettings, age: (k: number) => number, coverage = new CoverageRecord()): number[] {
  const control = new SectionControl({
    boom: boom({ sections: evenSections(6, 2), turnOnTime, turnOffTime }),
    field: [
      {
        exterior: [
          [-10, 20],
          [10, 20],
          [10, 60],
          [-10, 60],
        ],
        holes: [],
      },
    ],
    coverage,
    settings: { betweenFixes: true, ...settings },
  });
  const seen: number[] = [];
  let last: number | null = null;
  for (let k = 0; k <= 200; k++) {
    const time = k / 10;
    control.update({ time, x: 0, y: SPEED * (time - age(k)), heading: 0, speed: SPEED, usable: true });
    const crossing = control.state.crossings[0] ?? null;
    // planned times only count once they are past
    if (crossing !== null && crossing !== last) {
      last = crossing;
      seen.push(SPEED * (crossing + (control.state.ordered[0]! ? turnOnTime : turnOffTime)));
    }
  }
  return seen;
}

describe("latency of the receiver", () => {
  test.for([0, 0.05, 0.3, 0.5, 1.7])("of %d s is made up for where it is told", (latency) => {
    const coverage = new CoverageRecord();
    const [on, off] = edges({ latency }, () => latency, coverage);
    expectWithin(on!, 20, 2e-3);
    expectWithin(off!, 60, 2e-3);
    // and the record has it where it was
    expectWithin(coverage.areas().worked, 6 * 40, 0.7);
    expect(coverage.isCovered(0, 20.05) && coverage.isCovered(0, 59.95)).toBe(true);
    expect(coverage.isCovered(0, 19.95) || coverage.isCovered(0, 60.05)).toBe(false);
  });

  test("that is not told is off by speed times latency", () => {
    const [on, off] = edges({}, () => 0.3);
    expectWithin(on!, 20 + SPEED * 0.3, 2e-3);
    expectWithin(off!, 60 + SPEED * 0.3, 2e-3);
  });

  // jitter up to half the interval between fixes
  test("with jitter is off by speed times jitter at most", () => {
    for (const jitter of [0.01, 0.02, 0.05]) {
      for (let seed = 1; seed <= (light ? 1 : 10); seed++) {
        const next = random(seed);
        const [on, off] = edges({ latency: 0.3 }, () => 0.3 + jitter * (2 * next() - 1));
        expectWithin(on!, 20, SPEED * jitter + 2e-3, "on");
        expectWithin(off!, 60, SPEED * jitter + 2e-3, "off");
      }
    }
  });

  test("is no age of the fix, and is refused where it is none", () => {
    expect(edges({ latency: 2, maximumAge: 0.5 }, () => 2)).toHaveLength(2);
    expectCode(() => edges({ latency: 2.1 }, () => 0), "out-of-range");
    expectCode(() => edges({ latency: -0.1 }, () => 0), "out-of-range");
  });
});
