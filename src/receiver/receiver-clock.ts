import type { NmeaCounts } from "./nmea-counts.js";

const DAY = 86_400;
const HALF_DAY = DAY / 2;
/** days in the 1024 weeks after which the week number that GPS sends starts again (IS-GPS-200, 10 bits) */
const ROLLOVER_DAYS = 7168;
/**
 * How many dates in a row must give another date than the running one before it is taken: some receivers send the old
 * date for a few fixes after midnight.
 */
const DATE_CONFIRMATIONS = 10;

/**
 * Turns times of day into a time that runs on over midnights, and onto the Unix scale once a date is known.
 *
 * The day is always the one that brings a time nearest to the one before, so a late sentence from before midnight stays
 * before midnight. A gap of more than 12 h without a date is therefore not seen in full.
 */
export class ReceiverClock {
  /** whether {@link ReceiverClock.time} is Unix time */
  dated = false;
  /** seconds since midnight, what {@link ReceiverClock.advance} takes; in a field: a number handed over would be boxed */
  next = 0.5;
  /** days: since 1970 where dated, else since the first time */
  private day = 0;
  /** seconds of the last time of day, NaN before the first */
  private last = Number.NaN;
  /** whether the date came with a valid position: before that receivers send dates out of their memory */
  private sure = false;
  private otherDay = 0;
  private otherTimes = 0;

  constructor(
    private readonly counts: NmeaCounts,
    private readonly earliestDay: number,
  ) {}

  /** The last time on the running scale, seconds; NaN before the first. */
  get time(): number {
    return this.day * DAY + this.last;
  }

  /** Move on to the time of day in {@link ReceiverClock.next}. */
  advance(): void {
    const timeOfDay = this.next;
    this.day = this.dayOf(timeOfDay);
    this.last = timeOfDay;
  }

  /**
   * Take note of a date.
   *
   * @param day - days since 1970-01-01
   * @param timeOfDay - seconds since that day's midnight
   * @param sure - whether it came with a valid position; the first such date is taken at once
   */
  date(day: number, timeOfDay: number, sure: boolean): void {
    let corrected = day;
    while (corrected < this.earliestDay) corrected += ROLLOVER_DAYS;
    if (corrected !== day) this.counts.weekRollovers++;
    if (!this.dated || (sure && !this.sure)) {
      this.set(corrected, timeOfDay);
      this.sure = sure;
      return;
    }
    const running = this.dayOf(timeOfDay);
    if (corrected === running) {
      this.otherTimes = 0;
      return;
    }
    const back = running - corrected;
    if (back > 0 && back % ROLLOVER_DAYS === 0) {
      // the week number has started again: the running date is the right one
      this.counts.weekRollovers++;
      this.otherTimes = 0;
      return;
    }
    this.counts.dateDisagreements++;
    // compared as an offset, so that a midnight among the confirmations does not start them again
    if (this.otherTimes > 0 && back === this.otherDay) this.otherTimes++;
    else this.otherTimes = 1;
    this.otherDay = back;
    if (this.otherTimes >= DATE_CONFIRMATIONS) this.set(corrected, timeOfDay);
  }

  private set(day: number, timeOfDay: number): void {
    this.dated = true;
    this.day = day;
    this.last = timeOfDay;
    this.otherTimes = 0;
  }

  private dayOf(timeOfDay: number): number {
    const step = timeOfDay - this.last;
    if (step < -HALF_DAY) return this.day + 1;
    if (step > HALF_DAY) return this.day - 1;
    return this.day;
  }
}

/**
 * Days from 1970-01-01 to a date of the Gregorian calendar.
 *
 * @param year - 1970 to 9999
 * @param month - 1 to 12
 * @param day - 1 to the month's last
 * @returns days, NaN when there is no such date
 */
export function daysSince1970(year: number, month: number, day: number): number {
  if (!(year >= 1970 && year <= 9999 && month >= 1 && month <= 12 && day >= 1)) return Number.NaN;
  const leap = (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0;
  const length = month === 2 ? (leap ? 29 : 28) : month === 4 || month === 6 || month === 9 || month === 11 ? 30 : 31;
  if (day > length) return Number.NaN;
  // years counted from March, so that the leap day is the last of a year
  const shifted = month > 2 ? year : year - 1;
  const fromMarch = month > 2 ? month - 3 : month + 9;
  const ofYear = Math.floor((153 * fromMarch + 2) / 5) + day - 1;
  const leapDays = Math.floor(shifted / 4) - Math.floor(shifted / 100) + Math.floor(shifted / 400);
  return shifted * 365 + leapDays + ofYear - 719_468;
}
