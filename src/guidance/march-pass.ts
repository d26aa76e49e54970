import { ALIVE, type CurveLocator } from "./curve-locator.js";
import {
  AHEAD,
  AHEAD_X,
  AHEAD_Y,
  ALONG_X,
  ALONG_Y,
  DISTANCE,
  ERROR,
  OFFSET,
  RIGHT,
  STATION,
  X,
  Y,
} from "./line-locator.js";

/** Steps that the way ahead is divided into. */
const STEPS = 8;

/** Most steps: those past a trimmed corner gain less. */
const MOST_STEPS = 24;

/** Tries to bring one step back onto the pass. */
const TRIES = 6;

/** Nearer than this a point is on the pass, metres. */
const ON_LEVEL = 1e-7;

/** A sharper turn between two steps is an inner corner of the pass, radians. */
const CORNER = 0.2;

/**
 * The look-ahead point where a pass has trimmed corners: step by step along the pass, each step brought back onto the exact
 * distance, so that a corner is turned where the pass turns. The point is on the pass; the way to it is good to a hundredth
 * of the look-ahead distance. Where the pass has a gap, the next point that it has ahead.
 */
export function marchPass(locator: CurveLocator, numbers: Float64Array): void {
  const probe = locator.probeNumbers;
  const place = locator.probePlace;
  const offset = numbers[OFFSET]!;
  const sign = numbers[AHEAD]! < 0 ? -1 : 1;
  let rest = Math.abs(numbers[AHEAD]!);
  probe[X] = numbers[X]! - numbers[ERROR]! * numbers[ALONG_Y]!;
  probe[Y] = numbers[Y]! + numbers[ERROR]! * numbers[ALONG_X]!;
  let on = settle(locator, offset);
  if (!on) on = nextPoint(locator, numbers, sign);
  const stride = rest / STEPS;
  for (let i = 0; on && i < MOST_STEPS && rest > ON_LEVEL; i++) {
    const x: number = probe[X];
    const y: number = probe[Y];
    const ux = probe[ALONG_X]!;
    const uy = probe[ALONG_Y]!;
    const station = probe[STATION]!;
    const corner = place.corner;
    const step = Math.min(stride, rest);
    probe[X] = x + sign * step * ux;
    probe[Y] = y + sign * step * uy;
    const landed = settle(locator, offset);
    const dx = probe[X] - x;
    const dy = probe[Y] - y;
    const chord = Math.sqrt(dx * dx + dy * dy);
    if (!landed || !((dx * ux + dy * uy) * sign > 0)) {
      // a corner too sharp to step over, or the end of the pass
      probe[X] = x;
      probe[Y] = y;
      probe[ALONG_X] = ux;
      probe[ALONG_Y] = uy;
      probe[STATION] = station;
      numbers[AHEAD_X] = step;
      if (turnCorner(locator, numbers, sign)) {
        rest -= numbers[AHEAD_X];
        continue;
      }
      probe[STATION] = station;
      on = nextPoint(locator, numbers, sign);
      break;
    }
    const vx = probe[ALONG_X]!;
    const vy = probe[ALONG_Y]!;
    const turn = Math.atan2(uy * vx - ux * vy, ux * vx + uy * vy);
    const angle = Math.abs(turn);
    if (place.corner >= 0 && place.corner === corner) rest -= Math.abs(offset) * angle;
    else if (angle < CORNER) rest -= angle > 1e-6 ? (chord * angle) / (2 * Math.sin(angle / 2)) : chord;
    else {
      // to where both straight stretches meet, and on
      const cross = ux * vy - uy * vx;
      const first = ((dx * vy - dy * vx) / cross) * sign;
      const second = ((ux * dy - uy * dx) / cross) * sign;
      rest -= first >= 0 && second >= 0 && first + second < 4 * step ? first + second : chord;
    }
  }
  numbers[AHEAD_X] = probe[X]!;
  numbers[AHEAD_Y] = probe[Y]!;
}

/** How far a corner's next stretch is entered, metres. */
const ENTERED = 1e-3;

