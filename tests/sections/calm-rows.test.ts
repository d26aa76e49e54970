import { describe, expect, test } from "vitest";
import { CoverageRecord } from "../../src/coverage/index.js";
import type { Polygon } from "../../src/geometry/index.js";
import { boom, evenSections, SectionControl } from "../../src/sections/index.js";
import { random } from "../helpers/random.js";
import { poseAt } from "./drive.js";
import { light } from "../helpers/light.js";

/** An obstacle and a slanted end, worked strips along and across. */
const field: Polygon = {
  exterior: [
    [-60, -20],
    [70, -35],
    [75, 90],
    [-50, 110],
  ],
  holes: [
    [
      [5, 40],
      [9, 40],
      [9, 44],
      [5, 44],
    ],
  ],
};

/** To a microsecond: the time that differs by nothing shows in the last digits. */
const rounded = (time: number | null): number | null => (time === null ? null : Math.round(time * 1e6));

describe("one look at a calm row", () => {
  test("decides as asking every section does, instants and record alike", () => {
    for (let seed = 1; seed <= (light ? 2 : 24); seed++) {
      const next = random(seed);
      const betweenFixes = seed % 3 === 0;
      const headlandRule = seed % 5 === 0 ? "mainfield" : "both";
      const make = (asked: boolean): SectionControl => {
        const coverage = new CoverageRecord();
        coverage.mark(-40, 20, 40, 26, 40, 33, -40, 27);
        coverage.mark(-12, -20, -6, -20, -6, 80, -12, 80);
        // a time that differs by nothing makes the sections unlike, so that each is asked
        const sections = evenSections(18, 9).map((s, i) => ({
          ...s,
          turnOffTime: 0.4 + (asked && i === 4 ? 1e-15 * 64 : 0),
        }));
        return new SectionControl({
          boom: boom({ sections, x: -2, turnOnTime: 0.7 }),
          field: [field],
          headland: [
            {
              exterior: [
                [-60, 70],
                [80, 70],
                [80, 120],
                [-60, 120],
              ],
              holes: [],
            },
          ],
          coverage,
          settings: {
            overlapTolerance: [0, 0.5, 1][seed % 3]!,
            outsideTolerance: seed % 2 === 0 ? 0 : 0.4,
            betweenFixes,
            headlandRule,
          },
        });
      };
      const [look, ask] = [make(false), make(true)];
      let pose = { x: 60 * next() - 30, y: -30, heading: 40 * next() - 20 };
      let yawRate = 0;
      for (let k = 0; k < 300; k++) {
        if (k % 40 === 0) yawRate = next() < 0.4 ? 0 : 24 * next() - 12;
        const speed = 3;
        pose = poseAt({ ...pose, speed, yawRate }, 0.1);
        const input = {
          time: k / 10,
          ...pose,
          heading: ((pose.heading % 360) + 360) % 360,
          speed,
          yawRate,
          usable: true,
        };
        const a = look.update(input);
        const b = ask.update(input);
        expect(a.reasons).toEqual(b.reasons);
        expect(a.ordered).toEqual(b.ordered);
        expect(a.upcoming.map(rounded)).toEqual(b.upcoming.map(rounded));
        expect(a.crossings.map(rounded)).toEqual(b.crossings.map(rounded));
        expect(a.workedArea).toBe(b.workedArea);
      }
    }
  });
});
