import { FeeringError } from "../errors/feering-error.js";
import { requireObject, requirePoints } from "../errors/require.js";
import { signedArea } from "../geometry/area.js";
import { cleanRing } from "../geometry/clean-ring.js";
import { ringCrossings } from "../geometry/ring-crossings.js";
import type { Point, Ring } from "../geometry/types.js";
import { requireRotation } from "./circle-line.js";
import { requireAllNear } from "./require-near.js";
import { inradius } from "./inradius.js";
import { copyLabels } from "./labels.js";
import type { ClosedLine, LineLabels, Rotation } from "./reference-line.js";

/** Settings of {@link closedLine}, and what rides along. */
export interface ClosedLineOptions extends LineLabels {
  /** which way round it is walked; right is inside when walked clockwise. Default: in the order given */
  readonly rotation?: Rotation;
}

/**
 * A closed line along a ring: round a field's boundary or an obstacle.
 *
 * Passes lie inside and outside; inside they end where the ring has shrunk to nothing. Duplicate points (0.1 mm) and spikes
 * as narrow are dropped.
 *
 * @param ring - open or closed, metres in the local frame; its first point is where stations start
 * @param options - direction, labels
 * @returns a plain object of kind `"closed"`, its radius inside within 1 µm
 * @throws `FeeringError` `too-few-points`, `not-finite`, `out-of-range`, `degenerate` for a ring of no area, `self-crossing`
 * @example
 * ```ts
 * const round = closedLine([[0, 0], [200, 0], [200, 100], [0, 100]], { rotation: "clockwise" });
 * round.inradius; // 50: no pass is 50 m inside
 * ```
 */
export function closedLine(ring: Ring, options: ClosedLineOptions = {}): ClosedLine {
  requirePoints(ring, "ring", 3);
  requireObject(options, "options");
  requireAllNear(ring, "ring");
  const clean = cleanRing(ring);
  const crossing = ringCrossings(clean).find(({ kind }) => kind !== "touch");
  if (crossing !== undefined) {
    const [x, y] = crossing.point;
    throw new FeeringError("self-crossing", `ring crosses itself at (${x}, ${y})`, {
      argument: "ring",
      index: crossing.segments[0],
    });
  }
  const open = clean.slice(0, -1).map(([x, y]): Point => [x + 0, y + 0]);
  const { rotation } = options;
  if (rotation !== undefined) {
    requireRotation(rotation, "options.rotation");
    // the first point stays the first
    if (signedArea(open) > 0 === (rotation === "clockwise")) open.push(...open.splice(1).reverse());
  }
  return { kind: "closed", points: open, inradius: inradius(open), ...copyLabels(options) };
}
