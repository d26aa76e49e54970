import { describe, expect, it } from "vitest";
import { type Point, polygonArea } from "../../src/geometry/index.js";
import { headland, type HeadlandOptions } from "../../src/headland/index.js";
import { placed, polygon, rectangle } from "../geometry/shapes.js";
import { expectCode, expectWithin } from "../helpers/within.js";

const field = [polygon(rectangle(0, 0, 200, 100))];
const good: HeadlandOptions = { swathWidth: 6, rounds: 2 };

describe("a headland", () => {
  it.each<[string, Partial<Record<keyof HeadlandOptions, unknown>>, string, string]>([
    ["a swath of no width", { swathWidth: 0 }, "out-of-range", "options.swathWidth"],
    ["a swath that is NaN", { swathWidth: Number.NaN }, "not-finite", "options.swathWidth"],
    ["rounds below 0", { rounds: -1 }, "out-of-range", "options.rounds"],
    ["half a round", { rounds: 1.5 }, "out-of-range", "options.rounds"],
    ["rounds without end", { rounds: 1001 }, "out-of-range", "options.rounds"],
    ["obstacle rounds that are none", { obstacleRounds: "2" }, "not-finite", "options.obstacleRounds"],
    ["a radius below 0", { minimumRadius: -1 }, "out-of-range", "options.minimumRadius"],
    ["a radius that is not finite", { minimumRadius: Number.POSITIVE_INFINITY }, "not-finite", "options.minimumRadius"],
    ["a coarse tolerance", { tolerance: 1 }, "out-of-range", "options.tolerance"],
    ["an order that is none", { order: "backwards" }, "out-of-range", "options.order"],
    ["a direction that is none", { direction: "left" }, "out-of-range", "options.direction"],
    ["a gate that is no point", { gate: [Number.NaN, 0] }, "not-finite", "options.gate"],
    ["an edge that is not there", { sides: [{ from: 0, to: 4 }] }, "out-of-range", "options.sides[0].to"],
    [
      "a polygon that is not there",
      { sides: [{ polygon: 1, from: 0, to: 0 }] },
      "out-of-range",
      "options.sides[0].polygon",
    ],
    ["a side of no width", { sides: [{ from: 0, to: 0, width: 0 }] }, "out-of-range", "options.sides[0].width"],
  ])("refuses %s", (_what, wrong, code, argument) => {
    const error = expectCode(() => headland(field, { ...good, ...wrong } as HeadlandOptions), code);
    expect(error.argument).toBe(argument);
  });

  it("refuses a field that is none", () => {
    expectCode(() => headland([], good), "too-few-points");
    expectCode(() => headland(undefined as never, good), "too-few-points");
    expectCode(
      () =>
        headland(
          [
            polygon([
              [0, 0],
              [2, 2],
              [2, 0],
              [0, 2],
            ]),
          ],
          good,
        ),
      "self-crossing",
    );
    expectCode(
      () =>
        headland(
          [
            polygon([
              [0, 0],
              [2, 2],
            ]),
          ],
          good,
        ),
      "too-few-points",
    );
    expectCode(() => headland([polygon(rectangle(0, 0, 9, 9), rectangle(20, 0, 3, 3))], good), "hole-outside");
    expectCode(
      () =>
        headland(
          [
            polygon([
              [0, 0],
              [9, Number.NaN],
              [3, 3],
            ]),
          ],
          good,
        ),
      "not-finite",
    );
  });

  it("leaves its input alone", () => {
    const frozen = Object.freeze([
      Object.freeze(polygon(Object.freeze(rectangle(0, 0, 200, 100)), Object.freeze(rectangle(50, 50, 9, 9)))),
    ]);
    expect(headland(frozen, good).mainfield.length).toBe(1);
  });
});