// from the probe on the pass to its corner within a step (in AHEAD_X) straight ahead, and a little way into what follows there;
// the way gone comes back in AHEAD_X. False where nothing follows
function turnCorner(locator: CurveLocator, numbers: Float64Array, sign: number): boolean {
  const probe = locator.probeNumbers;
  const offset = numbers[OFFSET]!;
  const away = Math.abs(offset);
  const x = probe[X]!;
  const y = probe[Y]!;
  const ux = sign * probe[ALONG_X]!;
  const uy = sign * probe[ALONG_Y]!;
  let alive = 0;
  let dead = numbers[AHEAD_X]!;
  while (dead - alive > CLOSELY / 10) {
    const middle = (alive + dead) / 2;
    probe[X] = x + middle * ux;
    probe[Y] = y + middle * uy;
    locator.probe();
    if (probe[DISTANCE]! < away - ALIVE) dead = middle;
    else alive = middle;
  }
  probe[X] = x + dead * ux;
  probe[Y] = y + dead * uy;
  locator.probe();
  if (probe[RIGHT]! < 0 !== offset < 0) return false;
  // beyond the corner the nearest part of the line is that of the stretch that follows
  const vx = sign * probe[ALONG_X]!;
  const vy = sign * probe[ALONG_Y]!;
  probe[X] = probe[X] + ENTERED * vx;
  probe[Y] = probe[Y] + ENTERED * vy;
  if (!settle(locator, offset)) return false;
  if (!((probe[X] - x - dead * ux) * vx + (probe[Y] - y - dead * uy) * vy > 0)) return false;
  if (Math.abs(probe[ALONG_X]! * sign - ux) + Math.abs(probe[ALONG_Y]! * sign - uy) < 1e-6) return false;
  numbers[AHEAD_X] = dead + ENTERED;
  return true;
}

// bring the probe onto the pass, along the way to its foot; false where that leads nowhere
function settle(locator: CurveLocator, offset: number): boolean {
  const probe = locator.probeNumbers;
  const away = Math.abs(offset);
  for (let i = 0; i < TRIES; i++) {
    locator.probe();
    const off = probe[RIGHT]! - offset;
    if (off <= ON_LEVEL && off >= -ON_LEVEL) return probe[DISTANCE]! >= away - ALIVE;
    probe[X] = probe[X]! - off * probe[ALONG_Y]!;
    probe[Y] = probe[Y]! + off * probe[ALONG_X]!;
  }
  return false;
}

/** First step of the search for where the pass goes on, metres along the line; each is longer by half. */
const FIRST_STEP = 0.25;

/** How closely its start is found, metres along the line. */
const CLOSELY = 1e-4;

// the first point that the pass has beyond the probe's foot, to the search's grain; the way straight on where there is none
function nextPoint(locator: CurveLocator, numbers: Float64Array, sign: number): boolean {
  const probe = locator.probeNumbers;
  const chain = locator.chain;
  const offset = numbers[OFFSET]!;
  const away = Math.abs(offset);
  const from = probe[STATION]!;
  const reach = chain.closed ? chain.length : sign > 0 ? chain.length - from : from;
  let gone = 0;
  let dead = 0;
  for (let step = FIRST_STEP; gone < reach; step *= 1.5) {
    gone = Math.min(reach, gone + step);
    at(locator, from + sign * gone, offset);
    if (probe[DISTANCE]! < away - ALIVE) {
      dead = gone;
      continue;
    }
    let alive = gone;
    while (alive - dead > CLOSELY) {
      const middle = (alive + dead) / 2;
      at(locator, from + sign * middle, offset);
      if (probe[DISTANCE]! < away - ALIVE) dead = middle;
      else alive = middle;
    }
    at(locator, from + sign * alive, offset);
    return true;
  }
  const ahead = numbers[AHEAD]!;
  probe[X] = numbers[X]! - numbers[ERROR]! * numbers[ALONG_Y]! + ahead * numbers[ALONG_X]!;
  probe[Y] = numbers[Y]! + numbers[ERROR]! * numbers[ALONG_X]! + ahead * numbers[ALONG_Y]!;
  return false;
}

// the probe beside the line's own place at a station
function at(locator: CurveLocator, station: number, offset: number): void {
  const chain = locator.chain;
  const { stations } = chain;
  const m = chain.segments;
  const length = chain.length;
  let s = station;
  if (chain.closed) s = s < 0 ? s + length : s >= length ? s - length : s;
  let low = 0;
  let high = m - 1;
  while (low < high) {
    const half = (low + high + 1) >> 1;
    if (stations[half]! <= s) low = half;
    else high = half - 1;
  }
  const ux = chain.along[2 * low]!;
  const uy = chain.along[2 * low + 1]!;
  const on = s - stations[low]!;
  const probe = locator.probeNumbers;
  probe[X] = chain.xy[2 * low]! + locator.shift[0]! + on * ux + offset * uy;
  probe[Y] = chain.xy[2 * low + 1]! + locator.shift[1]! + on * uy - offset * ux;
  locator.probe();
}
