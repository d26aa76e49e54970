import { type GeographicPosition, localFrame } from "../src/frames/index.js";
import { type GuidancePattern, curvedLine, guidancePattern, passLine, shiftPattern } from "../src/guidance/index.js";
import type { Polygon } from "../src/geometry/index.js";
import type { JobDefinition } from "../src/job/index.js";
import { evenSections } from "../src/sections/index.js";
import { NmeaBytes } from "./nmea-bytes.js";

/** A day of work for the whole loop: curved passes of 400 m by 24 m, an hour's strip of ground after another. */

/** Fixes a second. */
export const RATE = 20;
/** m/s */
const SPEED = 4;
/** Distance of passes, m. */
export const SWATH = 24;
/** Length of a pass and of the turn to the next, m. */
const PASS = 400;
const TURN = 40;
/** Strip of an hour, m east: 33 passes. */
const STRIP = 900;
export const TICKS: number = 3600 * RATE;
export const origin: GeographicPosition = { latitude: 52.1, longitude: 5.3, altitude: 20 };
const frame = localFrame(origin);

/** An S of two arcs of 2 km radius, a vertex each metre, so that passes of a whole strip stay smooth. */
function reference(): [number, number][] {
  const radius = 2000;
  return Array.from({ length: PASS + 61 }, (_, i) => {
    const north = i - 30;
    const sign = north < PASS / 2 ? 1 : -1;
    const along = north < PASS / 2 ? north - PASS / 4 : north - (3 * PASS) / 4;
    return [sign * (radius - Math.sqrt(radius * radius - along * along)), north];
  });
}

/** Pattern of the first hour's strip. */
export const pattern: GuidancePattern = guidancePattern(curvedLine(reference()), {
  swathWidth: SWATH,
  propagation: "right",
});

/** The pattern of an hour. */
export function patternOf(hour: number): GuidancePattern {
  return shiftPattern(pattern, { east: hour * STRIP, north: 0 });
}

/** One field round all strips. */
export const field: Polygon = {
  exterior: [
    [-40, 0],
    [24 * STRIP + 60, 0],
    [24 * STRIP + 60, PASS],
    [-40, PASS],
  ],
  holes: [],
};

/** The job of the day: 48 sections by a boom of 24 m. */
export const definition: JobDefinition = {
  origin,
  machine: { antenna: { x: 1.2, y: 0, z: -3 } },
  boom: { sections: evenSections(SWATH, 48), x: -3, turnOnTime: 0.4, turnOffTime: 0.25 },
  pattern,
  field: [field],
  sections: { overlapTolerance: 0.5 },
};

/** Where the machine is at each tick of an hour, in the first strip: east, north, course. */
function hourOfPlaces(): Float64Array {
  const places = new Float64Array(3 * TICKS);
  const passes: (readonly (readonly [number, number])[])[] = [];
  for (let k = 0; k * (PASS + TURN) < 3600 * SPEED; k++) passes.push(passLine(pattern, k)[0]!);
  for (let i = 0; i < TICKS; i++) {
    const way = (i / RATE) * SPEED;
    const row = Math.floor(way / (PASS + TURN));
    const along = way - row * (PASS + TURN);
    const up = row % 2 === 0;
    const turned = Math.max(0, (along - PASS) / TURN);
    // a half ellipse from pass to pass
    const angle = Math.PI * turned;
    const north = up ? Math.min(PASS, along) : PASS - Math.min(PASS, along);
    const bulge = 12 * Math.sin(angle) * (up ? 1 : -1);
    const east = at(passes[row]!, north) + (SWATH / 2) * (1 - Math.cos(angle));
    places[3 * i] = east;
    places[3 * i + 1] = north + bulge;
  }
  for (let i = 0; i < TICKS; i++) {
    const k = Math.min(i + 1, TICKS - 1);
    const j = k - 1;
    const dx = places[3 * k]! - places[3 * j]!;
    const dy = places[3 * k + 1]! - places[3 * j + 1]!;
    places[3 * i + 2] = ((Math.atan2(dx, dy) * 180) / Math.PI + 360) % 360;
  }
  return places;
}

/** East of a line that runs north, at a north. */
function at(line: readonly (readonly [number, number])[], north: number): number {
  let low = 0;
  let high = line.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (line[middle]![1] <= north) low = middle;
    else high = middle;
  }
  const a = line[low]!;
  const b = line[high]!;
  return a[0] + ((b[0] - a[0]) * (north - a[1])) / (b[1] - a[1]);
}

let places: Float64Array | undefined;
const bytes = new NmeaBytes();
const geodetic = new Float64Array(3);

/** The bytes of one tick of an hour, on its own strip or another: GGA and VTG; a view that the next call overwrites. */
export function tickBytes(hour: number, tick: number, strip: number = hour): Uint8Array {
  places ??= hourOfPlaces();
  frame.toGeodeticInto(places[3 * tick]! + strip * STRIP, places[3 * tick + 1]!, geodetic);
  return bytes.write(hour * 3600 + tick / RATE, geodetic[0]!, geodetic[1]!, places[3 * tick + 2]!, SPEED);
}
