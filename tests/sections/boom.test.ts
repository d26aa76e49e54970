import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { boom, condensedWorkState, doseRatio, evenSections, sectionSpeed } from "../../src/sections/index.js";
import { expectCode, expectWithin } from "../helpers/within.js";

describe("boom", () => {
  test("takes sections edge to edge and gives each its times", () => {
    const made = boom({
      sections: [
        { left: -3, right: 0, turnOffTime: 0.2 },
        { left: 0, right: 2.5, x: -5.5 },
      ],
      x: -4,
      turnOnTime: 1,
      turnOffTime: 0.5,
    });
    expect(made).toEqual({
      sections: [
        { left: -3, right: 0, x: -4, turnOnTime: 1, turnOffTime: 0.2 },
        { left: 0, right: 2.5, x: -5.5, turnOnTime: 1, turnOffTime: 0.5 },
      ],
      x: -4,
      turnOnTime: 1,
      turnOffTime: 0.5,
    });
    expect(Object.isFrozen(made.sections[0])).toBe(true);
  });

  test("makes one edge of two that differ by less than a millimetre", () => {
    const made = boom({
      sections: [
        { left: -3, right: -0.0004 },
        { left: 0.0004, right: 3 },
      ],
    });
    expect(made.sections[1]!.left).toBe(made.sections[0]!.right);
  });

  test.for([
    [
      "overlap",
      [
        [-3, 0.1],
        [0, 3],
      ],
      1,
    ],
    [
      "overlap",
      [
        [0, 3],
        [-3, 0],
      ],
      1,
    ],
    [
      "overlap",
      [
        [-3, 0],
        [3, 0],
      ],
      1,
    ],
    ["overlap", [[2, 2]], 0],
    [
      "out-of-range",
      [
        [-3, 0],
        [0.5, 3],
      ],
      1,
    ],
    [
      "not-finite",
      [
        [-3, 0],
        [0, Number.NaN],
      ],
      1,
    ],
    ["out-of-range", [[-3000, 0]], 0],
  ] as const)("refuses with %s sections at %j, and says which", ([code, edges, index]) => {
    const error = expectCode(() => boom({ sections: edges.map(([left, right]) => ({ left, right })) }), code);
    expect(error.index).toBe(index);
  });

  test("takes gaps where they are meant", () => {
    const rows = [
      { left: -1, right: -0.5 },
      { left: 0.5, right: 1 },
    ];
    expectCode(() => boom({ sections: rows }), "out-of-range");
    expect(boom({ sections: rows, allowGaps: true }).sections).toHaveLength(2);
  });

  test("refuses times and counts out of range", () => {
    const sections = evenSections(6, 2);
    expectCode(() => boom({ sections: [] }), "too-few-points");
    expectCode(() => boom({ sections: evenSections(6, 2), turnOnTime: -0.1 }), "out-of-range");
    expectCode(() => boom({ sections, turnOffTime: 31 }), "out-of-range");
    expectCode(() => boom({ sections, x: Number.POSITIVE_INFINITY }), "not-finite");
    expectCode(() => boom({ sections: [{ left: 0, right: 1, turnOnTime: Number.NaN }] }), "not-finite");
    const many = Array.from({ length: 257 }, (_, i) => ({ left: i / 10, right: (i + 1) / 10 }));
    expectCode(() => boom({ sections: many }), "too-large");
    expectCode(() => boom(null as never), "too-few-points");
    expectCode(() => boom({ sections: [null] as never }), "not-finite");
  });
});

describe("evenSections", () => {
  test("divides the width evenly, neighbours sharing one number", () => {
    fc.assert(
      fc.property(fc.double({ min: 0.5, max: 60, noNaN: true }), fc.integer({ min: 1, max: 256 }), (width, count) => {
        const sections = evenSections(width, count);
        expect(sections).toHaveLength(count);
        expectWithin(sections[0]!.left, -width / 2, 1e-12);
        expectWithin(sections[count - 1]!.right, width / 2, 1e-12);
        for (let i = 1; i < count; i++) expect(sections[i]!.left).toBe(sections[i - 1]!.right);
      }),
    );
    expect(evenSections(6, 2)).toEqual([
      { left: -3, right: 0 },
      { left: 0, right: 3 },
    ]);
  });

  test("refuses what is no width and no count", () => {
    expectCode(() => evenSections(0, 3), "out-of-range");
    expectCode(() => evenSections(-6, 3), "out-of-range");
    expectCode(() => evenSections(6, 0), "out-of-range");
    expectCode(() => evenSections(6, 2.5), "out-of-range");
    expectCode(() => evenSections(Number.NaN, 2), "not-finite");
  });
});

describe("condensedWorkState", () => {
  // ISO 11783-11 DDI 161: two bits a section, leftmost lowest, 11 not installed
  test("packs [on, on, off, on, off] as 0xFFFFFC45", () => {
    expect(condensedWorkState([true, true, false, true, false])).toEqual([0xfffffc45]);
  });

  test("takes a word for every 16 sections", () => {
    expect(condensedWorkState([])).toEqual([]);
    expect(condensedWorkState(Array.from({ length: 16 }, () => true))).toEqual([0x55555555]);
    expect(condensedWorkState(Array.from({ length: 17 }, (_, i) => i === 16))).toEqual([0, 0xfffffffd]);
    expect(condensedWorkState(Array.from({ length: 256 }, () => false))).toHaveLength(16);
  });
});

describe("sectionSpeed and doseRatio", () => {
  // trade closed form: 12 m turn, 36 m boom: inner tip -0.5 v, outer tip 2.5 v
  test("runs backwards at the inner tip of a boom wider than the turn", () => {
    expectWithin(sectionSpeed(2, 1 / 12, 18), -1, 1e-12);
    expectWithin(sectionSpeed(2, 1 / 12, -18), 5, 1e-12);
    expectWithin(sectionSpeed(-2, 1 / 12, 18), 1, 1e-12);
  });

  // a half boom of 18 m stays within 10 % of the dose outside from R = 9 y, inside from R = 11 y
  test("keeps the dose within a tenth from 162 m outside and 198 m inside the turn", () => {
    expectWithin(doseRatio(1 / 162, -18), 0.9, 1e-12);
    expectWithin(doseRatio(1 / 198, 18), 1.1, 1e-12);
    expect(doseRatio(1 / 18, 18)).toBe(Number.POSITIVE_INFINITY);
  });
});
