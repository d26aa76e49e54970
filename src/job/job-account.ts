import type { LineLabels } from "../guidance/index.js";
import type { Fix } from "../receiver/index.js";
import type { JobState, JobTotals, PassReport } from "./job-state.js";
import type { JobClock } from "./job-clock.js";
import { PassLog, type PassLogEntry } from "./pass-log.js";

type Writable<T> = { -readonly [K in keyof T]: T[K] };

/** Qualities of a fix, 0 to 8, as GGA and ISO 11783-10 number them. */
const QUALITIES = 9;
/** Way is counted in steps of at least this, m, so that noise of the position does not lengthen it. */
const STEP = 0.5;
/** A longer silence than this is a gap across which no way is counted, s; the heading starts anew after it too. */
const LONGEST_JOIN = 2;

/** What an account remembers; a job's snapshot carries its parts. */
export interface AccountSnapshot {
  /** totals so far */
  readonly totals: JobTotals;
  /** what was done on each pass */
  readonly passes: readonly PassLogEntry[];
  /** s of work by quality of the fix */
  readonly secondsByQuality: readonly number[];
  /** whether way is being counted from a place: 0 no, 1 yes, 2 yes but for a break since; and that place */
  readonly anchor: readonly [counting: number, x: number, y: number];
}

/** Keeps the totals of a job and the account of its passes. Allocates only when a pass is new. */
export class JobAccount {
  /** totals so far, overwritten with each addition */
  readonly totals: Writable<JobTotals> = {
    distance: 0,
    distanceWorked: 0,
    time: 0,
    timeWorked: 0,
    workedArea: 0,
    overlapArea: 0,
    workRate: 0,
    fixes: 0,
    switches: 0,
  };
  private readonly log = new PassLog();
  private readonly seconds = new Float64Array(QUALITIES);
  private counting = false;
  private broken = false;
  private x = 0.5;
  private y = 0.5;
  /** m, of the fix taken last; in a field: a number returned would be boxed */
  private way = 0.5;

  /** one fix: the clock has the time since the one before, `joined` whether its place may be joined with the one before, `switches` orders given */
  add(state: JobState, fix: Fix, clock: JobClock, joined: boolean, onPass: boolean, switches: number): void {
    const totals = this.totals;
    const elapsed = clock.elapsed;
    const quality = fix?.quality ?? 0;
    const sections = state.sections;
    const working = sections.working.includes(true);
    this.go(state, joined && elapsed <= LONGEST_JOIN);
    const way = this.way;
    totals.fixes++;
    totals.time += elapsed;
    totals.distance += way;
    totals.workedArea += sections.workedArea;
    totals.overlapArea += sections.overlapArea;
    if (working) {
      totals.timeWorked += elapsed;
      totals.distanceWorked += way;
      if (quality >= 0 && quality < QUALITIES) this.seconds[quality]! += elapsed;
    }
    totals.workRate = totals.timeWorked > 0 ? totals.workedArea / totals.timeWorked : 0;
    if (onPass && (working || switches > 0)) {
      this.log.length = working ? way : 0;
      this.log.add(state, switches);
    }
  }

  /** passes from now on are those of this line */
  useLine(labels: LineLabels | null): void {
    this.log.useLine(labels ?? {});
  }

  /** the next way begins where the machine is then; found where it was it has not moved */
  breakOff(): void {
    this.broken = true;
  }

  /** one row for each pass */
  passes(): PassReport[] {
    return this.log.report();
  }

  secondsByQuality(): number[] {
    return [...this.seconds];
  }

  snapshot(): AccountSnapshot {
    return {
      totals: { ...this.totals },
      passes: this.log.snapshot(),
      secondsByQuality: this.secondsByQuality(),
      anchor: [this.counting ? (this.broken ? 2 : 1) : 0, this.x, this.y],
    };
  }

  restore(snapshot: AccountSnapshot): void {
    Object.assign(this.totals, snapshot.totals);
    this.log.restore(snapshot.passes);
    this.seconds.set(snapshot.secondsByQuality);
    this.counting = snapshot.anchor[0] !== 0;
    this.broken = snapshot.anchor[0] === 2;
    this.x = snapshot.anchor[1];
    this.y = snapshot.anchor[2];
  }

  /** take the way since the last step; counted once it is longer than noise, and never across a gap */
  private go(state: JobState, joined: boolean): void {
    this.way = 0;
    if (!joined) {
      this.broken = true;
      return;
    }
    const { x, y } = state;
    const dx = x - this.x;
    const dy = y - this.y;
    const apart = Math.sqrt(dx * dx + dy * dy);
    const way = this.counting && !this.broken ? apart : 0;
    this.broken = false;
    if (this.counting && apart < STEP) return;
    this.counting = true;
    this.x = x;
    this.y = y;
    this.way = way;
  }
}
