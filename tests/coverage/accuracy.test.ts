import { describe, expect, test } from "vitest";
import { CoverageRecord } from "../../src/coverage/index.js";
import { random } from "../helpers/random.js";
import { expectWithin } from "../helpers/within.js";
import { ringArea, sweep } from "./oracle.js";

describe("the area of marks against the exact area (P27)", () => {
  test("is off by at most perimeter times cell, and by nothing in the mean", () => {
    const next = random(7);
    let sum = 0;
    const n = 2000;
    for (let k = 0; k < n; k++) {
      const record = new CoverageRecord();
      const heading = next() * 360;
      const h = (heading * Math.PI) / 180;
      const a = { x: next() * 100, y: next() * 100, heading };
      const b = { x: a.x + 0.5 * Math.sin(h), y: a.y + 0.5 * Math.cos(h), heading };
      const quad = sweep(a, b, -1.5, 1.5);
      record.mark(...quad);
      const error = record.areas().worked - ringArea(quad);
      expectWithin(record.areas().worked, ringArea(quad), 7 * 0.1, "area, m²");
      sum += error;
    }
    // the error of one quad has a standard deviation under 0.03 m² here, of the mean under 0.001 m²
    expectWithin(sum / n, 0, 2e-3, "mean error of 1.5 m², m²");
  });

  /** Area of a pass of 6 m x 500 m by the record, m². */
  function pass(heading: number): number {
    const record = new CoverageRecord();
    const h = (heading * Math.PI) / 180;
    const pose = (s: number) => ({ x: 12.34 + s * Math.sin(h), y: -5.43 + s * Math.cos(h), heading });
    for (let s = 0; s < 1000; s++) record.mark(...sweep(pose(s / 2), pose(s / 2 + 0.5), -3.02, 2.98));
    expect(record.areas().workedTwice).toBe(0);
    return record.areas().worked;
  }

  test("a boom pass of 6 m x 500 m is right to 0.1 % where its edges do not run along a line of centres", () => {
    for (const heading of [0, 3, 30, 77.7, 90, 133, 179, 271])
      expectWithin(pass(heading), 3000, 3, `at ${heading}, m²`);
  });

  test("at exactly 45 degrees each edge takes or leaves a whole diagonal of centres, 0.07 m apart", () => {
    expectWithin(pass(45), 3000, 500 * 0.1 * Math.SQRT1_2, "at 45, m²");
  });
});
