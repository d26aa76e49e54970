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
import { turnPair } from "../machine/degrees.js";
import type { Fix } from "../receiver/index.js";

type Writable<T> = { -readonly [K in keyof T]: T[K] };

/** From fixes to where the machine's reference point is and how it moves. Allocates nothing, never throws. */
export class Positioner {
  /** reference point, metres east; the last known while there is none */
  x = 0.5;
  /** reference point, metres north */
  y = 0.5;
  /** a place is known */
  located = false;
  /** it may be joined with the next one */
  joined = false;
  /** a heading is known */
  headed = false;
  /** roll of the last fix, degrees, 0 where it is not measured */
  roll = 0.5;
  /** pitch of the last fix, degrees, 0 where it is not measured */
  pitch = 0.5;
  private readonly frame: LocalFrame;
  private readonly machine: Machine;
  private readonly options: HeadingOptions;
  private estimator: HeadingEstimator;
  private readonly place = new Float64Array(3);
  /** a heading and where it holds; an angle, and its sine and cosine */
  private readonly turn = new Float64Array(3);
  /** its numbers are numbers from the start, NaN where there is none: else each would be boxed */
  private readonly input: Writable<HeadingInput> = {
    time: Number.NaN,
    x: Number.NaN,
    y: Number.NaN,
    speed: Number.NaN,
    course: Number.NaN,
    heading: Number.NaN,
    yawRate: Number.NaN,
    reversing: undefined,
    connected: false,
  };

  constructor(frame: LocalFrame, machine: Machine, heading: Omit<HeadingOptions, "antenna"> | undefined) {
    this.frame = frame;
    this.machine = machine;
    this.x = 0;
    this.y = 0;
    this.roll = 0;
    this.pitch = 0;
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
    const turn = this.turn;
    const frame = this.frame;
    place[0] = fix.latitude;
    place[1] = fix.longitude;
    frame.toLocalInPlace(place);
    const antennaX = place[0];
    const antennaY = place[1];
    if (!Number.isFinite(antennaX) || !Number.isFinite(antennaY)) {
      this.joined = false;
      return false;
    }
    const input = this.input;
    input.time = fix.time;
    input.x = antennaX;
    input.y = antennaY;
    input.speed = fix.speed ?? Number.NaN;
    turn[0] = fix.course ?? Number.NaN;
    input.course = this.toLocal(fix) ? turn[0] : Number.NaN;
    turn[0] = fix.heading ?? Number.NaN;
    input.heading = this.toLocal(fix) ? turn[0] : Number.NaN;
    input.yawRate = fix.yawRate ?? Number.NaN;
    input.reversing = reversing;
    input.connected = this.joined;
    const motion = this.estimator.update(input);
    this.headed = motion.source !== "none";
    this.roll = known(fix.roll) ? fix.roll : 0;
    this.pitch = known(fix.pitch) ? fix.pitch : 0;
    if (this.headed) this.toReference(motion);
    this.x = place[0]!;
    this.y = place[1]!;
    this.located = true;
    this.joined = true;
    return true;
  }

  /** the heading in {@link Positioner.turn} as the frame sees it; false where there is none */
  private toLocal(fix: Fix): boolean {
    const turn = this.turn;
    if (!Number.isFinite(turn[0])) return false;
    turn[1] = fix.latitude;
    turn[2] = fix.longitude;
    this.frame.headingToLocalInPlace(turn);
    return true;
  }

  /** from the antenna to the reference point */
  private toReference(motion: HeadingState): void {
    const place = this.place;
    if (this.roll !== 0 || this.pitch !== 0) {
      antennaToReference(this.machine, place[0]!, place[1]!, 0, motion.heading, this.pitch, this.roll, place);
      return;
    }
    // the same on level ground, where nothing need be handed over
    const { x, y } = this.machine.antenna;
    const turn = this.turn;
    turn[0] = motion.heading;
    turnPair(turn);
    const sine = turn[0];
    const cosine = turn[1]!;
    place[0]! -= x * sine + y * cosine;
    place[1]! -= x * cosine - y * sine;
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
