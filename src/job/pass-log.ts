import type { PassReport } from "./job-state.js";

/** Width of a class of cross-track error up to {@link FINE}, m. */
const FINE_CLASS = 1e-3;
/** Where the fine classes end, m: about the error of steering. */
const FINE = 2;
/** Width of a class beyond, m: about a way round an obstacle. */
const COARSE_CLASS = 1e-2;
const FINE_CLASSES = 2000;
/** Classes in all: errors of 22 m and more share the last. */
const CLASSES = FINE_CLASSES + 2000;

/** Plain state of one pass, safe in JSON. */
export interface PassLogEntry {
  /** pass number */
  readonly pass: number;
  /** way driven while product landed, m */
  readonly length: number;
  /** part of it with a cross-track error, m */
  readonly errorLength: number;
  /** sum of cross-track error times way, m² */
  readonly errorSum: number;
  /** ground newly worked, m² */
  readonly workedArea: number;
  /** ground worked again, m² */
  readonly overlapArea: number;
  /** orders to sections */
  readonly switches: number;
  /** class and length of way in it, class and length, ...; classes without any are left out */
  readonly classes: readonly number[];
}

interface Tally {
  length: number;
  errorLength: number;
  errorSum: number;
  workedArea: number;
  overlapArea: number;
  switches: number;
  readonly classes: Float64Array;
}

/** Keeps, for each pass, what was done on it, in constant memory however long the pass. */
export class PassLog {
  private readonly tallies = new Map<number, Tally>();

  /** one stretch of way; `error` NaN where there is none. Allocates only when a pass is new */
  add(pass: number, length: number, error: number, workedArea: number, overlapArea: number, switches: number): void {
    let tally = this.tallies.get(pass);
    if (tally === undefined) {
      tally = {
        length: 0,
        errorLength: 0,
        errorSum: 0,
        workedArea: 0,
        overlapArea: 0,
        switches: 0,
        classes: new Float64Array(CLASSES),
      };
      this.tallies.set(pass, tally);
    }
    tally.length += length;
    tally.workedArea += workedArea;
    tally.overlapArea += overlapArea;
    tally.switches += switches;
    if (length > 0 && Number.isFinite(error)) {
      tally.errorLength += length;
      tally.errorSum += error * length;
      tally.classes[classOf(Math.abs(error))]! += length;
    }
  }

  /** passes in rising order; those on which nothing was worked or switched are left out */
  report(): PassReport[] {
    return [...this.tallies.entries()]
      .filter(([, tally]) => tally.length > 0 || tally.switches > 0)
      .sort(([a], [b]) => a - b)
      .map(([pass, tally]) => ({
        pass,
        length: tally.length,
        meanError: tally.errorLength > 0 ? tally.errorSum / tally.errorLength : 0,
        error95: quantile(tally.classes, tally.errorLength, 0.95),
        workedArea: tally.workedArea,
        overlapArea: tally.overlapArea,
        switches: tally.switches,
      }));
  }

  snapshot(): PassLogEntry[] {
    return [...this.tallies.entries()].map(([pass, tally]) => {
      const classes: number[] = [];
      for (let i = 0; i < CLASSES; i++) if (tally.classes[i]! > 0) classes.push(i, tally.classes[i]!);
      const { length, errorLength, errorSum, workedArea, overlapArea, switches } = tally;
      return { pass, length, errorLength, errorSum, workedArea, overlapArea, switches, classes };
    });
  }

  restore(entries: readonly PassLogEntry[]): void {
    for (const { pass, classes, ...numbers } of entries) {
      const tally: Tally = { ...numbers, classes: new Float64Array(CLASSES) };
      for (let i = 0; i + 1 < classes.length; i += 2) tally.classes[classes[i]!] = classes[i + 1]!;
      this.tallies.set(pass, tally);
    }
  }
}

/** upper edge of the class in which the share is reached */
function quantile(classes: Float64Array, total: number, share: number): number {
  if (!(total > 0)) return 0;
  let sum = 0;
  for (let i = 0; i < CLASSES; i++) {
    sum += classes[i]!;
    if (sum >= share * total) return upperEdge(i);
  }
  return upperEdge(CLASSES - 1);
}

function classOf(error: number): number {
  if (error < FINE) return Math.min(FINE_CLASSES - 1, Math.floor(error / FINE_CLASS));
  return Math.min(CLASSES - 1, FINE_CLASSES + Math.floor((error - FINE) / COARSE_CLASS));
}

function upperEdge(place: number): number {
  if (place < FINE_CLASSES) return (place + 1) * FINE_CLASS;
  return FINE + (place + 1 - FINE_CLASSES) * COARSE_CLASS;
}
