import type { Run } from "./course.js";

/** How far ahead of where it last was the machine's foot is looked for, metres. */
const WINDOW = 3;
/** Half the length of way over which direction and curvature are taken, metres: vertices of a drawn arc do not show. */
const BLUR = 0.5;

/** A place on a run: the foot of a machine that drives along it, never going back. Allocates nothing. */
export class CourseCursor {
  /** way from the run's start to the foot, metres */
  station = 0.5;
  /** segment that the foot is on */
  segment = 0;
  /** distance from the foot, right of the run positive, metres */
  crossTrackError = 0.5;
  /** direction of the run at the foot, as sine and cosine of its heading */
  sine = 0.5;
  /** cosine of the direction */
  cosine = 0.5;
  /** curvature of the run at the foot, 1/m, right turn positive */
  curvature = 0.5;
  /** metres beyond the run's end, along its last segment; negative before it */
  beyond = 0.5;
  private run: Run;
  private readonly point = new Float64Array(2);

  constructor(run: Run) {
    this.run = run;
    this.begin(run);
  }

  /** At the start of a run. */
  begin(run: Run): void {
    this.run = run;
    this.station = 0;
    this.segment = 0;
    this.crossTrackError = 0;
    this.curvature = 0;
    this.beyond = -1;
  }

  /** Follow a machine to a place; `moved` is how far it can have driven since, metres. */
  follow(x: number, y: number, moved: number): void {
    // hot: twice a step
    const run = this.run;
    const last = run.x.length - 2;
    const from = this.station;
    const end = from + Math.max(WINDOW, 3 * moved);
    let nearest = Number.POSITIVE_INFINITY;
    let found = this.segment;
    let station = from;
    for (let i = this.segment; i <= last && run.station[i]! <= end; i++) {
      const ax = run.x[i]!;
      const ay = run.y[i]!;
      const dx = run.x[i + 1]! - ax;
      const dy = run.y[i + 1]! - ay;
      const length = run.station[i + 1]! - run.station[i]!;
      const least = Math.max(0, (from - run.station[i]!) / length);
      let t = ((x - ax) * dx + (y - ay) * dy) / (length * length);
      t = t < least ? least : t > 1 ? 1 : t;
      const ex = x - ax - t * dx;
      const ey = y - ay - t * dy;
      const square = ex * ex + ey * ey;
      if (square < nearest) {
        nearest = square;
        found = i;
        station = run.station[i]! + t * length;
      }
    }
    this.segment = found;
    this.station = station;
    this.direct(x, y);
  }

  /** The point of the run that lies so far from a place, ahead of the foot; straight on past its end. East and north into `out`. */
  target(x: number, y: number, distance: number, out: Float64Array): void {
    const run = this.run;
    const last = run.x.length - 2;
    const square = distance * distance;
    for (let i = this.segment; ; i++) {
      const bx = run.x[i + 1]! - x;
      const by = run.y[i + 1]! - y;
      if (i < last && bx * bx + by * by < square) continue;
      const length = run.station[i + 1]! - run.station[i]!;
      const ux = (run.x[i + 1]! - run.x[i]!) / length;
      const uy = (run.y[i + 1]! - run.y[i]!) / length;
      const ax = run.x[i]! - x;
      const ay = run.y[i]! - y;
      const along = -(ax * ux + ay * uy);
      const aside = ay * ux - ax * uy;
      // farther away than that everywhere: the foot
      const reach = Math.sqrt(Math.max(0, square - aside * aside));
      const least = i === this.segment ? this.station - run.station[i]! : 0;
      const way = Math.max(least, along + reach);
      out[0] = run.x[i]! + way * ux;
      out[1] = run.y[i]! + way * uy;
      return;
    }
  }

  /** Number of the drive so far ahead of (or behind) the foot; -1 on a joint. */
  driveAt(ahead: number): number {
    const run = this.run;
    const last = run.x.length - 2;
    const station = this.station + ahead;
    let i = this.segment;
    while (i < last && run.station[i + 1]! <= station) i++;
    while (i > 0 && run.station[i]! > station) i--;
    return run.drive[i]!;
  }

  /** Most speed here, m/s, braking at so many m/s² for what lies ahead. */
  pace(acceleration: number): number {
    const run = this.run;
    const i = this.segment;
    const next = run.limit[i + 1]!;
    const left = Math.max(0, run.station[i + 1]! - this.station);
    return Math.min(run.pace[i]!, Math.sqrt(next * next + 2 * acceleration * left));
  }

  /** direction, curvature and error at the foot */
  private direct(x: number, y: number): void {
    const run = this.run;
    const i = this.segment;
    const last = run.x.length - 2;
    const point = this.point;
    const start = run.station[i]!;
    const length = run.station[i + 1]! - start;
    const along = this.station - start;
    let ux = (run.x[i + 1]! - run.x[i]!) / length;
    let uy = (run.y[i + 1]! - run.y[i]!) / length;
    const fx = run.x[i]! + along * ux;
    const fy = run.y[i]! + along * uy;
    this.beyond = i === last ? (x - run.x[i + 1]!) * ux + (y - run.y[i + 1]!) * uy : along - length - 1;
    this.curvature = 0;
    if ((along < BLUR && i > 0) || (length - along < BLUR && i < last)) {
      this.placeAt(this.station - BLUR);
      const ax = fx - point[0]!;
      const ay = fy - point[1]!;
      this.placeAt(this.station + BLUR);
      const bx = point[0]! - fx;
      const by = point[1]! - fy;
      const cx = ax + bx;
      const cy = ay + by;
      const chord = Math.sqrt(cx * cx + cy * cy);
      const a = Math.sqrt(ax * ax + ay * ay);
      const b = Math.sqrt(bx * bx + by * by);
      if (chord > 0 && a > 0 && b > 0) {
        ux = cx / chord;
        uy = cy / chord;
        // of the circle through the three points
        this.curvature = (2 * (ay * bx - ax * by)) / (a * b * chord);
      }
    }
    this.sine = ux;
    this.cosine = uy;
    this.crossTrackError = (x - fx) * uy - (y - fy) * ux;
  }

  /** point of the run at a station, straight on past its ends */
  private placeAt(station: number): void {
    const run = this.run;
    const last = run.x.length - 2;
    let i = this.segment;
    while (i < last && run.station[i + 1]! < station) i++;
    while (i > 0 && run.station[i]! > station) i--;
    const t = (station - run.station[i]!) / (run.station[i + 1]! - run.station[i]!);
    this.point[0] = run.x[i]! + t * (run.x[i + 1]! - run.x[i]!);
    this.point[1] = run.y[i]! + t * (run.y[i + 1]! - run.y[i]!);
  }
}
