import { RADIANS, wrapHeading } from "../geometry/angle.js";
import { SMALLEST_RADIUS } from "./circle-line.js";
import { headingVector } from "./heading-vector.js";
import {
  AHEAD,
  AHEAD_X,
  AHEAD_Y,
  ALONG,
  ALONG_X,
  ALONG_Y,
  CURVATURE,
  DISTANCE,
  FIRST,
  LAST,
  LINE_HEADING,
  type LineLocator,
  OFFSET,
  type PassTrace,
  RIGHT,
  STATION,
  X,
  Y,
} from "./line-locator.js";
import type { Extension } from "./guidance-pattern.js";
import type { CircleLine } from "./reference-line.js";

const TURN = 2 * Math.PI;

/** Nearer than this is at the centre, metres: squares of smaller numbers lose their digits. */
const CENTRE = 1e-100;

/** Gap between the circle and its chords in a trace, metres. */
const SAGITTA = 1e-3;

/**
 * The locator of circles and arcs, exact. An arc's ends run on along their tangents where they are extended; past one that is
 * not, the distance is that from the tangent, as on a straight line.
 *
 * At the very centre, which has no nearest point, the foot is the circle's start.
 */
export class CircleLocator implements LineLocator {
  readonly closed: boolean;

  readonly #x: number;
  readonly #y: number;
  readonly #radius: number;
  // 1 clockwise, -1 counter-clockwise
  readonly #sense: number;
  // from the centre to the start
  readonly #startX: number;
  readonly #startY: number;
  // how far round it goes, radians
  readonly #sweep: number;
  readonly #before: boolean;
  readonly #after: boolean;
  // from the centre to the end
  readonly #endX: number;
  readonly #endY: number;

