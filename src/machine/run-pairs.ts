import { FeeringError } from "../errors/index.js";
import type { RunProfile } from "./run-profiles.js";

/** With fewer pairs than this none can be told to be astray. */
const ENOUGH = 5;
/** A pair is astray this many robust deviations from the median, and by {@link ASTRAY} metres at least. */
const DEVIATIONS = 5;
const ASTRAY = 0.02;
/** Deviation of a normal law over its median absolute deviation. */
const NORMAL = 1.4826;
/** Stretches into which the line is cut for the scatter along it. */
const STRETCHES = 10;
/** Highest correlation of neighbouring stretches taken into account. */
const MOST_CORRELATED = 0.8;

/** Runs next to each other in time, one out and one back. */
interface Pair {
  /** half of what they lie apart: median over the places, metres */
  readonly offset: number;
  /** the same in each place that both have */
  readonly places: readonly number[];
  /** time from the one out to the one back: negative when back came first */
  readonly lag: number;
}

/** What the pairs say together; lengths in metres. */
export interface PairFit {
  readonly offset: number;
  readonly standardError: number;
  readonly leftOver: number;
  /** pairs that counted */
  readonly used: number;
}

/** Pairs of neighbours in time; runs of one direction that follow each other count as one. */
export function pairRuns(profiles: readonly RunProfile[]): Pair[] {
  const groups: RunProfile[][] = [];
  for (const profile of [...profiles].sort((a, b) => a.time - b.time)) {
    const last = groups.at(-1);
    if (last?.[0]?.direction === profile.direction) last.push(profile);
    else groups.push([profile]);
  }
  const joined = groups.map(join);
  const pairs: Pair[] = [];
  for (let i = 0; i + 1 < joined.length; i++) {
    const a = joined[i]!;
    const b = joined[i + 1]!;
    const half = a.direction / 2;
    const places = [...a.lateral.map((value, k) => half * (value - b.lateral[k]!))].filter((v) => !Number.isNaN(v));
    if (places.length < 3) {
      throw new FeeringError(
        "too-few-points",
        `two runs that follow each other have ${places.length} places in common, need 3`,
        {
          argument: "runs",
          value: places.length,
        },
      );
    }
    pairs.push({ offset: median(places), places, lag: a.direction * (b.time - a.time) });
  }
  return pairs;
}

/** Offset and steady drift by least squares over the pairs. */
export function fitPairs(all: readonly Pair[]): PairFit {
  const pairs = withoutStrays(all);
  const n = pairs.length;
  // offset of a pair = offset - drift * lag / 2; only pairs of both orders tell the two apart
  const both = pairs.some((p) => p.lag > 0) && pairs.some((p) => p.lag < 0);
  const meanLag = both ? pairs.reduce((sum, p) => sum + p.lag, 0) / n : 0;
  const mean = pairs.reduce((sum, p) => sum + p.offset, 0) / n;
  let lags = 0;
  let mixed = 0;
  if (both) {
    for (const p of pairs) {
      lags += (p.lag - meanLag) ** 2;
      mixed += (p.lag - meanLag) * (p.offset - mean);
    }
  }
  const slope = both ? mixed / lags : 0;
  const offset = mean - slope * meanLag;
  const share = 1 / n + (both ? meanLag ** 2 / lags : 0);

  const freedom = n - (both ? 2 : 1);
  let squares = 0;
  let within = 0;
  let left = 0;
  let count = 0;
  for (const p of pairs) {
    squares += (p.offset - offset - slope * p.lag) ** 2;
    within += scatter(p.places, freedom > 0) ** 2 / n;
    for (const value of p.places) left += (value - offset) ** 2;
    count += p.places.length;
  }
  // neighbouring pairs share a run, which doubles the variance at worst; few pairs say little of their scatter
  const between = freedom > 0 ? (squares / freedom) * share * (1 + 0.8 / freedom) ** 2 : 0;
  return {
    offset,
    standardError: Math.sqrt((n > 1 ? 2 : 1) * Math.max(between, within * share)),
    leftOver: Math.sqrt(left / count),
    used: n,
  };
}

/**
 * Standard error of a pair's offset from its places along the line: of the means of stretches, widened by their correlation. Where drift cannot be
 * told apart from the offset for want of pairs, it shows as a slope along the line, because the runs are farther apart in time at one end; half of it
 * then counts too.
 */
function scatter(places: readonly number[], told: boolean): number {
  const n = Math.min(STRETCHES, places.length);
  const means = Array.from({ length: n }, (_, i) => {
    const part = places.slice(Math.floor((i * places.length) / n), Math.floor(((i + 1) * places.length) / n));
    return part.reduce((sum, v) => sum + v, 0) / part.length;
  });
  const mean = means.reduce((sum, v) => sum + v, 0) / n;
  let squares = 0;
  let neighbours = 0;
  let slope = 0;
  let ways = 0;
  means.forEach((value, i) => {
    squares += (value - mean) ** 2;
    if (i > 0) neighbours += (value - mean) * (means[i - 1]! - mean);
    slope += (i - (n - 1) / 2) * value;
    ways += (i - (n - 1) / 2) ** 2;
  });
  const alike = squares > 0 ? Math.max(0, Math.min(MOST_CORRELATED, neighbours / squares)) : 0;
  const variance = ((squares / (n - 1) / n) * (1 + alike)) / (1 - alike);
  const trend = told ? 0 : ((slope / ways) * n) / 2;
  return Math.sqrt(variance + trend * trend);
}

function withoutStrays(pairs: readonly Pair[]): readonly Pair[] {
  if (pairs.length < ENOUGH) return pairs;
  const offsets = pairs.map((p) => p.offset);
  const middle = median(offsets);
  const deviation = NORMAL * median(offsets.map((value) => Math.abs(value - middle)));
  const limit = Math.max(ASTRAY, DEVIATIONS * deviation);
  return pairs.filter((p) => Math.abs(p.offset - middle) <= limit);
}

function join(group: readonly RunProfile[]): RunProfile {
  const lateral = group[0]!.lateral.map((_, k) => {
    const values = group.map((profile) => profile.lateral[k]!).filter((value) => !Number.isNaN(value));
    return values.reduce((sum, value) => sum + value, 0) / values.length;
  });
  return {
    direction: group[0]!.direction,
    time: group.reduce((sum, profile) => sum + profile.time, 0) / group.length,
    lateral,
  };
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const half = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[half]! : (sorted[half - 1]! + sorted[half]!) / 2;
}
