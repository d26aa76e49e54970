import { FeeringError, requireNumber } from "../errors/index.js";

/** A place on the machine, in its own axes, from its reference point. */
export interface MachinePoint {
  /** metres ahead of the reference point; behind is negative */
  readonly x: number;
  /** metres to the right of the reference point; left is negative */
  readonly y: number;
  /** metres below the reference point; above is negative */
  readonly z: number;
}

/** What a caller tells of a machine. */
export interface MachineDefinition {
  /** a name to show; plain text; default empty */
  readonly name?: string;
  /** phase centre of the position antenna; on a roof 3 m above the reference point `z` is -3 */
  readonly antenna: MachinePoint;
}

/** A checked machine; plain data, frozen. */
export interface Machine {
  /** the name to show, empty where none was given */
  readonly name: string;
  /** phase centre of the position antenna, metres in machine axes */
  readonly antenna: MachinePoint;
}

/** No part of a field machine is farther from its reference point than this, metres: catches millimetres given for metres. */
const FARTHEST = 100;

/**
 * Check and fix a machine's definition.
 *
 * Axes as in ISO 11783-10: x forward, y right, z down, from the machine's reference point. The reference point is best laid
 * in the middle of the fixed (not steered) axle, at the ground or at axle height: there the machine does not slip sideways, so that its
 * heading and its course are one.
 *
 * @param definition - name and antenna position, metres
 * @returns a frozen copy
 * @throws `FeeringError` `not-finite` or `out-of-range` (more than 100 m away) with the argument's path
 *
 * @example
 * ```ts
 * const tractor = machine({ name: "blue", antenna: { x: 1.2, y: 0, z: -3.1 } });
 * ```
 */
export function machine(definition: MachineDefinition): Machine {
  const given: unknown = definition;
  if (typeof given !== "object" || given === null) {
    throw new FeeringError("not-finite", "definition is no object", { argument: "definition", value: given });
  }
  const antenna = definition.antenna as MachinePoint | undefined;
  const limits = { min: -FARTHEST, max: FARTHEST };
  return Object.freeze({
    name: definition.name === undefined ? "" : String(definition.name),
    antenna: Object.freeze({
      x: requireNumber(antenna?.x, "definition.antenna.x", limits),
      y: requireNumber(antenna?.y, "definition.antenna.y", limits),
      z: requireNumber(antenna?.z, "definition.antenna.z", limits),
    }),
  });
}
