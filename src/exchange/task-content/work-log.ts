import { FeeringError, requireNumber, requireObject } from "../../errors/index.js";
import type { LocalFrame } from "../../frames/index.js";
import { wrapDifference } from "../../geometry/index.js";
import type { Fix } from "../../receiver/index.js";
import { condensedWorkState, type SectionStep } from "../../sections/index.js";
import { requireUtcOffset } from "../time-log/log-time.js";
import { type TimeLogHeader, TimeLogRecord, TimeLogWriter } from "../time-log/index.js";
import { DDI, MOST_WORDS, WORD_SECTIONS } from "./ddi.js";

/** What a {@link WorkLog} is of. */
export interface WorkLogOptions {
  /** id of the boom's element in the document: `DET-2` */
  readonly element: string;
  /** how many sections it has, 1 to 256 */
  readonly sections: number;
  /** s that the clock of the cab is ahead of UTC, whole minutes; default 0 */
  readonly utcOffset?: number;
  /** Unix time, s, that time 0 of the fixes stands for, where they have no date; default 0: they have one */
  readonly timeZero?: number;
}

/** What a {@link WorkLog} has written. */
export interface WorkLogSummary {
  /** bytes of all records: attribute B of TLG */
  readonly length: number;
  /** records */
  readonly records: number;
  /** Unix time of the first record, s; NaN where there is none */
  readonly start: number;
  /** Unix time of the last record, s */
  readonly stop: number;
}

/**
 * Writes the work of one boom of a job as a time log of ISO 11783-10, live or afterwards: one record for each step, and one for each instant in between at
 * which product of a section began or ended to land.
 *
 * Places are those of the reference point of what carries the boom, and the yaw angle (DDI 144) is its true heading: with them, the device's
 * sections and their condensed work states (DDI 161 and up) the ground worked can be made again (`coverageFromTimeLog`). A state holds until the next record; before
 * a gap all sections are logged off, so nothing joins across it. It needs constant memory.
 *
 * @example
 * ```ts
 * const log = new WorkLog(job.frame, { element: "DET-2", sections: 24 }, (bytes) => file.write(bytes));
 * let fix;
 * job.onStep = (step) => log.step(step, fix);
 * for (fix of reader.push(bytes)) job.update(fix);
 * const { length } = log.end();
 * ```
 */
export class WorkLog {
  /** what the records have: for `writeTimeLogHeader` */
  readonly header: TimeLogHeader;

  private readonly frame: LocalFrame;
  private readonly writer: TimeLogWriter;
  private readonly record = new TimeLogRecord();
  private readonly utcOffset: number;
  private readonly timeZero: number;
  private readonly words: number;
  /** states as they were logged last */
  private readonly states: boolean[];
  private readonly logged: Float64Array;
  /** the step before: time, x, y, heading */
  private readonly last = new Float64Array(4);
  private hasLast = false;
  private readonly place = new Float64Array(2);
  private records = 0;
  private start = Number.NaN;
  private stop = Number.NaN;

  /**
   * @param frame - frame of the job
   * @param options - boom, clock
   * @param sink - takes the bytes, page by page; each page is its own
   * @throws `FeeringError` `out-of-range`, `not-finite` or `bad-format` with the option's name
   */
  constructor(frame: LocalFrame, options: WorkLogOptions, sink: (bytes: Uint8Array) => void) {
    requireObject(frame, "frame");
    requireObject(options, "options");
    const { element, sections } = options;
    const count = requireNumber(sections, "options.sections", { min: 1, max: MOST_WORDS * WORD_SECTIONS });
    if (!Number.isInteger(count)) {
      throw new FeeringError("out-of-range", `options.sections is ${count}, needs a whole number`, {
        argument: "options.sections",
        value: count,
      });
    }
    this.frame = frame;
    this.utcOffset = requireUtcOffset(options.utcOffset ?? 0, "options.utcOffset");
    this.timeZero = requireNumber(options.timeZero ?? 0, "options.timeZero");
    this.words = Math.ceil(count / WORD_SECTIONS);
    this.states = new Array<boolean>(count).fill(false);
    this.logged = new Float64Array(1 + this.words).fill(Number.NaN);
    const each = { value: "record", element } as const;
    this.header = {
      start: "record",
      type: EFFECTIVE,
      position: {
        latitude: "record",
        longitude: "record",
        altitude: "record",
        status: "record",
        hdop: "record",
        satellites: "record",
        utcTimeOfDay: "record",
        utcDay: "record",
      },
      channels: [
        { ddi: DDI.yaw, ...each },
        { ddi: DDI.workState, ...each },
        ...Array.from({ length: this.words }, (_, k) => ({ ddi: DDI.condensedState + k, ...each })),
      ],
    };
    this.writer = new TimeLogWriter(this.header, sink);
  }

