import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { CoverageRecord } from "../../src/coverage/index.js";
import { type Point, type Polygon, pointInPolygon } from "../../src/geometry/index.js";
import {
  boom,
  evenSections,
  SectionControl,
  type SectionControlOptions,
  type SectionInput,
  type SectionStates,
} from "../../src/sections/index.js";
import { type Path, poseAt, toolAt } from "./drive.js";
import { runs } from "../helpers/light.js";

/** A star-shaped, not self-crossing field of about 60 m about a centre, and the same drawn in towards it. */
const fields = fc
  .tuple(
    fc.array(fc.double({ min: 20, max: 70, noNaN: true }), { minLength: 3, maxLength: 12 }),
    fc.double({ min: -40, max: 40, noNaN: true }),
    fc.double({ min: -40, max: 40, noNaN: true }),
    fc.double({ min: 0.3, max: 1, noNaN: true }),
  )
  .map(([radii, x, y, shrink]): { field: Polygon; smaller: Polygon } => {
    const at = (scale: number): Polygon => ({
      exterior: radii.map((r, k): Point => {
        const angle = (2 * Math.PI * k) / radii.length;
        return [x + scale * r * Math.cos(angle), y + scale * r * Math.sin(angle)];
      }),
      holes: [],
    });
    return { field: at(1), smaller: at(shrink) };
  });
const field = fields.map((two) => two.field);

/** A convex field: corners on a circle. */
const convex = fc.uniqueArray(fc.integer({ min: 0, max: 71 }), { minLength: 3, maxLength: 9 }).map(
  (steps): Polygon => ({
    exterior: steps
      .sort((a, b) => a - b)
      .map((k): Point => [60 * Math.cos((k * Math.PI) / 36), 60 * Math.sin((k * Math.PI) / 36)]),
    holes: [],
  }),
);

const path = fc.record({
  x: fc.double({ min: -60, max: 60, noNaN: true }),
  y: fc.double({ min: -60, max: 60, noNaN: true }),
  heading: fc.double({ min: 0, max: 359, noNaN: true }),
  speed: fc.double({ min: 0.5, max: 6, noNaN: true }),
  yawRate: fc.double({ min: -15, max: 15, noNaN: true }),
});

const stripes = fc.array(
  fc.tuple(
    fc.double({ min: -60, max: 60, noNaN: true }),
    fc.double({ min: -60, max: 60, noNaN: true }),
    fc.double({ min: 1, max: 40, noNaN: true }),
    fc.double({ min: 1, max: 40, noNaN: true }),
    fc.double({ min: 0, max: Math.PI, noNaN: true }),
  ),
  { maxLength: 5 },
);

type Stripe = readonly [x: number, y: number, w: number, h: number, turn: number];

function markStripe(record: CoverageRecord, [x, y, w, h, turn]: Stripe): void {
  const c = Math.cos(turn);
  const s = Math.sin(turn);
  const corner = (a: number, b: number) => [x + a * c - b * s, y + a * s + b * c] as const;
  const q = [corner(0, 0), corner(w, 0), corner(w, h), corner(0, h)];
  record.mark(q[0]![0], q[0]![1], q[1]![0], q[1]![1], q[2]![0], q[2]![1], q[3]![0], q[3]![1]);
}

function recordOf(list: readonly Stripe[]): CoverageRecord {
  const record = new CoverageRecord();
  for (const stripe of list) markStripe(record, stripe);
  return record;
}

function inputAt(p: Path, time: number): SectionInput {
  const { x, y, heading } = poseAt(p, time);
  return { time, x, y, heading: ((heading % 360) + 360) % 360, speed: p.speed, yawRate: p.yawRate, usable: true };
}

const copy = (s: SectionStates) => JSON.parse(JSON.stringify(s)) as SectionStates;

