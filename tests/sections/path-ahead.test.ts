import { describe, expect, test } from "vitest";
import { CoverageRecord } from "../../src/coverage/index.js";
import { TowedImplement } from "../../src/machine/index.js";
import { boom, evenSections, type PathAhead, SectionControl, type SectionInput } from "../../src/sections/index.js";
import { type Path, poseAt, run } from "./drive.js";
import { some } from "../helpers/light.js";

const R = Math.PI / 180;
const field = [
  {
    exterior: [
      [-300, 30],
      [300, 30],
      [300, 300],
      [-300, 300],
    ] as [number, number][],
    holes: [],
  },
];

/** The arc that would be taken anyhow, as a path. */
class Arc implements PathAhead {
  from: SectionInput = { time: 0, x: 0, y: 0, heading: 0, speed: 0, usable: true };
  poseAhead(seconds: number, out: Float64Array): void {
    const { x, y, heading, speed, yawRate = 0 } = this.from;
    const pose = poseAt({ x, y, heading, speed, yawRate }, seconds);
    out[0] = pose.x;
    out[1] = pose.y;
    out[2] = ((pose.heading % 360) + 360) % 360;
  }
}

const control = (settings = {}) =>
  new SectionControl({
    boom: boom({ sections: evenSections(24, 8), x: -3, turnOnTime: 0.8, turnOffTime: 0.4 }),
    field,
    coverage: new CoverageRecord(),
    settings,
  });

describe("a path that is given", () => {
  test("along the arc decides as the arc does, also across north and for the inner tip that runs backwards", () => {
    for (const yawRate of some([9, 0, -9, 20, -25])) {
      const arc = new Arc();
      const path: Path = { x: 0, y: 18, heading: 3, speed: 2.6, yawRate };
      const one = control();
      const two = control();
      run(one, path, 0, 25, 10, (input) => {
        arc.from = input;
        const a = one.update(input);
        const b = two.update({ ...input, path: arc });
        expect(b.reasons).toEqual(a.reasons);
        expect(b.ordered).toEqual(a.ordered);
        return input;
      });
    }
  });

  test("that is not finite, throws or is none turns off for want of a position", () => {
    const bad: unknown[] = [
      { poseAhead: (_: number, out: Float64Array) => out.fill(Number.NaN) },
      { poseAhead: (_: number, out: Float64Array) => out.set([0, Number.POSITIVE_INFINITY, 0]) },
      { poseAhead: (_: number, out: Float64Array) => out.set([0, 40, Number.NaN]) },
      {
        poseAhead: () => {
          throw new RangeError("no way");
        },
      },
      { poseAhead: () => undefined },
      {},
      7,
    ];
    for (const path of bad) {
      for (const made of [
        control(),
        new SectionControl({ boom: boom({ sections: evenSections(24, 8) }), coverage: new CoverageRecord() }),
      ]) {
        const input = { time: 0, x: 0, y: 60, heading: 0, speed: 3, usable: true };
        expect(made.update(input).ordered[3]).toBe(true);
        const states = made.update({ ...input, time: 0.1, y: 60.3, path: path as PathAhead });
        expect(states.ordered).toEqual(new Array(8).fill(false));
        expect(states.reasons).toEqual(new Array(8).fill("position"));
      }
    }
  });

  test("that swings farther than its speed told is asked where it goes", () => {
    // far inside the field by speed and time, the zone is proven clear; the path jumps over the boundary
    const made = control();
    const away: PathAhead = { poseAhead: (_, out) => out.set([0, 0, 0]) };
    const input = { time: 0, x: 0, y: 150, heading: 0, speed: 3, usable: true };
    expect(made.update(input).ordered[0]).toBe(true);
    made.update({ ...input, time: 1.9, connected: false });
    const states = made.update({ ...input, time: 2, connected: false, path: away });
    expect(new Set(states.reasons)).toEqual(new Set(["backwards"]));
    const over: PathAhead = { poseAhead: (s, out) => out.set([0, 3 * s, 0]) };
    expect(new Set(made.update({ ...input, time: 3, path: over }).reasons)).toEqual(new Set(["outside-field"]));
  });
});

