import { describe, expect, it } from "vitest";
import { guidancePattern, straightLine } from "../../src/guidance/index.js";
import { FieldJob, type JobDefinition, type SwitchEvent } from "../../src/job/index.js";
import type { Fix } from "../../src/receiver/index.js";
import { evenSections } from "../../src/sections/index.js";
import { expectCode, expectWithin } from "../helpers/within.js";
import { definition, northward } from "./drive.js";

const trailed = definition({
  boom: { sections: evenSections(24, 8), x: -0.5 },
  towed: { hitch: -1, drawbar: 6, heading: 0 },
});

/** Fixes of a drive round a circle to the right, from its western point north. */
function* round(radius: number, angle: number, roll?: number): Generator<Fix> {
  const frame = new FieldJob(definition()).frame;
  const speed = 3;
  for (let i = 0; (i * speed) / 10 / radius <= angle; i++) {
    const turned = (i * speed) / 10 / radius;
    const { latitude, longitude } = frame.toGeodetic([-radius * Math.cos(turned), radius * Math.sin(turned)]);
    const heading = (turned * 180) / Math.PI;
    const at = { latitude, longitude, speed, heading, course: heading };
    yield { time: 1000 + i / 10, dated: false, quality: 4, ...at, ...(roll === undefined ? {} : { roll }) };
  }
}

const open = (change: Partial<JobDefinition>): JobDefinition => {
  const { field: _, pattern: __, ...rest } = definition(change);
  return rest;
};

describe("a towed implement", () => {
  it("has its boom switched at its own tool, seven and a half metres behind", () => {
    const job = new FieldJob(trailed);
    const events: SwitchEvent[] = [];
    job.onSwitch = (event) => events.push(event);
    for (const fix of northward({ to: 120 })) job.update(fix);
    expect(events).toHaveLength(16);
    // the last fix is 120 m north of the edge, the tool 7.5 m less
    for (const event of events) expectWithin(event.y, event.on ? 0 : 100, 0.4 + 1e-6, "order at the edge, m north");
    expectWithin(job.report().totals.workedArea, 24 * 100, 24 * 0.41, "worked, m²");
    expectWithin(job.state.implement!.y, 120 - 7, 1e-6, "axle, m north");
    expect(job.state.implement!.status).toBe("ok");
  });

  it("works nothing until its heading is known", () => {
    const { heading: _, ...unknown } = trailed.towed!;
    const job = new FieldJob({ ...trailed, towed: unknown });
    let settled = Number.NaN;
    for (const fix of northward({ from: 0, to: 60 })) {
      const { implement, sections, y } = job.update(fix);
      if (implement!.status !== "ok") expect(sections.ordered.some(Boolean)).toBe(false);
      else if (Number.isNaN(settled)) settled = y;
    }
    // three drawbars of straight way
    expectWithin(settled, 18, 1.5, "way until it works, m");
    expect(job.state.sections.ordered.every(Boolean)).toBe(true);
  });

  it("cuts the corner: in a steady circle its ring is the closed form's", () => {
    // R = 30, hitch on the axle: sqrt(30² - 8²) = 28.9137 m (Murray and Sastry 1993 for the equation; closed form of the steady circle)
    const job = new FieldJob(
      open({ boom: { sections: evenSections(6, 3) }, towed: { hitch: 0, drawbar: 8, heading: 0 } }),
    );
    for (const fix of round(30, 6 * Math.PI)) job.update(fix);
    const ring = Math.sqrt(30 ** 2 - 8 ** 2);
    const { implement } = job.state;
    expectWithin(Math.hypot(implement!.x, implement!.y), ring, 1e-3, "radius of the axle, m");
    expectWithin(implement!.articulation, (-Math.atan2(8, ring) * 180) / Math.PI, 1e-2, "articulation, degrees");
    // once round in the first place, and not again: the run in is a spiral, wider than the ring by less than 1.1 m at its start
    const area = job.coverage.areas().worked;
    expectWithin(area, 2 * Math.PI * ring * 6, 60, "ring, m²");
    expect(job.coverage.isCovered(0, ring - 2.9)).toBe(true);
    expect(job.coverage.isCovered(0, ring - 3.1)).toBe(false);
  });

  it("may be what is kept on the pass, and may have one boom while the machine has another", () => {
    const frontTank = {
      boom: { sections: evenSections(24, 8), x: 3 },
      on: "machine" as const,
      product: "starter",
    };
    const job = new FieldJob({ ...trailed, guide: "implement", furtherBooms: [frontTank] });
    for (const fix of northward({ to: 60, east: 0.3 })) job.update(fix);
    expectWithin(job.state.guidance.crossTrackError, 0.3, 1e-6, "of the implement, m");
    expectWithin(job.state.guidance.distanceAlong, job.state.implement!.y, 1e-6, "its foot on the pass, m");
    const behind = job.report().totals.workedArea;
    // the machine's boom is 10.5 m ahead of the implement's
    expectWithin(job.report().furtherBooms[0]!.workedArea - behind, 24 * 10.5, 24 * 0.81, "ahead, m²");
  });

  it("goes on from a snapshot bit for bit", () => {
    const whole = new FieldJob(trailed);
    let second: FieldJob | null = null;
    let i = 0;
    for (const fix of northward({ to: 120 })) {
      whole.update(fix);
      if (second === null) {
        if (++i === 180) second = FieldJob.restore(JSON.parse(JSON.stringify(whole.snapshot()), revive) as never);
      } else second.update(fix);
    }
    expect(second!.snapshot()).toEqual(whole.snapshot());
    const { towed: _, ...rest } = whole.snapshot();
    expectCode(() => FieldJob.restore(rest as never), "bad-snapshot");
    expectCode(() => FieldJob.restore({ ...whole.snapshot(), towed: null }), "bad-snapshot");
  });

  it("is refused where there is none, or its set-up is wrong", () => {
    expectCode(() => new FieldJob(definition({ guide: "implement" })), "out-of-range");
    expectCode(() => new FieldJob(definition({ boomOn: "implement" })), "out-of-range");
    expectCode(() => new FieldJob(definition({ boomOn: "trailer" as never })), "out-of-range");
    expectCode(() => new FieldJob({ ...trailed, towed: { hitch: -1, drawbar: 0 } }), "out-of-range");
    expectCode(() => new FieldJob({ ...trailed, towed: null as never }), "not-finite");
    expectCode(() => new FieldJob(definition({ boomHeight: 900 })), "out-of-range");
    expectCode(() => new FieldJob(definition({ latency: 3 })), "out-of-range");
    expectCode(() => new FieldJob(definition({ latency: Number.NaN })), "not-finite");
  });
});

