import { describe, expect, it } from "vitest";
import type { Point, Polygon } from "../../src/geometry/index.js";
import { headland, roundLines } from "../../src/headland/index.js";
import { PLACES, placed, polygon, rectangle } from "../geometry/shapes.js";
import { expectWithin } from "../helpers/within.js";

const MM2 = 1e-3; // m²: a millimetre along a metre
const MM = 1e-3;
const GAP = 0.03; // m²: a millimetre along the outline of what a corner leaves

function fieldAt(
  place: (typeof PLACES)[number],
  exterior: readonly Point[],
  ...holes: (readonly Point[])[]
): Polygon[] {
  return [
    polygon(
      placed(exterior, place.degrees, place.east, place.north),
      ...holes.map((hole) => placed(hole, place.degrees, place.east, place.north)),
    ),
  ];
}

// closed forms: what a turn of radius R leaves at a corner of angle a, R² (cot(a/2) - (180° - a)/2)
function cornerGap(radius: number, degrees: number): number {
  const a = (degrees * Math.PI) / 180;
  return radius * radius * (1 / Math.tan(a / 2) - (Math.PI - a) / 2);
}

describe.each(PLACES)("a field $name", (place) => {
  it("of 200 x 100 m leaves a mainfield of 176 x 76 m inside two rounds of 576 and 528 m", () => {
    const made = headland(fieldAt(place, rectangle(0, 0, 200, 100)), { swathWidth: 6, rounds: 2 });
    expect(made.rounds.map((round) => [round.number, round.source, round.distance])).toEqual([
      [1, "boundary", 3],
      [2, "boundary", 9],
    ]);
    expectWithin(made.rounds[0]!.length, 576, 1e-6, "round 1");
    expectWithin(made.rounds[1]!.length, 528, 1e-6, "round 2");
    expect(made.mainfield.length).toBe(1);
    expectWithin(made.areas.field, 20000, 1e-5);
    expectWithin(made.areas.mainfield, 176 * 76, 1e-5);
    expectWithin(made.areas.headland, 20000 - 176 * 76, 1e-5);
    expect(made.dropped).toEqual([]);
  });

  it("of triangular shape 300-400-500 m has the inset areas and perimeters of a convex polygon", () => {
    // A - P d + d² sum cot(θ/2); a 300-400-500 triangle is its inset scaled by 1 - d/100
    for (const [d, area, perimeter] of [
      [6, 53016, 1128],
      [12, 46464, 1056],
      [24, 34656, 912],
    ] as const) {
      const made = headland(
        fieldAt(place, [
          [0, 0],
          [400, 0],
          [0, 300],
        ]),
        { swathWidth: d, rounds: 1 },
      );
      expectWithin(made.areas.mainfield, area, 1e-5, `area ${d}`);
      const twice = headland(
        fieldAt(place, [
          [0, 0],
          [400, 0],
          [0, 300],
        ]),
        { swathWidth: 2 * d, rounds: 1 },
      );
      expectWithin(twice.rounds[0]!.length, perimeter, 1e-6, `perimeter ${d}`);
    }
  });

  it("of L shape keeps the arc at its inward corner, or the mitre where that is asked for", () => {
    const shape: Point[] = [
      [0, 0],
      [200, 0],
      [200, 100],
      [100, 100],
      [100, 200],
      [0, 200],
    ];
    const round = headland(fieldAt(place, shape), { swathWidth: 10, rounds: 1 });
    // true erosion: 22400 + 100 - 25 pi; chords take at most 2/3 of the tolerance times the arc's length
    expectWithin(round.areas.mainfield, 22421.4602, 2e-3, "round");
    const mitre = headland(fieldAt(place, shape), { swathWidth: 10, rounds: 1, join: "mitre" });
    expectWithin(mitre.areas.mainfield, 22400, 1e-5, "mitre");
  });

  it("leaves at each square corner what the closed form says", () => {
    const made = headland(fieldAt(place, rectangle(0, 0, 200, 100)), { swathWidth: 6, rounds: 2, minimumRadius: 6 });
    for (const round of made.rounds) {
      expect(round.drivable).toBe(true);
      expect(round.corners.length).toBe(4);
      // round 1: from the corner to the swath's outer edge of radius r + w/2; round 2: between that and the inner edge of
      // round 1, of radius r - w/2
      const gap = cornerGap(9, 90) - (round.number === 1 ? 0 : cornerGap(3, 90));
      for (const corner of round.corners) {
        expectWithin(corner.angle, 90, 1e-6, "angle");
        expectWithin(corner.uncoveredArea, gap, GAP, `gap of round ${round.number}`);
      }
      // a square corner of the line becomes a quarter of a circle: 2 r - pi r / 2 shorter, four times
      expectWithin(round.length, (round.number === 1 ? 576 : 528) - 4 * (2 - Math.PI / 2) * 6, 5 * MM, "length");
    }
    expect(made.uncovered.length).toBe(8);
    expectWithin(made.areas.uncovered, 4 * (2 * cornerGap(9, 90) - cornerGap(3, 90)), 8 * GAP);
  });

  it("leaves less at a corner that is driven to its tip: the quarter disc of half a swath", () => {
    const made = headland(fieldAt(place, rectangle(0, 0, 200, 100)), { swathWidth: 6, rounds: 1 });
    for (const corner of made.rounds[0]!.corners) expectWithin(corner.uncoveredArea, cornerGap(3, 90), GAP);
  });

  it("with acute and obtuse corners leaves what the closed form says", () => {
    const made = headland(
      fieldAt(place, [
        [0, 0],
        [400, 0],
        [0, 300],
      ]),
      { swathWidth: 8, rounds: 1, minimumRadius: 5 },
    );
    const acute = [Math.atan2(3, 4), Math.atan2(4, 3), Math.PI / 2].map((a) => (a * 180) / Math.PI);
    for (const angle of acute) {
      const corner = made.rounds[0]!.corners.find((one) => Math.abs(one.angle - angle) < 1e-6);
      expectWithin(corner!.uncoveredArea, cornerGap(9, angle), GAP, `${angle} degrees`);
    }
  });

  it("with an obstacle has rounds about it, by closed form", () => {
    const made = headland(fieldAt(place, rectangle(0, 0, 200, 100), rectangle(90, 40, 20, 10)), {
      swathWidth: 4,
      rounds: 2,
    });
    const about = made.rounds.filter((round) => round.source === "obstacle");
    expect(about.map((round) => [round.index, round.number, [...round.obstacles]])).toEqual([
      [0, 1, [0]],
      [0, 2, [0]],
    ]);
    // perimeter 60 and a circle at the distance
    expectWithin(about[0]!.length, 60 + 2 * Math.PI * 2, MM);
    expectWithin(about[1]!.length, 60 + 2 * Math.PI * 6, MM);
    expectWithin(made.areas.field, 20000 - 200, 1e-5);
    expectWithin(made.areas.mainfield, 184 * 84 - (200 + 60 * 8 + Math.PI * 64), 5 * MM2);
    expectWithin(made.areas.headland + made.areas.mainfield, made.areas.field, 1e-5);
  });
});

