import { describe, expect, it } from "vitest";
import type { Point, Polygon } from "../../src/geometry/index.js";
import { headland, sidesWhere } from "../../src/headland/index.js";
import { PLACES, placed, polygon, rectangle } from "../geometry/shapes.js";
import { expectWithin } from "../helpers/within.js";
import { distanceToRing, inAny, spread } from "./oracle.js";

const SNAP = 1e-3; // m²: boolean operations snap to a micrometre

describe.each(PLACES)("a strip $name", (place) => {
  const at = (points: readonly Point[]): Point[] => placed(points, place.degrees, place.east, place.north);
  const strip = [polygon(at(rectangle(0, 0, 40, 400)))]; // edges: 0 south, 1 east, 2 north, 3 west

  it("gets headlands at its two ends alone, with passes across them", () => {
    const made = headland(strip, {
      swathWidth: 6,
      rounds: 2,
      gate: at([[0, 0]])[0]!,
      sides: [
        { from: 0, to: 0 },
        { from: 2, to: 2 },
      ],
    });
    expectWithin(made.areas.mainfield, 40 * 376, SNAP);
    expectWithin(made.areas.headland, 40 * 24, SNAP);
    expectWithin(made.areas.uncovered, 0, SNAP);
    expect(made.rounds.map((round) => `${round.source} ${round.index} ${round.number}`)).toEqual([
      "side 0 1",
      "side 0 2",
      "side 1 1",
      "side 1 2",
    ]);
    for (const round of made.rounds) {
      expect(round.closed).toBe(false);
      expectWithin(round.length, 40, 1e-5);
    }
    const gap = distanceToRing(
      at([
        [0, 3],
        [40, 3],
      ]),
      ...made.rounds[0]!.line[0]!,
    );
    expectWithin(gap, 0, 1e-6, "place of the first pass");
  });

  it("has sides of different width; one listed later ends at the one listed earlier", () => {
    const made = headland(strip, {
      swathWidth: 6,
      rounds: 2,
      sides: [
        { from: 0, to: 0 },
        { from: 2, to: 2, rounds: 3 },
        { from: 1, to: 1, width: 4 },
        { from: 3, to: 3, rounds: 1 },
      ],
    });
    expectWithin(made.areas.mainfield, (40 - 4 - 6) * (400 - 12 - 18), SNAP);
    const along = made.rounds.filter((round) => round.index >= 2);
    for (const round of along) expectWithin(round.length, 370, 1e-5);
    expectWithin(made.areas.uncovered, 0, SNAP);
  });

  it("moves the last pass outward where a width is no whole number of swaths", () => {
    const made = headland(strip, { swathWidth: 6, rounds: 0, sides: [{ from: 0, to: 0, width: 15 }] });
    expect(made.rounds.map((round) => round.distance)).toEqual([3, 9, 12]);
    expectWithin(made.areas.headland, 600, SNAP);
  });
});

