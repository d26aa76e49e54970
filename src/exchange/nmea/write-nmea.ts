import { FeeringError, requireNumber, requireObject } from "../../errors/index.js";
import type { Fix } from "../../receiver/index.js";
import { describe } from "../json-value.js";

/** How sentences are written. */
export interface WriteNmeaOptions {
  /** two letters before the sentence's name; default `GN`: more than one satellite system */
  readonly talker?: string;
  /** decimals of a minute of latitude and longitude, 4 to 9; default 7: 0.2 mm */
  readonly minuteDecimals?: number;
  /** decimals of a second, 0 to 3; default 2 */
  readonly timeDecimals?: number;
  /** height of the geoid above the ellipsoid, metres, taken off the altitude in GGA; default 0 */
  readonly geoidSeparation?: number;
}

/** What XTE tells: which way to steer by how much. Guidance states have both. */
export interface SteeringAdvice {
  /** which way the pass lies, seen in driving direction */
  readonly steer: "left" | "right" | "straight";
  /** distance to the pass, metres, 0 or more */
  readonly steerDistance: number;
}

/** Longest sentence, `$` and line end included (NMEA 0183, 5.3). */
const LONGEST = 82;
/** `$`, `*`, two digits, line end. */
const FRAME = 6;
const KNOT = 1852 / 3600;
const DAY = 86_400;

/**
 * A whole sentence: `$`, body, `*`, checksum, carriage return, line feed.
 *
 * @param body - from the talker to the last field, printable ASCII without `$`, `!`, `*` and backslash
 * @returns the sentence
 * @throws `FeeringError` `bad-format` for other characters, `too-large` for more than 82 characters in all
 *
 * @example
 * ```ts
 * nmeaSentence("GPHDT,274.07,T"); // "$GPHDT,274.07,T*03\r\n"
 * ```
 */
export function nmeaSentence(body: string): string {
  let sum = 0;
  for (let i = 0; i < body.length; i++) {
    const code = body.charCodeAt(i);
    if (code < 0x20 || code > 0x7e || RESERVED.includes(body[i]!)) {
      throw new FeeringError("bad-format", `body has a character at ${i} that no sentence may have`, {
        argument: "body",
        index: i,
        value: body[i],
      });
    }
    sum ^= code;
  }
  const text = `$${body}*${sum.toString(16).toUpperCase().padStart(2, "0")}\r\n`;
  if (text.length > LONGEST) {
    throw new FeeringError("too-large", `body makes a sentence of ${text.length} characters, ${LONGEST} are the most`, {
      argument: "body",
      value: body,
    });
  }
  return text;
}

const RESERVED = ["$", "!", "*", "\\"];

/**
 * GGA: time, position, quality, satellites, altitude, age of the correction.
 *
 * What the fix does not know stays empty. `NmeaReader` reads the same fix back, to the decimals written. Where 82 characters are not enough for
 * all decimals, altitude and geoid give way first, down to a decimetre, then the minutes.
 *
 * @param fix - any fix; without a position quality 0 and empty fields
 * @param options - talker, decimals, geoid
 * @returns one sentence
 * @throws `FeeringError` `out-of-range` or `not-finite` for an option, `bad-format` for a talker that is not two letters
 */
export function writeGga(fix: Fix, options: WriteNmeaOptions = {}): string {
  const { talker, timeDecimals, minuteDecimals, geoidSeparation } = settings(options);
  const { satellites, hdop, altitude, correctionAge } = fix;
  const place = hasPlace(fix);
  const high = known(altitude) && place;
  // heights give way first, a decimal at a time
  for (let short = 0; ; short++) {
    const metres = (value: number): string => value.toFixed(Math.max(1, 3 - short));
    const body = [
      `${talker}GGA`,
      clock(fix.time, timeDecimals),
      ...position(fix, Math.min(minuteDecimals, minuteDecimals + 2 - short)),
      place ? String(fix.quality) : "0",
      known(satellites) ? String(Math.round(satellites)).padStart(2, "0") : "",
      known(hdop) ? hdop.toFixed(1) : "",
      ...(high ? [metres(altitude - geoidSeparation), "M", metres(geoidSeparation), "M"] : ["", "M", "", "M"]),
      known(correctionAge) ? correctionAge.toFixed(1) : "",
      "",
    ].join(",");
    if (body.length + FRAME <= LONGEST || minuteDecimals + 2 - short <= 4) return nmeaSentence(body);
  }
}