  /**
   * Take the next step of the boom.
   *
   * @param step - from `FieldJob.onStep` or `SectionControl.onStep`
   * @param fix - that it was made of, for altitude, quality, dilution and satellites; default not known
   * @throws `FeeringError` `wrong-state` after the end; what the sink throws
   */
  step(step: SectionStep, fix?: Fix): void {
    // hot: once a fix
    const { states, last } = this;
    const { time, x, y, heading, joined, working, landings } = step;
    this.describe(fix);
    if (this.hasLast && !joined) this.allOff();
    else if (this.hasLast) {
      const [t0, x0, y0, h0] = last as unknown as readonly [number, number, number, number];
      // one instant after the other, until none is left before this step
      for (;;) {
        let next = time - SAME;
        for (let i = 0; i < states.length; i++) {
          if (states[i] !== (working[i] === 1) && landings[i]! < next) next = landings[i]!;
        }
        if (!(next < time - SAME)) break;
        for (let i = 0; i < states.length; i++) {
          if (states[i] !== (working[i] === 1) && landings[i]! < next + SAME) states[i] = working[i] === 1;
        }
        const at = Math.max(next, t0);
        const share = (at - t0) / (time - t0);
        const turned = h0 + share * wrapDifference(heading - h0);
        this.write(at, x0 + share * (x - x0), y0 + share * (y - y0), turned);
      }
    }
    for (let i = 0; i < states.length; i++) states[i] = working[i] === 1;
    this.write(time, x, y, heading);
    last[0] = time;
    last[1] = x;
    last[2] = y;
    last[3] = heading;
    this.hasLast = true;
  }

  /**
   * Say that no step comes any more: all sections off, and the rest of the bytes.
   *
   * @returns what was written
   * @throws `FeeringError` `wrong-state` where it has ended; what the sink throws
   */
  end(): WorkLogSummary {
    if (this.hasLast) this.allOff();
    this.hasLast = false;
    this.writer.end();
    return { length: this.writer.length, records: this.records, start: this.start, stop: this.stop };
  }

  /** Where the boom was last, with all sections off. */
  private allOff(): void {
    if (!this.states.includes(true)) return;
    this.states.fill(false);
    const { last } = this;
    this.write(last[0]!, last[1]!, last[2]!, last[3]!);
  }

  private describe(fix: Fix | undefined): void {
    const { record } = this;
    record.altitude = fix?.altitude ?? Number.NaN;
    record.status = fix?.quality ?? Number.NaN;
    record.hdop = fix?.hdop ?? Number.NaN;
    record.satellites = fix?.satellites ?? Number.NaN;
    // what the format has no room for is not known
    if (!(record.hdop <= MOST_HDOP)) record.hdop = Number.NaN;
    if (!(record.satellites <= MOST_SATELLITES)) record.satellites = Number.NaN;
    if (!(Math.abs(record.altitude) <= MOST_ALTITUDE)) record.altitude = Number.NaN;
  }

  private write(time: number, x: number, y: number, heading: number): void {
    const { record, place, states, logged } = this;
    const unix = time + this.timeZero;
    record.setTime(unix, this.utcOffset);
    this.frame.toGeodeticInto(x, y, place);
    record.latitude = place[0]!;
    record.longitude = place[1]!;
    record.count = 0;
    const at = { latitude: place[0]!, longitude: place[1]! };
    record.add(0, Math.round(this.frame.headingToTrue(heading, at) * 1000));
    let on = 0;
    for (const state of states) if (state) on = 1;
    if (logged[0] !== on) record.add(1, on);
    logged[0] = on;
    condensedWorkState(states).forEach((word, k) => {
      if (logged[1 + k] !== word) record.add(2 + k, word | 0);
      logged[1 + k] = word;
    });
    this.writer.write(record);
    this.records++;
    if (this.records === 1) this.start = unix;
    this.stop = unix;
  }
}

/** Kind of time that is work: attribute D of TIM. */
const EFFECTIVE = 4;
/** Instants nearer than this are one, s: half of what the format tells apart. */
const SAME = 5e-4;
const MOST_HDOP = 6553.4;
const MOST_SATELLITES = 254;
const MOST_ALTITUDE = 2e6;
