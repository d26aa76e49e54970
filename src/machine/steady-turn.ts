import { FeeringError, requireNumber, requireObject } from "../errors/index.js";
import { RADIANS } from "../geometry/angle.js";
import { towed, type TowedDefinition } from "./towed.js";

/** A turn that a machine drives for ever, and the implement behind it. */
export interface SteadyTurnInput extends TowedDefinition {
  /** radius at the machine's reference point, metres, right turn positive, left negative; not 0 */
  readonly radius: number;
}

/** A steady turn of machine and implement. */
export interface SteadyTurn {
  /** the implement settles in this turn */
  readonly status: "ok";
  /** radius of the middle of the implement's axle, metres, with the sign of the machine's */
  readonly radius: number;
  /** how much farther inside than the machine's reference point the implement runs, metres; negative where it runs outside */
  readonly offTracking: number;
  /** implement heading less machine heading, degrees: negative in a right turn, positive in a left one */
  readonly articulation: number;
}

/** A turn too tight for the drawbar: the implement never settles and folds against the machine. */
export interface NoSteadyTurn {
  /** the implement folds against the machine */
  readonly status: "jackknife";
  /** the machine's smallest radius with a steady turn to that side, metres, as a length; there the implement's axle turns on the spot */
  readonly minimumRadius: number;
}

/**
 * The steady turn of a machine with a towed implement, driven forwards: sqrt(R² + c² - L²) for a hitch c behind the reference point and a
 * drawbar of L.
 *
 * Geometry alone: whether the drawbar reaches the wheels before the angle given, only the machine's maker can tell.
 *
 * @param turn - the machine's radius, the hitch, the drawbar, metres
 * @returns the turn, or `status` `jackknife` when there is none
 * @throws `FeeringError` `not-finite`, or `out-of-range` for a radius of 0 and for what {@link towed} refuses
 *
 * @see the steady state of the equation at {@link TowedImplement}
 *
 * @example
 * ```ts
 * steadyTurn({ radius: 10, hitch: 0, drawbar: 6 }); // radius 8, off-tracking 2, articulation -36.87
 * steadyTurn({ radius: 5, hitch: 0, drawbar: 6 }); // status "jackknife"
 * ```
 */
export function steadyTurn(turn: SteadyTurnInput): SteadyTurn | NoSteadyTurn {
  requireObject(turn, "turn");
  const given = requireNumber(turn.radius, "turn.radius");
  if (given === 0) {
    throw new FeeringError("out-of-range", "turn.radius is 0, needs a circle", {
      argument: "turn.radius",
      value: given,
    });
  }
  const { hitch, hitchY, drawbar } = towed(turn);
  const side = given < 0 ? -1 : 1;
  const radius = Math.abs(given);
  // the hitch's place in a right turn: this far from the centre across the machine, and `hitch` along it
  const across = radius - side * hitchY;
  const square = across * across + (hitch - drawbar) * (hitch + drawbar);
  if (square < 0) {
    return { status: "jackknife", minimumRadius: Math.max(0, side * hitchY + Math.sqrt(drawbar ** 2 - hitch ** 2)) };
  }
  const own = Math.sqrt(square);
  const folded = (Math.atan2(-hitch, across) + Math.atan2(drawbar, own)) / RADIANS;
  return {
    status: "ok",
    radius: side * own,
    offTracking: radius - own,
    articulation: -side * folded,
  };
}
