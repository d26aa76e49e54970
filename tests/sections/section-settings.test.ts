import { describe, expect, test } from "vitest";
import { requireHeadlandRule, resolveSettings } from "../../src/sections/section-settings.js";

/** What the error tells a program: code, argument, value. */
function refusal(call: () => unknown): unknown[] {
  try {
    call();
  } catch (error) {
    const { code, argument, value } = error as Record<string, unknown>;
    return [code, argument, value];
  }
  throw new Error("taken");
}

describe("settings of section control", () => {
  test("have their defaults, and cannot be changed", () => {
    const settings = resolveSettings({});
    expect(settings).toEqual({
      overlapTolerance: 0,
      overlapBy: "width",
      footprintLength: 1,
      outsideTolerance: 0,
      minimumSpeed: 0.3,
      minimumOnTime: 0,
      minimumOffTime: 0,
      minimumCycleTime: 1,
      latency: 0,
      betweenFixes: false,
      workReversing: false,
      headlandRule: "both",
      maximumAge: 1.5,
    });
    expect(Object.isFrozen(settings)).toBe(true);
  });

  test.for([
    ["overlapTolerance", 0, 1],
    ["footprintLength", 0.1, 50],
    ["outsideTolerance", 0, 1],
    ["minimumSpeed", 0, 20],
    ["minimumOnTime", 0, 60],
    ["minimumOffTime", 0, 60],
    ["minimumCycleTime", 0, 60],
    ["latency", 0, 2],
  ] as const)("take %s from %d to %d", ([name, least, most]) => {
    for (const value of [least, most]) expect(resolveSettings({ [name]: value })[name]).toBe(value);
    for (const value of [least - 0.001, most + 0.001]) {
      expect(refusal(() => resolveSettings({ [name]: value }))).toEqual(["out-of-range", `settings.${name}`, value]);
    }
    expect(refusal(() => resolveSettings({ [name]: Number.NaN }))).toEqual([
      "not-finite",
      `settings.${name}`,
      Number.NaN,
    ]);
  });

  test("take a maximum age above 0, up to a minute", () => {
    for (const maximumAge of [0.001, 60]) expect(resolveSettings({ maximumAge }).maximumAge).toBe(maximumAge);
    for (const maximumAge of [0, 60.001]) {
      expect(refusal(() => resolveSettings({ maximumAge }))).toEqual([
        "out-of-range",
        "settings.maximumAge",
        maximumAge,
      ]);
    }
  });

  test("take their words, and no others", () => {
    for (const overlapBy of ["width", "area"] as const)
      expect(resolveSettings({ overlapBy })).toMatchObject({ overlapBy });
    for (const headlandRule of ["both", "headland", "mainfield"] as const) {
      expect(resolveSettings({ headlandRule })).toMatchObject({ headlandRule });
    }
    for (const [name, value] of [
      ["overlapBy", "length"],
      ["headlandRule", "some"],
    ]) {
      expect(refusal(() => resolveSettings({ [name!]: value }))).toEqual(["out-of-range", `settings.${name}`, value]);
    }
    expect(refusal(() => requireHeadlandRule(5, "rule"))).toEqual(["out-of-range", "rule", 5]);
  });

  test("are on only by true", () => {
    for (const name of ["betweenFixes", "workReversing"] as const) {
      expect(resolveSettings({ [name]: true })[name]).toBe(true);
      for (const value of [false, 1, "yes", null]) {
        expect(resolveSettings({ [name]: value })[name]).toBe(false);
      }
    }
  });

  test("have to be an object", () => {
    for (const none of [null, 5]) {
      expect(refusal(() => resolveSettings(none as never))).toEqual(["not-finite", "settings", none]);
    }
  });
});
