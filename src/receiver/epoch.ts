import type { NmeaCounts } from "./nmea-counts.js";
import type { Fix } from "./fix.js";
import { EpochOrder } from "./epoch-order.js";
import { ReceiverClock } from "./receiver-clock.js";

/** Numbers of the sentence types in the epoch. */
export const GGA: number = 0;
export const GNS: number = 1;
export const RMC: number = 2;
export const GLL: number = 3;
export const VTG: number = 4;
export const HDT: number = 5;
export const THS: number = 6;
export const GST: number = 7;
export const ZDA: number = 8;

/**
 * Times nearer than this, seconds, are one instant: receivers write one instant with two or three decimals, rounded or cut
 * off, in different sentences (0.67, 0.66 and 0.667). It leaves room for 100 fixes a second.
 */
const SAME_INSTANT = 0.0075;
const DAY = 86_400;

/** where a type without a time stands in its epoch; 0 while that is not known */
const LEADS = 1;
const FOLLOWS = 2;

type Mutable<T> = { -readonly [K in keyof T]-?: number };
/** A fix whose every value is a number, NaN where not known. */
export type OwnedFix = Omit<Mutable<Fix>, "dated"> & { dated: boolean };

/**
 * Joins sentences to fixes.
 *
 * Sentences with a position (GGA, GNS, RMC, GLL) open an epoch and close it when their time is another; GST and ZDA join the one of
 * their own time; VTG, HDT and THS have no time and join by their place in the sequence. All that decides is the sequence
 * of sentences, never how the bytes came in.
 */
export class Epoch {
  /** where fixes go as new objects; else they go to {@link Epoch.onFix} as the owned one */
  into: Fix[] | undefined;
  /** where the owned fix goes */
  onFix: ((fix: Fix) => void) | undefined;
  /** whether the stream has been free of noise so far: then it is taken to begin with a whole epoch */
  clean = true;

  readonly clock: ReceiverClock;
  private readonly order = new EpochOrder();
  private readonly fix: OwnedFix = emptyFix();

  private open = false;
  private anyOpened = false;
  private timeOfDay = Number.NaN;
  /** bits of the types joined */
  private joined = 0;
  private lastJoined = 0;
  /** of the epoch given out last, until the next opens */
  private closed = false;
  private closedTime = Number.NaN;
  private closedLast = 0;

  private positionFrom = 99;
  private latitude = Number.NaN;
  private longitude = Number.NaN;
  private quality = 0;
  private refused = false;
  private altitude = Number.NaN;
  private satellites = Number.NaN;
  private hdop = Number.NaN;
  private correctionAge = Number.NaN;
  private speed = Number.NaN;
  private course = Number.NaN;
  private accuracy = Number.NaN;

  /** by VTG */
  private otherSpeed = Number.NaN;
  private otherCourse = Number.NaN;
  private heading = Number.NaN;
  private readonly place: Uint8Array = new Uint8Array(9);
  /** bits of the types that wait for their epoch to open */
  private waiting = 0;

  private nextAccuracy = Number.NaN;
  private nextAccuracyTime = Number.NaN;

  constructor(
    private readonly counts: NmeaCounts,
    earliestDay: number,
  ) {
    this.clock = new ReceiverClock(counts, earliestDay);
  }

  /**
   * A sentence with a position (or word that there is none).
   *
   * @param type - GGA, GNS, RMC or GLL
   * @param timeOfDay - seconds, NaN for a null field
   * @param quality - 0 none to 8
   * @returns whether it belongs to the open epoch, so that its other values may be set; then {@link Epoch.end} must follow
   */
  position(type: number, timeOfDay: number, latitude: number, longitude: number, quality: number): boolean {
    // hot
    const bit = 1 << type;
    if (this.open) {
      const timeless = !(timeOfDay >= 0) || !(this.timeOfDay >= 0);
      const again = (this.joined & bit) !== 0;
      if (timeless ? again : !sameInstant(timeOfDay, this.timeOfDay)) {
        this.give();
        this.begin(timeOfDay);
      } else if (again) {
        this.counts.late++;
        return false;
      } else if (!(this.timeOfDay >= 0)) this.timeOfDay = timeOfDay;
    } else if (this.closed && sameInstant(timeOfDay, this.closedTime)) {
      this.lateIn(type);
      return false;
    } else this.begin(timeOfDay);
    this.joined |= bit;
    if (type < this.positionFrom) {
      this.positionFrom = type;
      this.latitude = latitude;
      this.longitude = longitude;
      this.quality = quality;
    }
    return true;
  }

