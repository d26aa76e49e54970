import type { Fix } from "../receiver/index.js";

/*
 * Body of a fix, little-endian: kind u8, a word u32 of two bits for each of 16 things, then what is there, in the order of FIELDS. Two bits of a
 * number: 0 no such property, 1 undefined, 2 NaN, 3 a value: f64, or for the two small whole numbers a byte (255: an f64 after it). Two bits of
 * a flag: 0 no such property, 1 undefined, 2 false, 3 true. A fix with a turn rate has kind 8 and ends with it, f64.
 */

/** First byte of the body of a fix. */
export const FIX: number = 1;
/** First byte of the body of a fix with a turn rate, which stands as f64 at its end. */
export const TURNING_FIX: number = 8;
/** Bytes that a fix takes at most. */
export const FIX_SIZE: number = 5 + 15 * 8 + 2;

const MISSING = 0;
const UNDEFINED = 1;
const NOT_A_NUMBER = 2;
const VALUE = 3;
/** a byte of this stands for a number that is no small whole one */
const NO_BYTE = 255;

/** Numbers of a fix, in the order of their bits; a property added to {@link Fix} has to be added here. */
const FIELDS = [
  "time",
  "latitude",
  "longitude",
  "altitude",
  "quality",
  "satellites",
  "hdop",
  "correctionAge",
  "speed",
  "course",
  "heading",
  "horizontalAccuracy",
  "roll",
  "pitch",
] as const;
type Field = (typeof FIELDS)[number];
/** fails to compile when a fix has a number that is not recorded */
const ALL_RECORDED: Exclude<keyof Fix, Field | "dated" | "yawRate"> extends never ? true : never = true;
const QUALITY = 4;
const SATELLITES = 5;
const DATED = 28;
const REVERSING = 30;

/** Writes fixes bit for bit into a buffer. Allocates nothing. */
export class FixWriter {
  private view: DataView = new DataView(new ArrayBuffer(0));
  private at = 0;
  private word = 0;
  /** something in the fix is of no kind that a fix has */
  private odd: boolean = !ALL_RECORDED;

  /**
   * @param view - buffer
   * @param start - index of the first byte, with {@link FIX_SIZE} bytes of room
   * @param fix - any
   * @param reversing - the gear as the host gave it
   * @returns bytes written; 0 for what is no fix, as a number given as text
   */
  write(view: DataView, start: number, fix: Fix, reversing: boolean | undefined): number {
    // hot: once a fix
    if (typeof fix !== "object" || (fix as unknown) === null) return 0;
    this.view = view;
    this.at = start + 5;
    this.word = 0;
    this.odd = false;
    // field by field: a number that is handed to a function, or read by a name in a variable, is boxed
    let at = start + 5;
    let word = 0;
    const time = fix.time;
    if (typeof time === "number" && time === time) {
      view.setFloat64(at, time, true);
      at += 8;
      word |= VALUE << 0;
    } else this.none(0, time, fix);
    const latitude = fix.latitude;
    if (typeof latitude === "number" && latitude === latitude) {
      view.setFloat64(at, latitude, true);
      at += 8;
      word |= VALUE << 2;
    } else this.none(1, latitude, fix);
    const longitude = fix.longitude;
    if (typeof longitude === "number" && longitude === longitude) {
      view.setFloat64(at, longitude, true);
      at += 8;
      word |= VALUE << 4;
    } else this.none(2, longitude, fix);
    const altitude = fix.altitude;
    if (typeof altitude === "number" && altitude === altitude) {
      view.setFloat64(at, altitude, true);
      at += 8;
      word |= VALUE << 6;
    } else this.none(3, altitude, fix);
    this.at = at;
    this.small(QUALITY, fix.quality, fix);
    this.small(SATELLITES, fix.satellites, fix);
    at = this.at;
    const hdop = fix.hdop;
    if (typeof hdop === "number" && hdop === hdop) {
      view.setFloat64(at, hdop, true);
      at += 8;
      word |= VALUE << 12;
    } else this.none(6, hdop, fix);
    const correctionAge = fix.correctionAge;
    if (typeof correctionAge === "number" && correctionAge === correctionAge) {
      view.setFloat64(at, correctionAge, true);
      at += 8;
      word |= VALUE << 14;
    } else this.none(7, correctionAge, fix);
    const speed = fix.speed;
    if (typeof speed === "number" && speed === speed) {
      view.setFloat64(at, speed, true);
      at += 8;
      word |= VALUE << 16;
    } else this.none(8, speed, fix);
    const course = fix.course;
    if (typeof course === "number" && course === course) {
      view.setFloat64(at, course, true);
      at += 8;
      word |= VALUE << 18;
    } else this.none(9, course, fix);
    const heading = fix.heading;
    if (typeof heading === "number" && heading === heading) {
      view.setFloat64(at, heading, true);
      at += 8;
      word |= VALUE << 20;
    } else this.none(10, heading, fix);
    const horizontalAccuracy = fix.horizontalAccuracy;
    if (typeof horizontalAccuracy === "number" && horizontalAccuracy === horizontalAccuracy) {
      view.setFloat64(at, horizontalAccuracy, true);
      at += 8;
      word |= VALUE << 22;
    } else this.none(11, horizontalAccuracy, fix);
    const roll = fix.roll;
    if (typeof roll === "number" && roll === roll) {
      view.setFloat64(at, roll, true);
      at += 8;
      word |= VALUE << 24;
    } else this.none(12, roll, fix);
    const pitch = fix.pitch;
    if (typeof pitch === "number" && pitch === pitch) {
      view.setFloat64(at, pitch, true);
      at += 8;
      word |= VALUE << 26;
    } else this.none(13, pitch, fix);
    this.at = at;
    this.word |= word;
    this.flag(DATED, fix.dated, "dated" in fix);
    this.flag(REVERSING, reversing, false);
    const rate = fix.yawRate;
    if (rate !== undefined && typeof rate !== "number") return 0;
    const turning = rate === rate && rate !== undefined;
    if (turning) {
      view.setFloat64(this.at, rate, true);
      this.at += 8;
    }
    if (this.odd) return 0;
    view.setUint8(start, turning ? TURNING_FIX : FIX);
    view.setUint32(start + 1, this.word, true);
    return this.at - start;
  }

