import { type Epoch, GGA, GLL, GNS, HDT, RMC, THS, VTG } from "./epoch.js";
import type { NmeaCounts } from "./nmea-counts.js";
import { daysSince1970 } from "./receiver-clock.js";
import { qualityOfMode, qualityOfModes } from "./mode-quality.js";
import { FINE, MALFORMED, OUT_OF_RANGE, type SentenceFields } from "./sentence-fields.js";

const A = 0x41;
const E = 0x45;
const K = 0x4b;
const M = 0x4d;
const N = 0x4e;
const P = 0x50;
const S = 0x53;
const T = 0x54;
const V = 0x56;
const W = 0x57;
const ZERO = 0x30;

const METRES_PER_SECOND_IN_A_KNOT = 1852 / 3600;
/** limits that no field machine's receiver passes: they catch nonsense, not rare places */
const HIGHEST = 100_000;
const LARGEST = 1e6;

/**
 * Read one sentence whose checksum is right and hand its values to the epoch; all its fields are read before any is used.
 *
 * @param fields - holds the sentence
 * @param length - its length
 * @param epoch - takes the values
 * @param counts - takes note of what became of it
 */
export function decode(fields: SentenceFields, length: number, epoch: Epoch, counts: NmeaCounts): void {
  // hot
  const bytes = fields.bytes;
  // an address is two letters of the talker and three of the type; P at its head marks a maker's own sentence
  if (length < 6 || bytes[5] !== 0x2c || bytes[0] === P) {
    counts.ignored++;
    return;
  }
  switch ((bytes[2]! << 16) | (bytes[3]! << 8) | bytes[4]!) {
    case 0x474741:
      fields.begin(length);
      if (gga(fields, epoch, counts)) counts.types.GGA++;
      return;
    case 0x524d43:
      fields.begin(length);
      if (rmc(fields, epoch, counts)) counts.types.RMC++;
      return;
    case 0x565447:
      fields.begin(length);
      if (vtg(fields, epoch, counts)) counts.types.VTG++;
      return;
    case 0x484454:
      fields.begin(length);
      if (hdt(fields, epoch, counts)) counts.types.HDT++;
      return;
    case 0x544853:
      fields.begin(length);
      if (ths(fields, epoch, counts)) counts.types.THS++;
      return;
    case 0x475354:
      fields.begin(length);
      if (gst(fields, epoch, counts)) counts.types.GST++;
      return;
    case 0x5a4441:
      fields.begin(length);
      if (zda(fields, epoch, counts)) counts.types.ZDA++;
      return;
    case 0x474e53:
      fields.begin(length);
      if (gns(fields, epoch, counts)) counts.types.GNS++;
      return;
    case 0x474c4c:
      fields.begin(length);
      if (gll(fields, epoch, counts)) counts.types.GLL++;
      return;
    default:
      counts.ignored++;
  }
}

/** Count what became of a sentence, before any of it is used. */
function fine(fields: SentenceFields, counts: NmeaCounts): boolean {
  if (fields.problem === FINE) {
    counts.accepted++;
    return true;
  }
  if (fields.problem === OUT_OF_RANGE) counts.outOfRange++;
  else counts.malformed++;
  return false;
}

function short(fields: SentenceFields, count: number, counts: NmeaCounts): boolean {
  if (fields.count >= count) return false;
  counts.malformed++;
  return true;
}

// 1 time, 2-3 latitude, 4-5 longitude, 6 quality, 7 satellites, 8 HDOP, 9-10 altitude, 11-12 geoid separation, 13 age, 14 station
function gga(fields: SentenceFields, epoch: Epoch, counts: NmeaCounts): boolean {
  if (short(fields, 15, counts)) return false;
  fields.readTimeOfDay(1);
  const time = fields.value;
  fields.readAngle(2, N, S, 90);
  const latitude = fields.value;
  fields.readAngle(4, E, W, 180);
  const longitude = fields.value === 180 ? -180 : fields.value;
  const letter = fields.letter(6);
  if (letter !== 0 && !(letter >= ZERO && letter <= ZERO + 9)) fields.fail(MALFORMED);
  const quality = letter === 0 ? 0 : letter - ZERO;
  if (quality > 8) fields.fail(OUT_OF_RANGE);
  fields.readNumber(7, 0, LARGEST);
  const satellites = fields.value;
  fields.readNumber(8, 0, LARGEST);
  const hdop = fields.value;
  readMetres(fields, 9);
  const height = fields.value;
  readMetres(fields, 11);
  const altitude = height + fields.value;
  fields.readNumber(13, 0, LARGEST);
  const age = fields.value;
  if (!fine(fields, counts)) return false;
  if (epoch.position(GGA, time, latitude, longitude, quality)) {
    epoch.solution(GGA, altitude, satellites, hdop, age);
    epoch.end(GGA);
  }
  return true;
}