describe("numbers of rounds that differ", () => {
  const field = [polygon(rectangle(0, 0, 200, 100), rectangle(90, 40, 20, 10))];

  it("give one about the obstacle and three along the boundary", () => {
    const made = headland(field, { swathWidth: 4, rounds: 3, obstacleRounds: 1 });
    expect(made.rounds.map((round) => `${round.source} ${round.number}`)).toEqual([
      "boundary 1",
      "boundary 2",
      "boundary 3",
      "obstacle 1",
    ]);
    expectWithin(made.areas.mainfield, 176 * 76 - (200 + 60 * 4 + Math.PI * 16), 5 * MM2);
  });

  it("give none about the obstacle, or only those", () => {
    const none = headland(field, { swathWidth: 4, rounds: 2, obstacleRounds: 0 });
    expect(none.rounds.map((round) => round.source)).toEqual(["boundary", "boundary"]);
    expectWithin(none.areas.mainfield, 184 * 84 - 200, 1e-5);
    const only = headland(field, { swathWidth: 4, rounds: 0, obstacleRounds: 2 });
    expect(only.rounds.map((round) => `${round.source} ${round.number}`)).toEqual(["obstacle 1", "obstacle 2"]);
    expectWithin(only.areas.mainfield, 20000 - (200 + 60 * 8 + Math.PI * 64), 5 * MM2);
  });

  it("let a round of the boundary go round an obstacle in its way at the obstacle's own last round", () => {
    const near = [polygon(rectangle(0, 0, 200, 100), rectangle(90, 6, 20, 10))];
    const made = headland(near, { swathWidth: 4, rounds: 3, obstacleRounds: 1 });
    for (const round of made.rounds) {
      for (const [x, y] of round.line) {
        const dx = Math.max(90 - x, 0, x - 110);
        const dy = Math.max(6 - y, 0, y - 16);
        expect(Math.hypot(dx, dy)).toBeGreaterThan(2 - 2e-4);
      }
    }
    const third = made.rounds.find((round) => round.number === 3)!;
    expect(third.obstacles).toEqual([0]);
    expect(made.areas.uncovered).toBeLessThan(60);
  });
});

describe("the drive", () => {
  const field = [polygon(rectangle(0, 0, 200, 100))];

  it("starts at the point nearest to the gate, each round beside the one before", () => {
    const made = headland(field, { swathWidth: 6, rounds: 3, gate: [120, -5] });
    expect(made.rounds.map((round) => round.line[0])).toEqual([
      [120, 3],
      [120, 9],
      [120, 15],
    ]);
    for (const round of made.rounds) expect(round.line[round.line.length - 1]).toEqual(round.line[0]);
  });

  it("goes the way round that is asked for, from the edge or from within", () => {
    const area = (line: readonly Point[]): number =>
      line.reduce((sum, p, i) => {
        const q = line[(i + 1) % line.length]!;
        return sum + p[0] * q[1] - p[1] * q[0];
      }, 0);
    const clockwise = headland(field, { swathWidth: 6, rounds: 2 });
    expect(clockwise.rounds.every((round) => area(round.line) < 0)).toBe(true);
    const counter = headland(field, { swathWidth: 6, rounds: 2, direction: "counter-clockwise", order: "inside-out" });
    expect(counter.rounds.every((round) => area(round.line) > 0)).toBe(true);
    expect(counter.rounds.map((round) => round.number)).toEqual([2, 1]);
  });

  it("hands its rounds to guidance as closed lines", () => {
    const lines = roundLines(headland(field, { swathWidth: 6, rounds: 2 }));
    expect(lines.map((line) => line.name)).toEqual(["boundary 1, round 1", "boundary 1, round 2"]);
    expect(lines.every((line) => line.closed && line.points.length === 5)).toBe(true);
  });
});
