import { describe, expect, test } from "vitest";
import { CoverageRecord } from "../../src/coverage/index.js";
import {
  boom,
  evenSections,
  SectionControl,
  type SectionControlOptions,
  type SectionInput,
  type SectionSettings,
} from "../../src/sections/index.js";
import { expectCode, expectWithin } from "../helpers/within.js";

// times and places are sums of powers of two where a limit is to be met to the bit

const tool = boom({ sections: evenSections(4, 2), turnOnTime: 0.5, turnOffTime: 0.25 });
const quick = boom({ sections: evenSections(4, 2) });

function make(settings: SectionSettings = {}, more: Partial<SectionControlOptions> = {}): SectionControl {
  return new SectionControl({ boom: tool, coverage: new CoverageRecord(), settings, ...more });
}

/** A fix on a drive north at 2 m/s. */
const at = (time: number, more: Partial<SectionInput> = {}): SectionInput => ({
  time,
  x: 0,
  y: 2 * time,
  heading: 0,
  speed: 2,
  usable: true,
  ...more,
});

describe("a control", () => {
  test("takes a boom with gaps, and one written by hand", () => {
    const sections = [
      { left: -2, right: -1 },
      { left: 1, right: 2 },
    ];
    const made = make({}, { boom: boom({ sections, allowGaps: true }) });
    expect(made.boom.sections).toMatchObject(sections);
    const byHand = make({}, { boom: { sections: sections.map((s) => ({ ...s })) } as never });
    expect(byHand.boom).toMatchObject({ x: 0, turnOnTime: 0, turnOffTime: 0 });
  });

  test("gives one object all along", () => {
    const control = make();
    expect(control.update(at(0))).toBe(control.state);
    expect(control.tick(0)).toBe(control.state);
    expect(control.setMaster(true)).toBe(control.state);
    expect(control.setOverride(0, "auto")).toBe(control.state);
  });

  test("told nothing at all is off for want of a position", () => {
    for (const none of [undefined, null]) {
      const control = make();
      control.update(at(0));
      expect(control.update(none as never)).toMatchObject({
        ordered: [false, false],
        reasons: ["position", "position"],
      });
    }
  });

  test("is refused without its parts, by name", () => {
    const coverage = new CoverageRecord();
    const refused = (options: unknown): [string, string] => {
      try {
        new SectionControl(options as SectionControlOptions);
      } catch (error) {
        const { code, argument } = error as Record<string, string>;
        return [code!, argument!];
      }
      throw new Error("taken");
    };
    for (const none of [undefined, null, 5]) expect(refused(none)).toEqual(["not-finite", "options"]);
    for (const none of [undefined, null, {}, { sections: {} }]) {
      expect(refused({ boom: none, coverage })).toEqual(["wrong-state", "options.boom"]);
    }
    for (const none of [undefined, null, {}, { mark: true }]) {
      expect(refused({ boom: tool, coverage: none })).toEqual(["wrong-state", "options.coverage"]);
    }
  });
});

describe("a fix that is not newer", () => {
  test("by the maximum age and no more changes nothing; by more the clock is set back", () => {
    const back = (age: number): SectionControl => {
      const control = make({ maximumAge: 1.5 });
      for (let k = 0; k <= 8; k++) control.update(at(4 + k / 4));
      control.update(at(6 - age));
      return control;
    };
    expect(back(1.5).state).toMatchObject({ time: 6, ordered: [true, true] });
    expect(back(1.625).state).toMatchObject({
      time: 4.375,
      ordered: [false, false],
      reasons: ["position", "position"],
    });
  });

  test("and not usable is heard, with its reason", () => {
    const control = make();
    control.update(at(1));
    expect(control.update(at(1, { usable: false, reason: "stale" })).reasons).toEqual(["stale", "stale"]);
    expect(control.update(at(1, { usable: false })).reasons).toEqual(["position", "position"]);
  });

  test("by which a clock is set back keeps what is under way at its distance from now", () => {
    const control = make();
    for (let k = 0; k <= 8; k++) control.update(at(100 + k / 4));
    // off at 102 lands at 102.25
    expect(control.setMaster(false).working).toEqual([true, true]);
    expect(control.update(at(50)).working).toEqual([true, true]);
    expect(control.tick(50.125).working).toEqual([true, true]);
    expect(control.tick(50.25).working).toEqual([false, false]);
  });
});