// 1 time, 2-3 latitude, 4-5 longitude, 6 modes, 7 satellites, 8 HDOP, 9 altitude, 10 geoid separation, 11 age, 12 station
function gns(fields: SentenceFields, epoch: Epoch, counts: NmeaCounts): boolean {
  if (short(fields, 13, counts)) return false;
  fields.readTimeOfDay(1);
  const time = fields.value;
  fields.readAngle(2, N, S, 90);
  const latitude = fields.value;
  fields.readAngle(4, E, W, 180);
  const longitude = fields.value === 180 ? -180 : fields.value;
  const quality = qualityOfModes(fields.bytes, fields.starts[6]!, fields.starts[7]! - 1);
  fields.readNumber(7, 0, LARGEST);
  const satellites = fields.value;
  fields.readNumber(8, 0, LARGEST);
  const hdop = fields.value;
  fields.readNumber(9, -HIGHEST, HIGHEST);
  const height = fields.value;
  fields.readNumber(10, -HIGHEST, HIGHEST);
  const altitude = height + fields.value;
  fields.readNumber(11, 0, LARGEST);
  const age = fields.value;
  if (!fine(fields, counts)) return false;
  if (epoch.position(GNS, time, latitude, longitude, quality)) {
    epoch.solution(GNS, altitude, satellites, hdop, age);
    epoch.end(GNS);
  }
  return true;
}

// 1 time, 2 status, 3-4 latitude, 5-6 longitude, 7 speed in knots, 8 course, 9 date, 10-11 magnetic variation, 12 mode
function rmc(fields: SentenceFields, epoch: Epoch, counts: NmeaCounts): boolean {
  if (short(fields, 12, counts)) return false;
  fields.readTimeOfDay(1);
  const time = fields.value;
  const status = fields.letter(2);
  fields.readAngle(3, N, S, 90);
  const latitude = fields.value;
  fields.readAngle(5, E, W, 180);
  const longitude = fields.value === 180 ? -180 : fields.value;
  fields.readNumber(7, 0, LARGEST);
  const speed = fields.value * METRES_PER_SECOND_IN_A_KNOT;
  readDirection(fields, 8);
  const course = fields.value;
  const quality = qualityOfStatus(fields, status, 12);
  if (!fine(fields, counts)) return false;
  if (fields.length(9) > 0) {
    let day = Number.NaN;
    if (fields.length(9) === 6) {
      // two digits of the year: GPS time begins in 1980
      const year = fields.digits(9, 4, 2);
      if (year >= 0)
        day = daysSince1970(year >= 80 ? 1900 + year : 2000 + year, fields.digits(9, 2, 2), fields.digits(9, 0, 2));
    }
    noteDate(day, time, quality > 0, epoch, counts);
  }
  if (epoch.position(RMC, time, latitude, longitude, quality)) {
    if (quality === 0) epoch.refuse();
    else epoch.motion(speed, course);
    epoch.end(RMC);
  }
  return true;
}

// 1-2 latitude, 3-4 longitude, 5 time, 6 status, 7 mode
function gll(fields: SentenceFields, epoch: Epoch, counts: NmeaCounts): boolean {
  if (short(fields, 7, counts)) return false;
  fields.readAngle(1, N, S, 90);
  const latitude = fields.value;
  fields.readAngle(3, E, W, 180);
  const longitude = fields.value === 180 ? -180 : fields.value;
  fields.readTimeOfDay(5);
  const time = fields.value;
  const quality = qualityOfStatus(fields, fields.letter(6), 7);
  if (!fine(fields, counts)) return false;
  if (epoch.position(GLL, time, latitude, longitude, quality)) {
    if (quality === 0) epoch.refuse();
    epoch.end(GLL);
  }
  return true;
}