describe("sides", () => {
  it("run on straight where the field widens, so that its corners are covered too", () => {
    // the end is 40 m wide, its neighbours lean outward by 30 degrees: corners of 120 degrees
    const lean = Math.tan(Math.PI / 6);
    const field = [
      polygon([
        [0, 0],
        [40, 0],
        [40 + 100 * lean, 100],
        [-100 * lean, 100],
      ]),
    ];
    const made = headland(field, { swathWidth: 6, rounds: 2, sides: [{ from: 0, to: 0 }] });
    expectWithin(made.areas.headland, 12 * 40 + 144 * lean, SNAP);
    expectWithin(made.rounds[0]!.length, 40 + 2 * 3 * lean, 1e-5);
    expectWithin(made.rounds[1]!.length, 40 + 2 * 9 * lean, 1e-5);
    expectWithin(made.areas.uncovered, 0, SNAP);
  });

  it("end square at an inward corner", () => {
    const field = [
      polygon([
        [0, 0],
        [200, 0],
        [200, 100],
        [100, 100],
        [100, 200],
        [0, 200],
      ]),
    ];
    // edge 2 runs from (200, 100) to the inward corner (100, 100)
    const made = headland(field, { swathWidth: 6, rounds: 1, sides: [{ from: 2, to: 2 }] });
    expectWithin(made.areas.headland, 600, SNAP);
    expectWithin(made.rounds[0]!.length, 100, 1e-5);
  });

  it("of several edges go round their corners, inward ones in an arc", () => {
    const field = [
      polygon([
        [0, 0],
        [200, 0],
        [200, 100],
        [100, 100],
        [100, 200],
        [0, 200],
      ]),
    ];
    const inward = headland(field, { swathWidth: 6, rounds: 2, sides: [{ from: 2, to: 3 }] });
    expectWithin(inward.areas.headland, 100 * 12 * 2 + (Math.PI * 144) / 4, 2e-3);
    const outward = headland(field, { swathWidth: 6, rounds: 2, sides: [{ from: 0, to: 1 }] });
    expectWithin(outward.areas.headland, 200 * 12 + 100 * 12 - 144, SNAP);
    expectWithin(outward.rounds[0]!.length, 197 + 97, 1e-5);
    expect(outward.rounds[0]!.corners.length).toBe(1);
    const machine = headland(field, { swathWidth: 6, rounds: 1, sides: [{ from: 0, to: 1 }], minimumRadius: 6 });
    expect(machine.rounds[0]!.drivable).toBe(false);
    expect(machine.rounds[0]!.reason).toBe("tight-turn");
  });

  it("mean the same edges in either winding, with a repeated first point, and through vertex 0", () => {
    const ring: Point[] = [
      [0, 0],
      [40, 0],
      [40, 400],
      [0, 400],
    ];
    const area = (exterior: Point[], from: number, to: number): number =>
      headland([polygon(exterior)], { swathWidth: 6, rounds: 1, sides: [{ from, to }] }).areas.headland;
    expectWithin(area(ring, 0, 0), 240, SNAP);
    expectWithin(area([...ring].reverse(), 2, 2), 240, SNAP);
    expectWithin(area([...ring, ring[0]!], 0, 0), 240, SNAP);
    expectWithin(area(ring, 3, 0), 240 + 2400 - 36, SNAP);
  });

  it("that are the whole ring give the rounds and mainfield of the field", () => {
    const field = [
      polygon([
        [0, 0],
        [200, 0],
        [200, 100],
        [100, 100],
        [100, 200],
        [0, 200],
      ]),
    ];
    const made = headland(field, { swathWidth: 10, rounds: 1, sides: [{ from: 0, to: 5 }] });
    expectWithin(made.areas.mainfield, 22421.4602, 5e-3);
    expect(made.rounds.length).toBe(1);
    expect(made.rounds[0]!.closed).toBe(true);
  });

  it("stop at the headland of an obstacle, which has its own rounds", () => {
    const field = [polygon(rectangle(0, 0, 40, 400), rectangle(18, 5, 4, 4))];
    const made = headland(field, { swathWidth: 4, rounds: 1, sides: [{ from: 0, to: 0, rounds: 2 }] });
    expect(made.rounds.filter((round) => round.source === "obstacle").length).toBe(1);
    // the pass at 6 m meets the obstacle's headland of 4 m, the one at 2 m too: two pieces each
    expect(made.rounds.filter((round) => round.source === "side").length).toBe(4);
    for (const [x, y] of spread(field, 400)) {
      if (!inAny(field, x, y)) continue;
      const obstacle = distanceToRing(rectangle(18, 5, 4, 4), x, y);
      if (Math.abs(y - 8) < 1e-3 || Math.abs(obstacle - 4) < 1e-3) continue;
      expect(inAny(made.mainfield, x, y)).toBe(y > 8 && obstacle > 4);
    }
  });

  it("leave an obstacle near the boundary the part of its round that has room", () => {
    const field = [polygon(rectangle(0, 0, 40, 400), rectangle(18, 1, 4, 4))];
    const made = headland(field, { swathWidth: 4, rounds: 0, obstacleRounds: 1 });
    expect(made.rounds.map((round) => [round.source, round.closed])).toEqual([["obstacle", false]]);
    // two straight sides from y = 2, the far one, and two quarter circles of 2 m
    expectWithin(made.rounds[0]!.length, 3 + 3 + 4 + Math.PI * 2, 1e-2);
  });

  it("do not reach across a gap in the field", () => {
    // a slot 2 m wide, cut in from the west, parts a tongue 3 m wide off along the south side
    const field = [
      polygon([
        [0, 0],
        [100, 0],
        [100, 60],
        [0, 60],
        [0, 5],
        [50, 5],
        [50, 3],
        [0, 3],
      ]),
    ];
    const made = headland(field, { swathWidth: 6, rounds: 1, sides: [{ from: 0, to: 0, width: 12, rounds: 2 }] });
    // the tongue and the ground east of the slot; west of it what lies north of the slot hangs together with the east
    expect(made.headland.length).toBe(1);
    const apart = [
      polygon([
        [0, 0],
        [100, 0],
        [100, 60],
        [60, 60],
        [60, 5],
        [10, 5],
        [10, 60],
        [0, 60],
      ]),
    ];
    const one = headland(apart, { swathWidth: 6, rounds: 1, sides: [{ from: 1, to: 1, width: 95 }] });
    // east room 40 m wide, the neck along the south side, and the west room beyond: one piece of ground through the neck
    expectWithin(one.areas.headland, 40 * 55 + 95 * 5 + 5 * 55, 1e-3);
    const cut = [
      polygon([
        [0, 0],
        [20, 0],
        [20, 50],
        [30, 50],
        [30, 0],
        [100, 0],
        [100, 60],
        [0, 60],
      ]),
    ];
    const west = headland(cut, { swathWidth: 6, rounds: 1, sides: [{ from: 1, to: 1, width: 40 }] });
    expectWithin(west.areas.headland, 20 * 50, 1e-3);
  });

  it("are found by a rule", () => {
    const field: Polygon[] = [
      polygon([
        [0, 0],
        [20, 0],
        [40, 0],
        [40, 400],
        [0, 400],
      ]),
    ];
    const ends = sidesWhere(field, (from, to) => Math.abs(to[1] - from[1]) < 1, { rounds: 2 });
    expect(ends).toEqual([
      { polygon: 0, from: 0, to: 1, rounds: 2 },
      { polygon: 0, from: 3, to: 3, rounds: 2 },
    ]);
    expect(sidesWhere(field, () => true)).toEqual([{ polygon: 0, from: 0, to: 4 }]);
    expect(sidesWhere(field, () => false)).toEqual([]);
    expect(sidesWhere(field, (_from, _to, edge) => edge === 4 || edge === 0)).toEqual([{ polygon: 0, from: 4, to: 0 }]);
  });

  it("without any leave the field to passes", () => {
    const field = [polygon(rectangle(0, 0, 40, 400))];
    const made = headland(field, { swathWidth: 6, rounds: 2, sides: [] });
    expectWithin(made.areas.mainfield, 16000, 1e-6);
    expect(made.headland).toEqual([]);
    expect(made.rounds).toEqual([]);
  });
});