describe("sections against the boundary (P20)", () => {
  /** Metres of a section's line outside, by sampling each centimetre. */
  function outside(polygon: Polygon, a: readonly number[], b: readonly number[], width: number): number {
    const n = Math.round(width * 100);
    let out = 0;
    for (let k = 0; k < n; k++) {
      const t = (k + 0.5) / n;
      const p: Point = [a[0]! + t * (b[0]! - a[0]!), a[1]! + t * (b[1]! - a[1]!)];
      if (pointInPolygon(polygon, p) === "outside") out += width / n;
    }
    return out;
  }

  test("agree with a rule that samples every centimetre where product would land", () => {
    fc.assert(
      fc.property(
        field,
        path,
        fc.constantFrom(0, 0.3, 0.7, 1),
        fc.double({ min: 0, max: 2, noNaN: true }),
        (polygon, p, outsideTolerance, turnOnTime) => {
          const tool = boom({ sections: evenSections(18, 6), x: -3, turnOnTime, turnOffTime: 0 });
          const control = new SectionControl({
            boom: tool,
            field: [polygon],
            coverage: new CoverageRecord(),
            settings: { outsideTolerance },
          });
          const states = control.update(inputAt(p, 0));
          tool.sections.forEach((section, i) => {
            if (states.reasons[i] === "backwards") return;
            const a = toolAt(p, turnOnTime, -3, section.left);
            const b = toolAt(p, turnOnTime, -3, section.right);
            const share = outside(polygon, a, b, 3) / 3;
            // 2 cm of a section of 3 m: the sampling's own error at two crossings
            const sure = 0.02 / 3;
            if (share > Math.min(outsideTolerance, 0.999) + sure) expect(states.ordered[i]).toBe(false);
            if (share < outsideTolerance - sure || share === 0) expect(states.ordered[i]).toBe(true);
          });
        },
      ),
      { numRuns: runs(200) },
    );
  });

  test("never mark ground outside the field where the machine moves as foretold", () => {
    fc.assert(
      fc.property(convex, path, fc.constantFrom(2, 5, 10), (polygon, p, rate) => {
        const coverage = new CoverageRecord();
        const tool = boom({ sections: evenSections(12, 4), x: 1, turnOnTime: 0.7, turnOffTime: 0.4 });
        const control = new SectionControl({ boom: tool, field: [polygon], coverage });
        // a straight drive, so that quads are what is swept
        const straight = { ...p, yawRate: 0 };
        for (let k = 0; k <= 12 * rate; k++) {
          const states = control.update(inputAt(straight, k / rate));
          tool.sections.forEach((section, i) => {
            if (!states.working[i]) return;
            const a = toolAt(straight, k / rate, 1, section.left);
            const b = toolAt(straight, k / rate, 1, section.right);
            expect(outside(polygon, a, b, 3)).toBeLessThan(0.03);
          });
        }
      }),
      { numRuns: runs(40) },
    );
  });
});

describe("sections and bad fixes (P21)", () => {
  test("are all off with a reason whenever a number is not finite or the fix is not usable", () => {
    const broken = fc.tuple(
      fc.constantFrom("x", "y", "heading", "speed", "yawRate", "usable", "time"),
      fc.constantFrom(Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY),
    );
    fc.assert(
      fc.property(path, fc.array(fc.option(broken, { nil: undefined, freq: 3 }), { maxLength: 40 }), (p, faults) => {
        const control = new SectionControl({
          boom: boom({ sections: evenSections(12, 4), turnOnTime: 0.3, turnOffTime: 0.2 }),
          coverage: new CoverageRecord(),
          settings: { overlapTolerance: 1 },
        });
        faults.forEach((fault, k) => {
          const good = inputAt(p, k / 10);
          const states = control.update(
            fault === undefined ? good : { ...good, [fault[0]]: fault[0] === "usable" ? false : fault[1] },
          );
          if (fault !== undefined) {
            expect(states.ordered).toEqual([false, false, false, false]);
            expect(states.reasons).toEqual(["position", "position", "position", "position"]);
          }
          expect(Number.isFinite(states.time)).toBe(true);
        });
      }),
    );
  });

  test("never throw and stay finite whatever comes in", () => {
    const number = fc.oneof(fc.double(), fc.double({ min: -1000, max: 1000 }), fc.constant(undefined as never));
    const any = fc.record({
      time: number,
      x: number,
      y: number,
      heading: number,
      speed: number,
      yawRate: fc.option(number, { nil: undefined }),
      curvature: fc.option(number, { nil: undefined }),
      usable: fc.boolean(),
      connected: fc.option(fc.boolean(), { nil: undefined }),
    });
    fc.assert(
      fc.property(field, fc.array(fc.tuple(any, number), { maxLength: 30 }), (polygon, inputs) => {
        const control = new SectionControl({
          boom: boom({ sections: evenSections(12, 4), turnOnTime: 0.3, turnOffTime: 0.2 }),
          field: [polygon],
          headland: [polygon],
          closed: [polygon],
          coverage: new CoverageRecord(),
          settings: { headlandRule: "headland" },
        });
        for (const [input, time] of inputs) {
          const states = control.update(input);
          for (const value of [states.time, states.workedArea, states.overlapArea])
            expect(value).toSatisfy(Number.isFinite);
          control.tick(time);
        }
      }),
      { numRuns: runs(200) },
    );
  });
});

