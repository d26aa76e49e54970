// npm run soak: 24 hours at 20 Hz, 1.7 million ticks, as fast as they go: bytes in, fix, pose, guidance on a curved pass, 48 sections,
// coverage, journal. Prints cost by hour, memory, and what was worked; at the end the job is opened again from its journal.
import { type FieldJob, RecordedJob } from "../src/job/index.js";
import { memoryStorage } from "../src/journal/index.js";
import { NmeaReader } from "../src/receiver/index.js";
import { constantWork } from "./constant-work.js";
import { definition, patternOf, TICKS, tickBytes } from "./day-drive.js";
import { median } from "./harness.js";

const HOURS = Number(process.argv[2] ?? 24);
/** Ticks in a batch that is timed as one. */
const BATCH = 400;
const collect = (globalThis as { gc?: () => void }).gc;

const storage = memoryStorage();
// a snapshot holds the whole record: each ten minutes for 700 ha in one job, where a field's job has one each minute
const job = RecordedJob.create(storage, definition, { snapshotInterval: 600 });
const reader = new NmeaReader();
let sink = 0;
let fixes = 0;
const take = (fix: Parameters<FieldJob["update"]>[0]): void => {
  fixes++;
  sink += job.update(fix).guidance.crossTrackError;
};

/** heap after collection, bytes */
function heap(): number {
  collect?.();
  return process.memoryUsage().heapUsed;
}

const started = process.hrtime.bigint();
const hours: { time: number; ratio: number; heap: number; record: number }[] = [];
for (let hour = 0; hour < HOURS; hour++) {
  if (hour > 0) job.usePattern(patternOf(hour));
  const costs: number[] = [];
  const base: number[] = [];
  const batch: Uint8Array[] = [];
  for (let first = 0; first < TICKS; first += BATCH) {
    batch.length = 0;
    for (let i = first; i < first + BATCH; i++) batch.push(tickBytes(hour, i).slice());
    const start = process.hrtime.bigint();
    for (const bytes of batch) reader.pushEach(bytes, take);
    const middle = process.hrtime.bigint();
    for (let k = 0; k < BATCH / 8; k++) sink += constantWork();
    const end = process.hrtime.bigint();
    costs.push(Number(middle - start) / BATCH);
    base.push((Number(end - middle) * 8) / BATCH);
  }
  const heapUsed = heap();
  hours.push({
    time: median(costs),
    ratio: median(costs) / median(base),
    heap: heapUsed,
    record: job.coverage.byteLength,
  });
  if (hour === 0 || hour === HOURS - 1 || hour % 6 === 5) {
    const h = hours[hour]!;
    const figures = `${(h.time / 1000).toFixed(2)} µs a tick, ${h.ratio.toFixed(2)} of the constant work`;
    const memory = `heap ${(h.heap / 1e6).toFixed(2)} MB, record ${(h.record / 1e6).toFixed(2)} MB`;
    console.log(`  hour ${String(hour + 1).padStart(2)}: ${figures}, ${memory}`);
  }
}
const seconds = Number(process.hrtime.bigint() - started) / 1e9;
const first = hours[0]!;
const last = hours.at(-1)!;
const report = job.report();
console.log(`  ${fixes} fixes in ${seconds.toFixed(1)} s`);
console.log(
  `  last hour to first: ${(last.ratio / first.ratio).toFixed(3)} by ratio, ${(last.time / first.time).toFixed(3)} by time`,
);
console.log(
  `  heap after collection, with the record of new ground: ${slope(hours.map((h) => h.heap)).toFixed(2)} kB more in 100 000 ticks`,
);
// the record grows with new ground alone: over ground that is worked nothing does
const before = heap();
for (let hour = HOURS; hour < HOURS + 2; hour++) {
  job.usePattern(patternOf(hour - HOURS));
  for (let i = 0; i < TICKS; i++) reader.pushEach(tickBytes(hour, i, hour - HOURS), take);
}
const kilobytes = ((heap() - before) / (2 * TICKS)) * 100;
console.log(`  the same over ground worked already: ${kilobytes.toFixed(2)} kB`);
console.log(
  `  worked ${(report.totals.workedArea / 1e4).toFixed(2)} ha, again ${(report.totals.overlapArea / 1e4).toFixed(2)} ha, ${report.totals.switches} orders`,
);
job.close();
const opened = process.hrtime.bigint();
const again = RecordedJob.open(storage);
const openTime = Number(process.hrtime.bigint() - opened) / 1e6;
const same = Buffer.compare(again.coverage.snapshot(), job.coverage.snapshot()) === 0;
console.log(
  `  opened again in ${openTime.toFixed(0)} ms, ${again.recovery?.replayed} records done again: ${same ? "the same ground, bit for bit" : "OTHER GROUND"}`,
);
if (!same) process.exitCode = 1;
if (!Number.isFinite(sink) || fixes !== (HOURS + 2) * TICKS) {
  console.error("fixes were lost, or a result is no number");
  process.exitCode = 1;
}

/** Least squares through the hours from the second on, kB in 100 000 ticks. */
function slope(values: readonly number[]): number {
  const from = values.length > 3 ? 2 : 0;
  const list = values.slice(from);
  const middle = (list.length - 1) / 2;
  const mean = list.reduce((a, b) => a + b, 0) / list.length;
  let above = 0;
  let below = 0;
  list.forEach((value, i) => {
    above += (i - middle) * (value - mean);
    below += (i - middle) ** 2;
  });
  return below === 0 ? 0 : ((above / below / TICKS) * 1e5) / 1000;
}
