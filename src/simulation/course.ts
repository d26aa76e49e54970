import { DUPLICATE_DISTANCE } from "../geometry/index.js";
import { backwards, type Drive } from "./drive.js";

/** A stretch of the way that is driven without a change between forward and back, and without a wait. */
export interface Run {
  /** s that the machine stands before it */
  readonly wait: number;
  /** whether it is driven backwards */
  readonly reversing: boolean;
  /** vertices, metres east */
  readonly x: Float64Array;
  /** vertices, metres north */
  readonly y: Float64Array;
  /** way from the run's start to each vertex, metres */
  readonly station: Float64Array;
  /** number of the drive that the segment from each vertex belongs to; -1 for a joint between two */
  readonly drive: Int32Array;
  /** most speed at each vertex, m/s, so that every slower stretch behind it can be braked for */
  readonly limit: Float64Array;
  /** most speed along the segment from each vertex, m/s */
  readonly pace: Float64Array;
}

/** How fast. */
export interface Paces {
  /** m/s where the tool works */
  readonly working: number;
  /** m/s elsewhere */
  readonly turning: number;
  /** m/s² */
  readonly acceleration: number;
}

/** Slowest that a machine creeps to where it changes its direction, m/s. */
export const CREEP = 0.2;

/** Join drives to runs: neighbours that are driven the same way are one run, gaps between them straight joints. */
export function makeRuns(drives: readonly Drive[], paces: Paces): Run[] {
  const runs: Run[] = [];
  let open: Building | null = null;
  drives.forEach((drive, index) => {
    const pace = drive.speed ?? (drive.working === false ? paces.turning : paces.working);
    let wait = drive.wait ?? 0;
    for (let i = 0; i + 1 < drive.line.length; i++) {
      const [ax, ay] = drive.line[i]!;
      const [bx, by] = drive.line[i + 1]!;
      if (Math.hypot(bx - ax, by - ay) <= DUPLICATE_DISTANCE) continue;
      const back = backwards(drive, i);
      if (open?.reversing !== back || wait > 0) {
        if (open !== null) runs.push(open.close(paces.acceleration));
        open = new Building(back, wait, ax, ay);
        wait = 0;
      }
      open.to(ax, ay, -1, paces.turning);
      open.to(bx, by, index, pace);
    }
  });
  if (open !== null) runs.push((open as Building).close(paces.acceleration));
  return runs;
}

class Building {
  private readonly x: number[];
  private readonly y: number[];
  private readonly drive: number[] = [];
  private readonly pace: number[] = [];

  constructor(
    readonly reversing: boolean,
    readonly wait: number,
    x: number,
    y: number,
  ) {
    this.x = [x];
    this.y = [y];
  }

  to(x: number, y: number, drive: number, pace: number): void {
    const last = this.x.length - 1;
    if (Math.hypot(x - this.x[last]!, y - this.y[last]!) <= DUPLICATE_DISTANCE) return;
    this.x.push(x);
    this.y.push(y);
    this.drive.push(drive);
    this.pace.push(pace);
  }

  close(acceleration: number): Run {
    const x = Float64Array.from(this.x);
    const y = Float64Array.from(this.y);
    const n = x.length;
    const station = new Float64Array(n);
    for (let i = 1; i < n; i++) station[i] = station[i - 1]! + Math.hypot(x[i]! - x[i - 1]!, y[i]! - y[i - 1]!);
    const limit = new Float64Array(n);
    limit[n - 1] = CREEP;
    for (let i = n - 2; i >= 0; i--) {
      const before = i === 0 ? Number.POSITIVE_INFINITY : this.pace[i - 1]!;
      const brake = Math.sqrt(limit[i + 1]! ** 2 + 2 * acceleration * (station[i + 1]! - station[i]!));
      limit[i] = Math.min(this.pace[i]!, before, brake);
    }
    return {
      wait: this.wait,
      reversing: this.reversing,
      x,
      y,
      station,
      drive: Int32Array.from([...this.drive, this.drive[this.drive.length - 1] ?? -1]),
      limit,
      pace: Float64Array.from([...this.pace, this.pace[this.pace.length - 1] ?? CREEP]),
    };
  }
}