  /** Word that the position of this epoch must not be used, whatever another sentence says. */
  refuse(): void {
    this.refused = true;
  }

  /** Height and what else GGA and GNS tell; GGA's go first. */
  solution(type: number, altitude: number, satellites: number, hdop: number, correctionAge: number): void {
    const over = type === this.positionFrom;
    if (over || !(this.altitude === this.altitude)) this.altitude = altitude;
    if (over || !(this.satellites === this.satellites)) this.satellites = satellites;
    if (over || !(this.hdop === this.hdop)) this.hdop = hdop;
    if (over || !(this.correctionAge === this.correctionAge)) this.correctionAge = correctionAge;
  }

  /** Speed and course by a sentence with a time, m/s and degrees. */
  motion(speed: number, course: number): void {
    this.speed = speed;
    this.course = course;
  }

  /** End of what a sentence of this type had to say: the fix goes out when that was the last of its epoch. */
  end(type: number): void {
    this.lastJoined = type;
    this.joined |= 1 << type;
    if (this.order.isLast(this.timeOfDay, type)) this.give();
  }

  /** Time and date by ZDA. */
  date(timeOfDay: number): void {
    if (this.joins(ZDA, timeOfDay)) this.end(ZDA);
  }

  /** Accuracy by GST, m. */
  accuracyAt(timeOfDay: number, accuracy: number): void {
    if (this.joins(GST, timeOfDay)) {
      this.accuracy = accuracy;
      this.end(GST);
    } else if (!this.open && this.closed && sameInstant(timeOfDay, this.closedTime)) this.lateIn(GST);
    else {
      this.nextAccuracy = accuracy;
      this.nextAccuracyTime = timeOfDay;
    }
  }

  /**
   * A sentence without a time: VTG, HDT or THS.
   *
   * @param type - its type
   * @param value - speed in m/s for VTG, heading in degrees for the others
   * @param course - degrees, for VTG
   */
  timeless(type: number, value: number, course: number): void {
    const bit = 1 << type;
    if (this.open && this.place[type] === LEADS) this.give();
    if (this.open) {
      this.place[type] = FOLLOWS;
      this.keep(type, value, course);
      this.end(type);
      return;
    }
    if (this.place[type] === FOLLOWS) {
      // its own epoch was given out before it came, or never came
      this.lateIn(type);
      return;
    }
    // a second one before any position: the epoch of the first was lost
    if ((this.waiting & bit) !== 0) this.drop();
    this.waiting |= bit;
    this.keep(type, value, course);
  }

  /** Give out what there is, as at the end of a stream. */
  flush(): void {
    if (this.open) this.give();
    this.drop();
  }

  private keep(type: number, value: number, course: number): void {
    if (type === VTG) {
      this.otherSpeed = value;
      this.otherCourse = course;
    } else this.heading = value;
  }

  private drop(): void {
    if (this.waiting !== 0) this.counts.late += bits(this.waiting);
    this.waiting = 0;
    this.otherSpeed = Number.NaN;
    this.otherCourse = Number.NaN;
    this.heading = Number.NaN;
  }

  private joins(type: number, timeOfDay: number): boolean {
    if (!this.open) {
      if (type === ZDA && this.closed && sameInstant(timeOfDay, this.closedTime)) this.closedLast = ZDA;
      return false;
    }
    if (!(this.timeOfDay >= 0)) {
      this.timeOfDay = timeOfDay;
      return true;
    }
    return sameInstant(timeOfDay, this.timeOfDay);
  }

