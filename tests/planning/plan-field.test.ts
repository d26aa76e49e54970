import { describe, expect, it } from "vitest";
import type { Point, Polygon } from "../../src/geometry/index.js";
import { checkPlan, type FieldPlan, planField, type PlanOptions } from "../../src/planning/index.js";
import { expectCode, expectWithin } from "../helpers/within.js";

const MACHINE: PlanOptions = { swathWidth: 6, minimumRadius: 6 };
const MM = 1e-3;

function field(exterior: Point[], ...holes: Point[][]): Polygon[] {
  return [{ exterior, holes }];
}

const box = (x0: number, y0: number, x1: number, y1: number): Point[] => [
  [x0, y0],
  [x1, y0],
  [x1, y1],
  [x0, y1],
];

const RECTANGLE = field(box(0, 0, 200, 100));
const L: Polygon[] = field([
  [0, 0],
  [300, 0],
  [300, 50],
  [50, 50],
  [50, 300],
  [0, 300],
]);
const U = field([
  [0, 0],
  [200, 0],
  [200, 200],
  [150, 200],
  [150, 70],
  [70, 70],
  [70, 200],
  [0, 200],
]);
const RING = field(box(0, 0, 300, 300), box(100, 100, 200, 200));
const OBSTACLES = field(box(0, 0, 260, 180), box(50, 40, 60, 60), box(120, 100, 140, 112), box(190, 50, 204, 70));
// two fields of 100 m joined by a neck 14 m wide: two rounds of 6 m leave no mainfield in it
const PINCHED = field([
  [0, 0],
  [100, 0],
  [100, 43],
  [120, 43],
  [120, 0],
  [220, 0],
  [220, 100],
  [120, 100],
  [120, 57],
  [100, 57],
  [100, 100],
  [0, 100],
]);
const SLANTED = field([
  [0, 0],
  [220, 20],
  [190, 140],
  [30, 110],
]);

function swaths(plan: FieldPlan): number {
  return plan.blocks.reduce((sum, block) => sum + block.swaths.length, 0);
}

function directions(plan: FieldPlan): number[] {
  return [...new Set(plan.blocks.map(({ heading }) => Math.round(heading) % 180))].sort((a, b) => a - b);
}

/** What must hold of any plan. */
function requireSound(plan: FieldPlan, ground: readonly Polygon[]): void {
  const check = checkPlan(plan, ground);
  // P31: 99.99 % of the mainfield, nothing beyond the boundary
  expect(check.covered).toBeGreaterThanOrEqual(0.9999);
  expect(check.outside).toBeLessThan(0.5);
  expect(check.sound).toBe(true);
  expect(plan.cost).toBeLessThanOrEqual(plan.plainCost + 1e-9);
  // the way has no gap, and each swath is driven once
  for (let i = 1; i < plan.drives.length; i++) {
    const end = plan.drives[i - 1]!.line.at(-1)!;
    const start = plan.drives[i]!.line[0]!;
    expectWithin(Math.hypot(end[0] - start[0], end[1] - start[1]), 0, 1e-4, `gap before drive ${i}`);
  }
  const driven = plan.drives.filter(({ kind }) => kind === "swath");
  expect(driven.length).toBe(swaths(plan));
  expect(new Set(driven.map(({ line }) => [...line].map(String).sort().join(" "))).size).toBe(driven.length);
  const { totals } = plan;
  const sum = (of: (drive: FieldPlan["drives"][number]) => number): number =>
    plan.drives.reduce((total, drive) => total + of(drive), 0);
  expectWithin(
    totals.workingDistance + totals.nonWorkingDistance,
    sum(({ length }) => length),
    1e-6,
  );
  expectWithin(
    totals.time,
    sum(({ time }) => time),
    1e-6,
  );
  expectWithin(totals.time, totals.workingTime + totals.turningTime + totals.stopTime, 1e-6);
  expect(totals.notDrivable).toBe(plan.drives.filter(({ drivable }) => !drivable).length);
  for (const { drivable, reason } of plan.drives) expect(reason === undefined).toBe(drivable);
  for (const { line, length } of plan.drives) {
    let drawn = 0;
    for (let i = 1; i < line.length; i++)
      drawn += Math.hypot(line[i]![0] - line[i - 1]![0], line[i]![1] - line[i - 1]![1]);
    // arcs are drawn by chords of a twentieth of the radius: 1e-4 shorter
    expectWithin(drawn / Math.max(length, 1e-9), 1, 1e-3, "length of a line");
  }
  expect(JSON.parse(JSON.stringify(plan))).toEqual(plan);
}