/** the coverage record's bytes back from JSON */
function revive(key: string, value: unknown): unknown {
  return key === "coverage" && typeof value === "object" && value !== null
    ? Uint8Array.from(Object.values(value as Record<string, number>))
    : value;
}

describe("roll", () => {
  it("puts the product of a high boom aside: height times sin(roll)", () => {
    const job = new FieldJob(open({ boom: { sections: evenSections(6, 1) }, boomHeight: 1.5 }));
    for (const fix of northward()) job.update({ ...fix, roll: 8 });
    // the antenna's 3 m lean right by 0.4175 m, so the reference point is that much left; the boom leans by 1.5 sin(8) = 0.2088 m
    const middle = -3 * Math.sin((8 * Math.PI) / 180) + 1.5 * Math.sin((8 * Math.PI) / 180);
    expect(job.coverage.isCovered(middle - 2.9, 30)).toBe(true);
    expect(job.coverage.isCovered(middle - 3.1, 30)).toBe(false);
    expect(job.coverage.isCovered(middle + 2.9, 30)).toBe(true);
    expect(job.coverage.isCovered(middle + 3.1, 30)).toBe(false);
  });
});

describe("latency", () => {
  it("has guidance look ahead by way and turn", () => {
    const pattern = guidancePattern(straightLine([0, -100], [0, 100]), { swathWidth: 24 });
    const angle = 2;
    const now = new FieldJob({ ...open({}), pattern });
    const late = new FieldJob({ ...open({}), pattern, latency: 0.4 });
    for (const fix of round(30, angle)) {
      now.update(fix);
      late.update(fix);
    }
    // 0.4 s at 3 m/s further along the circle, about the last fix's angle
    const last = now.state.motion.heading;
    const ahead = last + ((0.4 * 3) / 30) * (180 / Math.PI);
    const pass = late.state.guidance.pass;
    const east = -30 * Math.cos((ahead * Math.PI) / 180) - 24 * pass;
    // speed and yaw rate are the estimator's: within a few per mille on a steady circle
    expectWithin(late.state.guidance.crossTrackError, east, 0.02, "cross-track error ahead, m");
    expectWithin(late.state.guidance.headingError - now.state.guidance.headingError, ahead - last, 0.1, "degrees");
    expect([late.state.x, late.state.y]).toEqual([now.state.x, now.state.y]);
  });

  it("has orders given so much earlier, and the record where product fell", () => {
    const job = new FieldJob(definition({ latency: 0.5 }));
    const events: SwitchEvent[] = [];
    job.onSwitch = (event) => events.push(event);
    // each fix tells where the machine was half a second ago: it is 2 m on
    for (const fix of northward({ to: 120 })) job.update(fix);
    expect(events).toHaveLength(16);
    for (const event of events) expectWithin(event.y + 2, event.on ? 0 : 100, 0.4 + 1e-6, "order at the edge, m north");
    expect(job.report().field!.outside).toBeLessThan(24 * 0.41);
    expectWithin(job.coverage.areas().worked, 24 * 100, 24 * 0.81, "worked, m²");
    expect([job.coverage.isCovered(3, 0.5), job.coverage.isCovered(3, 99.5)]).toEqual([true, true]);
  });
});