describe("a clock told by ticks", () => {
  test("does not go back", () => {
    const control = make();
    control.update(at(1));
    expect(control.tick(1.5).time).toBe(1.5);
    expect(control.tick(1.25).time).toBe(1.5);
    expect(control.tick(1.75).time).toBe(1.75);
  });

  test("turns off past the maximum age, not at it", () => {
    const control = make({ maximumAge: 1.5 });
    control.update(at(1));
    expect(control.tick(2.5).ordered).toEqual([true, true]);
    expect(control.tick(2.625)).toMatchObject({ ordered: [false, false], reasons: ["stale", "stale"] });
  });

  test("that tells no time turns off at once", () => {
    const control = make();
    control.update(at(1));
    expect(control.tick(Number.NaN)).toMatchObject({ time: 1, ordered: [false, false], reasons: ["stale", "stale"] });
  });

  test("far ahead of the fixes is set back to theirs, all off once", () => {
    const late = (age: number): SectionControl => {
      const control = make({ maximumAge: 1.5, minimumCycleTime: 0 });
      control.update(at(1));
      control.tick(1.25 + age);
      control.update(at(1.25));
      return control;
    };
    // as late as a fix may be
    expect(late(1.5).state.time).toBe(2.75);
    expect(late(1.5).state.ordered).toEqual([true, true]);
    const set = late(1.625);
    expect(set.state).toMatchObject({ time: 1.25, ordered: [false, false], reasons: ["stale", "stale"] });
    expect(set.update(at(1.5))).toMatchObject({ time: 1.5, ordered: [true, true] });
  });

  test("before any fix tells the time and no more", () => {
    const control = make();
    expect(control.tick(5)).toMatchObject({ time: 5, reasons: ["position", "position"] });
    expect(control.tick(4)).toMatchObject({ time: 4, reasons: ["position", "position"] });
  });
});

describe("the hand", () => {
  test("on a section or with a wish that is none is refused, and the error says what it was", () => {
    const control = make();
    for (const section of [-1, 2, 0.5, Number.NaN]) {
      const error = expectCode(() => control.setOverride(section, "off"), "out-of-range");
      expect(error).toMatchObject({ argument: "section", value: section });
      expect(error.message).toContain("0 to 1");
    }
    expect(expectCode(() => control.setOverride(0, "maybe" as never), "out-of-range")).toMatchObject({
      argument: "override",
      value: "maybe",
    });
    expect(expectCode(() => control.setHeadlandRule("none" as never), "out-of-range")).toMatchObject({
      argument: "rule",
      value: "none",
    });
  });

  test("on and auto leave a section that is on as it is", () => {
    const control = make();
    control.update(at(0));
    for (const override of ["on", "auto"] as const) {
      expect(control.setOverride(1, override)).toMatchObject({ ordered: [true, true], switches: [1, 1] });
    }
    expect(control.setOverride(1, "off")).toMatchObject({
      ordered: [true, false],
      reasons: ["working", "off-by-hand"],
    });
  });

  test("off without the master says that it is the master", () => {
    const control = make();
    control.update(at(0));
    control.setMaster(false);
    expect(control.setOverride(0, "off").reasons).toEqual(["master-off", "master-off"]);
  });
});

