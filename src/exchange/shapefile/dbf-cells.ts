import type { CodePage } from "./code-page.js";

/** A cell that can't be read: what is wrong with it. */
export class CellProblem extends Error {}

/** A text: blanks behind it are padding; null where nothing else is there, as the format has no other way to say so. */
export function textCell(bytes: Uint8Array, at: number, length: number, page: CodePage): string | null {
  // hot
  let end = at + length;
  while (end > at && (bytes[end - 1] === 0x20 || bytes[end - 1] === 0)) end--;
  if (end === at) return null;
  for (let i = at; i < end; i++) {
    if (bytes[i]! > 0x7f) return decoded(bytes.subarray(at, end), page);
    // some writers end texts by a zero and leave what stood behind it
    if (bytes[i] === 0) {
      end = i;
      break;
    }
  }
  let text = "";
  for (let i = at; i < end; i++) text += String.fromCharCode(bytes[i]!);
  return text === "" ? null : text;
}

function decoded(bytes: Uint8Array, page: CodePage): string | null {
  const zero = bytes.indexOf(0);
  const whole = zero < 0 ? bytes : bytes.subarray(0, zero);
  try {
    return page.decode(whole) || null;
  } catch (cause) {
    if (cause instanceof TypeError) throw new CellProblem(`is no text in ${page.name}`);
    throw cause;
  }
}

/** Powers of ten that doubles hold exactly, so that one division rounds once. */
const TENS = Array.from({ length: 23 }, (_, i) => 10 ** i);

/**
 * A number in digits: null for blanks and for asterisks, by which dBASE says that one had no room. A whole number that no
 * double holds, such as an identifier of 18 digits, stays a text.
 */
export function numberCell(bytes: Uint8Array, at: number, length: number): number | string | null {
  // hot
  let from = at;
  let end = at + length;
  while (from < end && isBlank(bytes[from]!)) from++;
  while (end > from && isBlank(bytes[end - 1]!)) end--;
  if (from === end) return null;
  const negative = bytes[from] === 0x2d;
  let i = negative || bytes[from] === 0x2b ? from + 1 : from;
  let digits = 0;
  let value = 0;
  let point = -1;
  for (; i < end; i++) {
    const byte = bytes[i]!;
    if (byte === 0x2e && point < 0) point = digits;
    else if (byte >= 0x30 && byte <= 0x39) {
      value = 10 * value + (byte - 0x30);
      digits++;
    } else break;
  }
  if (i === end && digits > 0 && digits <= 15) {
    const exact = point < 0 ? value : value / TENS[digits - point]!;
    return negative && exact !== 0 ? -exact : exact;
  }
  return longNumber(String.fromCharCode(...bytes.subarray(from, end)), i === end && point < 0);
}

function longNumber(text: string, whole: boolean): number | string | null {
  let stars = 0;
  while (text[stars] === "*") stars++;
  if (stars === text.length) return null;
  for (let i = 0; i < text.length; i++) {
    if (!"0123456789+-.eEdD".includes(text[i]!)) throw new CellProblem(`is ${JSON.stringify(text)}, no number`);
  }
  // Fortran's letter for the exponent
  const value = Number(text.replace(/[dD]/, "e"));
  if (!Number.isFinite(value)) {
    const why = Number.isNaN(value) ? "no number" : "too large for a number";
    throw new CellProblem(`is ${JSON.stringify(text)}, ${why}`);
  }
  if (whole) {
    const plain = plainInteger(text);
    if (String(value) !== plain && !Number.isSafeInteger(value)) return plain;
  }
  return value + 0;
}

/** Digits without leading zeros and without a plus. */
function plainInteger(text: string): string {
  const negative = text.startsWith("-");
  let from = negative || text.startsWith("+") ? 1 : 0;
  while (from < text.length - 1 && text[from] === "0") from++;
  return (negative ? "-" : "") + text.slice(from);
}

/** A truth: null for `?` and blanks. */
export function truthCell(bytes: Uint8Array, at: number, length: number): boolean | null {
  const byte = length === 1 ? bytes[at]! : 0;
  const letter = length === 1 ? String.fromCharCode(byte) : "";
  if (letter !== "" && "YyTt".includes(letter)) return true;
  if (letter !== "" && "NnFf".includes(letter)) return false;
  if (letter === "?" || (length === 1 && isBlank(byte))) return null;
  throw new CellProblem(`is ${JSON.stringify(letter)}, needs one of Y, T, N, F and ?`);
}

/** A day as `YYYY-MM-DD`; null for blanks and zeros. */
export function dateCell(bytes: Uint8Array, at: number, length: number): string | null {
  let blank = true;
  for (let i = at; i < at + length; i++) if (!isBlank(bytes[i]!) && bytes[i] !== 0x30) blank = false;
  if (blank) return null;
  const text = String.fromCharCode(...bytes.subarray(at, at + length));
  const day = `${text.slice(0, 4)}-${text.slice(4, 6)}-${text.slice(6)}`;
  if (length === 8 && isDay(day)) return day;
  throw new CellProblem(`is ${JSON.stringify(text)}, needs a day as YYYYMMDD`);
}

/** Whether a text is a day of the calendar, as `YYYY-MM-DD`. */
export function isDay(text: string): boolean {
  if (text.length !== 10 || text[4] !== "-" || text[7] !== "-") return false;
  for (let i = 0; i < 10; i++) if (i !== 4 && i !== 7 && !(text[i]! >= "0" && text[i]! <= "9")) return false;
  const year = Number(text.slice(0, 4));
  const month = Number(text.slice(5, 7));
  const day = Number(text.slice(8));
  if (year === 0 || month < 1 || month > 12 || day < 1) return false;
  const leap = year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0);
  return day <= (month === 2 ? (leap ? 29 : 28) : [4, 6, 9, 11].includes(month) ? 30 : 31);
}

/** Day and time of FoxPro: days of the Julian calendar's count and ms since midnight; null for zeros. */
export function timeCell(view: DataView, at: number): string | null {
  const days = view.getInt32(at, true);
  const milliseconds = view.getInt32(at + 4, true);
  if (days === 0 && milliseconds === 0) return null;
  // day 2440588 begins with 1970
  const date = new Date((days - 2_440_588) * 86_400_000 + milliseconds);
  const year = date.getUTCFullYear();
  if (milliseconds < 0 || milliseconds >= 86_400_000 || !(year >= 1 && year <= 9999)) {
    throw new CellProblem(`is day ${days} and ${milliseconds} ms, no time`);
  }
  return date.toISOString().slice(0, -1);
}

/** Money of FoxPro: ten thousandths; a text where no double holds it. */
export function moneyCell(view: DataView, at: number): number | string {
  const units = view.getBigInt64(at, true);
  const value = Number(units);
  if (Number.isSafeInteger(value)) return value / 10_000;
  const digits = (units < 0n ? -units : units).toString();
  return `${units < 0n ? "-" : ""}${digits.slice(0, -4)}.${digits.slice(-4)}`;
}

function isBlank(byte: number): boolean {
  return byte === 0x20 || byte === 0 || byte === 0x09;
}
