import { type Line, LineIndex, type NearestPoint } from "../geometry/index.js";

/** Where something was when: columns of one length. A {@link DriveRecord} is one. */
export interface Track {
  /** s, growing */
  readonly time: ArrayLike<number>;
  /** metres east */
  readonly x: ArrayLike<number>;
  /** metres north */
  readonly y: ArrayLike<number>;
}

/** A stretch of a track along one line. */
export interface LineRun {
  /** number of the line */
  readonly line: number;
  /** whether it was driven in the line's own direction */
  readonly sameDirection: boolean;
  /** stations on the line, metres, growing whichever way it was driven */
  readonly station: Float64Array;
  /** distances from the line, metres, right of it in its own direction positive */
  readonly error: Float64Array;
  /** s */
  readonly time: Float64Array;
  /** feet on the line, metres east */
  readonly footX: Float64Array;
  /** feet on the line, metres north */
  readonly footY: Float64Array;
}

/** What counts as driven along a line. */
export interface RunLimits {
  readonly maximumDistance: number;
  readonly maximumAngle: number;
  readonly trim: number;
  readonly minimumLength: number;
}

/** Slower than this between two points of the track is standing, metres. */
const STANDING = 1e-3;
/** A longer silence ends a run, s. */
const SILENCE = 2;

/** Cut a track into runs along lines: every distance is that of the point from the line itself, interpolated between its vertices. */
export class TrackRuns {
  readonly indexes: readonly LineIndex[];
  private readonly bounds: readonly (readonly [west: number, south: number, east: number, north: number])[];
  private readonly lines: readonly Line[];
  private readonly limits: RunLimits;

  constructor(lines: readonly Line[], limits: RunLimits) {
    this.lines = lines;
    this.limits = limits;
    this.indexes = lines.map((line) => new LineIndex(line));
    const reach = limits.maximumDistance;
    this.bounds = lines.map((line) => {
      let [west, south, east, north] = [Infinity, Infinity, -Infinity, -Infinity];
      for (const [x, y] of line) {
        west = Math.min(west, x);
        east = Math.max(east, x);
        south = Math.min(south, y);
        north = Math.max(north, y);
      }
      return [west - reach, south - reach, east + reach, north + reach] as const;
    });
  }

  /** In the order driven. */
  cut(track: Track): LineRun[] {
    const runs: LineRun[] = [];
    let open = null as OpenRun | null;
    const close = (ended: OpenRun | null): OpenRun | null => {
      const run = ended?.close(this.limits.minimumLength);
      if (run !== null && run !== undefined) runs.push(run);
      return null;
    };
    const n = track.time.length;
    let near = -1;
    for (let i = 0; i < n; i++) {
      const time = track.time[i]!;
      const x = track.x[i]!;
      const y = track.y[i]!;
      const before = Math.max(0, i - 1);
      const after = Math.min(n - 1, i + 1);
      const dx = track.x[after]! - track.x[before]!;
      const dy = track.y[after]! - track.y[before]!;
      const way = Math.hypot(dx, dy);
      if (!(way > STANDING)) continue;
      near = this.nearest(x, y, near);
      if (near < 0) {
        open = close(open);
        continue;
      }
      const index = this.indexes[near]!;
      const foot = index.nearest(x, y);
      const [a, b] = [this.lines[near]![foot.segment]!, this.lines[near]![foot.segment + 1]!];
      const along = (dx * (b[0] - a[0]) + dy * (b[1] - a[1])) / (way * Math.hypot(b[0] - a[0], b[1] - a[1]));
      const { station } = foot;
      const { trim, maximumAngle } = this.limits;
      const inside = station > trim && station < index.length - trim;
      if (!inside || Math.abs(along) < Math.cos((maximumAngle * Math.PI) / 180)) {
        open = close(open);
        continue;
      }
      if (open !== null && !open.continues(near, along > 0, time)) open = close(open);
      open ??= new OpenRun(near, along > 0);
      open.add(foot, time);
    }
    close(open);
    return runs;
  }

  /** the line that the place is nearest to, within reach; -1 for none */
  private nearest(x: number, y: number, last: number): number {
    let best = this.limits.maximumDistance;
    let found = -1;
    if (last >= 0) {
      const distance = this.indexes[last]!.nearest(x, y).distance;
      if (distance <= best) {
        best = distance;
        found = last;
      }
    }
    for (let i = 0; i < this.bounds.length; i++) {
      if (i === last) continue;
      const [west, south, east, north] = this.bounds[i]!;
      if (x < west || x > east || y < south || y > north) continue;
      const distance = this.indexes[i]!.nearest(x, y).distance;
      // of equally near lines the one it was on
      if (distance < best || (found < 0 && distance <= best)) {
        best = distance;
        found = i;
      }
    }
    return found;
  }
}

class OpenRun {
  private readonly station: number[] = [];
  private readonly error: number[] = [];
  private readonly time: number[] = [];
  private readonly footX: number[] = [];
  private readonly footY: number[] = [];

  constructor(
    private readonly line: number,
    private readonly sameDirection: boolean,
  ) {}

  continues(line: number, sameDirection: boolean, time: number): boolean {
    const last = this.time[this.time.length - 1]!;
    return line === this.line && sameDirection === this.sameDirection && time - last <= SILENCE && time > last;
  }

  add({ station, signedDistance, x, y }: NearestPoint, time: number): void {
    const last = this.station[this.station.length - 1];
    // noise at a crawl does not go back
    if (last !== undefined && (this.sameDirection ? station <= last : station >= last)) return;
    this.station.push(station);
    this.error.push(signedDistance);
    this.time.push(time);
    this.footX.push(x);
    this.footY.push(y);
  }

  close(minimumLength: number): LineRun | null {
    const n = this.station.length;
    if (n < 2 || Math.abs(this.station[n - 1]! - this.station[0]!) < minimumLength) return null;
    if (!this.sameDirection) {
      for (const column of [this.station, this.error, this.time, this.footX, this.footY]) column.reverse();
    }
    return {
      line: this.line,
      sameDirection: this.sameDirection,
      station: Float64Array.from(this.station),
      error: Float64Array.from(this.error),
      time: Float64Array.from(this.time),
      footX: Float64Array.from(this.footX),
      footY: Float64Array.from(this.footY),
    };
  }
}