  /** A sentence of an epoch that is out already: only its place in the order is of use. */
  private lateIn(type: number): void {
    this.counts.late++;
    this.closedLast = type;
    if (this.waiting !== 0 && type < VTG) {
      // what was taken for the head of the next epoch stood inside this one
      for (let t = VTG; t <= THS; t++) if ((this.waiting & (1 << t)) !== 0) this.place[t] = FOLLOWS;
      this.drop();
    }
  }

  private begin(timeOfDay: number): void {
    if (this.closed) this.order.learn(this.closedTime, this.closedLast);
    this.closed = false;
    if (!this.anyOpened && this.clean) {
      for (let t = VTG; t <= THS; t++) if ((this.waiting & (1 << t)) !== 0) this.place[t] = LEADS;
    }
    this.anyOpened = true;
    this.waiting = 0;
    this.open = true;
    this.timeOfDay = timeOfDay;
    this.joined = 0;
    this.positionFrom = 99;
    this.refused = false;
    this.altitude = Number.NaN;
    this.satellites = Number.NaN;
    this.hdop = Number.NaN;
    this.correctionAge = Number.NaN;
    this.speed = Number.NaN;
    this.course = Number.NaN;
    this.accuracy = sameInstant(timeOfDay, this.nextAccuracyTime) ? this.nextAccuracy : Number.NaN;
    this.nextAccuracyTime = Number.NaN;
  }

  private give(): void {
    // hot: once a fix
    const fix = this.fix;
    const clock = this.clock;
    if (this.timeOfDay >= 0) {
      clock.next = this.timeOfDay;
      clock.advance();
    }
    fix.time = clock.time;
    fix.dated = clock.dated;
    const there =
      !this.refused && this.quality > 0 && this.latitude === this.latitude && this.longitude === this.longitude;
    fix.latitude = there ? this.latitude : Number.NaN;
    fix.longitude = there ? this.longitude : Number.NaN;
    fix.altitude = there ? this.altitude : Number.NaN;
    fix.quality = there ? this.quality : 0;
    fix.satellites = this.satellites;
    fix.hdop = this.hdop;
    fix.correctionAge = this.correctionAge;
    fix.speed = this.speed === this.speed ? this.speed : this.otherSpeed;
    fix.course = this.course === this.course ? this.course : this.otherCourse;
    fix.heading = this.heading;
    fix.horizontalAccuracy = this.accuracy;
    this.open = false;
    this.closed = true;
    this.closedTime = this.timeOfDay;
    this.closedLast = this.lastJoined;
    this.otherSpeed = Number.NaN;
    this.otherCourse = Number.NaN;
    this.heading = Number.NaN;
    this.counts.fixes++;
    if (this.into !== undefined) this.into.push(copyFix(fix));
    else if (this.onFix !== undefined) this.onFix(fix);
  }
}

function sameInstant(a: number, b: number): boolean {
  const difference = Math.abs(a - b);
  return difference < SAME_INSTANT || Math.abs(difference - DAY) < SAME_INSTANT;
}

function bits(mask: number): number {
  let n = 0;
  for (let rest = mask; rest !== 0; rest &= rest - 1) n++;
  return n;
}

function emptyFix(): OwnedFix {
  const none = Number.NaN;
  return {
    time: none,
    dated: false,
    latitude: none,
    longitude: none,
    altitude: none,
    quality: 0,
    satellites: none,
    hdop: none,
    correctionAge: none,
    speed: none,
    course: none,
    heading: none,
    horizontalAccuracy: none,
    roll: none,
    pitch: none,
    yawRate: none,
  };
}

function known(value: number): number | undefined {
  return value === value ? value : undefined;
}

function copyFix(fix: OwnedFix): Fix {
  return {
    time: fix.time,
    dated: fix.dated,
    latitude: fix.latitude,
    longitude: fix.longitude,
    altitude: known(fix.altitude),
    quality: fix.quality,
    satellites: known(fix.satellites),
    hdop: known(fix.hdop),
    correctionAge: known(fix.correctionAge),
    speed: known(fix.speed),
    course: known(fix.course),
    heading: known(fix.heading),
    horizontalAccuracy: known(fix.horizontalAccuracy),
  };
}
