import { describe, expect, test } from "vitest";
import { type BoomDefinition, boom, doseRatio, evenSections, sectionSpeed } from "../../src/sections/index.js";
import { ToolRows } from "../../src/sections/tool-rows.js";

// what a boom takes and refuses, at the very limits, and what the error says of it

/** What the error tells a program: code, argument, index, value. */
function refusal(definition: unknown): unknown[] {
  try {
    boom(definition as BoomDefinition);
  } catch (error) {
    const { code, argument, index, value } = error as Record<string, unknown>;
    return [code, argument, index, value];
  }
  throw new Error("taken");
}

function errorOf(sections: BoomDefinition["sections"]): Error {
  try {
    boom({ sections });
  } catch (error) {
    return error as Error;
  }
  throw new Error("taken");
}

describe("the list of a boom's sections", () => {
  test("has to be one", () => {
    for (const none of [undefined, null, 5, "sections", {}, { sections: {} }]) {
      expect(refusal(none)).toEqual(["too-few-points", "definition.sections", undefined, none]);
    }
    expect(refusal({ sections: [] })).toEqual(["too-few-points", "definition.sections", undefined, 0]);
  });

  test("has at most 256", () => {
    const narrow = Array.from({ length: 257 }, (_, i) => ({ left: i / 8, right: (i + 1) / 8 }));
    expect(boom({ sections: narrow.slice(0, 256) }).sections).toHaveLength(256);
    expect(refusal({ sections: narrow })).toEqual(["too-large", "definition.sections", undefined, 257]);
  });

  test("has no place that is empty", () => {
    for (const none of [undefined, null, 5]) {
      expect(refusal({ sections: [{ left: 0, right: 1 }, none] })).toEqual([
        "not-finite",
        "definition.sections.left",
        1,
        undefined,
      ]);
    }
    expect(refusal({ sections: [{ left: 0 }] })).toEqual(["not-finite", "definition.sections.right", 0, undefined]);
  });
});

describe("places and times of a boom", () => {
  const sections = evenSections(6, 2);

  test("reach to 100 m either way and from 0 to 30 s", () => {
    for (const x of [-100, 100]) expect(boom({ sections, x }).x).toBe(x);
    for (const time of [0, 30]) {
      const made = boom({ sections, turnOnTime: time, turnOffTime: time });
      expect([made.turnOnTime, made.turnOffTime]).toEqual([time, time]);
    }
    expect(boom({ sections: [{ left: -100, right: 100 }] }).sections[0]).toMatchObject({ left: -100, right: 100 });
    expect(boom({ sections })).toMatchObject({ x: 0, turnOnTime: 0, turnOffTime: 0 });
  });

  test("beyond are refused by name", () => {
    const cases: [keyof BoomDefinition, number][] = [
      ["x", -100.001],
      ["x", 100.001],
      ["turnOnTime", -0.001],
      ["turnOnTime", 30.001],
      ["turnOffTime", -0.001],
      ["turnOffTime", 30.001],
    ];
    for (const [name, value] of cases) {
      expect(refusal({ sections, [name]: value })).toEqual(["out-of-range", `definition.${name}`, undefined, value]);
    }
    expect(refusal({ sections, x: Number.NaN })).toEqual(["not-finite", "definition.x", undefined, Number.NaN]);
  });

  test("of one section are refused by name and index", () => {
    const first = { left: -1, right: 0 };
    const cases: [string, number][] = [
      ["left", -100.001],
      ["right", 100.001],
      ["x", -100.001],
      ["x", 100.001],
      ["turnOnTime", -0.001],
      ["turnOnTime", 30.001],
      ["turnOffTime", -0.001],
      ["turnOffTime", 30.001],
    ];
    for (const [name, value] of cases) {
      expect(refusal({ sections: [first, { left: 0, right: 1, [name]: value }] })).toEqual([
        "out-of-range",
        `definition.sections.${name}`,
        1,
        value,
      ]);
    }
  });

  test("of a section stand where it has some, else those of the boom", () => {
    const made = boom({
      sections: [
        { left: -1, right: 0, x: 0, turnOnTime: 0, turnOffTime: 0 },
        { left: 0, right: 1 },
      ],
      x: -3,
      turnOnTime: 2,
      turnOffTime: 1,
    });
    expect(made.sections).toEqual([
      { left: -1, right: 0, x: 0, turnOnTime: 0, turnOffTime: 0 },
      { left: 0, right: 1, x: -3, turnOnTime: 2, turnOffTime: 1 },
    ]);
    expect([made, made.sections, ...made.sections].every(Object.isFrozen)).toBe(true);
  });
});

