import type { LineLabels } from "../guidance/index.js";
import type { JobState, PassedLine, PassReport } from "./job-state.js";

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
  /** line whose pass it is; absent for a line without labels */
  readonly line?: PassedLine;
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

/** The passes of one line. */
interface LineTallies {
  readonly key: string;
  readonly line: PassedLine;
  readonly passes: Map<number, Tally>;
}

/** Keeps, for each pass of each line, what was done on it, in constant memory however long the pass. */
export class PassLog {
  // in the order in which they were first worked on
  private readonly lines = new Map<string, LineTallies>();
  /** metres; in a field: a number handed over would be boxed */
  length = 0.5;
  private current = this.talliesOf({});

  /** passes added from now on are those of this line, the same as before where id or name say so */
  useLine(labels: LineLabels): void {
    this.current = this.talliesOf(labels);
  }

  /** one stretch of way of {@link PassLog.length}, and the orders given on it. Allocates only when a pass is new */
  add(state: JobState, switches: number): void {
    const { current, length } = this;
    const { pass, crossTrackError: error } = state.guidance;
    const { workedArea, overlapArea } = state.sections;
    let tally = current.passes.get(pass);
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
      current.passes.set(pass, tally);
      this.lines.set(current.key, current);
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

  /** lines in the order in which they were first worked on, their passes rising; those on which nothing was worked or switched are left out */
  report(): PassReport[] {
    return [...this.lines.values()].flatMap(({ line, passes }) =>
      [...passes.entries()]
        .filter(([, tally]) => tally.length > 0 || tally.switches > 0)
        .sort(([a], [b]) => a - b)
        .map(([pass, tally]) => ({
          line: { ...line },
          pass,
          length: tally.length,
          meanError: tally.errorLength > 0 ? tally.errorSum / tally.errorLength : 0,
          error95: quantile(tally.classes, tally.errorLength, 0.95),
          workedArea: tally.workedArea,
          overlapArea: tally.overlapArea,
          switches: tally.switches,
        })),
    );
  }

  snapshot(): PassLogEntry[] {
    return [...this.lines.values()].flatMap(({ line, passes }) =>
      [...passes.entries()].map(([pass, tally]) => {
        const classes: number[] = [];
        for (let i = 0; i < CLASSES; i++) if (tally.classes[i]! > 0) classes.push(i, tally.classes[i]!);
        const { length, errorLength, errorSum, workedArea, overlapArea, switches } = tally;
        return { line: { ...line }, pass, length, errorLength, errorSum, workedArea, overlapArea, switches, classes };
      }),
    );
  }

  /** the line in force stays the one in force */
  restore(entries: readonly PassLogEntry[]): void {
    this.lines.clear();
    for (const { line, pass, classes, ...numbers } of entries) {
      const tally: Tally = { ...numbers, classes: new Float64Array(CLASSES) };
      for (let i = 0; i + 1 < classes.length; i += 2) tally.classes[classes[i]!] = classes[i + 1]!;
      const one = this.talliesOf(line ?? {});
      one.passes.set(pass, tally);
      this.lines.set(one.key, one);
    }
    this.useLine(this.current.line);
  }

  // those that are there, else new ones, kept from their first pass on
  private talliesOf({ id, name }: LineLabels): LineTallies {
    // an identity and a name that read alike are two lines
    const key = id === undefined ? `name ${name ?? ""}` : `id ${id}`;
    const line = { ...(id === undefined ? {} : { id }), ...(name === undefined ? {} : { name }) };
    return this.lines.get(key) ?? { key, line, passes: new Map() };
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
