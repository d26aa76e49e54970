import { FeeringError } from "../../errors/index.js";
import { unixTime } from "../date-time.js";
import { DAY, EPOCH_DAYS } from "./log-time.js";
import { type InRecordOr, MOST_CHANNELS, type TimeLogHeader } from "./time-log-header.js";
import type { TimeLogRecord } from "./time-log-record.js";

/** Milliseconds of a day with a leap second, less one. */
const LAST_MILLISECOND = 86_400_999;
/** Latitude and longitude as a record has them, 1e-7 degrees. */
const POLE = 900_000_000;
const HALF_ROUND = 1_800_000_000;
/** Not available: all bits set. */
const NONE_32 = 0xffff_ffff;
const NONE_16 = 0xffff;
const NONE_8 = 0xff;

/** Numbers out of range in a record, as bits. */
const BAD_TIME = 1;
const BAD_LATITUDE = 2;
const BAD_LONGITUDE = 4;
const BAD_UTC = 8;

/** Bytes and scales of a record, by its header: little-endian, the order fixed, what is not `record` in the header left out. */
export class RecordLayout {
  /** bytes of a record up to and with the number of values that it lists */
  readonly fixedLength: number;

  private readonly channels: number;
  private readonly hasTime: boolean;
  private readonly hasLatitude: boolean;
  private readonly hasLongitude: boolean;
  private readonly hasAltitude: boolean;
  private readonly hasStatus: boolean;
  private readonly hasPdop: boolean;
  private readonly hasHdop: boolean;
  private readonly hasSatellites: boolean;
  private readonly hasUtcTime: boolean;
  private readonly hasUtcDay: boolean;
  /** what the header gives once for all, NaN where it gives nothing; in the order of the record */
  private readonly fixed = new Float64Array(11).fill(Number.NaN);

  constructor(header: TimeLogHeader) {
    const { start, position } = header;
    this.channels = header.channels.length;
    this.hasTime = start === "record";
    const there = (value: InRecordOr<number> | undefined, place: number): boolean => {
      if (typeof value === "number") this.fixed[place] = value;
      return value === "record";
    };
    if (!this.hasTime) {
      const time = localTime(start);
      const day = Math.floor(time / DAY);
      this.fixed[0] = time - day * DAY;
      this.fixed[1] = day - EPOCH_DAYS;
    }
    this.hasLatitude = there(position?.latitude, 2);
    this.hasLongitude = there(position?.longitude, 3);
    this.hasAltitude = there(position?.altitude, 4);
    this.hasStatus = there(position?.status, 5);
    this.hasPdop = there(position?.pdop, 6);
    this.hasHdop = there(position?.hdop, 7);
    this.hasSatellites = there(position?.satellites, 8);
    this.hasUtcTime = there(position?.utcTimeOfDay, 9);
    this.hasUtcDay = there(position?.utcDay, 10);
    this.fixedLength =
      (this.hasTime ? 6 : 0) +
      (this.hasLatitude ? 4 : 0) +
      (this.hasLongitude ? 4 : 0) +
      (this.hasAltitude ? 4 : 0) +
      (this.hasStatus ? 1 : 0) +
      (this.hasPdop ? 2 : 0) +
      (this.hasHdop ? 2 : 0) +
      (this.hasSatellites ? 1 : 0) +
      (this.hasUtcTime ? 4 : 0) +
      (this.hasUtcDay ? 2 : 0) +
      1;
  }

