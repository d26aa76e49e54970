import { RADIANS, wrapHeading } from "../geometry/index.js";
import { cosDegrees, sinDegrees } from "../machine/degrees.js";
import type { Pose } from "./pose.js";
import { type PathPoint, segmentEnd, type TurnPath } from "./turn-path.js";

/** Pass ends nearer to one another than this lie in one place, metres. */
const SAME_PLACE = 1e-9;

/**
 * How far a turn goes beyond the line through both pass ends, on the side that the first pass leads to, metres.
 *
 * Exact where the turn is of arcs and straight pieces; of its points where it is not.
 */
export function turnDepth(points: readonly PathPoint[], from: Pose, to: Pose, path: TurnPath | null): number {
  const outX = sinDegrees(from.heading);
  const outY = cosDegrees(from.heading);
  const ex = to.x - from.x;
  const ey = to.y - from.y;
  const apart = Math.hypot(ex, ey);
  // ends in one place have a line square to the pass
  let nx = apart < SAME_PLACE ? outX : -ey / apart;
  let ny = apart < SAME_PLACE ? outY : ex / apart;
  if (nx * outX + ny * outY < 0) [nx, ny] = [-nx, -ny];
  const beyond = (x: number, y: number): number => (x - from.x) * nx + (y - from.y) * ny;
  let depth = 0;
  for (const { x, y } of points) depth = Math.max(depth, beyond(x, y));
  if (path === null) return depth;
  const outward = Math.atan2(nx, ny) / RADIANS;
  let pose = path.start;
  for (const { turn, length } of path.segments) {
    const end = segmentEnd(pose, turn, length, path.radius);
    if (turn !== "straight") {
      const side = turn === "right" ? 1 : -1;
      // the top of the circle is where the machine runs along the line, the circle's middle behind it
      const top = outward + 90 * side;
      const swept = Math.abs(length) / path.radius / RADIANS;
      const clockwise = side * Math.sign(length) > 0;
      const until = wrapHeading(clockwise ? top - pose.heading : pose.heading - top);
      if (until <= swept) {
        const cx = pose.x + side * path.radius * cosDegrees(pose.heading);
        const cy = pose.y - side * path.radius * sinDegrees(pose.heading);
        depth = Math.max(depth, beyond(cx, cy) + path.radius);
      }
    }
    pose = end;
  }
  return depth;
}
