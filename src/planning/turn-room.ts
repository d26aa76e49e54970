import { requireNumber, requireObject } from "../errors/index.js";
import { type Point, type Polygon, PolygonIndex } from "../geometry/index.js";
import { cosDegrees, sinDegrees } from "../machine/degrees.js";
import type { Pose } from "./pose.js";

/** The ground that a machine covers as it stands: a rectangle about its reference point, tool included. */
export interface MachineOutline {
  /** metres to the left of the reference point, 0 or more */
  readonly left: number;
  /** metres to the right of it */
  readonly right: number;
  /** metres ahead of it */
  readonly front: number;
  /** metres behind it */
  readonly rear: number;
}

/** Where a machine may turn. */
export interface TurnRoom {
  /** ground that the whole machine must stay on: the field with its obstacles as holes */
  readonly within: readonly Polygon[];
  /** what it takes up */
  readonly outline: MachineOutline;
}

/** Check a room at set-up; throws FeeringError with the argument's path. */
export function requireRoom(room: TurnRoom, argument: string): TurnRoom {
  requireObject(room, argument);
  requireObject(room.outline, `${argument}.outline`);
  for (const side of ["left", "right", "front", "rear"] as const) {
    requireNumber(room.outline[side], `${argument}.outline.${side}`, { min: 0, max: 100 });
  }
  return room;
}

/** Asks of poses whether the machine, tool and all, stays on its ground. */
export class RoomCheck {
  private readonly index: PolygonIndex;
  private readonly holes: readonly Point[];
  private readonly outline: MachineOutline;

  /**
   * @param room - ground and outline
   * @throws `FeeringError` what `PolygonIndex` throws, `not-finite`, `out-of-range`
   */
  constructor(room: TurnRoom) {
    requireRoom(room, "room");
    this.index = new PolygonIndex(room.within);
    // a hole is either cut by the outline's sides or has every corner in it
    this.holes = room.within.flatMap(({ holes }) => holes.map((hole) => hole[0]!));
    this.outline = room.outline;
  }

  /** Whether the machine stays on its ground at every one of some poses. */
  fits(poses: readonly Pose[]): boolean {
    return poses.every((pose) => this.stands(pose));
  }

  /** Whether the machine stands on its ground wholly. */
  stands({ x, y, heading }: Pose): boolean {
    const { left, right, front, rear } = this.outline;
    const s = sinDegrees(heading);
    const c = cosDegrees(heading);
    const corner = (ahead: number, aside: number): Point => [x + ahead * s + aside * c, y + ahead * c - aside * s];
    const corners = [corner(front, -left), corner(front, right), corner(-rear, right), corner(-rear, -left)];
    for (let i = 0; i < 4; i++) {
      const [ax, ay] = corners[i]!;
      const [bx, by] = corners[(i + 1) % 4]!;
      // sides shorter than a micrometre are points
      if (!(this.index.contains(ax, ay) && this.index.insideShare(ax, ay, bx, by) >= 1 - 1e-9)) return false;
    }
    return !this.holes.some(([hx, hy]) => {
      const ahead = (hx - x) * s + (hy - y) * c;
      const aside = (hx - x) * c - (hy - y) * s;
      return ahead > -rear && ahead < front && aside > -left && aside < right;
    });
  }
}