describe("sections and more of everything (P22, P23)", () => {
  test("more worked ground or a smaller field never turns a section on", () => {
    fc.assert(
      fc.property(
        fields,
        path,
        stripes,
        stripes,
        fc.constantFrom(0, 0.4, 1),
        ({ field: polygon, smaller }, p, some, more, overlapTolerance) => {
          const tool = boom({ sections: evenSections(18, 9), x: -2, turnOnTime: 0.8, turnOffTime: 0.4 });
          const settings = { overlapTolerance };
          const decide = (options: Partial<SectionControlOptions>, list: readonly Stripe[]) =>
            new SectionControl({ boom: tool, coverage: recordOf(list), settings, ...options }).update(inputAt(p, 0))
              .ordered;
          const base = decide({ field: [polygon] }, some);
          decide({ field: [polygon] }, [...some, ...more]).forEach((on, i) => {
            if (on) expect(base[i]).toBe(true);
          });
          decide({ field: [smaller] }, some).forEach((on, i) => {
            if (on) expect(base[i]).toBe(true);
          });
        },
      ),
      { numRuns: runs(200) },
    );
  });

  test("a mirrored machine in a mirrored field decides the mirror image", () => {
    fc.assert(
      fc.property(field, path, (polygon, p) => {
        const offsets = [-9, -5, -4, 0, 2.5, 9];
        const sections = offsets.slice(1).map((right, k) => ({ left: offsets[k]!, right }));
        const mirrored = sections.map(({ left, right }) => ({ left: -right, right: -left })).reverse();
        const times = { x: -2, turnOnTime: 0.6, turnOffTime: 0.3 };
        const flipped: Polygon = { exterior: polygon.exterior.map(([x, y]): Point => [-x, y]), holes: [] };
        const one = new SectionControl({
          boom: boom({ sections, ...times }),
          field: [polygon],
          coverage: new CoverageRecord(),
        }).update(inputAt(p, 0));
        const other = new SectionControl({
          boom: boom({ sections: mirrored, ...times }),
          field: [flipped],
          coverage: new CoverageRecord(),
        }).update(inputAt({ ...p, x: -p.x, heading: (360 - p.heading) % 360, yawRate: -p.yawRate }, 0));
        expect([...other.reasons].reverse()).toEqual(one.reasons);
      }),
      { numRuns: runs(200) },
    );
  });

  test("of a section divided in two at least one half is on where the whole is", () => {
    fc.assert(
      fc.property(
        field,
        path,
        stripes,
        fc.constantFrom(0, 0.2, 0.5, 0.8),
        fc.constantFrom(0, 0.3),
        (polygon, p, list, overlapTolerance, outsideTolerance) => {
          const decide = (count: number) =>
            new SectionControl({
              boom: boom({ sections: evenSections(16, count), turnOnTime: 0.5 }),
              field: [polygon],
              coverage: recordOf(list),
              settings: { overlapTolerance, outsideTolerance },
            }).update(inputAt({ ...p, yawRate: p.yawRate / 10 }, 0)).ordered;
          const whole = decide(4);
          const halves = decide(8);
          whole.forEach((on, i) => {
            if (on) expect(halves[2 * i]! || halves[2 * i + 1]!).toBe(true);
          });
        },
      ),
      { numRuns: runs(200) },
    );
  });
});

