import { FeeringError } from "../../../src/errors/index.js";
import { random } from "../../helpers/random.js";
import { READERS } from "./readers.js";

/** What became of the inputs of one reader. */
export interface ReaderCount {
  read: number;
  refused: number;
  /** ms, of the slowest call */
  slowest: number;
}

/** An input that was neither read nor refused as it should be. */
export interface FuzzFailure {
  readonly reader: string;
  /** number of the input: `from` of a run of one, with the same seed, makes it again */
  readonly input: number;
  readonly problem: string;
}

/** What a run found. */
export interface ExchangeFuzz {
  readonly counts: ReadonlyMap<string, ReaderCount>;
  /** the first ones of each kind */
  readonly failures: readonly FuzzFailure[];
}

/** s: documents have a few kB, a call takes some µs */
const LONGEST_CALL = 2;
const MOST_FAILURES = 30;

/**
 * Hand inputs to the readers in turn, valid documents of the library's own writers with changes by chance: each call gives data, or throws a `FeeringError` with a code, in
 * less than two seconds.
 *
 * @param total - inputs, of all readers together
 * @param seed - of the chance
 * @param from - number of the first input: each has a chance of its own
 * @param begun - told of each input before it is read: what hangs can be named by who watches
 */
export function fuzzExchange(
  total: number,
  seed: number,
  from = 0,
  begun: (input: number) => void = () => undefined,
): ExchangeFuzz {
  const counts = new Map(READERS.map(({ name }) => [name, { read: 0, refused: 0, slowest: 0 }]));
  const failures: FuzzFailure[] = [];
  const seen = new Set<string>();
  for (let input = from; input < from + total; input++) {
    begun(input);
    const reader = READERS[input % READERS.length]!;
    const { name } = reader;
    const fail = (problem: string, kind: string): void => {
      if (seen.has(`${name} ${kind}`) || failures.length >= MOST_FAILURES) return;
      seen.add(`${name} ${kind}`);
      failures.push({ reader: name, input, problem });
    };
    const count = counts.get(name)!;
    const call = reader.make(random(Math.imul(seed ^ input, 0x9e37_79b1) ^ input));
    const start = performance.now();
    try {
      const found = call();
      if (typeof found !== "object" || found === null) fail(`gave ${String(found)}`, "gave");
      count.read++;
    } catch (error) {
      if (error instanceof FeeringError && typeof error.code === "string") count.refused++;
      else {
        const stack = error instanceof Error ? (error.stack ?? error.message) : String(error);
        fail(stack, stack.split("\n")[1] ?? stack);
      }
    }
    let time = performance.now() - start;
    // once more, as the machine may have stopped for a while
    if (time > 1000 * LONGEST_CALL) time = Math.min(time, timeOf(call));
    if (time > count.slowest) count.slowest = time;
    if (time > 1000 * LONGEST_CALL) fail(`took ${time.toFixed(0)} ms`, "took");
  }
  if ("polluted" in {}) throw new Error("Object.prototype was written to");
  return { counts, failures };
}

function timeOf(call: () => unknown): number {
  const start = performance.now();
  try {
    call();
  } catch {
    // told before
  }
  return performance.now() - start;
}
