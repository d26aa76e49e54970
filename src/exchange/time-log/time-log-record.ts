import { FeeringError } from "../../errors/index.js";
import { DAY, EPOCH_DAYS } from "./log-time.js";
import { MOST_CHANNELS } from "./time-log-header.js";

/**
 * One record of a time log, made to be used again and again: a reader overwrites its own with every record, a writer takes
 * what stands in it. NaN stands for what is not available.
 *
 * A record lists only the values that are told anew with it; those it does not list go on as they were.
 */
export class TimeLogRecord {
  /** number of the record in its log, from 0; of no meaning to a writer */
  index = 0;
  /** bytes of the log before it; of no meaning to a writer */
  offset = 0;
  /** s since local midnight */
  timeOfDay: number = Number.NaN;
  /** days since 1980-01-01 by the local calendar */
  day: number = Number.NaN;
  /** degrees north */
  latitude: number = Number.NaN;
  /** degrees east */
  longitude: number = Number.NaN;
  /** metres up */
  altitude: number = Number.NaN;
  /** 0 to 8 as NMEA 0183 GGA numbers quality, 14 error, 15 not available */
  status: number = Number.NaN;
  /** position dilution of precision */
  pdop: number = Number.NaN;
  /** horizontal dilution of precision */
  hdop: number = Number.NaN;
  /** satellites in use */
  satellites: number = Number.NaN;
  /** s since midnight UTC */
  utcTimeOfDay: number = Number.NaN;
  /** days since 1980-01-01, UTC */
  utcDay: number = Number.NaN;
  /** how many values the record lists, 0 to 255 */
  count = 0;
  /** channel of each value listed: its place in `header.channels` */
  readonly channels: Uint8Array = new Uint8Array(MOST_CHANNELS);
  /** the values listed, raw, in the unit of the dictionary; words of condensed states are the same 32 bits, `value >>> 0` */
  readonly values: Int32Array = new Int32Array(MOST_CHANNELS);

  /** s since 1970-01-01 00:00 by the local clock; NaN where date or time of day is not available. See `logTimeText`. */
  get time(): number {
    return (this.day + EPOCH_DAYS) * DAY + this.timeOfDay;
  }

  /** s since 1970-01-01 00:00 UTC; NaN where the record has no UTC. */
  get utcTime(): number {
    return (this.utcDay + EPOCH_DAYS) * DAY + this.utcTimeOfDay;
  }

  /**
   * Put local and UTC date and time, rounded to 1 ms.
   *
   * @param unixTime - s since 1970-01-01 UTC; not available where it is NaN or before 1980
   * @param utcOffset - s that the local clock is ahead of UTC
   */
  setTime(unixTime: number, utcOffset: number): void {
    const utc = Math.round(unixTime * 1000);
    const local = utc + Math.round(utcOffset * 1000);
    // by whole milliseconds, so that no time of day rounds up to midnight
    const day = Math.floor(local / (DAY * 1000));
    const utcDay = Math.floor(utc / (DAY * 1000));
    const known = day >= EPOCH_DAYS && utcDay >= EPOCH_DAYS;
    this.day = known ? day - EPOCH_DAYS : Number.NaN;
    this.timeOfDay = known ? (local - day * DAY * 1000) / 1000 : Number.NaN;
    this.utcDay = known ? utcDay - EPOCH_DAYS : Number.NaN;
    this.utcTimeOfDay = known ? (utc - utcDay * DAY * 1000) / 1000 : Number.NaN;
  }

  /**
   * List a value.
   *
   * @param channel - place in `header.channels`
   * @param value - raw, a whole number of -2147483648 to 2147483647; a word of a condensed state goes in as `word | 0`
   * @throws `FeeringError` `out-of-range` for what is none of these, `too-large` for more than 255; the record stays as it was
   */
  add(channel: number, value: number): void {
    if (this.count >= MOST_CHANNELS) {
      throw new FeeringError("too-large", `a record lists at most ${MOST_CHANNELS} values`, { argument: "channel" });
    }
    if (channel !== (channel & 0xff) || channel === MOST_CHANNELS) {
      throw refuse("channel", channel, 0, MOST_CHANNELS - 1);
    }
    if (value !== (value | 0)) throw refuse("value", value, -0x8000_0000, 0x7fff_ffff);
    this.channels[this.count] = channel;
    this.values[this.count] = value;
    this.count++;
  }

  /** Make everything not available and list nothing. */
  clear(): void {
    this.timeOfDay = Number.NaN;
    this.day = Number.NaN;
    this.latitude = Number.NaN;
    this.longitude = Number.NaN;
    this.altitude = Number.NaN;
    this.status = Number.NaN;
    this.pdop = Number.NaN;
    this.hdop = Number.NaN;
    this.satellites = Number.NaN;
    this.utcTimeOfDay = Number.NaN;
    this.utcDay = Number.NaN;
    this.count = 0;
  }
}

function refuse(argument: string, value: number, low: number, high: number): FeeringError {
  const message = `${argument} is ${value}, needs a whole number of ${low} to ${high}`;
  return new FeeringError("out-of-range", message, { argument, value });
}