describe("replay (P24)", () => {
  test("the same input gives the same output to the bit, from the start and from any snapshot", () => {
    const step = fc.tuple(
      fc.double({ min: 0.04, max: 0.3, noNaN: true }),
      fc.double({ min: 0, max: 5, noNaN: true }),
      fc.double({ min: -12, max: 12, noNaN: true }),
      fc.constantFrom("", "", "", "", "lost", "gap", "hand", "auto", "tick", "master"),
    );
    fc.assert(
      fc.property(
        field,
        stripes,
        fc.array(step, { minLength: 5, maxLength: 80 }),
        fc.nat(),
        (polygon, list, steps, at) => {
          const options = (coverage: CoverageRecord): SectionControlOptions => ({
            boom: boom({ sections: evenSections(12, 5), x: -2, turnOnTime: 0.9, turnOffTime: 0.4 }),
            field: [polygon],
            coverage,
            settings: { overlapTolerance: 0.4, minimumOffTime: 0.3, workReversing: true },
          });
          const cut = at % steps.length;
          const drive = (split: boolean) => {
            const coverage = recordOf(list);
            let control = new SectionControl(options(coverage));
            const seen: SectionStates[] = [];
            let time = 0;
            let pose = { x: 0, y: 0, heading: 0 };
            let master = true;
            steps.forEach(([dt, speed, yawRate, event], k) => {
              if (split && k === cut) {
                control = SectionControl.restore(
                  JSON.parse(JSON.stringify(control.snapshot())) as ReturnType<SectionControl["snapshot"]>,
                  options(coverage),
                );
              }
              time += dt;
              const v = k % 17 > 13 ? -speed : speed;
              pose = poseAt({ ...pose, speed: v, yawRate }, dt);
              if (event === "hand") control.setOverride(k % 5, k % 2 === 0 ? "on" : "off");
              if (event === "auto") control.setOverride(k % 5, "auto");
              if (event === "tick") control.tick(time - dt / 2);
              if (event === "master") {
                master = !master;
                control.setMaster(master);
              }
              const heading = ((pose.heading % 360) + 360) % 360;
              const input = {
                time,
                ...pose,
                heading,
                speed: v,
                yawRate,
                usable: event !== "lost",
                connected: event !== "gap",
              };
              seen.push(copy(control.update(input)));
            });
            return { seen, areas: coverage.areas(), end: control.snapshot() };
          };
          const whole = drive(false);
          expect(drive(false)).toEqual(whole);
          expect(drive(true)).toEqual(whole);
        },
      ),
      { numRuns: runs(60) },
    );
  });

  test("a snapshot that is damaged or of another boom is refused", () => {
    const options = { boom: boom({ sections: evenSections(12, 5) }), coverage: new CoverageRecord() };
    const good = new SectionControl(options).snapshot();
    const bad: unknown[] = [
      null,
      {},
      { ...good, version: 1 },
      { ...good, count: 4 },
      { ...good, numbers: [1] },
      { ...good, numbers: good.numbers.map(() => 0) },
      { ...good, clock: [1] },
      { ...good, clock: good.clock.map(() => -1) },
      { ...good, instants: good.instants.slice(1) },
      { ...good, instants: good.instants.map(() => "soon") },
      { ...good, upcomingReasons: [] },
      { ...good, orders: good.orders.slice(1) },
      { ...good, orders: good.orders.map(() => 7) },
      { ...good, swept: [Number.NaN] },
      { ...good, overrides: ["auto"] },
      { ...good, reasons: undefined },
      { ...good, headlandRule: "none" },
    ];
    for (const snapshot of bad) {
      expect(() => SectionControl.restore(snapshot as never, options)).toThrow(
        expect.objectContaining({ code: "bad-snapshot" }),
      );
    }
    expect(SectionControl.restore(good, options).snapshot()).toEqual(good);
  });
});
