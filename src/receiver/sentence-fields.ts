/** Bytes of one sentence that are kept, from after the `$` to before the `*`; a longer one is dropped as overlong. */
export const MAXIMUM_SENTENCE: number = 1024;

const POINT = 0x2e;
const PLUS = 0x2b;
const MINUS = 0x2d;
const ZERO = 0x30;

/** the largest mantissa that takes one more digit and is still exact in a double, with a digit to spare */
const MANTISSA_LIMIT = 9e14;
/** a number of no more characters than this has at most 15 digits and a point, or 16 digits */
const LONG_NUMBER = 15;
/** powers of ten that are exact in a double */
const POWERS = Float64Array.from({ length: 23 }, (_, i) => Number(`1e${i}`));

/** no error in the fields read since {@link SentenceFields.begin} */
export const FINE: number = 0;
/** a field is not what its type asks for */
export const MALFORMED: number = 1;
/** a field is well formed and cannot be true */
export const OUT_OF_RANGE: number = 2;

/**
 * One sentence cut into its fields, and numbers read from them straight from the bytes, with no string in between.
 *
 * Field 0 is the address (`GPGGA`). A null field reads as NaN; a bad one reads as NaN and sets {@link SentenceFields.problem}.
 */
export class SentenceFields {
  /** the sentence between `$` and `*` */
  readonly bytes: Uint8Array = new Uint8Array(MAXIMUM_SENTENCE + 1);
  /** where each field starts in {@link SentenceFields.bytes}; one more for where the next would */
  readonly starts: Uint16Array = new Uint16Array(MAXIMUM_SENTENCE + 3);
  /** how many fields there are, the address included */
  count = 0;
  /** the number read last, NaN for a null field or a bad one; in a field: one that is returned would be boxed */
  value = 0.5;
  /** the first thing found wrong: {@link FINE}, {@link MALFORMED} or {@link OUT_OF_RANGE} */
  problem: number = FINE;

  /**
   * Close the list of fields; the reader has noted the start of each but the first as it met the commas.
   *
   * @param length - how many of {@link SentenceFields.bytes} the sentence has
   */
  begin(length: number): void {
    this.starts[this.count] = length + 1;
    this.problem = FINE;
  }

  /**
   * Note what is wrong; the first finding stays.
   *
   * @param problem - {@link MALFORMED} or {@link OUT_OF_RANGE}
   */
  fail(problem: number): void {
    if (this.problem === FINE) this.problem = problem;
  }

  /**
   * @param field - its number
   * @returns how many characters it has; 0 for a field that is not there
   */
  length(field: number): number {
    return field < this.count ? this.starts[field + 1]! - 1 - this.starts[field]! : 0;
  }

  /**
   * The only character of a field.
   *
   * @param field - its number
   * @returns its code, 0 for a null field; more than one character is malformed
   */
  letter(field: number): number {
    const length = this.length(field);
    if (length === 0) return 0;
    if (length > 1) {
      this.fail(MALFORMED);
      return 0;
    }
    return this.bytes[this.starts[field]!]!;
  }

  /**
   * Read a decimal number into {@link SentenceFields.value}, correctly rounded up to 15 digits (further decimals are below the double's own step and left out).
   *
   * @param field - its number
   * @param smallest - out of range below
   * @param largest - out of range above
   */
  readNumber(field: number, smallest: number, largest: number): void {
    // hot
    this.value = Number.NaN;
    if (field >= this.count) return;
    const bytes = this.bytes;
    let at = this.starts[field]!;
    const end = this.starts[field + 1]! - 1;
    if (at === end) return;
    const first = bytes[at]!;
    if (first === MINUS || first === PLUS) at++;
    if (at === end) return this.fail(MALFORMED);
    if (end - at > LONG_NUMBER) return this.readLongNumber(at, end, first === MINUS, smallest, largest);
    if (end - at === 1 && bytes[at] === POINT) return this.fail(MALFORMED);
    let value = 0;
    for (; at < end; at++) {
      const digit = bytes[at]! - ZERO;
      if (digit < 0 || digit > 9) break;
      value = value * 10 + digit;
    }
    if (at < end) {
      if (bytes[at] !== POINT) return this.fail(MALFORMED);
      const decimals = end - ++at;
      for (; at < end; at++) {
        const digit = bytes[at]! - ZERO;
        if (digit < 0 || digit > 9) return this.fail(MALFORMED);
        value = value * 10 + digit;
      }
      value /= POWERS[decimals]!;
    }
    if (first === MINUS) value = -value;
    if (value >= smallest && value <= largest) this.value = value;
    else this.fail(OUT_OF_RANGE);
  }

