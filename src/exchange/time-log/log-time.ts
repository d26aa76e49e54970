import { requireNumber } from "../../errors/index.js";

/** Seconds of a day. */
export const DAY = 86_400;
/** Days from 1970-01-01 to 1980-01-01, where ISO 11783-10 counts from. */
export const EPOCH_DAYS = 3652;
/** Zones reach from -12 to +14 h; summer time of half-day zones and a little room, s. */
const LARGEST_OFFSET = 18 * 3600;

/**
 * A time of a log as text of ISO 8601, to the millisecond: `2024-05-01T10:00:00.250+02:00`.
 *
 * Logs have the clock of the cab, without a zone. How far it is ahead of UTC the log itself only tells where its records have both times: then it is
 * `record.time - record.utcTime`.
 *
 * @param time - s since 1970-01-01 00:00 by the local clock, as `TimeLogRecord.time`
 * @param utcOffset - s that the local clock is ahead of UTC, east positive, whole minutes; default unknown: text without a zone
 * @returns text of the years 1970 to 2159; empty for a time that is not available
 * @throws `FeeringError` `not-finite` or `out-of-range` for an offset that is none
 * @example
 * ```ts
 * logTimeText(1714557600, 7200); // "2024-05-01T10:00:00.000+02:00"
 * ```
 */
export function logTimeText(time: number, utcOffset?: number): string {
  const zone = utcOffset === undefined ? "" : zoneText(utcOffset);
  const milliseconds = Math.round(time * 1000);
  // beyond this no calendar of the language reaches
  if (!(Math.abs(milliseconds) <= 8.64e15)) return "";
  return new Date(milliseconds).toISOString().slice(0, -1) + zone;
}

/** Check how far a local clock is ahead of UTC: whole minutes, in s. */
export function requireUtcOffset(utcOffset: unknown, argument: string): number {
  const offset = requireNumber(utcOffset, argument, { min: -LARGEST_OFFSET, max: LARGEST_OFFSET });
  return Math.round(offset / 60) * 60;
}

function zoneText(utcOffset: number): string {
  const minutes = requireUtcOffset(utcOffset, "utcOffset") / 60;
  const size = Math.abs(minutes);
  const two = (value: number): string => String(value).padStart(2, "0");
  return `${minutes < 0 ? "-" : "+"}${two(Math.floor(size / 60))}:${two(size % 60)}`;
}
