import { type Line, type Point, RADIANS, wrapHeading } from "../geometry/index.js";
import type { HeadlandRound } from "../headland/index.js";
import { type ConnectGround, connection, type Connected, drawWay, turnBetween } from "./plan-connect.js";
import type { MachineSettings } from "./plan-machine.js";
import { type LayoutBlock, type LayoutOrder, rowEnd } from "./plan-order.js";
import type { PlanDrive } from "./plan-result.js";
import type { Pose } from "./pose.js";
import type { PathPoint } from "./turn-path.js";
import { NO_ROOM_TIME } from "./turn-cost.js";

/** Drives of a mainfield with their cost. @internal */
export interface DrivenLayout {
  readonly drives: readonly PlanDrive[];
  /** seconds, with allowances and penalties */
  readonly cost: number;
}

/**
 * Swaths in their order with the turns and connections between.
 *
 * @param draw - whether turns and connections get their points; costs do not need them
 * @internal
 */
export function layoutDrives(
  blocks: readonly LayoutBlock[],
  order: LayoutOrder,
  ground: ConnectGround,
  draw: boolean,
): DrivenLayout {
  const drives: PlanDrive[] = [];
  let cost = 0;
  let here: Pose | null = null;
  const add = (drive: PlanDrive, penalty: number): void => {
    drives.push(drive);
    cost += (drive.time + (drive.drivable ? 0 : NO_ROOM_TIME)) * (1 + penalty);
  };
  for (const { block, order: rows } of order) {
    const layout = blocks[block]!;
    rows.forEach(({ pass, reversed }, i) => {
      const from = rowEnd(layout, pass, reversed);
      const to = rowEnd(layout, pass, !reversed);
      const heading = wrapHeading(layout.heading + (reversed ? 180 : 0));
      const pose = { x: from[0], y: from[1], heading };
      if (here !== null) {
        const way = i === 0 ? connection(here, pose, ground) : turnBetween(here, pose, ground);
        add(drivenWay(way, i === 0 ? null : block, ground.machine, draw), i === 0 ? 0 : layout.penalty);
      }
      const length = Math.hypot(to[0] - from[0], to[1] - from[1]);
      add(
        {
          kind: "swath",
          line: [from, to],
          length,
          working: true,
          reversing: [],
          block,
          pass: layout.rows[pass]!.band,
          turn: null,
          time: length / ground.machine.workingSpeed,
          drivable: true,
        },
        layout.penalty,
      );
      here = { x: to[0], y: to[1], heading };
    });
  }
  return { drives, cost };
}

/** How far ahead on its loop a round may begin, as multiples of the least a change of lane takes. */
const AHEAD = [0, 1.05, 1.5, 2, 3, 5, 8];

/**
 * Rounds in their order with the connections between. A loop begins as far ahead as the machine needs to come over from the round before.
 *
 * @internal
 */
export function roundDrives(rounds: readonly HeadlandRound[], ground: ConnectGround): PlanDrive[] {
  const drives: PlanDrive[] = [];
  const { minimumRadius: r, swathWidth: w } = ground.machine;
  // two arcs that lead a width aside
  const lane = w < 2 * r ? Math.sqrt(4 * r * w - w * w) : 2 * r;
  for (const round of rounds) {
    const before = drives[drives.length - 1];
    const { length, number, drivable, reason } = round;
    let line: Line = round.line;
    if (before !== undefined) {
      let way: PlanDrive[] = [];
      for (const times of round.closed ? AHEAD : [0]) {
        if (times > 0 && times * lane > length / 2) break;
        const turned = times === 0 ? round.line : turnedLoop(round.line, times * lane);
        const made = wayBetween(endPose(before.line), startPose(turned), ground);
        const better =
          way.length === 0 || (way[0]!.drivable ? made[0]?.drivable === true && made[0].length < way[0]!.length : true);
        if (!better && times > 0) continue;
        if (times === 0 || made.every((drive) => drive.drivable)) [way, line] = [made, turned];
      }
      drives.push(...way);
    }
    drives.push({
      kind: "round",
      line,
      length,
      working: true,
      reversing: [],
      block: null,
      pass: number,
      turn: null,
      time: length / ground.machine.workingSpeed,
      drivable,
      ...(reason === undefined ? {} : { reason }),
    });
  }
  return drives;
}

/** A loop that begins some way farther on. */
function turnedLoop(line: Line, ahead: number): Line {
  let left = ahead;
  for (let i = 1; i < line.length; i++) {
    const [a, b] = [line[i - 1]!, line[i]!];
    const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
    if (left < length) {
      const start: Point = [a[0] + ((b[0] - a[0]) * left) / length, a[1] + ((b[1] - a[1]) * left) / length];
      const rest = left > 0 ? line.slice(1, i) : line.slice(1, i - 1);
      return [start, ...line.slice(i), ...rest, start];
    }
    left -= length;
  }
  return line;
}

/** The connection from pose to pose, or none where they are one. @internal */
export function wayBetween(from: Pose, to: Pose, ground: ConnectGround): PlanDrive[] {
  if (from.x === to.x && from.y === to.y && from.heading === to.heading) return [];
  return [drivenWay(connection(from, to, ground), null, ground.machine)];
}

/** Where a line begins, and which way. @internal */
export function startPose(line: Line): Pose {
  const [a, b] = [line[0]!, line[1]!];
  return { x: a[0], y: a[1], heading: headingOf(a, b) };
}

/** Where a line ends, and which way. @internal */
export function endPose(line: Line): Pose {
  const [a, b] = [line[line.length - 2]!, line[line.length - 1]!];
  return { x: b[0], y: b[1], heading: headingOf(a, b) };
}

function headingOf(a: Point, b: Point): number {
  return wrapHeading(Math.atan2(b[0] - a[0], b[1] - a[1]) / RADIANS);
}

function drivenWay(way: Connected, block: number | null, machine: MachineSettings, draw = true): PlanDrive {
  const line: Point[] = [];
  const reversing: [number, number][] = [];
  let last: PathPoint | null = null;
  for (const place of draw ? drawWay(way) : []) {
    if (last !== null && last.x === place.x && last.y === place.y && last.reversing === place.reversing) continue;
    if (place.reversing) {
      const open = reversing[reversing.length - 1];
      if (last?.reversing === true && open !== undefined) open[1] = line.length;
      else reversing.push([line.length, line.length]);
    }
    line.push([place.x, place.y]);
    last = place;
  }
  return {
    kind: way.turn === null ? "connection" : "turn",
    line,
    length: way.length,
    working: false,
    reversing,
    block,
    pass: null,
    turn: way.turn,
    time: way.length / machine.turningSpeed + way.reversals * machine.reversalTime,
    drivable: way.reason === null,
    ...(way.reason === null ? {} : { reason: way.reason }),
  };
}
