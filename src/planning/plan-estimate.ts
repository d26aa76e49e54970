import { planChains } from "./plan-chains.js";
import type { PlanGround } from "./plan-ground.js";
import { type NarrowSwath, type PlanRow, planRows } from "./plan-rows.js";
import type { TurnCosts } from "./turn-cost.js";

/** What directions are weighed by. @internal */
export interface EstimateSettings {
  /** metres */
  readonly swathWidth: number;
  /** what becomes of a narrow last swath */
  readonly narrow: NarrowSwath;
  /** whether swaths may not lie beside the ground */
  readonly whole: boolean;
  /** m/s */
  readonly workingSpeed: number;
  readonly turningSpeed: number;
  /** whether turns are to stay within the headland's depth, with an allowance where none does */
  readonly withRoom: boolean;
  /** rows left between two at most, and one; 1: one beside the other in sequence */
  readonly skip: number;
  /** of the machine's turns */
  readonly turns: TurnCosts;
}

/** Swaths of some ground in one direction, and what it takes to drive them one beside the other. @internal */
export interface Estimate {
  readonly heading: number;
  readonly rows: readonly PlanRow[];
  readonly chains: readonly (readonly PlanRow[])[];
  /** metres */
  readonly working: number;
  /** metres of turns and of the shortest ways between chains as the crow flies */
  readonly nonWorking: number;
  readonly turns: number;
  /** seconds; no plan that drives each chain in sequence takes less */
  readonly time: number;
}

/**
 * What a direction costs, from below: turns of the quickest kind whatever room they need, between chains the straight way.
 *
 * @internal
 */
export function planEstimate(ground: PlanGround, heading: number, settings: EstimateSettings): Estimate {
  const { swathWidth, narrow, whole, workingSpeed, turningSpeed, skip } = settings;
  const rows = planRows(ground, heading, swathWidth, narrow, whole);
  const chains = planChains(rows);
  let working = 0;
  for (const row of rows) working += row.to - row.from;
  let seconds = 0;
  let length = 0;
  let count = 0;
  for (const chain of chains) {
    const best = skip > 1 ? anyOrder(chain, settings) : sequence(chain, settings);
    seconds += best.seconds;
    length += best.length;
    count += chain.length - 1;
  }
  const links = linkLength(chains);
  return {
    heading,
    rows,
    chains,
    working,
    nonWorking: length + links,
    turns: count,
    time: working / workingSpeed + seconds + links / turningSpeed,
  };
}

/** Turns are kept by the centimetre: so much may one take less than it is kept with, seconds at 1 m/s. */
const ROUNDED = 0.03;

/**
 * The least that any plan with these rows, each chain in sequence, takes: as `planEstimate`, of turns that may take whatever room they need.
 *
 * @internal
 */
export function leastInSequence({ chains, working, turns }: Estimate, settings: EstimateSettings): number {
  const { workingSpeed, turningSpeed } = settings;
  let seconds = 0;
  for (const chain of chains) seconds += sequence(chain, { ...settings, withRoom: false }).seconds;
  return working / workingSpeed + seconds + (linkLength(chains) - ROUNDED * turns) / turningSpeed;
}

interface Between {
  readonly seconds: number;
  readonly length: number;
}

/** One beside the other, out at the far end first or at the near one. */
function sequence(chain: readonly PlanRow[], { turns, withRoom }: EstimateSettings): Between {
  let best: Between = { seconds: Number.POSITIVE_INFINITY, length: 0 };
  for (const parity of [0, 1]) {
    let seconds = 0;
    let length = 0;
    for (let i = 1; i < chain.length; i++) {
      const a = chain[i - 1]!;
      const b = chain[i]!;
      const ahead = (i + parity) % 2 === 1 ? b.to - a.to : a.from - b.from;
      const turn = withRoom ? turns.withRoom(b.middle - a.middle, ahead) : turns.quickest(b.middle - a.middle, ahead);
      seconds += turn.seconds;
      length += turn.length;
    }
    if (seconds < best.seconds) best = { seconds, length };
  }
  return best;
}

/** Least that any order takes: half of the cheapest turn at each end of each row, less the two dearest of those, as an order has two ends without a turn. */
function anyOrder(chain: readonly PlanRow[], { turns, skip }: EstimateSettings): Between {
  const count = chain.length;
  if (count < 2) return { seconds: 0, length: 0 };
  let seconds = 0;
  let length = 0;
  const dearest = [0, 0];
  for (let i = 0; i < count; i++) {
    const a = chain[i]!;
    for (const far of [true, false]) {
      let least = Number.POSITIVE_INFINITY;
      let metres = 0;
      for (let j = Math.max(0, i - skip); j <= Math.min(count - 1, i + skip); j++) {
        if (j === i) continue;
        const b = chain[j]!;
        // the way there or back, whichever costs less
        const ahead = Math.abs(far ? b.to - a.to : a.from - b.from);
        const turn = turns.withRoom(b.middle - a.middle, ahead);
        if (turn.seconds < least) [least, metres] = [turn.seconds, turn.length];
      }
      seconds += least / 2;
      length += metres / 2;
      if (least > dearest[0]!) [dearest[1], dearest[0]] = [dearest[0]!, least];
      else if (least > dearest[1]!) dearest[1] = least;
    }
  }
  return { seconds: Math.max(0, seconds - (dearest[0]! + dearest[1]!) / 2), length };
}

/** Shortest tree that joins the ends of chains: no order of them drives less between. */
function linkLength(chains: readonly (readonly PlanRow[])[]): number {
  if (chains.length < 2) return 0;
  const ends = chains.map((chain) =>
    [chain[0]!, chain[chain.length - 1]!].flatMap((row) => [row.from, row.middle, row.to, row.middle]),
  );
  const gap = (a: readonly number[], b: readonly number[]): number => {
    let least = Number.POSITIVE_INFINITY;
    for (let i = 0; i < 8; i += 2)
      for (let j = 0; j < 8; j += 2) least = Math.min(least, Math.hypot(a[i]! - b[j]!, a[i + 1]! - b[j + 1]!));
    return least;
  };
  const left = new Set(chains.keys());
  left.delete(0);
  const near = ends.map((end) => gap(ends[0]!, end));
  let total = 0;
  while (left.size > 0) {
    let next = -1;
    for (const i of left) if (next < 0 || near[i]! < near[next]!) next = i;
    total += near[next]!;
    left.delete(next);
    for (const i of left) near[i] = Math.min(near[i]!, gap(ends[next]!, ends[i]!));
  }
  return total;
}