  /** A number of so many characters that not all its digits fit in a double. */
  private readLongNumber(from: number, end: number, negative: boolean, smallest: number, largest: number): void {
    const bytes = this.bytes;
    let mantissa = 0;
    let decimals = 0;
    let digits = 0;
    let pointed = false;
    for (let at = from; at < end; at++) {
      const digit = bytes[at]! - ZERO;
      if (digit >= 0 && digit <= 9) {
        digits++;
        if (mantissa < MANTISSA_LIMIT) {
          mantissa = mantissa * 10 + digit;
          if (pointed) decimals++;
        } else if (!pointed) return this.fail(OUT_OF_RANGE);
      } else if (bytes[at] === POINT && !pointed) pointed = true;
      else return this.fail(MALFORMED);
    }
    if (digits === 0) return this.fail(MALFORMED);
    // more than 22 decimals need a mantissa that begins with zeros
    const size = decimals <= 22 ? mantissa / POWERS[decimals]! : mantissa / 10 ** decimals;
    const value = negative ? -size : size;
    if (value >= smallest && value <= largest) this.value = value;
    else this.fail(OUT_OF_RANGE);
  }

  /**
   * Read a latitude or longitude in degrees: `dddmm.mmmm` and its hemisphere in the next field. Degrees and minutes are joined as integers and
   * divided once, so the result is the double nearest to the decimal value (up to 15 digits).
   *
   * @param field - number of the field with the digits
   * @param positive - letter of the positive hemisphere, `N` or `E`
   * @param negative - letter of the negative hemisphere, `S` or `W`
   * @param largest - 90 or 180, degrees
   */
  readAngle(field: number, positive: number, negative: number, largest: number): void {
    // hot
    this.value = Number.NaN;
    const at = this.starts[field]!;
    const end = this.starts[field + 1]! - 1;
    if (at === end) return;
    const bytes = this.bytes;
    let whole = 0;
    let i = at;
    for (; i < end; i++) {
      const digit = bytes[i]! - ZERO;
      if (digit < 0 || digit > 9) break;
      whole = whole * 10 + digit;
    }
    // as few as two digits of minutes, as many as three of degrees
    if (i - at < 2 || i - at > 5) return this.fail(MALFORMED);
    const degrees = Math.floor(whole / 100);
    let minutes = whole - degrees * 100;
    let scale = 1;
    if (i < end) {
      if (bytes[i] !== POINT) return this.fail(MALFORMED);
      for (i++; i < end; i++) {
        const digit = bytes[i]! - ZERO;
        if (digit < 0 || digit > 9) return this.fail(MALFORMED);
        // ten decimals are 2e-10 m, and 180 * 60e10 is still an exact integer
        if (scale < 1e10) {
          minutes = minutes * 10 + digit;
          scale *= 10;
        }
      }
    }
    const hemisphere = this.letter(field + 1);
    if (hemisphere !== positive && hemisphere !== negative) return this.fail(MALFORMED);
    if (minutes >= 60 * scale) return this.fail(OUT_OF_RANGE);
    const value = (degrees * 60 * scale + minutes) / (60 * scale);
    if (value > largest) return this.fail(OUT_OF_RANGE);
    // 0 south or west is 0, not -0
    this.value = hemisphere === negative ? 0 - value : value;
  }

  /**
   * Read a time of day in seconds since midnight, 0 at least and less than 86401, from `hhmmss` with any decimals. Second 60 is taken (a leap second; some receivers round up to it).
   *
   * @param field - its number
   */
  readTimeOfDay(field: number): void {
    // hot
    this.value = Number.NaN;
    if (field >= this.count) return;
    const bytes = this.bytes;
    const at = this.starts[field]!;
    const end = this.starts[field + 1]! - 1;
    if (at === end) return;
    if (end - at < 6) return this.fail(MALFORMED);
    let digits = 0;
    for (let i = at; i < at + 6; i++) {
      const digit = bytes[i]! - ZERO;
      if (digit < 0 || digit > 9) return this.fail(MALFORMED);
      digits = digits * 10 + digit;
    }
    const hours = Math.floor(digits / 10000);
    const minutes = Math.floor(digits / 100) % 100;
    const seconds = digits % 100;
    if (hours > 23 || minutes > 59 || seconds > 60) return this.fail(OUT_OF_RANGE);
    let whole = hours * 3600 + minutes * 60 + seconds;
    if (end - at === 6) {
      this.value = whole;
      return;
    }
    if (bytes[at + 6] !== POINT) return this.fail(MALFORMED);
    let scale = 1;
    for (let i = at + 7; i < end; i++) {
      const digit = bytes[i]! - ZERO;
      if (digit < 0 || digit > 9) return this.fail(MALFORMED);
      if (scale < 1e9) {
        whole = whole * 10 + digit;
        scale *= 10;
      }
    }
    // one division of integers: .6 and .60 give the same double
    this.value = whole / scale;
  }

  /**
   * A whole number without sign.
   *
   * @param field - its number
   * @param from - first character of it within the field
   * @param length - how many characters
   * @returns the number, -1 when any character is no digit
   */
  digits(field: number, from: number, length: number): number {
    let value = 0;
    const at = this.starts[field]! + from;
    for (let i = at; i < at + length; i++) {
      const digit = this.bytes[i]! - ZERO;
      if (!(digit >= 0 && digit <= 9)) return -1;
      value = value * 10 + digit;
    }
    return value;
  }
}
