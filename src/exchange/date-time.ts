/** Days of the months of a common year. */
const DAYS = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31] as const;

/**
 * A date and time of XML Schema (`dateTime`, `date`, `gYearMonth`, `gYear`) as Unix time; a date stands for its beginning. Without a
 * time zone it is taken for UTC, as KML and GPX say.
 *
 * @returns s since 1970-01-01 UTC, NaN for what is none; second 60 of a leap second is the next minute's second 0
 */
export function unixTime(text: string): number {
  // hot: once a position of a track
  if (text.length < 4 || text.length > 40) return Number.NaN;
  const year = digits(text, 0, 4);
  if (!(year >= 1000)) return Number.NaN;
  if (text.length === 4) return Date.UTC(year, 0) / 1000;
  const month = text[4] === "-" ? digits(text, 5, 2) : Number.NaN;
  if (!(month >= 1 && month <= 12)) return Number.NaN;
  if (text.length === 7) return Date.UTC(year, month - 1) / 1000;
  const leap = month === 2 && year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0) ? 1 : 0;
  const day = text[7] === "-" ? digits(text, 8, 2) : Number.NaN;
  if (!(day >= 1 && day <= DAYS[month - 1]! + leap)) return Number.NaN;
  const date = Date.UTC(year, month - 1, day) / 1000;
  if (text.length === 10) return date;
  if (text[10] !== "T" || text[13] !== ":" || text[16] !== ":") return Number.NaN;
  const hour = digits(text, 11, 2);
  const minute = digits(text, 14, 2);
  const second = digits(text, 17, 2);
  if (!(hour <= 24 && minute <= 59 && second <= 60)) return Number.NaN;
  let at = 19;
  let fraction = 0;
  if (text[at] === ".") {
    const start = ++at;
    while (at < text.length && isDigit(text.charCodeAt(at))) at++;
    if (at === start) return Number.NaN;
    fraction = Number(`0.${text.slice(start, at)}`);
  }
  if (hour === 24 && minute + second + fraction > 0) return Number.NaN;
  const zone = zoneOf(text, at);
  return date + hour * 3600 + minute * 60 + second - zone + fraction;
}

/**
 * Unix time as `dateTime` of XML Schema in UTC, rounded to 1 ms: `2024-05-01T08:00:00.25Z`.
 *
 * @param seconds - in years 1000 to 9999
 */
export function dateTime(seconds: number): string {
  const text = new Date(Math.round(seconds * 1000)).toISOString();
  // trailing zeros of the fraction, and the point where nothing is left of it
  let end = text.length - 1;
  while (text[end - 1] === "0" && end > 20) end--;
  if (text[end - 1] === ".") end--;
  return `${text.slice(0, end)}Z`;
}

/** Whether {@link dateTime} can write a time. */
export function isWritableTime(seconds: unknown): seconds is number {
  return typeof seconds === "number" && seconds >= -30_610_224_000 && seconds < 253_402_300_799;
}

/** s that the zone is ahead of UTC; NaN for what is no zone. */
function zoneOf(text: string, at: number): number {
  if (at === text.length) return 0;
  const sign = text[at];
  if (sign === "Z") return at + 1 === text.length ? 0 : Number.NaN;
  if ((sign !== "+" && sign !== "-") || text.length !== at + 6 || text[at + 3] !== ":") return Number.NaN;
  const hours = digits(text, at + 1, 2);
  const minutes = digits(text, at + 4, 2);
  if (!(hours <= 14 && minutes <= 59)) return Number.NaN;
  return (sign === "-" ? -1 : 1) * (hours * 3600 + minutes * 60);
}

function isDigit(code: number): boolean {
  return code >= 48 && code <= 57;
}

function digits(text: string, from: number, count: number): number {
  let value = 0;
  for (let i = from; i < from + count; i++) {
    const code = text.charCodeAt(i);
    if (!isDigit(code)) return Number.NaN;
    value = value * 10 + code - 48;
  }
  return value;
}
