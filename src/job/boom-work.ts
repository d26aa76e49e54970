import { CoverageRecord } from "../coverage/index.js";
import type { Polygon } from "../geometry/index.js";
import { cosDegrees, sinDegrees } from "../machine/degrees.js";
import { leverArm } from "../machine/index.js";
import {
  type Boom,
  boom,
  SectionControl,
  type SectionControlOptions,
  type SectionInput,
  type SectionSnapshot,
  type SectionStates,
  type SectionStep,
} from "../sections/index.js";
import type { BoomSetup, JobDefinition } from "./job-definition.js";
import type { BoomReport } from "./job-report.js";
import type { BoomSnapshot, JobSnapshot } from "./job-snapshot.js";
import type { BoomSums, SwitchEvent } from "./job-state.js";

type Writable<T> = { -readonly [K in keyof T]: T[K] };

/** One boom of a job: its sections, the record of the ground that they worked, and the orders given so far. */
export class BoomWork {
  /** place in the job's list of booms, from 0 */
  readonly index: number;
  readonly boom: Boom;
  /** replaced as a whole when a job is restored */
  coverage: CoverageRecord;
  control: SectionControl;
  /** what the next update is told; the job fills it in */
  readonly input: Writable<SectionInput> = { time: 0, x: 0, y: 0, heading: 0, speed: 0, usable: false };
  /** whether the towed implement carries it */
  readonly onImplement: boolean;
  /** above the reference point of the machine that carries it, metres */
  readonly height: number;
  /** orders as last told */
  readonly ordered: boolean[];
  /** ground newly worked, worked again, m², and orders given: the account of a further boom */
  readonly sums: Writable<BoomSums> = { workedArea: 0, overlapArea: 0, switches: 0 };
  private readonly setup: BoomSetup;
  private readonly definition: JobDefinition;
  private readonly spot = new Float64Array(3);

  /**
   * @param definition - of the job, for its zones
   * @param setup - of this boom
   * @param index - its place
   * @param shared - the record of another boom, where they put out the same
   */
  constructor(definition: JobDefinition, setup: BoomSetup, index: number, shared: CoverageRecord | undefined) {
    this.definition = definition;
    this.setup = setup;
    this.index = index;
    this.boom = boom(setup.boom);
    this.onImplement = (setup.on ?? (definition.towed === undefined ? "machine" : "implement")) === "implement";
    this.height = this.onImplement ? 0 : (setup.height ?? 0);
    // records of another frame must not be merged with this one
    this.coverage = shared ?? new CoverageRecord({ origin: definition.origin, ...setup.coverage });
    this.control = new SectionControl(this.options());
    this.ordered = this.boom.sections.map(() => false);
  }

  /** who is told of each step */
  listen(tell: ((step: SectionStep, boom: number) => void) | null): void {
    this.control.onStep = tell === null ? null : (step) => tell(step, this.index);
  }

  get states(): SectionStates {
    return this.control.state;
  }

  /**
   * Where the boom's carrier is and how it moves, for the next update.
   *
   * @param aside - metres that the boom stands to the right of its carrier's middle, by roll
   */
  place(x: number, y: number, heading: number, speed: number, yawRate: number, aside: number): void {
    const input = this.input;
    input.x = aside === 0 ? x : x + aside * cosDegrees(heading);
    input.y = aside === 0 ? y : y - aside * sinDegrees(heading);
    input.heading = heading;
    input.speed = speed;
    input.yawRate = yawRate;
  }

  /** all sections off, for want of a position */
  stop(time: number): void {
    const input = this.input;
    input.time = time;
    input.usable = false;
    input.reason = "stale";
    this.control.update(input);
  }

  /** orders that changed since the last look, and each of them told */
  collect(pass: number, tell: ((event: SwitchEvent) => void) | null): number {
    const ordered = this.control.state.ordered;
    let changes = 0;
    for (let i = 0; i < ordered.length; i++) {
      if (ordered[i] === this.ordered[i]) continue;
      this.ordered[i] = ordered[i]!;
      changes++;
      if (tell !== null) tell(this.event(i, pass));
    }
    this.sums.switches += changes;
    return changes;
  }

  /** what the last update worked goes into the sums */
  add(): void {
    this.sums.workedArea += this.control.state.workedArea;
    this.sums.overlapArea += this.control.state.overlapArea;
  }

  restore(sections: SectionSnapshot, coverage: CoverageRecord): void {
    this.coverage = coverage;
    this.control = SectionControl.restore(sections, this.options());
    const ordered = this.control.state.ordered;
    for (let i = 0; i < ordered.length; i++) this.ordered[i] = ordered[i]!;
  }

  snapshot(): BoomSnapshot {
    return {
      sections: this.control.snapshot(),
      coverage: this.setup.sameGround === true ? null : this.coverage.snapshot(),
      sums: { ...this.sums },
    };
  }

  report(field: readonly Polygon[] | undefined): BoomReport {
    const { product } = this.setup;
    return {
      ...(product === undefined ? {} : { product }),
      ...this.sums,
      workedTwiceArea: this.coverage.areas().workedTwice,
      field: field === undefined ? null : this.coverage.areasWithin(field),
    };
  }

  private event(i: number, pass: number): SwitchEvent {
    const { x, y, heading } = this.input;
    const section = this.boom.sections[i]!;
    // the section's middle is a place on its carrier: x ahead, y right
    leverArm(heading, 0, 0, section.x, (section.left + section.right) / 2, 0, this.spot);
    return {
      time: this.control.state.time,
      exactTime: this.control.state.crossings[i] ?? this.control.state.time,
      boom: this.index,
      section: i,
      on: this.ordered[i]!,
      reason: this.control.state.reasons[i]!,
      pass,
      x: x + this.spot[0]!,
      y: y + this.spot[1]!,
    };
  }

  private options(): SectionControlOptions {
    const { field, headland, closed, latency } = this.definition;
    const settings = latency === undefined ? this.setup.sections : { latency, ...this.setup.sections };
    return {
      boom: this.boom,
      coverage: this.coverage,
      ...(field === undefined ? {} : { field }),
      ...(headland === undefined ? {} : { headland }),
      ...(closed === undefined ? {} : { closed }),
      ...(settings === undefined ? {} : { settings }),
    };
  }
}

/** The booms of a job, in the order of its definition. */
export function makeBooms(definition: JobDefinition): BoomWork[] {
  const { sections, coverage, boomOn, boomHeight, furtherBooms = [] } = definition;
  const first: BoomSetup = {
    boom: definition.boom,
    ...(boomOn === undefined ? {} : { on: boomOn }),
    ...(boomHeight === undefined ? {} : { height: boomHeight }),
    ...(sections === undefined ? {} : { sections }),
    ...(coverage === undefined ? {} : { coverage }),
  };
  const booms = [new BoomWork(definition, first, 0, undefined)];
  for (const setup of furtherBooms) {
    const shared = setup.sameGround === true ? booms[0]!.coverage : undefined;
    booms.push(new BoomWork(definition, setup, booms.length, shared));
  }
  return booms;
}

/** Put the booms back to where a snapshot was taken; throws what the parts of it throw. */
export function restoreBooms(booms: readonly BoomWork[], snapshot: JobSnapshot): void {
  const [first, ...further] = booms;
  first!.restore(snapshot.sections, CoverageRecord.restore(snapshot.coverage));
  further.forEach((work, i) => {
    const { sections, coverage, sums } = snapshot.furtherBooms[i]!;
    work.restore(sections, coverage === null ? first!.coverage : CoverageRecord.restore(coverage));
    Object.assign(work.sums, sums);
  });
}
