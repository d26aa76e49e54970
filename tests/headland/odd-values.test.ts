import { describe, expect, it } from "vitest";
import { bufferZone, headland, roundLines, sidesWhere } from "../../src/headland/index.js";
import { polygon, rectangle } from "../geometry/shapes.js";
import { codesOf, ODD } from "../survey/odd.js";

const field = [polygon(rectangle(0, 0, 200, 100))];
const options = {
  swathWidth: 6,
  rounds: 2,
  obstacleRounds: 1,
  sides: [{ polygon: 0, from: 0, to: 0, rounds: 1, width: 6 }],
  order: "outside-in",
  direction: "clockwise",
  gate: [0, 0],
  minimumRadius: 3,
  join: "round",
  tolerance: 1e-3,
};

describe("odd values in every place", () => {
  it.each<[string, (...args: never[]) => unknown, readonly unknown[]]>([
    ["headland", headland, [field, options]],
    [
      "bufferZone",
      bufferZone,
      [{ lines: [rectangle(0, 0, 9, 9)], polygons: field, points: [[1, 1]] }, 5, { tolerance: 1e-3 }],
    ],
    ["sidesWhere", sidesWhere, [field, () => true, {}]],
    ["roundLines", roundLines, [{ rounds: [] }, { all: true }]],
  ])("%s gives a result or the one error, nothing else", (_name, call, good) => {
    const { accepted, refused, other } = codesOf(call, good);
    expect(other).toEqual([]);
    expect(accepted + refused).toBeGreaterThan(ODD.length);
    expect(refused).toBeGreaterThan(ODD.length / 2);
  });

  it("a width too large gives empty lists and reasons, never an error", () => {
    for (const swathWidth of [50, 101, 1e6, 1e150]) {
      for (const minimumRadius of [0, 6, 1e6]) {
        const made = headland(field, { swathWidth, rounds: 2, minimumRadius });
        expect(made.mainfield).toEqual([]);
        expect(made.reason).toBe("headland-fills-field");
        expect(made.dropped.length).toBeGreaterThan(0);
      }
    }
  });
});