  constructor(line: CircleLine, extension: Extension, east: number, north: number) {
    const start = headingVector(line.start);
    const end = headingVector(line.end ?? line.start);
    this.closed = line.end === undefined;
    this.#x = line.points[0][0] + east;
    this.#y = line.points[0][1] + north;
    this.#radius = line.radius;
    this.#sense = line.rotation === "clockwise" ? 1 : -1;
    this.#startX = start[0];
    this.#startY = start[1];
    this.#endX = end[0];
    this.#endY = end[1];
    const sweep = line.end === undefined ? 360 : wrapHeading(this.#sense * (line.end - line.start));
    this.#sweep = sweep * RADIANS;
    this.#before = !this.closed && (extension === "both" || extension === "a");
    this.#after = !this.closed && (extension === "both" || extension === "b");
  }

  locate(numbers: Float64Array): void {
    // hot: with every fix; allocates nothing
    const x = numbers[X]! - this.#x;
    const y = numbers[Y]! - this.#y;
    const sense = this.#sense;
    const from = Math.sqrt(x * x + y * y);
    const nx = from > CENTRE ? x / from : this.#startX;
    const ny = from > CENTRE ? y / from : this.#startY;
    // clockwise from the start
    let angle = sense * Math.atan2(nx * this.#startY - ny * this.#startX, nx * this.#startX + ny * this.#startY);
    if (angle < 0) angle += TURN;
    const right = sense * (this.#radius - from);
    numbers[RIGHT] = right;
    numbers[DISTANCE] = Math.abs(right);
    numbers[STATION] = this.#radius * angle;
    numbers[ALONG_X] = sense * ny;
    numbers[ALONG_Y] = -sense * nx;
    if (!this.closed) this.#ends(numbers, x, y, angle);
    numbers[LINE_HEADING] = wrapHeading(Math.atan2(numbers[ALONG_X], numbers[ALONG_Y]) / RADIANS);
  }

  // an arc's two ends against the arc's own foot
  #ends(numbers: Float64Array, x: number, y: number, angle: number): void {
    const sense = this.#sense;
    const radius = this.#radius;
    const onArc = angle <= this.#sweep;
    let least = onArc ? numbers[DISTANCE]! : Number.POSITIVE_INFINITY;
    const startX = x - radius * this.#startX;
    const startY = y - radius * this.#startY;
    const endX = x - radius * this.#endX;
    const endY = y - radius * this.#endY;
    // along the tangents, in the line's direction
    const sx = sense * this.#startY;
    const sy = -sense * this.#startX;
    const ex = sense * this.#endY;
    const ey = -sense * this.#endX;
    const behind = startX * sx + startY * sy;
    const past = endX * ex + endY * ey;
    const startLateral = startX * sy - startY * sx;
    const endLateral = endX * ey - endY * ex;
    // from the extension, or from the end itself
    const toStart = this.#before && behind < 0 ? Math.abs(startLateral) : Math.sqrt(startX * startX + startY * startY);
    const toEnd = this.#after && past > 0 ? Math.abs(endLateral) : Math.sqrt(endX * endX + endY * endY);
    if (toStart < least) {
      least = toStart;
      const out = behind < 0;
      numbers[RIGHT] = out || startLateral === 0 ? startLateral : startLateral < 0 ? -toStart : toStart;
      numbers[DISTANCE] = toStart;
      numbers[STATION] = out ? behind : 0;
      const right = numbers[RIGHT];
      // beyond the centre the end itself is the foot, and the direction square to the way to it
      numbers[ALONG_X] = out || right === 0 ? sx : -startY / right;
      numbers[ALONG_Y] = out || right === 0 ? sy : startX / right;
    }
    if (toEnd < least) {
      const out = past > 0;
      numbers[RIGHT] = out || endLateral === 0 ? endLateral : endLateral < 0 ? -toEnd : toEnd;
      numbers[DISTANCE] = toEnd;
      numbers[STATION] = radius * this.#sweep + (out ? past : 0);
      const right = numbers[RIGHT];
      numbers[ALONG_X] = out || right === 0 ? ex : -endY / right;
      numbers[ALONG_Y] = out || right === 0 ? ey : endX / right;
    }
  }

  measure(numbers: Float64Array): void {
    const radius = this.#passRadius(numbers);
    const length = this.#radius * this.#sweep;
    const station = numbers[STATION]!;
    const on = this.closed || (station >= 0 && station <= length);
    const whole = radius * this.#sweep;
    numbers[ALONG] = on ? (station / this.#radius) * radius : station < 0 ? station : whole + station - length;
    numbers[CURVATURE] = on ? this.#sense / radius : 0;
    numbers[FIRST] = this.closed || this.#before ? Number.NEGATIVE_INFINITY : 0;
    numbers[LAST] = this.closed || this.#after ? Number.POSITIVE_INFINITY : whole;
  }

  lookAhead(numbers: Float64Array): void {
    const radius = this.#passRadius(numbers);
    const length = this.#radius * this.#sweep;
    const station = numbers[STATION]!;
    const whole = radius * this.#sweep;
    // on the pass, from its start
    let along = (station / this.#radius) * radius;
    if (!this.closed && station < 0) along = station;
    else if (!this.closed && station > length) along = whole + station - length;
    this.#point(numbers, radius, along + numbers[AHEAD]!);
  }

  // the point of the pass of a radius, straight on past the ends of an arc
  #point(numbers: Float64Array, radius: number, along: number): void {
    const sense = this.#sense;
    const whole = radius * this.#sweep;
    let on = along;
    let beyond = 0;
    if (!this.closed) {
      on = along < 0 ? 0 : along > whole ? whole : along;
      beyond = along - on;
    }
    const angle = (sense * on) / radius;
    const s = Math.sin(angle);
    const c = Math.cos(angle);
    // clockwise
    const nx = this.#startX * c + this.#startY * s;
    const ny = this.#startY * c - this.#startX * s;
    numbers[AHEAD_X] = this.#x + radius * nx + beyond * sense * ny;
    numbers[AHEAD_Y] = this.#y + radius * ny - beyond * sense * nx;
  }

  trace(numbers: Float64Array, box: Float64Array, to: PassTrace): void {
    const radius = this.#passRadius(numbers);
    const whole = radius * this.#sweep;
    const aheadX = numbers[AHEAD_X]!;
    const aheadY = numbers[AHEAD_Y]!;
    const piece = to.piece;
    const reach =
      Math.max(Math.abs(box[0]! - this.#x), Math.abs(box[2]! - this.#x)) +
      Math.max(Math.abs(box[1]! - this.#y), Math.abs(box[3]! - this.#y)) +
      2 * (radius + this.#radius);
    const count = Math.max(
      3,
      Math.ceil(this.#sweep / (2 * Math.acos(Math.max(0, 1 - SAGITTA / Math.max(radius, SAGITTA))))),
    );
    for (let k = this.#before ? -1 : 0; k < (this.#after ? count + 1 : count); k++) {
      for (let e = 0; e < 2; e++) {
        const along = k + e < 0 ? -reach : k + e > count ? whole + reach : ((k + e) / count) * whole;
        this.#point(numbers, radius, along);
        piece[3 * e] = numbers[AHEAD_X]!;
        piece[3 * e + 1] = numbers[AHEAD_Y]!;
        piece[3 * e + 2] = along;
      }
      to.take();
    }
    numbers[AHEAD_X] = aheadX;
    numbers[AHEAD_Y] = aheadY;
  }

  #passRadius(numbers: Float64Array): number {
    const radius = this.#radius - this.#sense * numbers[OFFSET]!;
    return radius > SMALLEST_RADIUS ? radius : SMALLEST_RADIUS;
  }
}
