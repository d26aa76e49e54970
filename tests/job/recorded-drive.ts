import { createHash } from "node:crypto";
import { guidancePattern, shiftPattern, straightLine } from "../../src/guidance/index.js";
import { encodeExact } from "../../src/job/exact-json.js";
import { FieldJob, type JobDefinition, type JobSnapshot } from "../../src/job/index.js";
import { powerGap } from "../../src/job/power-gap.js";
import type { Fix } from "../../src/receiver/index.js";
import { evenSections } from "../../src/sections/index.js";
import { definition } from "./drive.js";

/** One thing that happens to a job. */
export type Step = (job: Pick<FieldJob, keyof FieldJob>) => void;

/** Two passes with delays, a turn, acts of the operator, faults of the receiver: `count` fixes at 10 Hz, and some ticks. */
export function steps(count = 240, from = 1000): Step[] {
  const frame = new FieldJob(definition()).frame;
  const list: Step[] = [];
  for (let i = 0; i < count; i++) {
    const along = -10 + 0.6 * i;
    const up = along < 110;
    const north = up ? along : 220 - along;
    const { latitude, longitude } = frame.toGeodetic([up ? 0.03 : 24.05, north]);
    const time = from + i / 10;
    const fix: Fix = {
      time,
      dated: false,
      latitude,
      longitude,
      quality: i % 50 === 33 ? 1 : 4,
      speed: 6,
      course: up ? 0 : 180,
      satellites: 14,
      correctionAge: 0.8,
    };
    if (i === 7) list.push((job) => job.setOverride(3, "off"));
    if (i === 40) list.push((job) => job.setOverride(3, "auto"));
    if (i === 45) list.push((job) => job.markA());
    if (i === 60) list.push((job) => job.holdPass());
    if (i === 70) list.push((job) => job.releasePass());
    if (i === 90) list.push((job) => job.pause());
    if (i === 95) list.push((job) => job.resume());
    if (i === 100) {
      const line = straightLine([0, 0], [0, 100], { name: "lane" });
      list.push((job) =>
        job.usePattern(shiftPattern(guidancePattern(line, { swathWidth: 24 }), { east: 0.1, north: -0 })),
      );
    }
    if (i === 110) list.push((job) => job.setMaster(false));
    if (i === 113) list.push((job) => job.setMaster(true));
    if (i === 120) list.push((job) => job.update({ ...fix, latitude: Number.NaN, quality: 0 }));
    else list.push((job) => job.update(fix, i % 3 === 0 ? false : undefined));
    if (i % 25 === 24) list.push((job) => job.tick(time + 0.05));
  }
  return list;
}

/** Delays, so that something is in the air. */
export function delayed(): JobDefinition {
  return definition({ boom: { sections: evenSections(24, 8), x: -2, turnOnTime: 0.4, turnOffTime: 0.25 } });
}

/** Everything of a job's state, as one short text. */
export function hashOf(snapshot: JobSnapshot): string {
  return createHash("sha1").update(encodeExact(snapshot)).digest("hex");
}

/** Hash of a job after each number of steps, and of the same after a power cut there. */
export interface Truth {
  /** at i: after i steps */
  readonly states: readonly string[];
  /** at i: after i steps and a power cut */
  readonly cut: readonly string[];
  /** the job at the end */
  readonly job: FieldJob;
}

/** The uninterrupted run. */
export function truth(list: readonly Step[], from: JobDefinition = delayed()): Truth {
  const job = new FieldJob(from);
  const states: string[] = [];
  const cut: string[] = [];
  const note = (): void => {
    const snapshot = job.snapshot();
    states.push(hashOf(snapshot));
    const other = FieldJob.restore(snapshot);
    powerGap(other);
    cut.push(hashOf(other.snapshot()));
  };
  note();
  for (const step of list) {
    step(job);
    note();
  }
  return { states, cut, job };
}