  /**
   * Read a whole record; what is out of its range becomes not available.
   *
   * @returns what was out of range, as bits; 0 for a good record. `describe` says more
   */
  decode(bytes: Uint8Array, at: number, record: TimeLogRecord): number {
    // hot: once a record
    const fixed = this.fixed;
    let bad = 0;
    if (this.hasTime) {
      const time = unsigned32(bytes, at);
      if (time > LAST_MILLISECOND && time !== NONE_32) bad |= BAD_TIME;
      record.timeOfDay = time > LAST_MILLISECOND ? Number.NaN : time / 1000;
      record.day = scaled16(bytes, at + 4, 1);
      at += 6;
    } else {
      record.timeOfDay = fixed[0]!;
      record.day = fixed[1]!;
    }
    if (this.hasLatitude) {
      const raw = unsigned32(bytes, at) | 0;
      const good = raw >= -POLE && raw <= POLE;
      if (!good) bad |= BAD_LATITUDE;
      record.latitude = good && raw !== -1 ? raw / 1e7 : Number.NaN;
      at += 4;
    } else record.latitude = fixed[2]!;
    if (this.hasLongitude) {
      const raw = unsigned32(bytes, at) | 0;
      const good = raw >= -HALF_ROUND && raw <= HALF_ROUND;
      if (!good) bad |= BAD_LONGITUDE;
      record.longitude = good && raw !== -1 ? raw / 1e7 : Number.NaN;
      at += 4;
    } else record.longitude = fixed[3]!;
    if (this.hasAltitude) {
      const raw = unsigned32(bytes, at) | 0;
      record.altitude = raw === -1 ? Number.NaN : raw / 1000;
      at += 4;
    } else record.altitude = fixed[4]!;
    if (this.hasStatus) record.status = byteAt(bytes, at++);
    else record.status = fixed[5]!;
    if (this.hasPdop) {
      record.pdop = scaled16(bytes, at, 10);
      at += 2;
    } else record.pdop = fixed[6]!;
    if (this.hasHdop) {
      record.hdop = scaled16(bytes, at, 10);
      at += 2;
    } else record.hdop = fixed[7]!;
    if (this.hasSatellites) record.satellites = byteAt(bytes, at++);
    else record.satellites = fixed[8]!;
    if (this.hasUtcTime) {
      const time = unsigned32(bytes, at);
      if (time > LAST_MILLISECOND && time !== NONE_32) bad |= BAD_UTC;
      record.utcTimeOfDay = time > LAST_MILLISECOND ? Number.NaN : time / 1000;
      at += 4;
    } else record.utcTimeOfDay = fixed[9]!;
    if (this.hasUtcDay) {
      record.utcDay = scaled16(bytes, at, 1);
      at += 2;
    } else record.utcDay = fixed[10]!;
    const count = bytes[at++]!;
    record.count = count;
    for (let i = 0; i < count; i++) {
      record.channels[i] = bytes[at]!;
      record.values[i] = unsigned32(bytes, at + 1) | 0;
      at += 5;
    }
    return bad;
  }

  /** What was out of range, in words, for a message. */
  describe(bad: number): string {
    if ((bad & BAD_TIME) !== 0) return "time of day is past the end of a day";
    if ((bad & BAD_LATITUDE) !== 0) return "latitude is beyond a pole";
    if ((bad & BAD_LONGITUDE) !== 0) return "longitude is beyond 180 degrees";
    return "UTC time of day is past the end of a day";
  }

