import { FeeringError } from "../errors/feering-error.js";
import type { Line } from "../geometry/types.js";
import type { GuidanceStatus } from "./guidance-state.js";

/** What a `PassFollower` remembers between calls: a plain object that survives JSON. Pattern and settings are the caller's to keep. */
export interface FollowerSnapshot {
  /** version of this shape */
  readonly version: 1;
  /** status after the last update */
  readonly status: GuidanceStatus;
  /** whether numbers were kept from an earlier update */
  readonly kept: boolean;
  /** number of the pass followed; null before there is one */
  readonly pass: number | null;
  /** whether the operator holds the pass */
  readonly passHeld: boolean;
  /** whether the nose points from A to B; null before a heading was known */
  readonly sameDirection: boolean | null;
  /** whether the machine went backwards */
  readonly reversing: boolean;
  /** last good position, metres; null before there is one */
  readonly position: readonly [x: number, y: number] | null;
  /** last good heading, degrees; null before there is one */
  readonly heading: number | null;
  /** explicit line that is followed in place of the pass; absent while there is none */
  readonly explicit?: ExplicitLine;
}

/** A line that is followed in place of a pattern's pass. */
export interface ExplicitLine {
  /** metres, no point repeating the one before; a loop does not repeat its first */
  readonly points: Line;
  /** whether it is a loop */
  readonly closed: boolean;
}

const STATUSES: readonly unknown[] = ["ok", "no-heading", "invalid", "no-line"];

/** Check a snapshot that may come from a damaged file. */
export function checkSnapshot(snapshot: FollowerSnapshot): FollowerSnapshot {
  const s = snapshot as Partial<Record<keyof FollowerSnapshot, unknown>> | null | undefined;
  const position = s?.position;
  const flag = (value: unknown): boolean => typeof value === "boolean";
  const number = (value: unknown): boolean => value === null || Number.isFinite(value);
  if (
    s === null ||
    s === undefined ||
    s.version !== 1 ||
    !STATUSES.includes(s.status) ||
    !(s.pass === null || Number.isSafeInteger(s.pass)) ||
    !number(s.heading) ||
    !(position === null || (Array.isArray(position) && position.length === 2 && position.every(Number.isFinite))) ||
    !(flag(s.kept) && flag(s.passHeld) && flag(s.reversing)) ||
    !(s.sameDirection === null || flag(s.sameDirection)) ||
    !(s.explicit === undefined || isLine(s.explicit))
  ) {
    throw new FeeringError("bad-snapshot", "snapshot is no follower snapshot of version 1", {
      argument: "snapshot",
      value: snapshot,
    });
  }
  return snapshot;
}

function isLine(explicit: unknown): boolean {
  const line = explicit as { readonly points?: unknown; readonly closed?: unknown } | null;
  return (
    line !== null &&
    typeof line === "object" &&
    typeof line.closed === "boolean" &&
    Array.isArray(line.points) &&
    line.points.length >= 2 &&
    line.points.every((p) => Array.isArray(p) && Number.isFinite(p[0]) && Number.isFinite(p[1]))
  );
}