describe("a towed implement's own path", () => {
  // oracle: Euler steps of 0.1 ms of the kinematic equation, each end of each section
  test.for(some([5, 10, 20]))(
    "lands each section within an interval where its arc of the moment would not, at %d Hz",
    (rate) => {
      const dt = 1e-4;
      const hitch = -1;
      const drawbar = 6;
      const speed = 3;
      const yawAt = (t: number) => (t < 6 ? 0 : 12);
      const end = 14;
      const n = Math.round(end / dt);
      // machine and implement, each 0.1 ms
      const trace = new Float64Array(3 * (n + 1));
      let [x, y, psi, theta] = [0, 0, 0, 0];
      const machine = new Float64Array(3 * (n + 1));
      for (let k = 0; k <= n; k++) {
        machine.set([x, y, psi], 3 * k);
        const hx = x + hitch * Math.sin(psi);
        const hy = y + hitch * Math.cos(psi);
        trace.set([hx - drawbar * Math.sin(theta), hy - drawbar * Math.cos(theta), theta], 3 * k);
        const omega = yawAt(k * dt) * R;
        theta += (dt * (speed * Math.sin(psi - theta) + hitch * omega * Math.cos(psi - theta))) / drawbar;
        x += dt * speed * Math.sin(psi + (omega * dt) / 2);
        y += dt * speed * Math.cos(psi + (omega * dt) / 2);
        psi += dt * omega;
      }
      const sections = evenSections(18, 6);
      const at = (t: number, offset: number): number => {
        const k = Math.round(t / dt);
        // the tool stands 1 m behind the axle
        return trace[3 * k + 1]! - Math.cos(trace[3 * k + 2]!) - offset * Math.sin(trace[3 * k + 2]!);
      };
      const edge = 17;
      const inside = (i: number, t: number) => Math.min(at(t, sections[i]!.left), at(t, sections[i]!.right)) >= edge;
      const worst = (guided: boolean): number => {
        const implement = new TowedImplement({ hitch, drawbar }, { heading: 0 });
        const made = new SectionControl({
          boom: boom({ sections, x: -1, turnOnTime: 1.2, turnOffTime: 0.7 }),
          field: [
            {
              exterior: [
                [-90, edge],
                [90, edge],
                [90, 90],
                [-90, 90],
              ],
              holes: [],
            },
          ],
          coverage: new CoverageRecord(),
        });
        let most = 0;
        const was: boolean[] = new Array(6).fill(false);
        for (let k = 0; k < (end - 2) * rate; k++) {
          const t = k / rate;
          const j = 3 * Math.round(t / dt);
          const yaw = yawAt(t);
          const [mx, my, mh] = [machine[j]!, machine[j + 1]!, machine[j + 2]! / R];
          const state = implement.update(t, mx, my, mh, speed, yaw, true);
          const { x: ix, y: iy, heading, speed: own, yawRate } = state;
          const input = { time: t, x: ix, y: iy, heading, speed: own, yawRate, usable: true };
          const states = made.update(guided ? { ...input, path: implement } : input);
          states.ordered.forEach((on, i) => {
            if (on === was[i]) return;
            was[i] = on;
            const landing = t + (on ? 1.2 : 0.7);
            // only where the machine kept its circle from the order to the landing
            if (t < 6.05) return;
            let ideal = Number.NaN;
            for (let s = landing - 1.5; s < landing + 1.5; s += 1e-3) {
              if (inside(i, s) !== inside(i, s + 1e-3) && !(Math.abs(ideal - landing) < Math.abs(s - landing)))
                ideal = s;
            }
            if (Number.isNaN(ideal)) return;
            most = Math.max(most, Math.abs(landing - ideal));
          });
        }
        return most;
      };
      const guided = worst(true);
      expect(guided).toBeGreaterThan(0);
      expect(guided).toBeLessThanOrEqual(1 / rate + 0.01);
      // at 5 Hz the interval hides it
      if (rate > 5) expect(worst(false)).toBeGreaterThan(guided);
    },
  );
});
