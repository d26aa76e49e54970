import { requireNumber } from "../errors/index.js";
import { RADIANS, wrapHeading } from "../geometry/index.js";
import { localGoal } from "./local-goal.js";
import { type Pose, requirePose } from "./pose.js";
import type { PathPoint, TurnPath } from "./turn-path.js";

/** A turn whose curvature changes steadily, as a machine can drive it without a stop. */
export interface SmoothTurn {
  /** metres driven */
  readonly length: number;
  /** changes between forward and back */
  readonly reversals: number;
  /** places along it, curvature among them */
  readonly points: readonly PathPoint[];
}

/** A block of the turn: angle in radians of an arc (transition, arc, transition), or metres of a straight piece. */
interface Block {
  /** 1 left, -1 right, 0 straight */
  readonly side: number;
  /** 1 forward, -1 back */
  readonly way: number;
}

/** End of the search: metres, and radians of the smallest radius. */
const CLOSE = 1e-10;
/** Nodes and weights of Gauss and Legendre with 5 points on 0..1 (Abramowitz & Stegun 1964, table 25.4). */
const NODES = [0.5 - 0.453089922969332, 0.5 - 0.269234655052841, 0.5, 0.5 + 0.269234655052841, 0.5 + 0.453089922969332];
const WEIGHTS = [0.118463442528095, 0.239314335249683, 0.284444444444444, 0.239314335249683, 0.118463442528095];

/**
 * A turn of three pieces driven with a limit on how fast the wheels are turned: each arc begins and ends in a clothoid, straight at its
 * ends, sharpest at the path's radius. Pieces, their order and ways stay; angles and lengths are solved for anew so that the end is the goal.
 *
 * At a change between forward and back the wheels are straight too.
 *
 * @param path - of two or three pieces, as `dubinsPath` and the headland's turns give them
 * @param goal - where it is to end
 * @param curvatureRate - most change of curvature a metre, 1/m²: steering speed (rad/s) over speed times wheelbase, at small angles
 * @param step - greatest distance of its points, metres; default a twentieth of the radius
 * @returns the turn, its end within 1e-9 m of the goal; null where no turn of these pieces leads there
 * @throws `FeeringError` `not-finite`, `out-of-range`
 */
export function smoothTurn(
  path: TurnPath,
  goal: Pose,
  curvatureRate: number,
  step: number = path.radius / 20,
): SmoothTurn | null {
  requirePose(goal, "goal");
  requireNumber(curvatureRate, "curvatureRate", { above: 0 });
  requireNumber(step, "step", { above: 0 });
  const blocks = path.segments.map(({ turn, length }): Block => {
    return { side: turn === "left" ? 1 : turn === "right" ? -1 : 0, way: length < 0 ? -1 : 1 };
  });
  const values = path.segments.map(({ turn, length }) => Math.abs(length) / (turn === "straight" ? 1 : path.radius));
  if (blocks.length === 0 || blocks.length > 3) return null;
  if (blocks.length < 3 && !pad(blocks, values)) return null;
  const { radius } = path;
  const target = localGoal(path.start, goal, 1);
  const profile = new Profile(blocks, 1 / radius, curvatureRate);
  if (!solve(profile, values, target, radius)) return null;
  if (values.some((value) => value < -CLOSE)) return null;
  return draw(profile, values, path.start, step);
}

/** Pieces of no length for what the path leaves out, so that there are three to solve for: arc, straight, arc. */
function pad(blocks: Block[], values: number[]): boolean {
  const first = blocks[0]!;
  const last = blocks[blocks.length - 1]!;
  if (blocks.length === 1) {
    if (first.side === 0) {
      blocks.splice(0, 1, { side: 1, way: first.way }, first, { side: -1, way: first.way });
      values.splice(0, 1, 0, values[0]!, 0);
      return true;
    }
    // one arc is two with a straight piece of no length between
    blocks.splice(0, 1, first, { side: 0, way: first.way }, first);
    values.splice(0, 1, values[0]! / 2, 0, values[0]! / 2);
    return true;
  }
  if (first.side !== 0 && last.side !== 0) {
    blocks.splice(1, 0, { side: 0, way: first.way });
    values.splice(1, 0, 0);
    return true;
  }
  if (first.side === 0) {
    blocks.unshift({ side: last.side, way: first.way });
    values.unshift(0);
  } else {
    blocks.push({ side: first.side, way: last.way });
    values.push(0);
  }
  return true;
}

/** Curvature along the blocks, in pieces over which it changes evenly. */
class Profile {
  constructor(
    readonly blocks: readonly Block[],
    private readonly sharpest: number,
    private readonly rate: number,
  ) {}

  /** Pieces of a block: length, curvature at its begin and end (left positive), all for driving forward. */
  pieces(block: Block, value: number): [length: number, from: number, to: number][] {
    if (block.side === 0) return [[value, 0, 0]];
    const angle = Math.abs(value);
    const sign = Math.sign(value) * block.side;
    const spent = (this.sharpest * this.sharpest) / this.rate;
    const peak = angle < spent ? Math.sqrt(angle * this.rate) : this.sharpest;
    const ramp = peak / this.rate;
    const hold = angle < spent ? 0 : (angle - spent) / this.sharpest;
    return [
      [ramp, 0, sign * peak],
      [hold, sign * peak, sign * peak],
      [ramp, sign * peak, 0],
    ];
  }
}

