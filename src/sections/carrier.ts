import { RADIANS, wrapDifference } from "../geometry/angle.js";
import { cosDegrees, sinDegrees, turnPair } from "../machine/degrees.js";
import type { PathAhead } from "./path-ahead.js";
import type { SectionInput } from "./section-states.js";
import type { ToolLine } from "./tool-line.js";

/** Below this turn the chord of an arc is its length, radians: the difference is under 1e-13 of it. */
const STRAIGHT = 1e-6;
/** Time over which the motion on a given path is measured, s. */
const MOTION = 0.05;

/** What carries the boom, where it is at a fix and where it will be: on its own arc at constant speed and yaw rate, or on a path that is given. */
export class Carrier {
  /** metres east */
  x = 0.5;
  /** metres north */
  y = 0.5;
  /** degrees clockwise from north */
  heading = 0.5;
  /** m/s, negative when reversing */
  speed = 0.5;
  /** degrees/s, clockwise positive */
  yawRate = 0.5;
  /** farthest from the place of the fix that a line was foretold, metres; only for paths that are given */
  farthest = 0;

  private path: PathAhead | undefined = undefined;
  private readonly pose = new Float64Array(3);
  private readonly later = new Float64Array(3);
  /** an angle, and its sine and cosine */
  private readonly pair = new Float64Array(2);

  /** Take place and motion of a fix. */
  take(input: SectionInput): void {
    this.x = input.x;
    this.y = input.y;
    this.heading = input.heading;
    this.speed = input.speed;
    this.yawRate = input.yawRate ?? ((input.curvature ?? 0) * input.speed) / RADIANS;
    this.path = input.path ?? undefined;
    this.farthest = 0;
  }

  /** Whether it goes by a path that is given. */
  get guided(): boolean {
    return this.path !== undefined;
  }

  /** Whether the path tells where it will be, now and until some time after the fix, s. */
  known(line: ToolLine, until: number): boolean {
    if (this.path === undefined) return true;
    this.put(line, 0, 0);
    if (!line.known) return false;
    this.put(line, 0, until);
    return line.known;
  }

  /** Where a row stands at the fix. */
  stand(line: ToolLine, toolX: number): void {
    const pair = this.pair;
    pair[0] = this.heading;
    turnPair(pair);
    line.place(this.x, this.y, pair[0], pair[1]!, toolX);
  }

  /** Where a row will stand some time after the fix, s; not finite where the path does not tell. */
  put(line: ToolLine, toolX: number, time: number): void {
    line.ahead = time;
    this.follow(line, toolX);
  }

  /** Where a row will stand at the time after the fix that its line has, s; not finite where the path does not tell. */
  follow(line: ToolLine, toolX: number): void {
    const time = line.ahead;
    line.forget();
    // what lies before the fix is no matter of a path ahead
    if (this.path !== undefined && time >= 0) {
      this.putOnPath(this.path, line, toolX, time);
      return;
    }
    const turn = this.yawRate * time;
    const half = (turn * RADIANS) / 2;
    const chord = this.speed * time * (Math.abs(half) < STRAIGHT ? 1 : Math.sin(half) / half);
    line.speed = this.speed;
    line.turn = this.yawRate * RADIANS;
    const pair = this.pair;
    pair[0] = this.heading + turn;
    turnPair(pair);
    const s = pair[0];
    const c = pair[1]!;
    pair[0] = this.heading + turn / 2;
    turnPair(pair);
    line.ox = this.x + chord * pair[0] + toolX * s;
    line.oy = this.y + chord * pair[1]! + toolX * c;
    line.ux = c;
    line.uy = -s;
  }

  private putOnPath(path: PathAhead, line: ToolLine, toolX: number, time: number): void {
    const a = this.pose;
    const b = this.later;
    a[2] = Number.NaN;
    b[2] = Number.NaN;
    try {
      path.poseAhead(time, a);
      path.poseAhead(time + MOTION, b);
    } catch {
      // the caller's own code: not knowing is answered by sections off
      a[2] = Number.NaN;
    }
    const heading = a[2];
    line.place(a[0]!, a[1]!, sinDegrees(heading), cosDegrees(heading), toolX);
    const turn = wrapDifference(b[2] - heading);
    // along the heading half way, where the chord of an arc points
    const middle = heading + turn / 2;
    line.speed = ((b[0]! - a[0]!) * sinDegrees(middle) + (b[1]! - a[1]!) * cosDegrees(middle)) / MOTION;
    line.turn = (turn * RADIANS) / MOTION;
    const dx = a[0]! - this.x;
    const dy = a[1]! - this.y;
    const far = Math.sqrt(dx * dx + dy * dy);
    if (far > this.farthest) this.farthest = far;
  }
}