// 1 true course, 2 T, 3 magnetic course, 4 M, 5 knots, 6 N, 7 km/h, 8 K, 9 mode
function vtg(fields: SentenceFields, epoch: Epoch, counts: NmeaCounts): boolean {
  if (short(fields, 9, counts)) return false;
  readDirection(fields, 1);
  const course = fields.value;
  fields.readNumber(5, 0, LARGEST);
  const knots = fields.value;
  fields.readNumber(7, 0, LARGEST);
  const kilometres = fields.value;
  unit(fields, 1, T);
  unit(fields, 5, N);
  unit(fields, 7, K);
  const mode = fields.letter(9);
  if (!fine(fields, counts)) return false;
  const speed = knots === knots ? knots * METRES_PER_SECOND_IN_A_KNOT : kilometres / 3.6;
  if (mode === N) epoch.timeless(VTG, Number.NaN, Number.NaN);
  else epoch.timeless(VTG, speed, course);
  return true;
}

// 1 heading, 2 T
function hdt(fields: SentenceFields, epoch: Epoch, counts: NmeaCounts): boolean {
  if (short(fields, 3, counts)) return false;
  readDirection(fields, 1);
  const heading = fields.value;
  unit(fields, 1, T);
  if (!fine(fields, counts)) return false;
  epoch.timeless(HDT, heading, Number.NaN);
  return true;
}

// 1 heading, 2 mode: A autonomous, E estimated, M manual, S simulated, V not valid
function ths(fields: SentenceFields, epoch: Epoch, counts: NmeaCounts): boolean {
  if (short(fields, 3, counts)) return false;
  readDirection(fields, 1);
  const heading = fields.value;
  const mode = fields.letter(2);
  if (!fine(fields, counts)) return false;
  epoch.timeless(THS, mode === V || mode === 0 ? Number.NaN : heading, Number.NaN);
  return true;
}

// 1 time, 2 range residual, 3-5 error ellipse, 6 latitude, 7 longitude, 8 altitude, standard deviations in m
function gst(fields: SentenceFields, epoch: Epoch, counts: NmeaCounts): boolean {
  if (short(fields, 9, counts)) return false;
  fields.readTimeOfDay(1);
  const time = fields.value;
  fields.readNumber(3, 0, Number.MAX_VALUE);
  const major = fields.value;
  fields.readNumber(4, 0, Number.MAX_VALUE);
  const minor = fields.value;
  fields.readNumber(6, 0, Number.MAX_VALUE);
  const north = fields.value;
  fields.readNumber(7, 0, Number.MAX_VALUE);
  const east = fields.value;
  if (!fine(fields, counts)) return false;
  // the sum of two variances at right angles is the same along any axes
  const along = north * north + east * east;
  epoch.accuracyAt(time, Math.sqrt(along === along ? along : major * major + minor * minor));
  return true;
}

// 1 time, 2 day, 3 month, 4 year, 5-6 local zone
function zda(fields: SentenceFields, epoch: Epoch, counts: NmeaCounts): boolean {
  if (short(fields, 5, counts)) return false;
  fields.readTimeOfDay(1);
  const time = fields.value;
  if (!fine(fields, counts)) return false;
  if (fields.length(2) > 0 || fields.length(3) > 0 || fields.length(4) > 0) {
    let day = Number.NaN;
    if (fields.length(4) === 4) {
      day = daysSince1970(
        fields.digits(4, 0, 4),
        fields.digits(3, 0, fields.length(3)),
        fields.digits(2, 0, fields.length(2)),
      );
    }
    noteDate(day, time, false, epoch, counts);
  }
  if (time >= 0) epoch.date(time);
  return true;
}

function noteDate(day: number, time: number, sure: boolean, epoch: Epoch, counts: NmeaCounts): void {
  if (!(day >= 0)) counts.badDates++;
  else if (time >= 0) epoch.clock.date(day, time, sure);
}

function readMetres(fields: SentenceFields, field: number): void {
  fields.readNumber(field, -HIGHEST, HIGHEST);
  if (fields.value === fields.value) unit(fields, field, M);
}

/** The letter after a value must be the unit's, where there is a value. */
function unit(fields: SentenceFields, field: number, letter: number): void {
  if (fields.length(field) > 0 && fields.letter(field + 1) !== letter) fields.fail(MALFORMED);
}

function readDirection(fields: SentenceFields, field: number): void {
  fields.readNumber(field, 0, 360);
  if (fields.value === 360) fields.value = 0;
}

/** Quality by RMC's or GLL's status, and by the mode where the sentence is new enough to have one. */
function qualityOfStatus(fields: SentenceFields, status: number, modeField: number): number {
  if (status !== A && status !== V && status !== 0) fields.fail(MALFORMED);
  if (status !== A) return 0;
  if (fields.count <= modeField) return 1;
  const mode = fields.letter(modeField);
  return mode === 0 ? 1 : qualityOfMode(mode);
}