/** x ahead, y left, angle counter-clockwise after a piece of evenly changing curvature; `way` -1 drives it back. */
function advance(pose: Float64Array, length: number, from: number, to: number, way: number): void {
  const parts = Math.max(1, Math.ceil((Math.abs(from) + Math.abs(to)) * length));
  const part = length / parts;
  for (let k = 0; k < parts; k++) {
    const a = from + ((to - from) * k) / parts;
    const b = from + ((to - from) * (k + 1)) / parts;
    const angle = pose[2]!;
    let x = 0;
    let y = 0;
    for (let n = 0; n < 5; n++) {
      const s = NODES[n]! * part;
      const turned = angle + way * (a * s + ((b - a) * s * s) / (2 * part || 1));
      x += WEIGHTS[n]! * Math.cos(turned);
      y += WEIGHTS[n]! * Math.sin(turned);
    }
    pose[0]! += way * part * x;
    pose[1]! += way * part * y;
    pose[2] = angle + (way * part * (a + b)) / 2;
  }
}

function endOf(profile: Profile, values: readonly number[]): Float64Array {
  const pose = new Float64Array(3);
  profile.blocks.forEach((block, i) => {
    for (const [length, from, to] of profile.pieces(block, values[i]!)) advance(pose, length, from, to, block.way);
  });
  return pose;
}

/** Newton's search for the three values, changed in place; false where it finds none. */
function solve(
  profile: Profile,
  values: number[],
  target: { readonly x: number; readonly y: number; readonly turn: number },
  radius: number,
): boolean {
  const miss = (at: readonly number[]): [number, number, number] => {
    const end = endOf(profile, at);
    const turn = end[2]! - target.turn;
    return [end[0]! - target.x, end[1]! - target.y, radius * (turn - 2 * Math.PI * Math.round(turn / (2 * Math.PI)))];
  };
  const size = (m: readonly number[]): number => Math.hypot(...m);
  let error = miss(values);
  for (let round = 0; round < 60 && size(error) > CLOSE; round++) {
    const columns = values.map((value, i) => {
      const h = 1e-6 * (profile.blocks[i]!.side === 0 ? radius : 1);
      const [up, down] = [h, -h].map((d) => miss(values.map((v, k) => (k === i ? value + d : v))));
      return up!.map((u, row) => (u - down![row]!) / (2 * h));
    });
    const change = cramer(columns, error);
    if (change === null) return false;
    let share = 1;
    for (;;) {
      const next = values.map((value, i) => value - share * change[i]!);
      const nextError = miss(next);
      if (size(nextError) < size(error) || share < 1e-4) {
        next.forEach((value, i) => (values[i] = value));
        error = nextError;
        break;
      }
      share /= 2;
    }
  }
  return size(error) <= 1e3 * CLOSE;
}

/** Three equations by Cramer's rule; null where they have no one answer. */
function cramer(columns: readonly (readonly number[])[], right: readonly number[]): number[] | null {
  const det = (a: readonly number[], b: readonly number[], c: readonly number[]): number =>
    a[0]! * (b[1]! * c[2]! - b[2]! * c[1]!) -
    b[0]! * (a[1]! * c[2]! - a[2]! * c[1]!) +
    c[0]! * (a[1]! * b[2]! - a[2]! * b[1]!);
  const [a, b, c] = columns as [number[], number[], number[]];
  const whole = det(a, b, c);
  const scale = Math.hypot(...a) * Math.hypot(...b) * Math.hypot(...c);
  if (!(Math.abs(whole) > 1e-12 * scale)) return null;
  return [det(right, b, c) / whole, det(a, right, c) / whole, det(a, b, right) / whole];
}

function draw(profile: Profile, values: readonly number[], start: Pose, step: number): SmoothTurn {
  const pose = new Float64Array(3);
  const s = Math.sin(start.heading * RADIANS);
  const c = Math.cos(start.heading * RADIANS);
  const points: PathPoint[] = [];
  let station = 0;
  let reversals = 0;
  const put = (curvature: number, way: number): void => {
    const [x, y, turned] = pose as unknown as [number, number, number];
    points.push({
      x: start.x + x * s - y * c,
      y: start.y + x * c + y * s,
      heading: wrapHeading(start.heading - turned / RADIANS),
      station,
      curvature: -curvature + 0,
      reversing: way < 0,
    });
  };
  let way = 0;
  profile.blocks.forEach((block, i) => {
    if (Math.abs(values[i]!) < CLOSE) return;
    if (block.way !== way) {
      if (way !== 0) reversals++;
      way = block.way;
      put(0, way);
    }
    for (const [length, from, to] of profile.pieces(block, values[i]!)) {
      const count = Math.ceil(length / step - 1e-9);
      for (let k = 0; k < count; k++) {
        const a = from + ((to - from) * k) / count;
        const b = from + ((to - from) * (k + 1)) / count;
        advance(pose, length / count, a, b, way);
        station += length / count;
        put(b, way);
      }
    }
  });
  if (points.length === 0) put(0, 1);
  return { length: station, reversals, points };
}
