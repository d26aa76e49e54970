// npm run garbage: bytes that a tick leaves behind, from the drive of the soak, and which functions leave them
import { Session } from "node:inspector/promises";
import { type FieldJob, RecordedJob } from "../src/job/index.js";
import { memoryStorage } from "../src/journal/index.js";
import { NmeaReader } from "../src/receiver/index.js";
import { definition, patternOf, TICKS, tickBytes } from "./day-drive.js";

/** Ticks before anything is counted, so that all that is compiled is compiled. */
const WARM = 100_000;
const COUNTED = 10_000;

const storage = memoryStorage();
const job = RecordedJob.create(storage, definition, { snapshotInterval: 1e6 });
const reader = new NmeaReader();
let sink = 0;
const take = (fix: Parameters<FieldJob["update"]>[0]): void => {
  sink += job.update(fix).guidance.crossTrackError;
};
let at = 0;
const next = (): Uint8Array => {
  const hour = Math.floor(at / TICKS);
  if (at % TICKS === 0) job.usePattern(patternOf(hour));
  return tickBytes(hour, at++ % TICKS).slice();
};
const some = (count: number): Uint8Array[] => Array.from({ length: count }, () => next());
const run = (batch: readonly Uint8Array[]): void => {
  for (const bytes of batch) reader.pushEach(bytes, take);
};
const collect = (globalThis as { gc?: () => void }).gc;

for (let k = 0; k < WARM; k += 1000) run(some(1000));
const rounds: number[] = [];
for (let k = 0; k < 5; k++) {
  const batch = some(COUNTED / 5);
  collect?.();
  // what a collection itself leaves
  run(batch.slice(0, 200));
  const before = process.memoryUsage().heapUsed;
  run(batch.slice(200));
  rounds.push((process.memoryUsage().heapUsed - before) / (batch.length - 200));
}
rounds.sort((a, b) => a - b);
console.log(`  ${rounds[2]!.toFixed(0)} bytes a tick`);

interface Node {
  callFrame: { functionName: string; url: string };
  selfSize: number;
  children: Node[];
}
const session = new Session();
session.connect();
const batch = some(COUNTED);
collect?.();
await session.post("HeapProfiler.startSampling", {
  samplingInterval: 128,
  includeObjectsCollectedByMajorGC: true,
  includeObjectsCollectedByMinorGC: true,
});
run(batch);
const { profile } = await session.post("HeapProfiler.stopSampling");
const left = new Map<string, number>();
const walk = (node: Node, caller: string): void => {
  const name = `${node.callFrame.functionName} ${node.callFrame.url.split("/").slice(-2).join("/")}`;
  const key = `${name} < ${caller}`;
  left.set(key, (left.get(key) ?? 0) + node.selfSize / COUNTED);
  for (const child of node.children) walk(child, name);
};
walk(profile.head, "");
const most = [...left].sort((a, b) => b[1] - a[1]).slice(0, Number(process.argv[2] ?? 20));
for (const [name, bytes] of most) console.log(`  ${bytes.toFixed(1).padStart(7)} ${name}`);
if (!Number.isFinite(sink)) process.exitCode = 1;
