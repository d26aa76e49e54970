import { FeeringError, requireList, requireNumber, requireObject } from "../errors/index.js";

/** A stretch of time with another quality. */
export interface QualityChange {
  /** s since the start */
  readonly from: number;
  /** s that it lasts */
  readonly seconds: number;
  /** quality of the fixes meanwhile, as GGA numbers it: 5 RTK float, 2 differential, 1 autonomous, 0 no position */
  readonly quality: number;
  /** noise and drift are so many times as large meanwhile; default 1 */
  readonly factor?: number;
}

/** Stretches with another quality that come at random: exponential waiting times and lengths. */
export interface RandomChanges {
  /** how many an hour, in the mean */
  readonly perHour: number;
  /** s that one lasts, in the mean */
  readonly seconds: number;
  /** quality of the fixes meanwhile; default 0: no position */
  readonly quality?: number;
  /** noise and drift are so many times as large meanwhile; default 1 */
  readonly factor?: number;
}

/** What a receiver does wrong. Everything is 0 or absent by default: a perfect receiver. */
export interface GnssErrorOptions {
  /** white noise, m, one sigma of each of east and north, anew with each fix */
  readonly noise?: number;
  /** drift, m, one sigma of each of east and north: a first-order Gauss-Markov process, in its steady state from the start */
  readonly drift?: number;
  /** correlation time of the drift, s: after it the share 1/e is left; default 600 */
  readonly driftTime?: number;
  /** constant offset, metres east and north: another datum, a base station put up anew */
  readonly offset?: readonly [east: number, north: number];
  /** white noise of the velocity, m/s, one sigma of each of east and north */
  readonly speedNoise?: number;
  /** degrees, one sigma: with it (0 included) the receiver measures the machine's heading, by two antennas; default it does not */
  readonly headingNoise?: number;
  /** degrees/s, one sigma: with it (0 included) the turn rate is measured too, by a gyroscope; default it is not */
  readonly yawRateNoise?: number;
  /** quality of the fixes, as GGA numbers it; default 4, RTK fixed */
  readonly quality?: number;
  /** changes of quality at set times; of several at once the last in the list holds */
  readonly changes?: readonly QualityChange[];
  /** changes of quality at random; dropouts are those of quality 0. They stand over `changes` */
  readonly randomChanges?: readonly RandomChanges[];
  /** fixes a second, 0.1 to 100; default 10 */
  readonly rate?: number;
  /** from the instant of a fix to its coming in, s, 0 to 2; default 0 */
  readonly latency?: number;
}

/** Options with every field known; `headingNoise` and `yawRateNoise` are undefined where these are not measured. */
export interface CheckedGnssErrors extends Required<Omit<GnssErrorOptions, "headingNoise" | "yawRateNoise">> {
  /** degrees, one sigma; undefined where the receiver measures no heading */
  readonly headingNoise: number | undefined;
  /** degrees/s, one sigma; undefined where no turn rate is measured */
  readonly yawRateNoise: number | undefined;
}

/** Largest error of any kind, m or m/s. */
const LARGEST = 1000;

/** Check the options and fill in the defaults; throws FeeringError with the option's name. */
export function checkGnssErrors(options: GnssErrorOptions, argument: string): CheckedGnssErrors {
  requireObject(options, argument);
  const size = { min: 0, max: LARGEST };
  const number = (name: "noise" | "drift" | "speedNoise"): number =>
    requireNumber(options[name] ?? 0, `${argument}.${name}`, size);
  const offset: unknown = options.offset ?? [0, 0];
  requireList(offset, `${argument}.offset`);
  const [east, north] = offset as readonly number[];
  const { changes = [], randomChanges = [], headingNoise, yawRateNoise } = options;
  requireList(changes, `${argument}.changes`);
  requireList(randomChanges, `${argument}.randomChanges`);
  return {
    noise: number("noise"),
    drift: number("drift"),
    driftTime: requireNumber(options.driftTime ?? 600, `${argument}.driftTime`, { min: 0.01, max: 1e6 }),
    offset: [
      requireNumber(east, `${argument}.offset`, { min: -LARGEST, max: LARGEST, index: 0 }),
      requireNumber(north, `${argument}.offset`, { min: -LARGEST, max: LARGEST, index: 1 }),
    ],
    speedNoise: number("speedNoise"),
    headingNoise:
      headingNoise === undefined
        ? undefined
        : requireNumber(headingNoise, `${argument}.headingNoise`, { min: 0, max: 90 }),
    yawRateNoise:
      yawRateNoise === undefined
        ? undefined
        : requireNumber(yawRateNoise, `${argument}.yawRateNoise`, { min: 0, max: 90 }),
    quality: quality(options.quality ?? 4, `${argument}.quality`),
    changes: changes.map((change, i) => {
      const at = `${argument}.changes[${i}]`;
      requireObject(change, at);
      return {
        from: requireNumber(change.from, `${at}.from`),
        seconds: requireNumber(change.seconds, `${at}.seconds`, { min: 0 }),
        quality: quality(change.quality, `${at}.quality`),
        factor: requireNumber(change.factor ?? 1, `${at}.factor`, size),
      };
    }),
    randomChanges: randomChanges.map((change, i) => {
      const at = `${argument}.randomChanges[${i}]`;
      requireObject(change, at);
      return {
        perHour: requireNumber(change.perHour, `${at}.perHour`, { min: 0, max: 3600 }),
        seconds: requireNumber(change.seconds, `${at}.seconds`, { above: 0, max: 1e6 }),
        quality: quality(change.quality ?? 0, `${at}.quality`),
        factor: requireNumber(change.factor ?? 1, `${at}.factor`, size),
      };
    }),
    rate: requireNumber(options.rate ?? 10, `${argument}.rate`, { min: 0.1, max: 100 }),
    latency: requireNumber(options.latency ?? 0, `${argument}.latency`, { min: 0, max: 2 }),
  };
}

function quality(value: number, argument: string): number {
  requireNumber(value, argument, { min: 0, max: 8 });
  if (Number.isInteger(value)) return value;
  throw new FeeringError("out-of-range", `${argument} is ${value}, needs a whole number`, { argument, value });
}