describe("the ground that is marked", () => {
  const drive = (inputs: readonly SectionInput[], settings: SectionSettings = {}) => {
    const coverage = new CoverageRecord();
    const control = make({ overlapTolerance: 1, ...settings }, { boom: quick, coverage });
    const told = inputs.map((input) => {
      const { workedArea, overlapArea } = control.update(input);
      return { workedArea, overlapArea };
    });
    return { coverage, control, told };
  };

  test("is told as new and as worked again, square metres", () => {
    const coverage = new CoverageRecord();
    coverage.mark(-2, 2, 2, 2, 2, 3, -2, 3);
    const control = make({ overlapTolerance: 1 }, { boom: quick, coverage });
    control.update(at(0));
    const states = control.update(at(1, { y: 2.5 }));
    // 4 m wide, 2.5 m long, of which half a metre was worked
    expectWithin(states.workedArea, 8, 1e-9);
    expectWithin(states.overlapArea, 2, 1e-9);
    expect(control.tick(1)).toMatchObject({ workedArea: 0, overlapArea: 0 });
  });

  test("joins places the maximum age apart, and no more", () => {
    const settings = { maximumAge: 1.5 };
    expectWithin(drive([at(0), at(1.5)], settings).coverage.areas().worked, 4 * 3, 1e-9);
    expect(drive([at(0), at(1.625)], settings).coverage.areas().worked).toBe(0);
  });

  test("once only where noise throws the tool back on its way", () => {
    const { told } = drive([at(0), at(0.5), at(1, { y: 0.75 }), at(1.5, { y: 2 })]);
    expect(told.map((areas) => areas.overlapArea)).toEqual([0, 0, 0, 0]);
    expectWithin(told[3]!.workedArea, 4, 1e-9);
  });

  test("begins where the tool stands once it changes its way", () => {
    const control = make({ workReversing: true }, { boom: quick });
    // on by hand: the rule would not go over worked ground
    for (const section of [0, 1]) control.setOverride(section, "on");
    control.update(at(0));
    control.update(at(0.5));
    // with the fix that first says so it is 0.4 m ahead still
    expect(control.update(at(0.75, { y: 1.4, speed: -2 }))).toMatchObject({ workedArea: 0, overlapArea: 0 });
    // from 1.4 back to 0.8
    const states = control.update(at(1, { y: 0.8, speed: -2 }));
    expectWithin(states.workedArea, 4 * 0.4, 1e-9);
    expectWithin(states.overlapArea, 4 * 0.2, 1e-9);
  });

  test("counts a machine that stands as one that goes forward", () => {
    const { told, control } = drive([at(0), at(0.5), at(0.75, { y: 1.4, speed: 0 })], { minimumSpeed: 0 });
    expectWithin(told[2]!.workedArea, 4 * 0.4, 1e-9);
    expect(control.snapshot().numbers[2]).toBe(1);
  });
});

describe("a snapshot", () => {
  const field = [
    {
      exterior: [
        [-50, -50],
        [50, -50],
        [50, 10],
        [-50, 10],
      ] as [number, number][],
      holes: [],
    },
  ];

  test("brings back the wish for the master, slow, the way, and every instant", () => {
    // sections that are foretold to go off at different times: 2 m/s, the boundary at y = 10
    const sections = [
      { left: -2, right: -1, turnOffTime: 0.25 },
      { left: -1, right: 1, turnOffTime: 0.375 },
      { left: 1, right: 2, turnOffTime: 0.5 },
    ];
    const options = (): SectionControlOptions => ({
      boom: boom({ sections }),
      field,
      coverage: new CoverageRecord(),
      settings: { betweenFixes: true, workReversing: true },
    });
    const control = new SectionControl(options());
    for (let k = 1; k <= 16; k++) control.update(at(k / 4));
    control.update(at(4.5));
    const { upcoming } = control.state;
    [4.75, 4.625, 4.5].forEach((time, i) => {
      if (upcoming[i] !== null) expectWithin(upcoming[i]!, time, 1e-3);
    });
    expect(new Set(upcoming).size).toBeGreaterThan(1);
    expect(control.state.crossings).toEqual([0.25, 0.25, 0.25]);
    const again = SectionControl.restore(control.snapshot(), options());
    expect(again.state).toEqual(control.state);
    expect(again.snapshot()).toEqual(control.snapshot());

    const slow = new SectionControl(options());
    slow.update(at(0, { speed: 0.1 }));
    slow.setOverride(1, "off");
    slow.setMaster(false);
    const { numbers, overrides } = SectionControl.restore(slow.snapshot(), options()).snapshot();
    expect(numbers.slice(0, 3)).toEqual([0, 1, 1]);
    expect(overrides).toEqual(["auto", "off", "auto"]);

    const back = new SectionControl(options());
    back.update(at(0, { speed: -1 }));
    back.setHeadlandRule("headland");
    const snapshot = SectionControl.restore(back.snapshot(), options()).snapshot();
    expect(snapshot.numbers.slice(0, 3)).toEqual([1, 0, -1]);
    expect(snapshot.headlandRule).toBe("headland");
  });

  test("shares nothing with the control that it is of", () => {
    const control = make();
    control.update(at(0));
    const snapshot = control.snapshot();
    const before = JSON.stringify(snapshot);
    const again = SectionControl.restore(snapshot, { boom: tool, coverage: new CoverageRecord() });
    control.setMaster(false);
    again.setOverride(0, "off");
    expect(JSON.stringify(snapshot)).toBe(before);
  });

  test("whose lists do not fit is refused", () => {
    const options = { boom: tool, coverage: new CoverageRecord() };
    const good = new SectionControl(options).snapshot();
    for (const name of ["clock", "orders", "swept"] as const) {
      expectCode(() => SectionControl.restore({ ...good, [name]: good[name].slice(1) }, options), "bad-snapshot");
    }
  });
});
