import { requireNumber, requireObject } from "../errors/index.js";
import { TurnCosts } from "./turn-cost.js";
import { type MachineOutline, requireRoom } from "./turn-room.js";

/** A machine as plans know it. */
export interface PlanMachine {
  /** working width, metres */
  readonly swathWidth: number;
  /** smallest radius that it can turn in, metres, more than 0 */
  readonly minimumRadius: number;
  /** whether it may reverse in turns; default false */
  readonly canReverse?: boolean;
  /** speed while working, m/s; default 2.5 */
  readonly workingSpeed?: number;
  /** speed in turns and on ways between, m/s; default 1.5 */
  readonly turningSpeed?: number;
  /** seconds for each change between forward and back; default 3 (common practice, no source) */
  readonly reversalTime?: number;
  /** most change of curvature a metre in turns, 1/m²; turns then have clothoids, see `smoothTurn`. Default no limit */
  readonly curvatureRate?: number;
  /** ground that it takes up with its tool lifted; default half a swath to either side of its reference point, and no length */
  readonly outline?: MachineOutline;
}

/** A machine with its defaults. @internal */
export interface MachineSettings {
  readonly swathWidth: number;
  readonly minimumRadius: number;
  readonly canReverse: boolean;
  readonly workingSpeed: number;
  readonly turningSpeed: number;
  readonly reversalTime: number;
  readonly curvatureRate: number | null;
  readonly outline: MachineOutline;
  /** costs of its turns */
  readonly turns: TurnCosts;
}

/**
 * Check a machine at set-up and fill in what it leaves open.
 *
 * @param headlandWidth - depth that turns may have with the outline, metres; default no limit
 * @internal
 */
export function machineSettings(
  machine: PlanMachine,
  argument: string,
  headlandWidth: number = Number.POSITIVE_INFINITY,
): MachineSettings {
  requireObject(machine, argument);
  const swathWidth = requireNumber(machine.swathWidth, `${argument}.swathWidth`, { above: 0, max: 200 });
  const minimumRadius = requireNumber(machine.minimumRadius, `${argument}.minimumRadius`, { above: 0, max: 1000 });
  const workingSpeed = requireNumber(machine.workingSpeed ?? 2.5, `${argument}.workingSpeed`, { above: 0, max: 50 });
  const turningSpeed = requireNumber(machine.turningSpeed ?? 1.5, `${argument}.turningSpeed`, { above: 0, max: 50 });
  const reversalTime = requireNumber(machine.reversalTime ?? 3, `${argument}.reversalTime`, { min: 0, max: 600 });
  if (machine.curvatureRate !== undefined) {
    requireNumber(machine.curvatureRate, `${argument}.curvatureRate`, { above: 0 });
  }
  const half = swathWidth / 2;
  const outline = machine.outline ?? { left: half, right: half, front: 0, rear: 0 };
  requireRoom({ within: [], outline }, argument);
  const canReverse = machine.canReverse === true;
  const depth = headlandWidth - Math.max(outline.left, outline.right, outline.front, outline.rear);
  const turns = new TurnCosts({ radius: minimumRadius, canReverse, speed: turningSpeed, reversalTime, depth });
  return {
    swathWidth,
    minimumRadius,
    canReverse,
    workingSpeed,
    turningSpeed,
    reversalTime,
    curvatureRate: machine.curvatureRate ?? null,
    outline,
    turns,
  };
}
