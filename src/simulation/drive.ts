import { FeeringError, requireList, requireNumber, requireObject, requirePoints } from "../errors/index.js";
import type { Line } from "../geometry/index.js";
import type { HeadlandRule } from "../sections/index.js";

/** One piece of the way to drive; the drives of a `FieldPlan` are such. */
export interface Drive {
  /** points of the reference point's way in driving order, metres; at least two distinct ones */
  readonly line: Line;
  /** whether the tool works; default true */
  readonly working?: boolean;
  /** whether it is driven backwards: all of it, or stretches as first and last index into `line`; default false */
  readonly reversing?: boolean | readonly (readonly [first: number, last: number])[];
  /** m/s; default the scenario's */
  readonly speed?: number;
  /** s that the machine stands before this drive: to fill a tank, say; default 0 */
  readonly wait?: number;
  /** which ground is worked from here on; default by `kind`, where the job has a headland */
  readonly ground?: HeadlandRule;
  /** as in a plan: on a `round` the headland is worked, on a `swath` the mainfield */
  readonly kind?: "round" | "swath" | "turn" | "connection";
}

/** Check drives at set-up; throws FeeringError with the argument's path. */
export function checkDrives(drives: readonly Drive[], argument: string): void {
  requireList(drives, argument);
  if (drives.length === 0) {
    throw new FeeringError("too-few-points", `${argument} is empty, needs a drive`, { argument, value: 0 });
  }
  drives.forEach((drive, i) => {
    const at = `${argument}[${i}]`;
    requireObject(drive, at);
    requirePoints(drive.line, `${at}.line`, 2);
    if (drive.speed !== undefined) requireNumber(drive.speed, `${at}.speed`, { min: 0.1, max: 60 });
    if (drive.wait !== undefined) requireNumber(drive.wait, `${at}.wait`, { min: 0, max: 1e6 });
    const { reversing } = drive;
    if (reversing !== undefined && typeof reversing !== "boolean") {
      requireList(reversing, `${at}.reversing`);
      reversing.forEach((stretch, k) => {
        requireList(stretch, `${at}.reversing[${k}]`);
        const range = { min: 0, max: drive.line.length - 1 };
        requireNumber(stretch[0], `${at}.reversing[${k}][0]`, range);
        requireNumber(stretch[1], `${at}.reversing[${k}][1]`, range);
      });
    }
  });
}

/** Whether the segment from point i to the next is driven backwards. */
export function backwards(drive: Drive, i: number): boolean {
  const { reversing = false } = drive;
  if (typeof reversing === "boolean") return reversing;
  return reversing.some(([first, last]) => i >= first && i + 1 <= last);
}
