import { FeeringError, requireNumber } from "../errors/index.js";

/** One edge of worked ground: where it was wanted and where it was seen. */
export interface SeenEdge {
  /** m/s over the ground when the edge was made, positive */
  readonly speed: number;
  /** where product was to begin or end, metres along the travel */
  readonly wanted: number;
  /** where it was seen to begin or end, metres along the travel, from the same point as `wanted` */
  readonly seen: number;
  /** whether product began or ended there */
  readonly kind: "on" | "off";
}

/** What the edges were made with. */
export interface SwitchTimesOptions {
  /** turn-on time that was set, s; default 0 */
  readonly turnOnTime?: number;
  /** turn-off time that was set, s; default 0 */
  readonly turnOffTime?: number;
}

/** A value and how sure it is. */
export interface Estimate {
  /** the value */
  readonly value: number;
  /** its standard error; null where there are no more edges than values to find */
  readonly standardError: number | null;
}

/** Switch times as they ought to be set. */
export interface SwitchTimes {
  /** s; null where no edge on was given. Below 0 product comes before the order: the tool's place is wrong, or the edges are too few */
  readonly turnOnTime: Estimate | null;
  /** s; null where no edge off was given */
  readonly turnOffTime: Estimate | null;
  /**
   * metres by which all edges lie ahead of where they were wanted, at any speed: the tool stands so much farther ahead than its `x` says. Null where
   * one speed alone cannot tell it from a time; it is in the times then
   */
  readonly distance: Estimate | null;
  /** root mean square of what is left, metres */
  readonly residual: number;
}

/** Speeds nearer than this are one, m/s: they do not tell a distance from a time. */
const SAME_SPEED = 0.01;

/**
 * Turn-on and turn-off time from edges that were seen in the field against where they were wanted.
 *
 * Least squares of `seen - wanted = speed · (time - time set) + distance`, with one distance for all edges: a time that is wrong grows with the speed, a tool's place that
 * is wrong does not. So drive at two speeds or more, and measure each more than once.
 *
 * @param edges - one or more
 * @param options - the times that were set when the edges were made
 * @returns the times to set, and the tool's place where two speeds of one kind tell it
 * @throws `FeeringError` `too-few-points` for no edges; `out-of-range` with the edge's index for a speed that is not positive or a kind that is none; `not-finite`
 *
 * @see any textbook on linear least squares; lateness v Δt is common practice, no source
 *
 * @example
 * ```ts
 * // set to 0.3 s; at 2 m/s it begins 0.4 m late, at 4 m/s 0.8 m
 * const times = switchTimes(
 *   [
 *     { speed: 2, wanted: 100, seen: 100.4, kind: "on" },
 *     { speed: 4, wanted: 100, seen: 100.8, kind: "on" },
 *   ],
 *   { turnOnTime: 0.3 },
 * );
 * times.turnOnTime?.value; // 0.5
 * ```
 */
export function switchTimes(edges: readonly SeenEdge[], options: SwitchTimesOptions = {}): SwitchTimes {
  const list: unknown = edges;
  if (!Array.isArray(list) || list.length === 0) {
    throw new FeeringError("too-few-points", "edges has 0 edges, needs 1", { argument: "edges", value: list });
  }
  const setOn = requireNumber(options?.turnOnTime ?? 0, "options.turnOnTime", { min: 0, max: 30 });
  const setOff = requireNumber(options?.turnOffTime ?? 0, "options.turnOffTime", { min: 0, max: 30 });
  const rows = Array.from(edges, checkEdge);
  const on = rows.filter((row) => row.kind === "on");
  const off = rows.filter((row) => row.kind === "off");
  const told = differ(on) || differ(off);

  // columns: time on, time off, distance, of those that are asked for
  const columns: ((row: SeenEdge) => number)[] = [];
  if (on.length > 0) columns.push((row) => (row.kind === "on" ? row.speed : 0));
  if (off.length > 0) columns.push((row) => (row.kind === "off" ? row.speed : 0));
  if (told) columns.push(() => 1);
  const n = columns.length;
  const normal = columns.map((a) => columns.map((b) => sum(rows, (row) => a(row) * b(row))));
  const right = columns.map((a) => sum(rows, (row) => a(row) * (row.seen - row.wanted)));
  const inverse = invert(normal);
  const found = inverse.map((row) => row.reduce((total, value, k) => total + value * right[k]!, 0));
  const squares = sum(rows, (row) => {
    const fitted = columns.reduce((total, column, k) => total + column(row) * found[k]!, 0);
    return (row.seen - row.wanted - fitted) ** 2;
  });
  const spare = rows.length - n;
  let next = 0;
  const take = (set: number): Estimate => {
    const k = next++;
    const standardError = spare > 0 ? Math.sqrt((squares / spare) * inverse[k]![k]!) : null;
    return { value: set + found[k]!, standardError };
  };
  return {
    turnOnTime: on.length > 0 ? take(setOn) : null,
    turnOffTime: off.length > 0 ? take(setOff) : null,
    distance: told ? take(0) : null,
    residual: Math.sqrt(squares / rows.length),
  };
}

function checkEdge(edge: unknown, index: number): SeenEdge {
  const given = (edge ?? {}) as Partial<SeenEdge>;
  const speed = requireNumber(given.speed, "edges.speed", { above: 0, max: 50, index });
  const wanted = requireNumber(given.wanted, "edges.wanted", { index });
  const seen = requireNumber(given.seen, "edges.seen", { index });
  const kind = given.kind;
  if (kind !== "on" && kind !== "off") {
    throw new FeeringError("out-of-range", `edges[${index}].kind is ${String(kind)}, needs on or off`, {
      argument: "edges.kind",
      index,
      value: kind,
    });
  }
  return { speed, wanted, seen, kind };
}

function differ(rows: readonly SeenEdge[]): boolean {
  const speeds = rows.map((row) => row.speed);
  // of no rows at all the difference is -Infinity
  return Math.max(...speeds) - Math.min(...speeds) > SAME_SPEED;
}

function sum(rows: readonly SeenEdge[], value: (row: SeenEdge) => number): number {
  return rows.reduce((total, row) => total + value(row), 0);
}

/** Inverse of a small positive definite matrix, by Gauss and Jordan; such a one needs no choice of pivots. */
function invert(matrix: readonly (readonly number[])[]): number[][] {
  const n = matrix.length;
  const work = matrix.map((row, i) => [...row, ...row.map((_, j) => (i === j ? 1 : 0))]);
  for (let k = 0; k < n; k++) {
    const scale = work[k]![k]!;
    work[k] = work[k]!.map((value) => value / scale);
    for (let i = 0; i < n; i++) {
      if (i === k) continue;
      const factor = work[i]![k]!;
      work[i] = work[i]!.map((value, j) => value - factor * work[k]![j]!);
    }
  }
  return work.map((row) => row.slice(n));
}