describe("the plan of a field", () => {
  // trade tables: rectangle 200 x 100, w 6, two rounds: 13 passes along; rings of 576 and 528 m before corners are rounded
  it("of a rectangle: two rounds, 13 passes along its long side", () => {
    const plan = planField(RECTANGLE, MACHINE);
    requireSound(plan, RECTANGLE);
    expect(swaths(plan)).toBe(13);
    expect(directions(plan)).toEqual([90]);
    expect(plan.rounds.length).toBe(2);
    for (const { length } of plan.blocks[0]!.swaths) expectWithin(length, 176, MM);
    // a round's corner of 6 m radius is 12 - 3 pi m shorter
    expectWithin(plan.rounds[0]!.length, 576 - 4 * (12 - 3 * Math.PI), 0.02);
    expect(plan.totals.turns.u).toBe(12);
  });

  it("has the optimum of its turns: never above the sequence, at the least what 12 flat turns take", () => {
    const found = planField(RECTANGLE, MACHINE);
    const plain = planField(RECTANGLE, { ...MACHINE, order: "in-sequence" });
    expect(found.cost).toBeLessThan(plain.cost);
    expect(found.totals.nonWorkingDistance).toBeLessThan(plain.totals.nonWorkingDistance);
    const turned = found.drives.filter(({ kind }) => kind === "turn").reduce((sum, { length }) => sum + length, 0);
    expect(turned).toBeGreaterThanOrEqual(12 * 6 * Math.PI - 1e-6);
  });

  // an altitude of 300 m across the L against 100 m for its two legs: a third of the passes
  it("of an L is divided into its legs", () => {
    const plan = planField(L, MACHINE);
    requireSound(plan, L);
    expect(directions(plan)).toEqual([0, 90]);
    const whole = planField(L, { ...MACHINE, divide: false });
    requireSound(whole, L);
    expect(directions(whole).length).toBe(1);
    expect(plan.cost).toBeLessThan(whole.cost);
    // 26 m and 26 m of mainfield across the legs; 276 m across the whole
    expect(swaths(plan)).toBe(10);
    expect(swaths(whole)).toBe(46);
  });

  it.each([
    ["U", U],
    ["a ring about a wood", RING],
    ["a field with three obstacles", OBSTACLES],
    ["a slanted field", SLANTED],
  ] as const)("of %s is sound, and costs no more than undivided", (_, ground) => {
    const plan = planField(ground, { ...MACHINE, canReverse: true });
    requireSound(plan, ground);
    const whole = planField(ground, { ...MACHINE, canReverse: true, divide: false });
    expect(plan.cost).toBeLessThanOrEqual(whole.cost + 1e-6);
  });

  it("of a pinched field has two mainfields, each in its own blocks", () => {
    const plan = planField(PINCHED, MACHINE);
    requireSound(plan, PINCHED);
    expect(plan.mainfield.length).toBe(2);
    expect(new Set(plan.blocks.map(({ mainfield }) => mainfield))).toEqual(new Set([0, 1]));
  });

  // no way of the machine's width leads from one to the other, nor to the third: all swaths are driven all the same, the ways between marked
  it("of ground that falls apart leaves no swath out, and marks the ways that do not lead there", () => {
    const apart = field([
      [0, 0],
      [100, 0],
      [100, 48],
      [120, 48],
      [120, 0],
      [220, 0],
      [220, 100],
      [120, 100],
      [120, 52],
      [100, 52],
      [100, 100],
      [0, 100],
    ]);
    const islands = [...apart, ...field(box(300, 0, 400, 80))];
    for (const ground of [apart, islands]) {
      const plan = planField(ground, MACHINE);
      requireSound(plan, ground);
      const swept = plan.blocks.flatMap((block) => block.swaths).reduce((sum, { length }) => sum + length, 0);
      // the cost holds the time of all swaths at 2.5 m/s, the default
      expect(plan.cost).toBeGreaterThan(swept / 2.5);
      expect(plan.drives.some(({ reason }) => reason === "no-way")).toBe(true);
    }
    // the sweep works what is driven, not what is drawn
    const plan = planField(islands, MACHINE);
    const left = plan.drives.find(({ kind }) => kind === "swath");
    const drives = plan.drives.filter((drive) => drive !== left);
    expect(checkPlan({ ...plan, drives }, islands).sound).toBe(false);
  });

  it("of a strip runs along it", () => {
    const strip = field(box(0, 0, 400, 40));
    const plan = planField(strip, MACHINE);
    requireSound(plan, strip);
    expect(directions(plan)).toEqual([90]);
    expect(swaths(plan)).toBe(3);
  });

  it("costs no more than any one edge's direction in sequence", () => {
    for (const ground of [RECTANGLE, L, SLANTED]) {
      const plan = planField(ground, MACHINE);
      const ring = ground[0]!.exterior;
      ring.forEach((a, i) => {
        const b = ring[(i + 1) % ring.length]!;
        const heading = (Math.atan2(b[0] - a[0], b[1] - a[1]) * 180) / Math.PI;
        const plain = planField(ground, { ...MACHINE, heading, order: "in-sequence", divide: false });
        expect(plan.cost).toBeLessThanOrEqual(plain.cost + 1e-6);
      });
    }
  });

  it("costs no more than any one edge's direction in sequence on fields of many short edges, with obstacles, in parts", () => {
    // a coast of chords a degree or two apart, and two islands: directions within half a degree of a longer edge's have plans of their own
    const coast = Array.from({ length: 40 }, (_, i): Point => {
      const turn = (i * Math.PI) / 20;
      const radius = 150 + 35 * Math.sin(3 * turn) + 12 * Math.cos(7 * turn);
      return [radius * Math.cos(turn), radius * Math.sin(turn)];
    });
    for (const ground of [field(coast, box(-30, -10, -12, 10)), [...PINCHED, ...field(box(300, 0, 400, 80))]]) {
      const options: PlanOptions = { ...MACHINE, swathWidth: 12, canReverse: true };
      const plan = planField(ground, options);
      requireSound(plan, ground);
      for (const { exterior, holes } of ground) {
        for (const ring of [exterior, ...holes]) {
          ring.forEach((a, i) => {
            const b = ring[(i + 1) % ring.length]!;
            const heading = (Math.atan2(b[0] - a[0], b[1] - a[1]) * 180) / Math.PI;
            const plain = planField(ground, { ...options, heading, order: "in-sequence", divide: false });
            expect(plan.cost).toBeLessThanOrEqual(plain.cost + 1e-6);
          });
        }
      }
    }
  });

  it("leaves the last narrow swath by rule: over the edge, moved back, or with sections off", () => {
    const across = (narrow: "overlap" | "shift" | "narrow"): number[] => {
      const plan = planField(RECTANGLE, { ...MACHINE, narrow, heading: 90 });
      expect(checkPlan(plan, RECTANGLE).covered).toBeGreaterThanOrEqual(0.9999);
      const edges = plan.blocks[0]!.swaths.map(({ line, left, right }) => [line[0][1] + left, line[0][1] - right]);
      return [Math.min(...edges.flat()), Math.max(...edges.flat()), edges.length];
    };
    // the mainfield lies from y = 12 to 88; laid from its left, the north
    expect(across("overlap").map((y) => Math.round(y * 1e3) / 1e3)).toEqual([10, 88, 13]);
    expect(across("shift").map((y) => Math.round(y * 1e3) / 1e3)).toEqual([12, 88, 13]);
    expect(across("narrow").map((y) => Math.round(y * 1e3) / 1e3)).toEqual([12, 88, 13]);
  });

  it("drives the headland first, last, or leaves it", () => {
    const kinds = (headland: "first" | "last" | "none"): string[] =>
      planField(RECTANGLE, { ...MACHINE, headland })
        .drives.map(({ kind }) => kind)
        .filter((kind) => kind === "round" || kind === "swath");
    const rounds = ["round", "round"];
    const passes = Array.from({ length: 13 }, () => "swath");
    expect(kinds("first")).toEqual([...rounds, ...passes]);
    expect(kinds("last")).toEqual([...passes, ...rounds]);
    expect(kinds("none")).toEqual(passes);
    expectWithin(planField(RECTANGLE, { ...MACHINE, headland: "none" }).totals.missed, 20000 - 13376, 1);
  });

  it("comes in at a gate and leaves by another", () => {
    const plan = planField(RECTANGLE, { ...MACHINE, entry: [0, 50], exit: [200, 50] });
    expect(plan.drives[0]!.line[0]).toEqual([0, 50]);
    const last = plan.drives.at(-1)!.line.at(-1)!;
    expectWithin(Math.hypot(last[0] - 200, last[1] - 50), 0, 1e-4);
  });

  it("works nothing beyond the boundary where there is no headland, and says what it leaves", () => {
    const plan = planField(SLANTED, { ...MACHINE, rounds: 0 });
    const check = checkPlan(plan, SLANTED);
    expect(check.outside).toBeLessThan(0.5);
    expect(plan.totals.missed).toBeGreaterThan(10);
    // bitmap of 0.1 m cells along 650 m of edges and the swaths' ends
    expectWithin(plan.totals.missed, check.fieldMissed, 40);
  });

  it("says of each turn that the machine can't drive that it has no room", () => {
    // a bulb of 6 m radius at passes 6 m apart is 13.9 m deep (trade tables), the headland 6 m
    const plan = planField(RECTANGLE, { ...MACHINE, rounds: 1, order: "in-sequence" });
    const turns = plan.drives.filter(({ kind }) => kind === "turn");
    expect(turns.length).toBeGreaterThan(0);
    for (const turn of turns) expect(turn.reason).toBe("no-room");
    expect(plan.totals.notDrivable).toBeGreaterThanOrEqual(turns.length);
    // reversing makes room of two rounds enough
    const able = planField(RECTANGLE, { ...MACHINE, canReverse: true, order: "in-sequence" });
    expect(able.drives.filter(({ kind, drivable }) => kind === "turn" && !drivable)).toEqual([]);
    expect(able.totals.reversals).toBeGreaterThan(0);
  });

  it("is empty, and says why, where the headland fills the field, or rules forbid all", () => {
    const tiny = planField(field(box(0, 0, 20, 20)), MACHINE);
    expect(tiny.blocks).toEqual([]);
    expect(tiny.reasons).toEqual([{ reason: "headland-fills-field", mainfield: null }]);
    const forbidden = planField(RECTANGLE, { ...MACHINE, respect: [{ from: 0, to: 180, rule: "forbid" }] });
    expect(forbidden.blocks).toEqual([]);
    expect(forbidden.reasons).toEqual([{ reason: "no-direction", mainfield: 0 }]);
    expect(Number.isFinite(tiny.totals.fieldEfficiency)).toBe(true);
  });

  it("is the same for the same field, also far from the origin", () => {
    expect(planField(L, MACHINE)).toEqual(planField(L, MACHINE));
    const far = L.map(({ exterior }) => ({
      exterior: exterior.map(([x, y]): Point => [x + 32_500_000, y + 5_900_000]),
      holes: [],
    }));
    const plan = planField(far, MACHINE);
    expect(swaths(plan)).toBe(10);
    expect(checkPlan(plan, far).sound).toBe(true);
  });

  it("refuses widths of zero and other values that are none", () => {
    expectCode(() => planField(RECTANGLE, { ...MACHINE, swathWidth: 0 }), "out-of-range");
    expectCode(() => planField(RECTANGLE, { ...MACHINE, minimumRadius: -1 }), "out-of-range");
    expectCode(() => planField(RECTANGLE, { ...MACHINE, rounds: 1.5 }), "out-of-range");
    expectCode(() => planField(RECTANGLE, { ...MACHINE, turningSpeed: 0 }), "out-of-range");
    expectCode(() => planField(RECTANGLE, { ...MACHINE, order: "any" as "optimise" }), "out-of-range");
    expectCode(() => planField(RECTANGLE, { ...MACHINE, entry: [Number.NaN, 0] }), "not-finite");
    expectCode(() => planField([], MACHINE), "too-few-points");
    expectCode(() => checkPlan(planField(RECTANGLE, MACHINE), RECTANGLE, { cellSize: 0 }), "out-of-range");
  });
});
