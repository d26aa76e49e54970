import { describe, expect, test } from "vitest";
import {
  antennaToReference,
  leverArm,
  machine,
  planWidth,
  referenceToTool,
  sideShift,
} from "../../src/machine/index.js";
import { expectWithin } from "../helpers/within.js";

const out = new Float64Array(3);

describe("slope", () => {
  // h sin(roll): 3 m at 5 degrees 0.2615 m, 3.5 m at 10 degrees 0.6078 m
  test.for([
    [3, 5, 0.2615],
    [3.5, 10, 0.6078],
    [3, -5, -0.2615],
  ] as const)("%d m up at %d degrees of roll stands %d m to the right", ([height, roll, shift]) => {
    expectWithin(sideShift(height, roll), shift, 5e-5);
    leverArm(0, 0, roll, 0, 0, -height, out);
    expectWithin(out[0]!, sideShift(height, roll), 1e-15);
  });

  test("a boom across a slope covers its cosine", () => {
    expectWithin(planWidth(36, 10), 36 * Math.cos(Math.PI / 18), 1e-12);
    expect(planWidth(36, 10)).toBe(planWidth(36, -10));
    expect(planWidth(36, 0)).toBe(36);
    // the plan width is what lies between the tips on the plan
    const tips = [-18, 18].map((y) => {
      referenceToTool({ x: -5, y, z: -0.6 }, 1000, 2000, 0, 90, 0, 7, out);
      return out[1]!;
    });
    expectWithin(tips[0]! - tips[1]!, planWidth(36, 7), 1e-11);
  });

  test("a tool stands where its arm says, pitch and roll included", () => {
    referenceToTool({ x: -4.5, y: 12, z: -1 }, 100, 50, 0, 0, 0, 8, out);
    const r = (8 * Math.PI) / 180;
    expectWithin(out[0]!, 100 + 12 * Math.cos(r) + Math.sin(r), 1e-12);
    expectWithin(out[1]!, 45.5, 1e-12);
    expectWithin(out[2]!, -12 * Math.sin(r) + Math.cos(r), 1e-12);
    // nose up by 6 degrees: a tool behind runs nearer, one above it farther back
    referenceToTool({ x: -5, y: 0, z: -1 }, 0, 0, 0, 0, 6, 0, out);
    const p = (6 * Math.PI) / 180;
    expectWithin(out[1]!, -5 * Math.cos(p) - Math.sin(p), 1e-12);
  });

  test("undoes antennaToReference for the antenna itself", () => {
    const tractor = machine({ antenna: { x: 1.2, y: 0.1, z: -3.1 } });
    antennaToReference(tractor, 300, 400, 5, 77, 3, -6, out);
    const [x, y, z] = out as unknown as [number, number, number];
    referenceToTool(tractor.antenna, x, y, z, 77, 3, -6, out);
    expectWithin(out[0]!, 300, 1e-12);
    expectWithin(out[1]!, 400, 1e-12);
    expectWithin(out[2]!, 5, 1e-12);
  });

  test("gives NaN for NaN", () => {
    expect(sideShift(Number.NaN, 1)).toBeNaN();
    expect(planWidth(10, Number.NaN)).toBeNaN();
    expect(Object.is(sideShift(3, -0), 0)).toBe(true);
  });
});
