import { FeeringError } from "../errors/index.js";
import type { HeadingSnapshot } from "./heading-state.js";

/** Check a snapshot that comes from outside; throws FeeringError `bad-snapshot`. */
export function checkHeadingSnapshot(snapshot: HeadingSnapshot, count: number): void {
  const given = snapshot as Partial<HeadingSnapshot> | null;
  const n = given?.numbers;
  const trail = given?.trail;
  if (
    given?.version !== 1 ||
    !Array.isArray(n) ||
    n.length !== count ||
    !n.every(Number.isFinite) ||
    !Array.isArray(trail) ||
    trail.length % 3 !== 0 ||
    !trail.every(Number.isFinite) ||
    typeof given.state !== "object" ||
    (given.state as unknown) === null ||
    !Number.isFinite(given.state.heading) ||
    !Number.isFinite(given.state.speed) ||
    !Number.isFinite(given.state.yawRate) ||
    !Number.isFinite(given.state.curvature) ||
    typeof given.state.reversing !== "boolean" ||
    typeof given.state.moving !== "boolean"
  ) {
    throw new FeeringError("bad-snapshot", "snapshot is damaged or not of version 1", {
      argument: "snapshot",
      value: given?.version,
    });
  }
}
