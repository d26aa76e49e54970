import { FieldJob, type JobDefinition, type JobState } from "../../src/job/index.js";
import type { Fix } from "../../src/receiver/index.js";
import type { Item } from "./drive.js";

/** What is looked at after each call. */
export type Look = (state: JobState, at: number, item: Item | null) => void;

/** Time between the host's own ticks, s. */
const TICK = 0.1;

/**
 * Drive a job as a host does: fixes as they come in, and a tick every tenth of a second by a clock of its own, set by the last fix
 * that was worth something.
 */
export function run(definition: JobDefinition, items: readonly Item[], look: Look = () => undefined): FieldJob {
  const job = new FieldJob(definition);
  let offset = Number.NaN;
  let next = 0.05;
  for (const item of items) {
    for (; next < item.at; next += TICK) {
      if (Number.isFinite(offset)) look(job.tick(next + offset), next, null);
    }
    const state = job.update(item.fix);
    const { status } = state.fix;
    if (status === "good" || status === "recovering") offset = item.fix.time - item.at;
    look(state, item.at, item);
  }
  return job;
}

/** Every number in a state, however deep, is finite; distances to an end that is not there are infinite by their definition. */
export function isFinite(state: JobState): boolean {
  const { distanceToEnd, distanceToStart, ...guidance } = state.guidance;
  return !Number.isNaN(distanceToEnd) && !Number.isNaN(distanceToStart) && allFinite({ ...state, guidance });
}

function allFinite(value: unknown): boolean {
  if (typeof value === "number") return Number.isFinite(value);
  if (typeof value !== "object" || value === null) return true;
  for (const key in value) {
    // instants that there are none of are NaN by their definition
    if (key === "crossings" || key === "upcoming") continue;
    if (!allFinite((value as Record<string, unknown>)[key])) return false;
  }
  return true;
}

/** A fix with other values. */
export function changed(item: Item, change: Partial<Fix>, unsure: boolean): Item {
  return { ...item, fix: { ...item.fix, ...change }, touched: true, unsure: unsure || item.unsure === true };
}