describe("edges of sections", () => {
  const MM = 1e-3;

  test("are a millimetre apart at least", () => {
    expect(boom({ sections: [{ left: 0, right: MM }] }).sections).toHaveLength(1);
    for (const right of [0.999 * MM, 0, -1]) {
      const section = { left: 0, right };
      expect(refusal({ sections: [section] })).toEqual(["overlap", "definition.sections", 0, section]);
    }
  });

  test("up to a millimetre from the neighbour's, the limit included, are the neighbour's", () => {
    for (const [before, left] of [
      [0, MM],
      [0, 0.25 * MM],
      [MM, 0],
      [MM, 0.5 * MM],
    ] as const) {
      const made = boom({
        sections: [
          { left: -1, right: before },
          { left, right: 1 },
        ],
      });
      expect(made.sections[1]!.left).toBe(before);
      expect(made.sections[1]!.right).toBe(1);
    }
  });

  test("farther over it overlap, farther off leave a gap", () => {
    const first = { left: -1, right: 0 };
    const over = { left: -1.001 * MM, right: 1 };
    expect(refusal({ sections: [first, over] })).toEqual(["overlap", "definition.sections", 1, over]);
    expect(refusal({ sections: [first, over], allowGaps: true })).toEqual(["overlap", "definition.sections", 1, over]);
    const off = { left: 1.001 * MM, right: 1 };
    expect(refusal({ sections: [first, off] })).toEqual(["out-of-range", "definition.sections", 1, off]);
    expect(refusal({ sections: [first, off], allowGaps: "yes" })).toEqual([
      "out-of-range",
      "definition.sections",
      1,
      off,
    ]);
    expect(boom({ sections: [first, off], allowGaps: true }).sections[1]).toMatchObject(off);
    // the message names the neighbour, and the gap
    const message = (sections: BoomDefinition["sections"]): string => errorOf(sections).message;
    expect(message([first, over])).toContain("section 0 ends");
    expect(
      message([
        { left: -1, right: 0.5 },
        { left: 0.75, right: 1 },
      ]),
    ).toContain("0.25 m to section 0");
  });
});

describe("even sections", () => {
  const refused = (width: number, count: number): unknown[] => {
    try {
      evenSections(width, count);
    } catch (error) {
      const { code, argument, value } = error as Record<string, unknown>;
      return [code, argument, value];
    }
    throw new Error("taken");
  };

  test("are 1 to 256 over at most 200 m", () => {
    expect(evenSections(200, 1)).toEqual([{ left: -100, right: 100 }]);
    expect(evenSections(8, 256)).toHaveLength(256);
    expect(refused(200.001, 1)).toEqual(["out-of-range", "width", 200.001]);
    expect(refused(0, 1)).toEqual(["out-of-range", "width", 0]);
    expect(refused(8, 0)).toEqual(["out-of-range", "count", 0]);
    expect(refused(8, 257)).toEqual(["out-of-range", "count", 257]);
    expect(refused(8, 1.5)).toEqual(["out-of-range", "count", 1.5]);
  });

  test("have their middle edge at 0, not at -0", () => {
    expect(Object.is(evenSections(6, 2)[0]!.right, 0)).toBe(true);
    expect(Object.is(evenSections(6, 2)[1]!.left, 0)).toBe(true);
  });
});

describe("the rows of a boom", () => {
  test("are numbered as they come from the left, each with its first and last section", () => {
    const sections = [1, -2, 1, 1, -2, -5].map((x, i) => ({ left: i, right: i + 1, x }));
    const rows = new ToolRows(boom({ sections }));
    expect([...rows.x]).toEqual([1, -2, -5]);
    expect([...rows.of]).toEqual([0, 1, 0, 0, 1, 2]);
    expect([...rows.first]).toEqual([0, 1, 5]);
    expect([...rows.last]).toEqual([3, 4, 5]);
  });

  test("are one where all stand on it", () => {
    const rows = new ToolRows(boom({ sections: evenSections(6, 3), x: -4 }));
    expect([rows.x, rows.of, rows.first, rows.last].map((list) => [...list])).toEqual([[-4], [0, 0, 0], [0], [2]]);
  });
});

describe("speed and dose across a boom", () => {
  test("are those of the reference point on the middle line, and driving straight", () => {
    expect(sectionSpeed(3, 0.1, 0)).toBe(3);
    expect(sectionSpeed(3, 0, 12)).toBe(3);
    expect(doseRatio(0.1, 0)).toBe(1);
    expect(doseRatio(0, 12)).toBe(1);
  });

  test("change by the same share: half the speed is twice the dose", () => {
    expect(sectionSpeed(4, 1 / 16, 8)).toBe(2);
    expect(doseRatio(1 / 16, 8)).toBe(2);
    // past the centre of the turn it runs backwards
    expect(doseRatio(1 / 4, 8)).toBe(-1);
  });
});
