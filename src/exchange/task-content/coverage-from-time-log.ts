import { type CoverageOptions, CoverageRecord } from "../../coverage/index.js";
import { FeeringError, requireList, requireNumber, requireObject } from "../../errors/index.js";
import type { LocalFrame } from "../../frames/index.js";
import { headingBetween } from "../../geometry/index.js";
import { leverArm } from "../../machine/index.js";
import { OrderBook } from "../../sections/order-book.js";
import { SweptGround } from "../../sections/swept-ground.js";
import { ToolLine } from "../../sections/tool-line.js";
import { type Boom, boom } from "../../sections/index.js";
import { type TimeLogHeader, TimeLogReader, type ReadTimeLogOptions, type TimeLogRecord } from "../time-log/index.js";
import { DDI } from "./ddi.js";
import type { DeviceBoom } from "./from-task-device.js";
import { LoggedStates } from "./logged-states.js";
import type { AntennaPlace } from "./to-task-device.js";

/** Settings of {@link coverageFromTimeLog}. */
export interface CoverageFromTimeLogOptions extends ReadTimeLogOptions {
  /** where the positions of the log are, as the device's navigation reference tells; default the reference point itself */
  readonly antenna?: AntennaPlace;
  /** longest time between two records that are joined, s; default 2 */
  readonly longestGap?: number;
  /** cells of the record */
  readonly coverage?: CoverageOptions;
  /** a record to mark in, so that several logs come into one; default a new one */
  readonly into?: CoverageRecord;
}

/** What {@link coverageFromTimeLog} finds. */
export interface LoggedWork {
  /** the ground worked */
  readonly coverage: CoverageRecord;
  /** records of the log */
  readonly records: number;
  /** of these without a place */
  readonly withoutPlace: number;
  /** how often two records were too far apart to be joined */
  readonly gaps: number;
  /** way driven with at least one section on, metres */
  readonly distanceWorked: number;
  /** s with at least one section on */
  readonly timeWorked: number;
}

/**
 * The ground that a time log says was worked, marked in a coverage record.
 *
 * Sections are on by the condensed work states of the boom (DDI 161 and up), by work states of their own (141), or by the boom's own (141) where there is nothing else; the
 * boom's own off goes before all. The heading is the yaw angle (144) where the log has it, else the direction driven over the last 1.5 m. A log of `WorkLog` gives the job's own
 * record but for the rounding of its places, 1e-7 degrees, 1.1 cm: areas within 0.1 % on a field (tests/exchange/task-content/work-log.test.ts).
 *
 * @param frame - frame of the record
 * @param header - the header file as bytes or text, or what `readTimeLogHeader` made of it
 * @param pieces - bytes of the log, cut anyhow
 * @param of - booms of the device, from `fromTaskDevice`: the first one that the log tells of is taken
 * @param options - antenna, gaps, cells
 * @returns the record and what was seen
 * @throws `FeeringError` what `TimeLogReader` throws; `bad-format` for a log that tells no work state of this boom, or no places; `not-finite` or `out-of-range` for an option
 * @example
 * ```ts
 * const { booms } = fromTaskDevice(data.devices[0]);
 * const { coverage } = coverageFromTimeLog(frame, header, [bytes], booms);
 * coverage.areas().worked; // m²
 * ```
 */
export function coverageFromTimeLog(
  frame: LocalFrame,
  header: TimeLogHeader | string | Uint8Array,
  pieces: Iterable<Uint8Array>,
  of: readonly DeviceBoom[],
  options: CoverageFromTimeLogOptions = {},
): LoggedWork {
  requireObject(frame, "frame");
  requireList(of, "of");
  requireObject(options, "options");
  const reader = new TimeLogReader(header, options.damage === undefined ? {} : { damage: options.damage });
  const elements = new Set(reader.header.channels.map(({ element }) => element));
  const one = of.find(({ element, sectionElements }) => [element, ...sectionElements].some((id) => elements.has(id)));
  if (one === undefined) {
    const named = [...elements].join(", ");
    throw new FeeringError("bad-format", `the log is of ${named || "no element"}, none of these booms`, {
      argument: "header.channels",
    });
  }
  const marker = new LogMarker(frame, reader.header, one, options);
  const take = (record: TimeLogRecord): void => marker.take(record);
  for (const piece of pieces) reader.push(piece, take);
  const { records } = reader.end();
  return { coverage: marker.coverage, records, ...marker.seen };
}

/** Way over which a direction is measured where the log tells none, metres. */
const BASE = 1.5;

class LogMarker {
  readonly coverage: CoverageRecord;
  readonly seen = { withoutPlace: 0, gaps: 0, distanceWorked: 0, timeWorked: 0 };
  private readonly frame: LocalFrame;
  private readonly states: LoggedStates;
  private readonly made: Boom;
  private readonly swept: SweptGround;
  private readonly orders: OrderBook;
  private readonly line = new ToolLine();
  private readonly antenna: AntennaPlace;
  private readonly longestGap: number;
  private readonly yaw: number;
  private readonly place = new Float64Array(2);
  private readonly arm = new Float64Array(3);
  /** whether a record with a place came before */
  private located = false;
  /** whether the boom stood somewhere before, with a heading, and no gap since */
  private hasPlace = false;
  private time = Number.NaN;
  private x = 0;
  private y = 0;
  private direction = 1;
  private heading = Number.NaN;
  /** a place behind, from which the direction is measured */
  private behind: readonly [number, number] | undefined;

