import { requireNumber, requireObject } from "../errors/index.js";

/** What a caller tells of a towed implement. */
export interface TowedDefinition {
  /** metres from the machine's reference point to the hitch point along the machine, ahead positive, behind negative */
  readonly hitch: number;
  /** metres from the hitch point to the implement's reference point, the middle of its axle; more than 0 */
  readonly drawbar: number;
  /** metres from the machine's middle line to the hitch point, right positive; default 0 */
  readonly hitchY?: number;
}

/** A checked towed implement; plain data, frozen. */
export interface Towed {
  /** metres from the machine's reference point to the hitch point, ahead positive, behind negative */
  readonly hitch: number;
  /** metres from the hitch point to the middle of the implement's axle */
  readonly drawbar: number;
  /** metres from the machine's middle line to the hitch point, right positive */
  readonly hitchY: number;
}

/** No hitch and no axle is farther away than this, metres: catches millimetres given for metres. */
const FARTHEST = 100;
/** No drawbar is shorter, metres: catches an axle that sits on the hitch. */
const SHORTEST = 0.1;

/**
 * Check and fix the definition of a towed implement: one drawbar that turns freely at the hitch, one axle that is not steered.
 *
 * An implement carried on the three-point linkage is no towed one: it turns with the machine; give its tool as a point in machine axes.
 *
 * @param definition - place of the hitch, length of the drawbar, metres
 * @returns a frozen copy
 * @throws `FeeringError` `not-finite` or `out-of-range` (hitch or axle more than 100 m away, drawbar under 0.1 m) with the argument's path
 *
 * @example
 * ```ts
 * const trailed = towed({ hitch: -1.1, drawbar: 6.2 });
 * ```
 */
export function towed(definition: TowedDefinition): Towed {
  requireObject(definition, "definition");
  const place = { min: -FARTHEST, max: FARTHEST };
  return Object.freeze({
    hitch: requireNumber(definition.hitch, "definition.hitch", place),
    drawbar: requireNumber(definition.drawbar, "definition.drawbar", { min: SHORTEST, max: FARTHEST }),
    hitchY: requireNumber(definition.hitchY ?? 0, "definition.hitchY", place),
  });
}
