import type { LocalFrame } from "../frames/index.js";
import {
  antennaToReference,
  HeadingEstimator,
  type HeadingInput,
  type HeadingOptions,
  type HeadingSnapshot,
  type HeadingState,
  type Machine,
} from "../machine/index.js";
import type { Fix } from "../receiver/index.js";

type Writable<T> = { -readonly [K in keyof T]: T[K] };

/** From fixes to where the machine's reference point is and how it moves. Allocates nothing, never throws. */
export class Positioner {
  /** reference point, metres east; the last known while there is none */
  x = 0;
  /** reference point, metres north */
  y = 0;
  /** a place is known */
  located = false;
  /** it may be joined with the next one */
  joined = false;
  /** a heading is known */
  headed = false;
  /** roll of the last fix, degrees, 0 where it is not measured */
  roll = 0;
  /** pitch of the last fix, degrees, 0 where it is not measured */
  pitch = 0;
  private readonly frame: LocalFrame;
  private readonly machine: Machine;
  private readonly options: HeadingOptions;
  private estimator: HeadingEstimator;
  private readonly place = new Float64Array(3);
  private readonly input: Writable<HeadingInput> = { time: 0, x: 0, y: 0 };

  constructor(frame: LocalFrame, machine: Machine, heading: Omit<HeadingOptions, "antenna"> | undefined) {
    this.frame = frame;
    this.machine = machine;
    const { x, y } = machine.antenna;
    this.options = { ...heading, antenna: { x, y } };
    this.estimator = new HeadingEstimator(this.options);
    this.estimator.update({ time: Number.NaN, x: 0, y: 0 });
  }

  get motion(): HeadingState {
    return this.estimator.state;
  }

  /** Take a fix that has a position; false where it is none on this field's plane. */
  locate(fix: Fix, reversing: boolean | undefined): boolean {
    const place = this.place;
    const frame = this.frame;
    frame.toLocalInto(fix.latitude, fix.longitude, place);
    const antennaX = place[0]!;
    const antennaY = place[1]!;
    if (!Number.isFinite(antennaX) || !Number.isFinite(antennaY)) {
      this.joined = false;
      return false;
    }
    const input = this.input;
    input.time = fix.time;
    input.x = antennaX;
    input.y = antennaY;
    input.speed = fix.speed;
    input.course = known(fix.course) ? frame.headingToLocal(fix.course, fix) : undefined;
    input.heading = known(fix.heading) ? frame.headingToLocal(fix.heading, fix) : undefined;
    input.yawRate = fix.yawRate;
    input.reversing = reversing;
    input.connected = this.joined;
    const motion = this.estimator.update(input);
    this.headed = motion.source !== "none";
    this.roll = known(fix.roll) ? fix.roll : 0;
    this.pitch = known(fix.pitch) ? fix.pitch : 0;
    if (this.headed) {
      antennaToReference(this.machine, antennaX, antennaY, 0, motion.heading, this.pitch, this.roll, place);
    }
    this.x = place[0]!;
    this.y = place[1]!;
    this.located = true;
    this.joined = true;
    return true;
  }

  /** Snapshot of the estimator; the rest is in the job's numbers. */
  snapshot(): HeadingSnapshot {
    return this.estimator.snapshot();
  }

  restore(snapshot: HeadingSnapshot): void {
    this.estimator = HeadingEstimator.restore(snapshot, this.options);
  }
}

/** a value that a fix has */
function known(value: number | undefined): value is number {
  return Number.isFinite(value);
}
