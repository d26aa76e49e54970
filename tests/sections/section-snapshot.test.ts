import { describe, expect, test } from "vitest";
import { CoverageRecord } from "../../src/coverage/index.js";
import { boom, evenSections, SectionControl, type SectionSnapshot } from "../../src/sections/index.js";
import { checkSnapshot } from "../../src/sections/section-snapshot.js";
import { expectCode } from "../helpers/within.js";

const COUNT = 2;
const options = () => ({
  boom: boom({ sections: evenSections(6, COUNT), turnOnTime: 0.5, turnOffTime: 0.25 }),
  coverage: new CoverageRecord(),
});
const good = (): SectionSnapshot => new SectionControl(options()).snapshot();

describe("the frame of a snapshot", () => {
  const refused = (snapshot: unknown): void => {
    const error = expectCode(() => checkSnapshot(snapshot as SectionSnapshot, COUNT), "bad-snapshot");
    expect(error.argument).toBe("snapshot");
  };
  const takes = (change: Partial<Record<keyof SectionSnapshot, unknown>>): void => {
    expect(() => checkSnapshot({ ...good(), ...change } as SectionSnapshot, COUNT)).not.toThrow();
  };
  const refuses = (change: Partial<Record<keyof SectionSnapshot, unknown>>): void => {
    refused({ ...good(), ...change });
  };

  test("is an object of version 2, of so many sections", () => {
    takes({});
    for (const none of [undefined, null, 2, "2", Object.assign(() => 0, good())]) refused(none);
    for (const version of [1, 3, "2", undefined]) refuses({ version });
    for (const count of [1, 3, "2", undefined]) refuses({ count });
  });

  test("has all its lists", () => {
    const lists = [
      "numbers",
      "clock",
      "orders",
      "instants",
      "swept",
      "overrides",
      "reasons",
      "upcomingReasons",
    ] as const;
    for (const name of lists) {
      refuses({ [name]: undefined });
      // what has a length and members is no list yet
      const list = good()[name];
      refuses({ [name]: { length: list.length, every: () => true } });
    }
  });

  test("has five finite numbers, the third a direction", () => {
    takes({ numbers: [1, 0, 1, 2, 3] });
    takes({ numbers: [1, 0, -1, 2, 3] });
    for (const direction of [0, 2, -2, 0.5]) refuses({ numbers: [1, 0, direction, 2, 3] });
    refuses({ numbers: [1, 0, 1, 2] });
    refuses({ numbers: [1, 0, 1, 2, 3, 4] });
    refuses({ numbers: [1, 0, 1, 2, Number.NaN] });
    refuses({ numbers: [1, 0, 1, "2", 3] });
  });

  test("has two instants a section, finite or none", () => {
    takes({ instants: [null, 1, 2.5, null] });
    takes({ instants: [1, 2, 3, 4] });
    refuses({ instants: [null, null, null] });
    refuses({ instants: [null, null, null, null, null] });
    for (const bad of [Number.NaN, "1", undefined]) refuses({ instants: [null, 1, bad, null] });
  });

  test("has a wish for each section", () => {
    takes({ overrides: ["on", "off"] });
    takes({ overrides: ["auto", "auto"] });
    refuses({ overrides: ["on"] });
    refuses({ overrides: ["on", "off", "auto"] });
    refuses({ overrides: ["on", "maybe"] });
  });

  test("has reasons for each section", () => {
    for (const name of ["reasons", "upcomingReasons"] as const) {
      takes({ [name]: ["working", "stale"] });
      refuses({ [name]: ["working"] });
      refuses({ [name]: ["working", "stale", "working"] });
      refuses({ [name]: ["working", 5] });
      refuses({ [name]: [null, "working"] });
    }
  });

  test("has a headland rule", () => {
    for (const headlandRule of ["both", "headland", "mainfield"]) takes({ headlandRule });
    for (const headlandRule of ["none", "", undefined]) refuses({ headlandRule });
  });
});
