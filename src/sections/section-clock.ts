/** Weight of the newest interval in the mean interval between fixes. */
const INTERVAL_WEIGHT = 0.25;
/** What is farther from 1970 than this is no time, s; the monitor of fixes has the same bound. */
const LATEST = 1e12;
/** Numbers of {@link SectionClock.toList}. */
const NUMBERS = 6;

/** What section control knows of time: the last fix, the last place, the latest time told, how often fixes come. */
export class SectionClock {
  hasTime = false;
  /** time of the last fix, s */
  fixTime = 0;
  /** latest time heard of, s */
  now = 0;
  hasPlace = false;
  /** time of the last usable place, s */
  placeTime = 0;
  /** mean time between fixes, s */
  interval = 0;

  private readonly maximumAge: number;

  constructor(maximumAge: number) {
    this.maximumAge = maximumAge;
  }

  /** Hear of a fix that is newer than the last; gives the time since that, s, 0 where it is too long ago. */
  takeFix(time: number): number {
    const step = time - this.fixTime;
    const follows = this.hasTime && step <= this.maximumAge;
    if (follows) this.interval = this.interval === 0 ? step : this.interval + INTERVAL_WEIGHT * (step - this.interval);
    this.hasTime = true;
    this.fixTime = time;
    this.now = Math.max(this.now, time);
    return follows ? step : 0;
  }

  /** Start again at a time that may be earlier. */
  setBack(time: number): void {
    this.now = time;
    this.fixTime = time;
    this.hasPlace = false;
  }

  /** All numbers as one flat list. */
  toList(): number[] {
    const { hasTime, fixTime, now, hasPlace, placeTime, interval } = this;
    return [Number(hasTime), fixTime, now, Number(hasPlace), placeTime, interval];
  }

  /** Take a list of {@link SectionClock.toList} back; false when it does not fit. */
  fromList(list: readonly number[]): boolean {
    if (list.length !== NUMBERS || !list.every(Number.isFinite) || list[5]! < 0) return false;
    this.hasTime = list[0] === 1;
    this.fixTime = list[1]!;
    this.now = list[2]!;
    this.hasPlace = list[3] === 1;
    this.placeTime = list[4]!;
    this.interval = list[5]!;
    return true;
  }
}

/** Whether a number is a time at all. */
export function isTime(time: number): boolean {
  return Number.isFinite(time) && Math.abs(time) <= LATEST;
}