  constructor(frame: LocalFrame, header: TimeLogHeader, of: DeviceBoom, options: CoverageFromTimeLogOptions) {
    const { position, channels } = header;
    if (position?.latitude === undefined || position.longitude === undefined) {
      throw new FeeringError("bad-format", "the log has no places", { argument: "header.position" });
    }
    this.frame = frame;
    this.made = boom(of.boom);
    this.swept = new SweptGround(this.made);
    this.orders = new OrderBook(this.made.sections.length);
    this.states = new LoggedStates(header, of);
    this.yaw = channels.findIndex(({ ddi, element }) => ddi === DDI.yaw && element === of.element);
    const near = { min: -100, max: 100 };
    const { antenna = { x: 0, y: 0 } } = options;
    requireObject(antenna, "options.antenna");
    this.antenna = {
      x: requireNumber(antenna.x, "options.antenna.x", near),
      y: requireNumber(antenna.y, "options.antenna.y", near),
    };
    this.longestGap = requireNumber(options.longestGap ?? 2, "options.longestGap", { min: 0 });
    this.coverage = options.into ?? new CoverageRecord({ origin: frame.origin, ...options.coverage });
  }

  take(record: TimeLogRecord): void {
    const { states, seen } = this;
    // what held until now was swept until here
    const on = states.count;
    const yaw = this.yawOf(record);
    if (Number.isNaN(record.latitude) || Number.isNaN(record.longitude)) {
      seen.withoutPlace++;
      states.take(record);
      return;
    }
    this.frame.toLocalInto(record.latitude, record.longitude, this.place);
    const [px, py] = this.place as unknown as readonly [number, number];
    const step = record.time - this.time;
    const joined = this.located && !(step > this.longestGap) && !(step < 0);
    if (this.located && !joined) seen.gaps++;
    if (!joined) {
      this.behind = undefined;
      this.hasPlace = false;
    }
    this.located = true;
    const heading = Number.isNaN(yaw) ? this.driven(px, py) : this.frame.headingToLocal(yaw, record);
    const { behind } = this;
    if (!Number.isNaN(heading)) {
      // a direction that is known only now was that of the way before as well
      if (!this.hasPlace && Number.isNaN(yaw) && behind !== undefined) this.step(behind[0], behind[1], heading, 0, 0);
      this.step(px, py, heading, on, step);
      if (Number.isNaN(yaw)) this.goOn(px, py);
    }
    states.take(record);
    this.time = record.time;
  }

  private step(px: number, py: number, heading: number, on: number, time: number): void {
    const { line, arm, seen, swept, states } = this;
    // from the antenna to the reference point
    leverArm(heading, 0, 0, this.antenna.x, this.antenna.y, 0, arm);
    const x = px - arm[0]!;
    const y = py - arm[1]!;
    const angle = (heading * Math.PI) / 180;
    line.place(x, y, Math.sin(angle), Math.cos(angle), this.made.sections[0]!.x);
    // a place with a heading before this one, and no gap between
    const joined = this.hasPlace;
    const dx = x - this.x;
    const dy = y - this.y;
    let direction = this.direction;
    if (joined && dx * dx + dy * dy > 1e-4) direction = dx * Math.sin(angle) + dy * Math.cos(angle) < 0 ? -1 : 1;
    if (joined) {
      states.into(this.orders.landed);
      // a jump is no way
      const driven = swept.mark(line, direction, 0, 1, this.orders, this.coverage);
      if (driven && on > 0) {
        seen.distanceWorked += Math.hypot(dx, dy);
        if (time > 0) seen.timeWorked += time;
      }
    }
    if (!joined || direction !== this.direction) swept.restart(line);
    this.direction = direction;
    this.hasPlace = true;
    this.x = x;
    this.y = y;
  }

  private yawOf(record: TimeLogRecord): number {
    for (let i = 0; i < record.count; i++) {
      if (record.channels[i] === this.yaw) this.heading = record.values[i]! / 1000;
    }
    return this.yaw < 0 ? Number.NaN : this.heading;
  }

  private driven(x: number, y: number): number {
    const { behind } = this;
    if (behind === undefined) {
      this.behind = [x, y];
      this.heading = Number.NaN;
    } else if (Math.hypot(x - behind[0], y - behind[1]) >= BASE) this.heading = headingBetween(behind, [x, y]);
    return this.heading;
  }

  /** The next direction is measured from here. */
  private goOn(x: number, y: number): void {
    const behind = this.behind!;
    if (Math.hypot(x - behind[0], y - behind[1]) >= BASE) this.behind = [x, y];
  }
}
