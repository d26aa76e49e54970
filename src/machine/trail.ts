import { RADIANS } from "../geometry/angle.js";

/** Places kept; with {@link SPACING} they reach back 2.5 s, more than {@link REACH}. */
const PLACES = 64;
/** Places closer in time than this are not all kept, s. */
const SPACING = 0.04;
/** How far back a course may reach, s: older ground says nothing of the direction now. */
const REACH = 2;
/** Shortest time over which a speed is taken, s: 1 cm of noise in each position is then 0.05 m/s. */
const SPEED_TIME = 0.3;

/** The places of the last seconds, for speed and course where the receiver gives none. */
export class Trail {
  /** m/s from the last call of {@link Trail.measureSpeed} */
  speed = 0;
  /** degrees, from the last call of {@link Trail.measureCourse} */
  course = 0;
  /** when that course held: the middle of its chord, s */
  courseTime = 0;

  /** time of a new fix, s */
  newTime = 0.5;
  /** and its place, metres */
  newX = 0.5;
  newY = 0.5;

  private readonly times = new Float64Array(PLACES);
  private readonly xs = new Float64Array(PLACES);
  private readonly ys = new Float64Array(PLACES);
  private newest = -1;
  private count = 0;

  /** Forget every place. */
  clear(): void {
    this.count = 0;
  }

  /** Take the place of a new fix: {@link Trail.newTime}, x and y, in fields: numbers handed over would be boxed. */
  push(): void {
    const time = this.newTime;
    if (this.count > 0 && time - this.times[this.newest]! < SPACING - 1e-6) return;
    this.newest = (this.newest + 1) % PLACES;
    this.times[this.newest] = time;
    this.xs[this.newest] = this.newX;
    this.ys[this.newest] = this.newY;
    if (this.count < PLACES) this.count++;
  }

  /** Speed from the newest place that is old enough; false when there is none. */
  measureSpeed(time: number, x: number, y: number): boolean {
    let best = -1;
    for (let k = 0; k < this.count; k++) {
      const i = (this.newest - k + PLACES) % PLACES;
      const age = time - this.times[i]!;
      if (age > 0) best = i;
      if (age >= SPEED_TIME - 1e-6) break;
    }
    if (best < 0) return false;
    this.speed = Math.hypot(x - this.xs[best]!, y - this.ys[best]!) / (time - this.times[best]!);
    return true;
  }

  /** Course along the chord from the newest place far enough away, not older than `since`; false when there is none. */
  measureCourse(time: number, x: number, y: number, distance: number, since: number): boolean {
    for (let k = 0; k < this.count; k++) {
      const i = (this.newest - k + PLACES) % PLACES;
      const then = this.times[i]!;
      if (then < since || time - then > REACH) return false;
      const dx = x - this.xs[i]!;
      const dy = y - this.ys[i]!;
      if (dx * dx + dy * dy >= distance * distance) {
        this.course = Math.atan2(dx, dy) / RADIANS;
        this.courseTime = (time + then) / 2;
        return true;
      }
    }
    return false;
  }

  /** The places, oldest first, as a flat list. */
  toList(): number[] {
    const list: number[] = [];
    for (let k = this.count - 1; k >= 0; k--) {
      const i = (this.newest - k + PLACES) % PLACES;
      list.push(this.times[i]!, this.xs[i]!, this.ys[i]!);
    }
    return list;
  }

  /** Take a list of {@link Trail.toList} back. */
  fromList(list: readonly number[]): void {
    this.count = 0;
    this.newest = -1;
    for (let k = 0; k + 2 < list.length; k += 3) {
      this.newest = (this.newest + 1) % PLACES;
      this.times[this.newest] = list[k]!;
      this.xs[this.newest] = list[k + 1]!;
      this.ys[this.newest] = list[k + 2]!;
      if (this.count < PLACES) this.count++;
    }
  }
}
