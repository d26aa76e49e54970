// npm run fuzz [-- bytes seed]: a thousand million bytes through the reader, and a million fixes of any kind through a job
import { fuzzReader } from "../tests/faults/byte-fuzz.js";
import { fuzzJob } from "../tests/faults/job-fuzz.js";

const total = Number(process.argv[2] ?? 1e9);
const seed = Number(process.argv[3] ?? Math.floor(Math.random() * 2 ** 31));
if (!(total > 0) || !Number.isInteger(seed)) throw new Error("usage: npm run fuzz -- [bytes] [seed]");
console.log(`seed ${seed}: npm run fuzz -- ${total} ${seed} does the same again`);

const begin = Date.now();
const seconds = (): string => ((Date.now() - begin) / 1000).toFixed(0);
const { bytes, fixes, sentences, accepted, held } = fuzzReader(total, seed, (sofar) => {
  const heap = (process.memoryUsage().heapUsed / 1e6).toFixed(0);
  console.log(`${(sofar / 1e6).toFixed(0)} million bytes, ${seconds()} s, heap ${heap} MB`);
});
console.log(
  `reader: ${bytes} bytes, ${sentences} sentences, ${accepted} accepted, ${fixes} fixes, at most ${held} bytes held, 0 throws`,
);

const rounds = Math.max(1, Math.round((total / 1e9) * 50));
let usable = 0;
for (let round = 0; round < rounds; round++) usable += fuzzJob(20_000, seed + round);
console.log(`job: ${rounds * 20_000} fixes, ${usable} of them usable, 0 throws, ${seconds()} s`);
