import { expect } from "vitest";
import type { JobDefinition } from "../../src/job/index.js";
import type { FieldJob } from "../../src/job/index.js";
import type { Item } from "./drive.js";
import { isFinite, run } from "./run.js";

/** Age after which a host that ticks every 0.1 s must have sections off, s: 0.3, at slower rates 1.5 intervals, and one tick. */
const TICK = 0.1;

export interface Outcome {
  readonly job: FieldJob;
  /** s as things come in, when sections were last not allowed to work; -1 for never */
  readonly lastOff: number;
  /** s, of the last fix that a fault has to do with */
  readonly lastFault: number;
  /** reasons met */
  readonly reasons: ReadonlySet<string>;
}

/**
 * Drive with faults and assert the five of every scenario: (a) nothing is thrown, (b) all is finite, (c) off within a tick where
 * unsure, (d) with a reason, (e) back within a bounded time.
 */
export function assertFive(
  definition: JobDefinition,
  items: readonly Item[],
  recovery: number,
  label: string,
): Outcome {
  const reasons = new Set<string>();
  let lastFault = -1;
  for (const item of items) if (item.touched === true) lastFault = Math.max(lastFault, item.at);
  let lastOff = -1;
  let late = Number.NaN;
  let heard = 0;
  let covered = 0;
  const job = run(definition, items, (state, at, item) => {
    const say = (what: string): string =>
      `${label}, ${at.toFixed(2)} s: ${what} (${state.fix.status}, ${state.fix.reason})`;
    if (!isFinite(state)) expect.fail(say("a number that is none"));
    const { ordered, reasons: why, workedArea } = state.sections;
    const on = ordered.includes(true);
    const { usable, status, reason } = state.fix;
    if (on && !usable) expect.fail(say("on without a usable position"));
    // a fix that is left out says nothing
    const left = status === "duplicate" || status === "out-of-order";
    if (item?.unsure === true && on && !left) expect.fail(say("on where unsure"));
    if (item !== null) heard = at;
    else if (on && at - heard > 1.5 + TICK) expect.fail(say("on long after the last fix"));
    if (!usable && reason === "none") expect.fail(say("no reason"));
    for (let i = 0; i < ordered.length; i++) {
      const working = why[i] === "working" || why[i] === "on-by-hand" || why[i] === "minimum-time";
      if (ordered[i] ? !working : why[i] === "working")
        expect.fail(say(`section ${i} ${String(ordered[i])} by ${why[i]}`));
    }
    if (workedArea < 0) expect.fail(say("negative area"));
    covered += workedArea;
    if (!usable) {
      reasons.add(reason);
      if (item !== null) lastOff = at;
      if (at > lastFault + recovery + 1e-6 && at > 1) late = at;
    }
  });
  expect(late, `${label}: not usable again ${recovery} s after the last fault at ${lastFault} s`).toBeNaN();
  expect(covered, `${label}: what was worked adds up`).toBeGreaterThanOrEqual(0);
  return { job, lastOff, lastFault, reasons };
}