/**
 * RMC: time, position, speed, course, date.
 *
 * @param fix - any fix; one that is not dated has an empty date
 * @param options - talker, decimals
 * @returns one sentence
 * @throws as {@link writeGga}
 */
export function writeRmc(fix: Fix, options: WriteNmeaOptions = {}): string {
  const { talker, timeDecimals } = settings(options);
  const { speed, course } = fix;
  return nmeaSentence(
    [
      `${talker}RMC`,
      clock(fix.time, timeDecimals),
      hasPlace(fix) ? "A" : "V",
      ...position(fix, options.minuteDecimals ?? 7),
      known(speed) ? (speed / KNOT).toFixed(3) : "",
      known(course) ? angle(course) : "",
      fix.dated ? date(fix.time, timeDecimals) : "",
      "",
      "",
      mode(fix),
    ].join(","),
  );
}

/**
 * VTG: course and speed over ground.
 *
 * @param fix - any fix
 * @param options - talker
 * @returns one sentence
 * @throws as {@link writeGga}
 */
export function writeVtg(fix: Fix, options: WriteNmeaOptions = {}): string {
  const { talker } = settings(options);
  const { speed, course } = fix;
  const fields = known(speed) ? [(speed / KNOT).toFixed(3), "N", (speed * 3.6).toFixed(3), "K"] : ["", "N", "", "K"];
  return nmeaSentence(
    [`${talker}VTG`, known(course) ? angle(course) : "", "T", "", "M", ...fields, mode(fix)].join(","),
  );
}

/**
 * HDT: true heading of the machine.
 *
 * @param heading - degrees clockwise from true north; not finite: an empty field
 * @param options - talker; default `HE`, a north-seeking gyro, is not claimed: `GN`
 * @returns one sentence
 * @throws as {@link writeGga}
 */
export function writeHdt(heading: number, options: WriteNmeaOptions = {}): string {
  const { talker } = settings(options);
  return nmeaSentence(`${talker}HDT,${known(heading) ? angle(heading) : ""},T`);
}

/**
 * ZDA: time and date.
 *
 * @param time - s since 1970 UTC
 * @param options - talker, decimals
 * @returns one sentence
 * @throws as {@link writeGga}; `not-finite` for a time that is none
 */
export function writeZda(time: number, options: WriteNmeaOptions = {}): string {
  const { talker, timeDecimals } = settings(options);
  requireNumber(time, "time", { min: 0, max: 4e9 });
  const [year, month, day] = calendar(time, timeDecimals);
  return nmeaSentence([`${talker}ZDA`, clock(time, timeDecimals), day, month, year, "00", "00"].join(","));
}

/**
 * XTE: cross-track error as other instruments want it, a magnitude and the way to steer: `L` where the machine is right of the pass.
 *
 * Nautical miles with six decimals, 1.9 mm: with fewer, as is common, a boat's helmsman is served, no field machine.
 *
 * @param advice - a guidance state, or its two fields
 * @param valid - whether the position can be trusted; false writes `V`
 * @param options - talker
 * @returns one sentence
 * @throws as {@link writeGga}
 */
export function writeXte(advice: SteeringAdvice, valid: boolean, options: WriteNmeaOptions = {}): string {
  const { talker } = settings(options);
  requireObject(advice, "advice");
  const distance = known(advice.steerDistance) ? (advice.steerDistance / 1852).toFixed(6) : "";
  const flag = valid && distance !== "" ? "A" : "V";
  return nmeaSentence(
    `${talker}XTE,${flag},${flag},${distance},${advice.steer === "right" ? "R" : "L"},N,${flag === "A" ? "A" : "N"}`,
  );
}

