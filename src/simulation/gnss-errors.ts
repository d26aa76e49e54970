import { requireNumber } from "../errors/index.js";
import { type CheckedGnssErrors, checkGnssErrors, type GnssErrorOptions } from "./gnss-error-options.js";
import { RandomStream } from "./random-stream.js";

/** What is wrong with one fix. Owned by its {@link GnssErrors}, overwritten by the next call. */
export interface GnssError {
  /** error of the position, metres east */
  readonly east: number;
  /** error of the position, metres north */
  readonly north: number;
  /** error of the velocity, m/s east */
  readonly velocityEast: number;
  /** error of the velocity, m/s north */
  readonly velocityNorth: number;
  /** error of a measured heading, degrees; NaN where the receiver measures none */
  readonly heading: number;
  /** error of a measured turn rate, degrees/s; NaN where none is measured */
  readonly yawRate: number;
  /** quality of the fix, as GGA numbers it; 0: no position */
  readonly quality: number;
}

/** One source of changes at random: when the present or the next one begins and ends, s. */
interface Waiting {
  readonly stream: RandomStream;
  from: number;
  to: number;
}

/**
 * The errors of a receiver, fix by fix: the same for the same options and seed, bit for bit.
 *
 * Each kind of error has random numbers of its own: with more noise the drift stays the same, and so do the dropouts.
 *
 * @example
 * ```ts
 * const errors = gnssErrors({ noise: 0.008, drift: 0.01, randomChanges: [{ perHour: 2, seconds: 5 }] }, 7);
 * for (let i = 0; i < 100; i++) errors.at(i / 10).east; // m
 * ```
 */
export class GnssErrors {
  /** the options, with defaults */
  readonly options: CheckedGnssErrors;
  private readonly own = {
    east: 0.5,
    north: 0.5,
    velocityEast: 0.5,
    velocityNorth: 0.5,
    heading: 0.5,
    yawRate: 0.5,
    quality: 4,
  };
  private readonly noise: RandomStream;
  private readonly drift: RandomStream;
  private readonly velocity: RandomStream;
  private readonly heading: RandomStream;
  private readonly yawRate: RandomStream;
  private readonly waiting: Waiting[];
  private started = false;
  private time = 0.5;
  private driftEast = 0.5;
  private driftNorth = 0.5;

  /**
   * @param options - what the receiver does wrong
   * @param seed - whole number
   * @throws `FeeringError` `not-finite` or `out-of-range` with the option's name
   */
  constructor(options: GnssErrorOptions = {}, seed = 1) {
    this.options = checkGnssErrors(options, "options");
    requireNumber(seed, "seed", { min: -Number.MAX_SAFE_INTEGER, max: Number.MAX_SAFE_INTEGER });
    this.noise = new RandomStream(seed, 0);
    this.drift = new RandomStream(seed, 1);
    this.velocity = new RandomStream(seed, 2);
    this.heading = new RandomStream(seed, 3);
    this.yawRate = new RandomStream(seed, 1000);
    this.waiting = this.options.randomChanges.map((_, i) => ({
      stream: new RandomStream(seed, 4 + i),
      from: 0,
      to: 0,
    }));
  }

  /**
   * The errors of the next fix. Allocates nothing, never throws; a time that is none or before the last one counts as the last one.
   *
   * @param time - s since the start, growing
   * @returns its own object, overwritten by the next call
   */
  at(time: number): GnssError {
    const { options, own, noise } = this;
    this.drifts(time);
    const [east, north] = options.offset;
    own.quality = options.quality;
    const factor = this.change();
    own.east = east + factor * (this.driftEast + options.noise * noise.normal());
    own.north = north + factor * (this.driftNorth + options.noise * noise.normal());
    own.velocityEast = options.speedNoise * this.velocity.normal() + 0;
    own.velocityNorth = options.speedNoise * this.velocity.normal() + 0;
    own.heading = options.headingNoise === undefined ? Number.NaN : options.headingNoise * this.heading.normal();
    own.yawRate = options.yawRateNoise === undefined ? Number.NaN : options.yawRateNoise * this.yawRate.normal();
    return own;
  }

  /** drift up to a time: exact for any step, x' = x exp(-dt/T) + sigma sqrt(1 - exp(-2 dt/T)) n */
  private drifts(time: number): void {
    const { drift: sigma, driftTime } = this.options;
    if (!this.started) {
      this.started = true;
      this.time = Number.isFinite(time) ? time : 0;
      this.driftEast = sigma * this.drift.normal();
      this.driftNorth = sigma * this.drift.normal();
      return;
    }
    const step = time - this.time;
    if (!(step > 0)) return;
    this.time = time;
    const kept = Math.exp(-step / driftTime);
    const fresh = sigma * Math.sqrt(-Math.expm1((-2 * step) / driftTime));
    this.driftEast = kept * this.driftEast + fresh * this.drift.normal();
    this.driftNorth = kept * this.driftNorth + fresh * this.drift.normal();
  }

  /** quality at the present time, and how many times as large errors are */
  private change(): number {
    const { changes, randomChanges } = this.options;
    const time = this.time;
    let factor = 1;
    for (let i = 0; i < changes.length; i++) {
      const change = changes[i]!;
      if (time < change.from || time >= change.from + change.seconds) continue;
      this.own.quality = change.quality;
      factor = change.factor ?? 1;
    }
    for (let i = 0; i < randomChanges.length; i++) {
      const { perHour, seconds, quality, factor: times } = randomChanges[i]!;
      if (perHour === 0) continue;
      const waiting = this.waiting[i]!;
      while (time >= waiting.to) {
        waiting.from = waiting.to + (waiting.stream.exponential() * 3600) / perHour;
        waiting.to = waiting.from + waiting.stream.exponential() * seconds;
      }
      if (time < waiting.from) continue;
      this.own.quality = quality ?? 0;
      factor = times ?? 1;
    }
    return factor;
  }
}

/**
 * Errors of a receiver, to be asked fix by fix.
 *
 * @param options - what the receiver does wrong
 * @param seed - whole number; default 1
 * @returns the errors
 * @throws `FeeringError` `not-finite` or `out-of-range` with the option's name
 */
export function gnssErrors(options: GnssErrorOptions = {}, seed = 1): GnssErrors {
  return new GnssErrors(options, seed);
}
