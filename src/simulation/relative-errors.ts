import type { Line } from "../geometry/index.js";
import type { LineRun, TrackRuns } from "./track-runs.js";

/** Which earlier passes a pass is compared with. */
export interface Pairing {
  /** s between them, at the same place, more than this ... */
  readonly from: number;
  /** ... and no more than this */
  readonly to: number;
  /** only those in the opposite direction */
  readonly opposite: boolean;
  /** only the latest of them */
  readonly latest: boolean;
  /** also those on the lines beside in the list */
  readonly neighbours: boolean;
}

/** Errors of passes less those of earlier ones at the same place, the later one's points. */
export function relativeErrors(
  cutter: TrackRuns,
  lines: readonly Line[],
  runs: readonly LineRun[],
  pairing: Pairing,
): { readonly errors: number[]; readonly pairs: number } {
  const errors: number[] = [];
  let pairs = 0;
  for (let j = 1; j < runs.length; j++) {
    const later = runs[j]!;
    for (let i = j - 1; i >= 0; i--) {
      const earlier = runs[i]!;
      // runs are in the order driven: all before it are older still
      if (oldest(later) - newest(earlier) > pairing.to) break;
      const apart = Math.abs(earlier.line - later.line);
      if (apart > (pairing.neighbours ? 1 : 0)) continue;
      const turned = apart === 0 ? 1 : facing(lines[earlier.line]!, lines[later.line]!);
      const opposite = (earlier.sameDirection === later.sameDirection) !== turned > 0;
      if (pairing.opposite && !opposite) continue;
      const before = errors.length;
      compare(cutter, earlier, later, turned, pairing, errors);
      if (errors.length === before) continue;
      pairs++;
      if (pairing.latest) break;
    }
  }
  return { errors, pairs };
}

function compare(
  cutter: TrackRuns,
  earlier: LineRun,
  later: LineRun,
  turned: 1 | -1,
  { from, to }: Pairing,
  errors: number[],
): void {
  const same = earlier.line === later.line;
  const index = cutter.indexes[earlier.line]!;
  const n = earlier.station.length;
  for (let k = 0; k < later.station.length; k++) {
    let station = later.station[k]!;
    if (!same) station = index.nearest(later.footX[k]!, later.footY[k]!).station;
    if (station < earlier.station[0]! || station > earlier.station[n - 1]!) continue;
    let low = 0;
    let high = n - 1;
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if (earlier.station[middle]! <= station) low = middle;
      else high = middle;
    }
    const t = (station - earlier.station[low]!) / (earlier.station[high]! - earlier.station[low]!);
    const time = earlier.time[low]! + t * (earlier.time[high]! - earlier.time[low]!);
    const age = later.time[k]! - time;
    if (!(age > from && age <= to)) continue;
    const error = earlier.error[low]! + t * (earlier.error[high]! - earlier.error[low]!);
    errors.push(later.error[k]! - turned * error);
  }
}

function oldest({ time }: LineRun): number {
  return Math.min(time[0]!, time[time.length - 1]!);
}

function newest({ time }: LineRun): number {
  return Math.max(time[0]!, time[time.length - 1]!);
}

/** whether two lines run the same way, by their ends */
function facing(a: Line, b: Line): 1 | -1 {
  const [p, q] = [a[0]!, a[a.length - 1]!];
  const [r, s] = [b[0]!, b[b.length - 1]!];
  return (q[0] - p[0]) * (s[0] - r[0]) + (q[1] - p[1]) * (s[1] - r[1]) < 0 ? -1 : 1;
}