function settings(options: WriteNmeaOptions): Required<WriteNmeaOptions> {
  requireObject(options, "options");
  const { talker = "GN", minuteDecimals = 7, timeDecimals = 2, geoidSeparation = 0 } = options;
  if (typeof talker !== "string" || !/^[A-Z]{2}$/.test(talker)) {
    throw new FeeringError("bad-format", `options.talker is ${describe(talker)}, needs two letters`, {
      argument: "options.talker",
      value: talker,
    });
  }
  whole(minuteDecimals, "options.minuteDecimals", 4, 9);
  whole(timeDecimals, "options.timeDecimals", 0, 3);
  requireNumber(geoidSeparation, "options.geoidSeparation", { min: -200, max: 200 });
  return { talker, minuteDecimals, timeDecimals, geoidSeparation };
}

function whole(value: number, argument: string, min: number, max: number): void {
  requireNumber(value, argument, { min, max });
  if (!Number.isInteger(value)) {
    throw new FeeringError("out-of-range", `${argument} is ${value}, needs a whole number`, { argument, value });
  }
}

function known(value: number | undefined): value is number {
  return Number.isFinite(value);
}

function hasPlace(fix: Fix): boolean {
  return known(fix.latitude) && known(fix.longitude) && fix.quality > 0;
}

function position(fix: Fix, decimals: number): string[] {
  if (!hasPlace(fix)) return ["", "", "", ""];
  return [
    degreesMinutes(fix.latitude, 2, decimals),
    fix.latitude < 0 ? "S" : "N",
    degreesMinutes(fix.longitude, 3, decimals),
    fix.longitude < 0 ? "W" : "E",
  ];
}

/** Degrees and minutes; rounding never writes 60 minutes. */
function degreesMinutes(degrees: number, digits: number, decimals: number): string {
  const scale = 10 ** decimals;
  const units = Math.round(Math.abs(degrees) * 60 * scale);
  const whole = Math.floor(units / (60 * scale));
  const minutes = (units - whole * 60 * scale) / scale;
  return String(whole).padStart(digits, "0") + minutes.toFixed(decimals).padStart(decimals + 3, "0");
}

/** An angle with two decimals that is never 360.00. */
function angle(degrees: number): string {
  const hundredths = Math.round(degrees * 100);
  return ((((hundredths % 36_000) + 36_000) % 36_000) / 100).toFixed(2);
}

/** Time of the day, hhmmss and decimals; never 60 seconds. */
function clock(time: number, decimals: number): string {
  if (!known(time)) return "";
  const scale = 10 ** decimals;
  const units = ((Math.round(time * scale) % (DAY * scale)) + DAY * scale) % (DAY * scale);
  const seconds = Math.floor(units / scale);
  const two = (value: number): string => String(value).padStart(2, "0");
  const fraction = decimals === 0 ? "" : `.${String(units - seconds * scale).padStart(decimals, "0")}`;
  return two(Math.floor(seconds / 3600)) + two(Math.floor(seconds / 60) % 60) + two(seconds % 60) + fraction;
}

/** Year, month and day of the time as it is written: 23:59:59.999 rounded up is tomorrow. */
function calendar(time: number, decimals: number): [year: string, month: string, day: string] {
  const scale = 10 ** decimals;
  const iso = new Date(Math.floor(Math.round(time * scale) / scale) * 1000).toISOString();
  return [iso.slice(0, 4), iso.slice(5, 7), iso.slice(8, 10)];
}

function date(time: number, decimals: number): string {
  const [year, month, day] = calendar(time, decimals);
  return day + month + year.slice(2);
}

/** Mode indicator of NMEA 0183 from version 2.3 on, by the quality. */
function mode({ quality }: Fix): string {
  return ["N", "A", "D", "P", "R", "F", "E", "M", "S"][quality] ?? "N";
}