  private number(index: number, value: number | undefined, fix: Fix): void {
    if (typeof value === "number" && value === value) {
      this.view.setFloat64(this.at, value, true);
      this.at += 8;
      this.word |= VALUE << (2 * index);
    } else this.none(index, value, fix);
  }

  private small(index: number, value: number | undefined, fix: Fix): void {
    if (typeof value !== "number" || value !== value) return this.none(index, value, fix);
    if (value >= 0 && value < NO_BYTE && Math.floor(value) === value && !Object.is(value, -0)) {
      this.view.setUint8(this.at++, value);
      this.word |= VALUE << (2 * index);
    } else {
      this.view.setUint8(this.at++, NO_BYTE);
      this.number(index, value, fix);
    }
  }

  private none(index: number, value: number | undefined, fix: Fix): void {
    if (value === undefined) this.word |= (FIELDS[index]! in fix ? UNDEFINED : MISSING) << (2 * index);
    else if (typeof value === "number") this.word |= NOT_A_NUMBER << (2 * index);
    else this.odd = true;
  }

  private flag(shift: number, value: boolean | undefined, there: boolean): void {
    if (value === true || value === false) this.word |= (value ? 3 : 2) << shift;
    else if (value === undefined) this.word |= (there ? 1 : 0) << shift;
    else this.odd = true;
  }
}

/** A fix read back, and the gear that came with it. */
export interface ReadFix {
  readonly fix: Fix;
  readonly reversing: boolean | undefined;
}

/** Read the body of a fix; undefined where it is none. */
export function readFix(bytes: Uint8Array, start: number, end: number): ReadFix | undefined {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (end - start < 5) return undefined;
  const word = view.getUint32(start + 1, true);
  const fix: Record<string, number | boolean | undefined> = {};
  let at = start + 5;
  for (let i = 0; i < FIELDS.length; i++) {
    const kind = (word >>> (2 * i)) & 3;
    const name = FIELDS[i]!;
    if (kind === UNDEFINED) fix[name] = undefined;
    else if (kind === NOT_A_NUMBER) fix[name] = Number.NaN;
    else if (kind === VALUE) {
      let whole = NO_BYTE;
      if (i === QUALITY || i === SATELLITES) {
        if (at + 1 > end) return undefined;
        whole = bytes[at++]!;
      }
      if (whole !== NO_BYTE) fix[name] = whole;
      else {
        if (at + 8 > end) return undefined;
        fix[name] = view.getFloat64(at, true);
        at += 8;
      }
    }
  }
  if (bytes[start] === TURNING_FIX) {
    if (at + 8 > end) return undefined;
    fix["yawRate"] = view.getFloat64(at, true);
    at += 8;
  }
  if (at !== end) return undefined;
  const dated = (word >>> DATED) & 3;
  if (dated !== 0) fix["dated"] = FLAGS[dated];
  return { fix: fix as unknown as Fix, reversing: FLAGS[(word >>> REVERSING) & 3] };
}

const FLAGS: readonly (boolean | undefined)[] = [undefined, undefined, false, true];
