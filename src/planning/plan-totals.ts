import { polygonArea } from "../geometry/index.js";
import type { Headland } from "../headland/index.js";
import { fieldEfficiency } from "./field-capacity.js";
import type { PlanSettings } from "./plan-options.js";
import type { PlanBlock, PlanDrive, PlanTotals } from "./plan-result.js";

/** What drives come to. @internal */
export function planTotals(
  drives: readonly PlanDrive[],
  blocks: readonly PlanBlock[],
  made: Headland,
  { machine, headland, rounds, obstacleRounds }: PlanSettings,
): PlanTotals {
  const turns = { u: 0, omega: 0, fishtail: 0, "three-arc": 0, slanted: 0 };
  let workingDistance = 0;
  let nonWorkingDistance = 0;
  let connections = 0;
  let notDrivable = 0;
  let reversals = 0;
  let workingTime = 0;
  let time = 0;
  let swept = 0;
  for (const drive of drives) {
    time += drive.time;
    if (drive.turn !== null) turns[drive.turn]++;
    if (drive.kind === "connection") connections++;
    if (!drive.drivable) notDrivable++;
    reversals += stopsOf(drive);
    if (drive.working) {
      workingDistance += drive.length;
      workingTime += drive.time;
    } else nonWorkingDistance += drive.length;
    if (drive.kind === "round") swept += drive.length * machine.swathWidth;
  }
  const mainfieldArea = made.mainfield.reduce((sum, polygon) => sum + polygonArea(polygon), 0);
  let onMainfield = 0;
  for (const { swaths } of blocks) for (const { length, left, right } of swaths) onMainfield += length * (left + right);
  // without a round beside it a swath lies on its ground wholly, and leaves what it does not reach
  const bare = rounds === 0 || (obstacleRounds === 0 && made.areas.field !== made.areas.mainfield);
  const left = bare ? Math.max(0, mainfieldArea - onMainfield) : blocks.length === 0 ? mainfieldArea : 0;
  const missed = left + (headland === "none" ? made.areas.headland : made.areas.uncovered);
  const workedArea = Math.max(0, made.areas.field - missed);
  const stopTime = reversals * machine.reversalTime;
  return {
    workingDistance,
    nonWorkingDistance,
    turns,
    connections,
    notDrivable,
    reversals,
    time,
    workingTime,
    turningTime: time - workingTime - stopTime,
    stopTime,
    fieldArea: made.areas.field,
    mainfieldArea,
    workedArea,
    overlap: Math.max(0, swept + onMainfield - workedArea),
    missed,
    fieldEfficiency: fieldEfficiency(workedArea, time, machine.swathWidth, machine.workingSpeed),
  };
}

/** Changes between forward and back. */
function stopsOf({ reversing, line }: PlanDrive): number {
  let stops = 0;
  for (const [first, last] of reversing) stops += (first > 0 ? 1 : 0) + (last < line.length - 1 ? 1 : 0);
  return stops;
}
