import { FeeringError } from "../errors/feering-error.js";
import { requireNumber } from "../errors/require.js";
import { wrapHeading } from "../geometry/angle.js";
import type { Point } from "../geometry/types.js";
import { requireRotation } from "./circle-line.js";
import { copyLabels } from "./labels.js";
import type { LineLabels, Rotation, SpiralLine } from "./reference-line.js";
import { requireNear } from "./require-near.js";

/** Settings of {@link spiralLine}, and what rides along. */
export interface SpiralOptions extends LineLabels {
  /** radius where it starts, metres, 0 at least */
  readonly startRadius: number;
  /** radius where it ends, metres; less than `startRadius` for a spiral that is driven inwards */
  readonly endRadius: number;
  /** distance of neighbouring turns, metres: the swath width, where every turn is a pass */
  readonly pitch: number;
  /** which way round it is walked; default `"clockwise"` */
  readonly rotation?: Rotation;
  /** where it starts: direction from the centre, degrees clockwise from the frame's north; default 0 */
  readonly start?: number;
}

/**
 * An Archimedean spiral about a centre, driven in one go without a turn: neighbouring turns lie a pitch apart.
 *
 * Its turns are each other's neighbouring passes, so a pattern on it has one pass by default (`propagation: "none"`). It is
 * followed as a curve whose points depart from it by 0.1 mm at the most.
 *
 * @param centre - metres in the local frame
 * @param options - radii, pitch, direction, labels
 * @returns a plain object of kind `"spiral"`
 * @throws `FeeringError` `not-finite`, `out-of-range`, `degenerate` when both radii are the same, `too-large` for
 * more than 10 000 turns
 * @example
 * ```ts
 * const spiral = spiralLine([0, 0], { startRadius: 400, endRadius: 12, pitch: 24 });
 * ```
 */
export function spiralLine(centre: Point, options: SpiralOptions): SpiralLine {
  requireNear(centre, "centre");
  const given: Partial<SpiralOptions> = options ?? {};
  const limits = { min: 0, max: 1e5 };
  const startRadius = requireNumber(given.startRadius, "options.startRadius", limits) + 0;
  const endRadius = requireNumber(given.endRadius, "options.endRadius", limits) + 0;
  const pitch = requireNumber(given.pitch, "options.pitch", { min: 1e-2, max: 1e5 });
  const across = Math.abs(endRadius - startRadius);
  if (!(across >= 1e-3)) {
    throw new FeeringError("degenerate", `a spiral from radius ${startRadius} to ${endRadius} m goes nowhere`, {
      argument: "options.endRadius",
      value: endRadius,
    });
  }
  if (across / pitch > 1e4) {
    throw new FeeringError("too-large", `a spiral of ${Math.round(across / pitch)} turns, at most 10000`, {
      argument: "options.pitch",
      value: pitch,
    });
  }
  return {
    kind: "spiral",
    points: [[centre[0] + 0, centre[1] + 0]],
    startRadius,
    endRadius,
    pitch,
    rotation: requireRotation(given.rotation ?? "clockwise", "options.rotation"),
    start: wrapHeading(requireNumber(given.start ?? 0, "options.start")),
    ...copyLabels(given),
  };
}

/** How far the points of a spiral depart from it, metres. */
const SAGITTA = 1e-4;

/** Points along a spiral, so near to each other that chords depart by 0.1 mm at the most. */
export function spiralPoints(spiral: SpiralLine): Point[] {
  const { startRadius, endRadius, pitch } = spiral;
  const [cx, cy] = spiral.points[0];
  const inward = endRadius < startRadius;
  const perRadian = (inward ? -pitch : pitch) / (2 * Math.PI);
  const whole = (endRadius - startRadius) / perRadian;
  const sense = spiral.rotation === "clockwise" ? 1 : -1;
  const from = (spiral.start * Math.PI) / 180;
  const points: Point[] = [];
  for (let angle = 0; ; ) {
    const radius = startRadius + perRadian * angle;
    const bearing = from + sense * angle;
    points.push([cx + radius * Math.sin(bearing), cy + radius * Math.cos(bearing)]);
    if (angle >= whole) break;
    // sagitta = curvature chord² / 8; curvature (r² + 2b²) / (r² + b²)^1.5, and a chord of (r² + b²)^0.5 a radian
    const low = Math.max(0, inward ? radius + perRadian * STEP : radius);
    const squared = low * low + perRadian * perRadian;
    const step = Math.sqrt((8 * SAGITTA * Math.sqrt(squared)) / (low * low + 2 * perRadian * perRadian));
    angle = Math.min(whole, angle + Math.min(STEP, 0.95 * step));
  }
  // ends run on along their own tangents, not along the chords beside them: 0.06 degrees at 200 m, a metre in a kilometre
  const first = along(startRadius, from);
  const last = along(endRadius, from + sense * whole);
  const [a, b] = [points[0]!, points[points.length - 1]!];
  const { length } = points;
  if (length < 4 || far(a, points[1]!) < 2 * first.by) return points;
  if (far(b, points[length - 2]!) < 2 * last.by) points.splice(length - 2, 1);
  points.splice(points.length - 1, 0, [b[0] - last.by * last.x, b[1] - last.by * last.y]);
  points.splice(1, 0, [a[0] + first.by * first.x, a[1] + first.by * first.y]);
  return points;

  // unit tangent, and a length on which the spiral departs from it by less than a micrometre
  function along(radius: number, bearing: number): { readonly x: number; readonly y: number; readonly by: number } {
    const s = Math.sin(bearing);
    const c = Math.cos(bearing);
    const dx = perRadian * s + sense * radius * c;
    const dy = perRadian * c - sense * radius * s;
    const size = Math.hypot(dx, dy);
    const bend = size ** 3 / (radius * radius + 2 * perRadian * perRadian);
    return { x: dx / size, y: dy / size, by: 1e-3 * Math.min(1, bend) };
  }
}

function far(a: Point, b: Point): number {
  return Math.hypot(b[0] - a[0], b[1] - a[1]);
}

/** Longest step, radians. */
const STEP = 0.2;