  /**
   * Write a record.
   *
   * @returns where the next one begins
   * @throws `FeeringError` `out-of-range` with the property's name, `too-large` for too many values; what is in `bytes` from `at` on is of no use then
   */
  encode(record: TimeLogRecord, bytes: Uint8Array, at: number): number {
    // hot: once a record
    if (this.hasTime) {
      put32(bytes, at, rounded(record.timeOfDay, 1000, 0, LAST_MILLISECOND, NONE_32, "timeOfDay"));
      put16(bytes, at + 4, rounded(record.day, 1, 0, NONE_16 - 1, NONE_16, "day"));
      at += 6;
    }
    if (this.hasLatitude) {
      put32(bytes, at, rounded(record.latitude, 1e7, -POLE, POLE, NONE_32, "latitude"));
      at += 4;
    }
    if (this.hasLongitude) {
      put32(bytes, at, rounded(record.longitude, 1e7, -HALF_ROUND, HALF_ROUND, NONE_32, "longitude"));
      at += 4;
    }
    if (this.hasAltitude) {
      put32(bytes, at, rounded(record.altitude, 1000, -0x8000_0000, 0x7fff_ffff, NONE_32, "altitude"));
      at += 4;
    }
    if (this.hasStatus) bytes[at++] = rounded(record.status, 1, 0, NONE_8 - 1, NONE_8, "status");
    if (this.hasPdop) {
      put16(bytes, at, rounded(record.pdop, 10, 0, NONE_16 - 1, NONE_16, "pdop"));
      at += 2;
    }
    if (this.hasHdop) {
      put16(bytes, at, rounded(record.hdop, 10, 0, NONE_16 - 1, NONE_16, "hdop"));
      at += 2;
    }
    if (this.hasSatellites) bytes[at++] = rounded(record.satellites, 1, 0, NONE_8 - 1, NONE_8, "satellites");
    if (this.hasUtcTime) {
      put32(bytes, at, rounded(record.utcTimeOfDay, 1000, 0, LAST_MILLISECOND, NONE_32, "utcTimeOfDay"));
      at += 4;
    }
    if (this.hasUtcDay) {
      put16(bytes, at, rounded(record.utcDay, 1, 0, NONE_16 - 1, NONE_16, "utcDay"));
      at += 2;
    }
    const count = record.count;
    if (!(count >= 0 && count <= MOST_CHANNELS && count % 1 === 0)) throw badCount(count);
    bytes[at++] = count;
    for (let i = 0; i < count; i++) {
      const channel = record.channels[i]!;
      if (!(channel < this.channels)) throw noChannel(channel, this.channels, i);
      bytes[at] = channel;
      put32(bytes, at + 1, record.values[i]!);
      at += 5;
    }
    return at;
  }
}

/**
 * The local time of a header that has one time for all records: s since 1970-01-01 of the clock that it names; a zone behind it is left out, as times of a log
 * are local.
 *
 * @returns NaN for what is no date and time
 */
export function localTime(text: string): number {
  const from = text.indexOf("T");
  let end = from < 0 ? text.length : from;
  while (end < text.length && !"Z+-".includes(text.charAt(end))) end++;
  // what is behind must be a zone all the same
  return Number.isNaN(unixTime(text)) ? Number.NaN : unixTime(text.slice(0, end));
}

/** To whole units, -1 put to its nearer neighbour where all bits set would say that there is none. */
function rounded(value: number, scale: number, low: number, high: number, none: number, name: string): number {
  if (value !== value) return none;
  const raw = Math.round(value * scale);
  if (!(raw >= low && raw <= high)) {
    throw new FeeringError("out-of-range", `record.${name} is ${value}, needs ${low / scale} to ${high / scale}`, {
      argument: `record.${name}`,
      value,
    });
  }
  return raw === -1 ? (value * scale < -1 ? -2 : 0) : raw;
}

function badCount(count: number): FeeringError {
  const code = count > MOST_CHANNELS ? "too-large" : "out-of-range";
  const message = `record.count is ${count}, needs a whole number of 0 to ${MOST_CHANNELS}`;
  return new FeeringError(code, message, { argument: "record.count", value: count });
}

function noChannel(channel: number, channels: number, index: number): FeeringError {
  const message = `record.channels[${index}] is ${channel}, the header has ${channels}`;
  return new FeeringError("out-of-range", message, { argument: "record.channels", index, value: channel });
}

function unsigned32(bytes: Uint8Array, at: number): number {
  return (bytes[at]! | (bytes[at + 1]! << 8) | (bytes[at + 2]! << 16) | (bytes[at + 3]! << 24)) >>> 0;
}

function scaled16(bytes: Uint8Array, at: number, scale: number): number {
  const raw = bytes[at]! | (bytes[at + 1]! << 8);
  return raw === NONE_16 ? Number.NaN : raw / scale;
}

function byteAt(bytes: Uint8Array, at: number): number {
  const raw = bytes[at]!;
  return raw === NONE_8 ? Number.NaN : raw;
}

function put16(bytes: Uint8Array, at: number, value: number): void {
  bytes[at] = value;
  bytes[at + 1] = value >>> 8;
}

function put32(bytes: Uint8Array, at: number, value: number): void {
  bytes[at] = value;
  bytes[at + 1] = value >>> 8;
  bytes[at + 2] = value >>> 16;
  bytes[at + 3] = value >>> 24;
}
