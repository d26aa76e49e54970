import { FieldJob } from "../../src/job/index.js";
import type { Fix } from "../../src/receiver/index.js";
import { random } from "../helpers/random.js";
import { driveAlong, jobOn, makeWay, type Way } from "./drive.js";
import { isFinite } from "./run.js";

const ODD: readonly unknown[] = [
  undefined,
  null,
  Number.NaN,
  Number.POSITIVE_INFINITY,
  Number.NEGATIVE_INFINITY,
  -0,
  1e308,
  -1e12,
  5e-324,
  "47.25",
  "",
  true,
  [],
  {},
];
const KEYS = [
  "time",
  "dated",
  "latitude",
  "longitude",
  "altitude",
  "quality",
  "speed",
  "course",
  "heading",
  "roll",
  "pitch",
  "correctionAge",
  "horizontalAccuracy",
] as const;

/** Drive with values of any kind in the fixes and the operator's hands on everything; throws where it is not sound. */
export function fuzzJob(steps: number, seed: number, way: Way = makeWay(2, 60)): number {
  const chance = random(seed);
  const pick = <T>(values: readonly T[]): T => values[Math.floor(chance() * values.length)]!;
  const drive = driveAlong(way);
  let job = new FieldJob(jobOn(way));
  let usable = 0;
  for (let n = 0; n < steps; n++) {
    const lap = Math.floor(n / drive.length) * 1000;
    const plain = drive[n % drive.length]!.fix;
    let fix: Fix = { ...plain, time: plain.time + lap };
    if (chance() < 0.1) fix = { ...fix, [pick(KEYS)]: pick(ODD) };
    if (chance() < 0.02) fix = { ...fix, latitude: (chance() - 0.5) * 200, longitude: (chance() - 0.5) * 800 };
    if (chance() < 0.02) fix = { ...fix, time: fix.time + (chance() - 0.5) * 10 ** Math.floor(chance() * 12) };
    if (chance() < 0.005) fix = pick(ODD) as Fix;
    const state = job.update(fix, pick([undefined, undefined, undefined, false, true, "x" as unknown as boolean]));
    if (state.fix.usable) usable++;
    else if (state.sections.ordered.includes(true)) throw new Error(`seed ${seed}, step ${n}: on, ${state.fix.reason}`);
    if (!isFinite(state)) throw new Error(`seed ${seed}, step ${n}: a number that is none`);
    if (chance() < 0.1) job.tick(chance() < 0.7 ? plain.time + lap + 0.05 : (pick(ODD) as number));
    if (chance() < 0.1) verb(job, chance, pick);
    if (chance() < 0.002) job = FieldJob.restore(job.snapshot());
  }
  return usable;
}

function verb(job: FieldJob, chance: () => number, pick: <T>(values: readonly T[]) => T): void {
  switch (Math.floor(chance() * 13)) {
    case 0:
      job.markA();
      return;
    case 1:
      job.markB();
      return;
    case 2:
      job.markHeading(pick([0, 90, 359.9, 720, -5, Number.NaN, Number.POSITIVE_INFINITY]));
      return;
    case 3:
      job.holdPass(pick([undefined, 0, 1, -7, 1e6]));
      return;
    case 4:
      job.skipPass(pick([1, -1, 0, 5]));
      return;
    case 5:
      job.releasePass();
      return;
    case 6:
    case 7:
      job.setMaster(chance() < 0.9);
      return;
    case 8:
      job.setOverride(Math.floor(chance() * 24), pick(["auto", "auto", "on", "off"] as const));
      return;
    case 9:
      job.setHeadlandRule(pick(["both", "headland", "mainfield"] as const));
      return;
    case 10:
      if (chance() < 0.3) job.pause();
      return;
    case 11:
      job.resume();
      return;
    default:
      job.previewLine();
      job.report();
  }
}
