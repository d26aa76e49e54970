// npm run fuzz:exchange [-- inputs seed first]: ten million inputs through all readers of feering/exchange
import { setImmediate } from "node:timers/promises";
import { runInThisContext } from "node:vm";
import { fuzzExchange, type ReaderCount } from "../tests/exchange/fuzz/exchange-fuzz.js";

const total = Number(process.argv[2] ?? 1e7);
const seed = Number(process.argv[3] ?? Math.floor(Math.random() * 2 ** 31));
const first = Number(process.argv[4] ?? 0);
if (!(total > 0) || !Number.isInteger(seed) || !(first >= 0)) {
  throw new Error("usage: npm run fuzz:exchange -- [inputs] [seed] [first]");
}
console.log(`seed ${seed}: npm run fuzz:exchange -- ${total} ${seed} does the same again`);

/** inputs between two lines of progress */
const BATCH = 50_000;
/** ms for a batch: it takes some ten seconds, more on a machine that is shared; what hangs is broken off */
const LONGEST_BATCH = 600_000;

const begin = Date.now();
const counts = new Map<string, ReaderCount>();
let failures = 0;
let current = first;
const batch = (from: number, size: number): void => {
  const found = fuzzExchange(size, seed, from, (input) => (current = input));
  failures += found.failures.length;
  for (const { reader, input, problem } of found.failures) {
    console.error(`\n${reader}, npm run fuzz:exchange -- 1 ${seed} ${input}\n${problem}\n`);
    process.exitCode = 1;
  }
  for (const [name, { read, refused, slowest }] of found.counts) {
    const sum = counts.get(name) ?? { read: 0, refused: 0, slowest: 0 };
    counts.set(name, {
      read: sum.read + read,
      refused: sum.refused + refused,
      slowest: Math.max(sum.slowest, slowest),
    });
  }
};

// an interrupt ends the run after its batch, with the counts so far
let stopped = false;
process.once("SIGINT", () => (stopped = true));
for (let from = first; from < first + total && !stopped; from += BATCH) {
  const size = Math.min(BATCH, first + total - from);
  Object.assign(globalThis, { runBatch: () => batch(from, size) });
  try {
    // the only way to break off a call that does not return
    runInThisContext("runBatch()", { timeout: LONGEST_BATCH });
  } catch (error) {
    console.error(`input ${current} of seed ${seed} does not come back: npm run fuzz:exchange -- 1 ${seed} ${current}`);
    throw error;
  }
  const heap = (process.memoryUsage().heapUsed / 1e6).toFixed(0);
  const seconds = ((Date.now() - begin) / 1000).toFixed(0);
  console.log(`${from + size - first} inputs, ${seconds} s, heap ${heap} MB, ${failures} failures`);
  await setImmediate();
}
for (const [name, { read, refused, slowest }] of counts) {
  console.log(`  ${name.padEnd(20)} ${read} read, ${refused} refused, slowest ${slowest.toFixed(0)} ms`);
}
