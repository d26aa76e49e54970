import { FeeringError } from "../errors/index.js";
import type { TowedSnapshot, TowedState } from "./towed-state.js";

const NUMBERS = ["x", "y", "heading", "speed", "yawRate", "articulation", "headingBound"] as const;
const STATUSES: readonly unknown[] = ["ok", "unknown", "jackknife", "invalid"];

/** Check a snapshot that comes from outside; throws `FeeringError` `bad-snapshot`. */
export function checkTowedSnapshot(snapshot: TowedSnapshot, count: number): void {
  const given = snapshot as Partial<TowedSnapshot> | null;
  const numbers = given?.numbers;
  const state = given?.state as Partial<TowedState> | null | undefined;
  if (
    given?.version !== 1 ||
    !Array.isArray(numbers) ||
    numbers.length !== count ||
    !numbers.every(Number.isFinite) ||
    typeof state !== "object" ||
    state === null ||
    !NUMBERS.every((name) => Number.isFinite(state[name])) ||
    !STATUSES.includes(state.status)
  ) {
    throw new FeeringError("bad-snapshot", "snapshot is damaged or not of version 1", {
      argument: "snapshot",
      value: given?.version,
    });
  }
}