describe("a field that pinches", () => {
  // two rooms of 100 x 100 m and a neck 20 m wide and 40 m long
  const rooms: Point[] = [
    [0, 0],
    [100, 0],
    [100, 40],
    [140, 40],
    [140, 0],
    [240, 0],
    [240, 100],
    [140, 100],
    [140, 60],
    [100, 60],
    [100, 100],
    [0, 100],
  ];

  it("gives a mainfield on either side, none lost", () => {
    const made = headland([polygon(rooms)], { swathWidth: 6, rounds: 2 });
    expect(made.mainfield.length).toBe(2);
    // each room less 12 m all round, plus what it gains beside the neck's mouth
    for (const part of made.mainfield) {
      expect(polygonArea(part)).toBeGreaterThan(76 * 76);
      expect(polygonArea(part)).toBeLessThan(76 * 76 + 20 * 12);
    }
    expectWithin(polygonArea(made.mainfield[0]!), polygonArea(made.mainfield[1]!), 1e-6);
    // lines at 3 and 9 m pass the neck of 20 m, the mainfield at 12 m does not
    expect(made.rounds.map((round) => round.number)).toEqual([1, 2]);
    const three = headland([polygon(rooms)], { swathWidth: 6, rounds: 3 });
    expect(three.rounds.map((round) => round.number)).toEqual([1, 2, 3, 3]);
    expect(made.dropped).toEqual([]);
  });

  it("says which round had no place in a narrow part", () => {
    // a room and a dead end 10 m wide behind a neck 4 m wide
    const dead: Point[] = [
      [0, 0],
      [100, 0],
      [100, 48],
      [110, 48],
      [110, 45],
      [130, 45],
      [130, 55],
      [110, 55],
      [110, 52],
      [100, 52],
      [100, 100],
      [0, 100],
    ];
    const made = headland([polygon(dead)], { swathWidth: 6, rounds: 2 });
    expect(made.mainfield.length).toBe(1);
    expect(made.rounds.filter((round) => round.number === 1).length).toBe(2);
    expect(made.dropped.map((one) => [one.round, one.reason])).toEqual([[2, "vanished"]]);
    expect(made.dropped[0]!.at[0]).toBeGreaterThan(110);
  });

  it("marks rounds of a part in which no turning circle fits, and gives them back", () => {
    const made = headland([polygon(rooms)], { swathWidth: 6, rounds: 1, minimumRadius: 60 });
    expect(made.rounds.length).toBe(1);
    expect(made.rounds[0]!.drivable).toBe(false);
    expect(made.rounds[0]!.reason).toBe("too-narrow");
    expectWithin(made.areas.uncovered, made.areas.headland, 1e-6, "nothing is driven");
  });

  it("marks a round that bends about an obstacle more tightly than the machine turns", () => {
    const made = headland([polygon(rectangle(0, 0, 200, 100), rectangle(99, 49, 2, 2))], {
      swathWidth: 6,
      rounds: 2,
      minimumRadius: 6,
    });
    const about = made.rounds.filter((round) => round.source === "obstacle");
    expect(about.map((round) => [round.number, round.drivable, round.reason])).toEqual([
      [1, false, "tight-turn"],
      [2, true, undefined],
    ]);
  });

  it("filled by its headland gives no mainfield and the reason", () => {
    const made = headland([polygon(rectangle(0, 0, 40, 40))], { swathWidth: 12, rounds: 2 });
    expect(made.mainfield).toEqual([]);
    expect(made.reason).toBe("headland-fills-field");
    expectWithin(made.areas.headland, 1600, 1e-6);
    expect(made.rounds.length).toBe(2);
    const huge = headland([polygon(rectangle(0, 0, 40, 40))], { swathWidth: 1e6, rounds: 3 });
    expect(huge.rounds).toEqual([]);
    expect(huge.dropped.map((one) => one.round)).toEqual([1]);
  });

  it("of several polygons has rounds in each, and polygons that share an edge are one", () => {
    const apart = headland([polygon(rectangle(0, 0, 100, 100)), polygon(rectangle(300, 0, 100, 100))], good);
    expect(apart.rounds.map((round) => [round.index, round.number])).toEqual([
      [0, 1],
      [0, 2],
      [1, 1],
      [1, 2],
    ]);
    const together = headland([polygon(rectangle(0, 0, 100, 100)), polygon(rectangle(100, 0, 100, 100))], good);
    expectWithin(together.areas.mainfield, 176 * 76, 1e-3);
  });
});

describe("an edge without rounds of its own", () => {
  const island = [polygon(rectangle(0, 0, 200, 100), rectangle(100, 40, 10, 10))];

  it("bounds the mainfield itself: no round at all leaves no headland", () => {
    for (const shape of [field, island]) {
      const made = headland(shape, { swathWidth: 6, rounds: 0 });
      expect(made.rounds).toEqual([]);
      expect(made.headland).toEqual([]);
      expect(made.uncovered).toEqual([]);
      expectWithin(made.areas.mainfield, made.areas.field, 1e-6, "mainfield");
      expect(made.areas.headland).toBe(0);
    }
  });

  it.each([
    [0, 2],
    [2, 0],
    [1, 2],
    [4, 1],
  ])("adds up with %i rounds inside the boundary and %i about the obstacle", (rounds, obstacleRounds) => {
    const made = headland(island, { swathWidth: 3, rounds, obstacleRounds });
    const { areas } = made;
    const hole = 100 + 40 * 3 * obstacleRounds + Math.PI * (3 * obstacleRounds) ** 2;
    expectWithin(areas.mainfield, (200 - 6 * rounds) * (100 - 6 * rounds) - hole, 5e-3, "mainfield");
    expectWithin(areas.headland + areas.mainfield, areas.field, 1e-3, "sum");
    expect(made.dropped).toEqual([]);
  });

  it("drops no round that is there, however the field is turned", () => {
    for (const hole of [rectangle(1, 1, 6, 6), rectangle(12, 40, 10, 10)]) {
      for (const degrees of [0, 30, 90]) {
        for (const [rounds, obstacleRounds] of [
          [1, 2],
          [3, 0],
        ] as const) {
          const shape = [polygon(placed(rectangle(0, 0, 200, 100), degrees, 0, 0), placed(hole, degrees, 0, 0))];
          const made = headland(shape, { swathWidth: 4, rounds, obstacleRounds });
          expect(made.dropped, `${hole[0]} turned by ${degrees}`).toEqual([]);
        }
      }
    }
  });
});
