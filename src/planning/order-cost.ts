import { FeeringError, requireNumber, requireObject } from "../errors/index.js";

/** Which end of a pass: 0 its start, 1 its end, as its line is written. */
export type PassEnd = 0 | 1;

/** What is to be put in order. */
export interface OrderProblem {
  /** how many passes, at least 1 */
  readonly count: number;
  /**
   * Cost of going on, metres or seconds, 0 or more; infinity where there is no way.
   *
   * @param from - pass just done
   * @param fromEnd - end of it where the machine is
   * @param to - pass to do next
   * @param toEnd - end of it where the machine comes on to it
   */
  readonly cost: (from: number, fromEnd: PassEnd, to: number, toEnd: PassEnd) => number;
  /** cost of coming on to the first pass at one of its ends; default 0 */
  readonly startCost?: (pass: number, end: PassEnd) => number;
  /** cost of going home from the end of the last pass; default 0 */
  readonly endCost?: (pass: number, end: PassEnd) => number;
}

/** Most passes that are put in order: costs are kept for each pair of ends. */
const MOST = 2000;

/**
 * Costs between drives. A drive is a pass in one of its two directions: number 2 p runs from the start of pass p to its end, 2 p + 1 back.
 */
export class DriveCosts {
  readonly count: number;
  private readonly between: Float64Array;
  private readonly start: Float64Array;
  private readonly end: Float64Array;

  /** Throws FeeringError `not-finite`, `out-of-range`, `too-large`. */
  constructor(problem: OrderProblem) {
    requireObject(problem, "problem");
    const count = requireNumber(problem.count, "problem.count", { min: 1 });
    if (!Number.isInteger(count)) {
      throw new FeeringError("out-of-range", `problem.count is ${count}, needs a whole number`, {
        argument: "problem.count",
        value: count,
      });
    }
    if (count > MOST) {
      throw new FeeringError("too-large", `problem.count is ${count}, needs at most ${MOST}`, {
        argument: "problem.count",
        value: count,
      });
    }
    if (typeof problem.cost !== "function") {
      throw new FeeringError("not-finite", "problem.cost is no function", { argument: "problem.cost" });
    }
    this.count = count;
    const drives = 2 * count;
    this.between = new Float64Array(drives * drives);
    this.start = new Float64Array(drives);
    this.end = new Float64Array(drives);
    for (let a = 0; a < drives; a++) {
      this.start[a] = checked(problem.startCost?.(a >> 1, entry(a)) ?? 0, "problem.startCost", a >> 1);
      this.end[a] = checked(problem.endCost?.(a >> 1, exit(a)) ?? 0, "problem.endCost", a >> 1);
      for (let b = 0; b < drives; b++) {
        if (a >> 1 === b >> 1) continue;
        this.between[a * drives + b] = checked(problem.cost(a >> 1, exit(a), b >> 1, entry(b)), "problem.cost", a >> 1);
      }
    }
  }

  /** cost from drive to drive; -1 stands for the start as a, for home as b */
  of(a: number, b: number): number {
    if (a < 0) return b < 0 ? 0 : this.start[b]!;
    return b < 0 ? this.end[a]! : this.between[a * 2 * this.count + b]!;
  }

  /** cost of a whole order of drives */
  total(order: ArrayLike<number>): number {
    let sum = this.of(-1, order[0]!);
    for (let i = 1; i < order.length; i++) sum += this.of(order[i - 1]!, order[i]!);
    return sum + this.of(order[order.length - 1]!, -1);
  }
}

function entry(drive: number): PassEnd {
  return (drive & 1) as PassEnd;
}

function exit(drive: number): PassEnd {
  return (1 - (drive & 1)) as PassEnd;
}

function checked(value: number, argument: string, index: number): number {
  if (value >= 0) return value;
  throw new FeeringError("out-of-range", `${argument} is ${value} for pass ${index}, needs 0 or more`, {
    argument,
    index,
    value,
  });
}
