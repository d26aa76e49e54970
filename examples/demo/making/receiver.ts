import type { LocalFrame } from "../../../src/frames/index.js";
import { type Point, RADIANS, wrapHeading } from "../../../src/geometry/index.js";
import { drift, normal } from "./chance.js";

const ANTENNA_UP = 3; // m above the ground
const GROUND = 82.6; // m above mean sea level at the origin
const GEOID = 43.3; // m, geoid above the ellipsoid

/** What befalls the receiver, by the number of the epoch. */
export interface Happenings {
  readonly rate: number;
  /** ms since 1970 */
  readonly start: number;
  /** no bytes at all from here on, so many epochs */
  readonly silence: { readonly from: number; readonly epochs: number };
  /** quality 5 instead of 4 */
  readonly worse: { readonly from: number; readonly epochs: number };
}

/** What a receiver would have said of an antenna's places, one an epoch: NMEA 0183. */
export function sentences(antenna: readonly Point[], frame: LocalFrame, happenings: Happenings): string {
  const { rate, start, silence } = happenings;
  const worseFrom = happenings.worse.from;
  const worseTo = worseFrom + happenings.worse.epochs;
  const white = normal(51);
  const slow = [drift(52, 0.008, 90, rate), drift(53, 0.008, 90, rate), drift(54, 0.015, 90, rate)] as const;
  const rough = [drift(55, 0.28, 15, rate), drift(56, 0.28, 15, rate), drift(57, 0.5, 15, rate)] as const;
  const whiteSpeed = normal(58);
  const lines: string[] = [];

  for (let k = 0; k < antenna.length; k++) {
    const worse = k >= worseFrom && k < worseTo;
    const [x, y] = antenna[k]!;
    const [x0, y0] = antenna[Math.max(0, k - 1)]!;
    const [x1, y1] = antenna[Math.min(antenna.length - 1, k + 1)]!;
    // every source of chance is drawn at every epoch, so that one event moves nothing else
    const noise = slow.map((next, i) => next() + (i === 2 ? 0.012 : 0.006) * white());
    const coarse = rough.map((next, i) => next() + (i === 2 ? 0.09 : 0.05) * white());
    const off = worse ? coarse : noise;
    // what a receiver gives as velocity is much quieter than differences of its positions
    const ve = ((x1 - x0) * rate) / 2 + 0.012 * whiteSpeed();
    const vn = ((y1 - y0) * rate) / 2 + 0.012 * whiteSpeed();
    if (k >= silence.from && k < silence.from + silence.epochs) continue;

    const iso = new Date(start + (k * 1000) / rate).toISOString();
    const time = iso.slice(11, 21).replaceAll(":", "");
    const full = k % rate === 0;
    const where = frame.toGeodetic([x + off[0]!, y + off[1]!]);
    const height = GROUND + 0.0021 * x - 0.0013 * y + ANTENNA_UP + off[2]!;
    const satellites = 17 + Math.round(1.6 * Math.sin(k / 2900) - 0.7 * Math.cos(k / 1270));
    const hdop = (0.62 + 0.06 * Math.sin(k / 3100)).toFixed(1);
    // the corrections stop arriving some seconds before the receiver gives up its fixed solution
    const lost = worseFrom - 9 * rate;
    const age = k >= lost && k < worseTo ? 1 + (k - lost) / rate : 1 + (k % rate) / rate;

    if (full) lines.push(sentence(`GNZDA,${time},${iso.slice(8, 10)},${iso.slice(5, 7)},${iso.slice(0, 4)},00,00`));
    lines.push(
      sentence(
        `GNGGA,${time},${degreesMinutes(where.latitude, 2)},N,${degreesMinutes(where.longitude, 3)},E,` +
          `${worse ? 5 : 4},${satellites},${hdop},${height.toFixed(2)},M,${GEOID.toFixed(1)},M,${age.toFixed(1)},`,
      ),
    );
    const metresPerSecond = Math.hypot(ve, vn);
    const course = frame.headingToTrue(wrapHeading(Math.atan2(ve, vn) / RADIANS), where);
    const moving = metresPerSecond >= 0.15;
    lines.push(
      sentence(
        `GNVTG,${moving ? `${wrapHeading(Number(course.toFixed(2))).toFixed(2)},T` : ",T"},,M,${((metresPerSecond * 3600) / 1852).toFixed(3)},N,` +
          `${(metresPerSecond * 3.6).toFixed(3)},K,D`,
      ),
    );
    if (full) {
      const [east, north, up] = worse ? [0.29, 0.31, 0.52] : [0.01, 0.011, 0.019];
      lines.push(sentence(`GNGST,${time},,,,,${north.toFixed(3)},${east.toFixed(3)},${up.toFixed(3)}`));
    }
  }
  return lines.join("");
}

function sentence(body: string): string {
  let sum = 0;
  for (let i = 0; i < body.length; i++) sum ^= body.charCodeAt(i);
  const text = `$${body}*${sum.toString(16).toUpperCase().padStart(2, "0")}\r\n`;
  if (text.length > 82) throw new Error(`sentence of ${text.length} characters: ${text}`);
  return text;
}

/** Degrees and minutes as NMEA 0183 writes them, minutes with seven decimals (0.2 mm). */
function degreesMinutes(degrees: number, digits: number): string {
  const units = Math.round(Math.abs(degrees) * 60e7);
  const whole = Math.floor(units / 60e7);
  return String(whole).padStart(digits, "0") + ((units - whole * 60e7) / 1e7).toFixed(7).padStart(10, "0");
}
