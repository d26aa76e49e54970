import { requireNumber, requireObject } from "../errors/index.js";
import { wrapHeading } from "../geometry/angle.js";
import { cosDegrees, sinDegrees } from "./degrees.js";
import { towed, type TowedDefinition } from "./towed.js";

/** Where something stands on the plane and which way it points. */
export interface MachinePose {
  /** reference point, metres east in the frame */
  readonly x: number;
  /** reference point, metres north in the frame */
  readonly y: number;
  /** degrees clockwise from the frame's north */
  readonly heading: number;
}

/**
 * Where a towed implement stands when its heading is known: from a second antenna or a sensor at the hitch, say.
 *
 * Where it is not known, a {@link TowedImplement} works it out from the machine's way.
 *
 * @param machine - the machine's reference point and heading
 * @param definition - the implement
 * @param heading - of the implement, degrees clockwise from the frame's north
 * @returns the middle of the implement's axle, metres, and its heading, 0 at least and less than 360 degrees
 * @throws `FeeringError` `not-finite` or `out-of-range` with the argument's path
 *
 * @example
 * ```ts
 * towedPose({ x: 0, y: 0, heading: 0 }, { hitch: -1, drawbar: 6 }, 90); // { x: -6, y: -1, heading: 90 }
 * ```
 */
export function towedPose(machine: MachinePose, definition: TowedDefinition, heading: number): MachinePose {
  requireObject(machine, "machine");
  const x = requireNumber(machine.x, "machine.x");
  const y = requireNumber(machine.y, "machine.y");
  const ahead = requireNumber(machine.heading, "machine.heading");
  const { hitch, hitchY, drawbar } = towed(definition);
  requireNumber(heading, "heading");
  const sine = sinDegrees(ahead);
  const cosine = cosDegrees(ahead);
  return {
    x: x + (hitch * sine + hitchY * cosine - drawbar * sinDegrees(heading)),
    y: y + (hitch * cosine - hitchY * sine - drawbar * cosDegrees(heading)),
    heading: wrapHeading(heading),
  };
}
