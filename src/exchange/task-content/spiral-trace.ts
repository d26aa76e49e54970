import type { Point } from "../../geometry/index.js";
import type { SpiralLine } from "../../guidance/index.js";

/** How far chords depart from the spiral, metres. */
const SAGITTA = 0.01;
/** Longest and shortest step, radians. */
const LONGEST = 0.2;
const SHORTEST = 1e-3;

/** Points along a spiral from its start to its end, for a file. */
export function spiralTrace({ startRadius, endRadius, pitch, rotation, start, points }: SpiralLine): Point[] {
  const [[x, y]] = points;
  const perRadian = (endRadius < startRadius ? -pitch : pitch) / (2 * Math.PI);
  const whole = (endRadius - startRadius) / perRadian;
  const sense = rotation === "clockwise" ? 1 : -1;
  const from = (start * Math.PI) / 180;
  const trace: Point[] = [];
  for (let angle = 0; ; ) {
    const radius = startRadius + perRadian * angle;
    const bearing = from + sense * angle;
    trace.push([x + radius * Math.sin(bearing), y + radius * Math.cos(bearing)]);
    if (angle >= whole) return trace;
    // an arc of radius r departs by r step² / 8 from its chord
    const step = Math.sqrt((8 * SAGITTA) / Math.max(radius, pitch));
    angle = Math.min(whole, angle + Math.min(LONGEST, Math.max(SHORTEST, step)));
  }
}

/** A spiral that points lie on. */
export interface SpiralFound {
  readonly startRadius: number;
  readonly endRadius: number;
  readonly pitch: number;
  readonly rotation: "clockwise" | "counter-clockwise";
  /** radians clockwise from north */
  readonly start: number;
}

/** Farthest that a point may lie from the spiral, metres. */
const OFF = 0.05;

/** The Archimedean spiral about a centre that points follow; undefined where they do not. */
export function spiralThrough([x, y]: Point, points: readonly Point[]): SpiralFound | undefined {
  const radii = points.map(([px, py]) => Math.hypot(px - x, py - y));
  const angles: number[] = [];
  let turned = 0;
  points.forEach(([px, py], i) => {
    const bearing = Math.atan2(px - x, py - y);
    if (i === 0) turned = bearing;
    else turned += wrapped(bearing - turned);
    angles.push(turned);
  });
  const last = points.length - 1;
  const start = angles[0]!;
  const angle = angles[last]! - start;
  const startRadius = radii[0]!;
  const endRadius = radii[last]!;
  // at the centre itself there is no direction
  if (!(startRadius > OFF && endRadius > OFF && Math.abs(angle) > 0.1)) return undefined;
  const perRadian = (endRadius - startRadius) / angle;
  const pitch = Math.abs(perRadian) * 2 * Math.PI;
  for (let i = 0; i <= last; i++) {
    if (Math.abs(startRadius + perRadian * (angles[i]! - start) - radii[i]!) > OFF) return undefined;
  }
  return { startRadius, endRadius, pitch, rotation: angle > 0 ? "clockwise" : "counter-clockwise", start };
}

const wrapped = (angle: number): number => angle - 2 * Math.PI * Math.round(angle / (2 * Math.PI));
