import { CoverageRecord } from "../src/coverage/index.js";
import { compare, median } from "./harness.js";
import { random } from "../tests/helpers/random.js";

// a boom of 48 sections of 0.5 m at 20 Hz and 3 m/s, passes of 24 m at 30 degrees
const SECTIONS = 48;
const WIDTH = 24;
const STEP = 0.15;
const PASS = 400;

/** Corners of the quads of one tick: all sections, or one quad of the given width. */
function tickQuads(tick: number, sections: number, width: number, step: number, ahead: number): Float64Array {
  const h = Math.PI / 6;
  const perPass = Math.round(PASS / step);
  const pass = Math.floor(tick / perPass);
  const s = (tick % perPass) * step + ahead;
  const quads = new Float64Array(8 * sections);
  for (let k = 0; k < sections; k++) {
    const left = pass * sections * width + k * width;
    const at = (i: number, across: number, along: number): void => {
      quads[8 * k + i] = across * Math.cos(h) + along * Math.sin(h);
      quads[8 * k + i + 1] = along * Math.cos(h) - across * Math.sin(h);
    };
    at(0, left, s);
    at(2, left + width, s);
    at(4, left + width, s + step);
    at(6, left, s + step);
  }
  return quads;
}

function markAll(record: CoverageRecord, q: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < q.length; i += 8) {
    sum += record.mark(q[i]!, q[i + 1]!, q[i + 2]!, q[i + 3]!, q[i + 4]!, q[i + 5]!, q[i + 6]!, q[i + 7]!);
  }
  return sum;
}

function countAll(record: CoverageRecord, q: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < q.length; i += 8) {
    sum += record.coveredShare(q[i]!, q[i + 1]!, q[i + 2]!, q[i + 3]!, q[i + 4]!, q[i + 5]!, q[i + 6]!, q[i + 7]!);
  }
  return sum;
}

/** A loop of constant work: what the machine gives just now. */
function constantWork(calls: number): number {
  let a = 1;
  for (let i = 0; i < calls * 150; i++) a = Math.imul(a ^ (a >>> 13), 0x5bd1e995) + i;
  return a;
}

const CALLS = 20_000;

/** Quads of 3 m x 0.5 m in a row, or scattered in place and heading. */
function rowOfQuads(): Float64Array {
  const all = new Float64Array(8 * CALLS);
  for (let k = 0; k < CALLS / 8; k++) all.set(tickQuads(k, 8, 3, 0.5, 0), 64 * k);
  return all;
}

function scattered(): Float64Array {
  const next = random(3);
  const all = new Float64Array(8 * CALLS);
  for (let k = 0; k < CALLS; k++) {
    const h = next() * 2 * Math.PI;
    const x = next() * 300;
    const y = next() * 300;
    const corner = (i: number, across: number, along: number): void => {
      all[8 * k + i] = x + across * Math.cos(h) + along * Math.sin(h);
      all[8 * k + i + 1] = y + along * Math.cos(h) - across * Math.sin(h);
    };
    corner(0, -1.5, 0);
    corner(2, 1.5, 0);
    corner(4, 1.5, 0.5);
    corner(6, -1.5, 0.5);
  }
  return all;
}

const row = rowOfQuads();
const loose = scattered();
const kept = new CoverageRecord();
markAll(kept, row);
markAll(kept, loose);

compare("one quad of 3 m x 0.5 m, cells of 0.1 m", [
  { name: "mark, fresh ground in a row", calls: CALLS, run: () => markAll(new CoverageRecord(), row) },
  { name: "mark, scattered, mostly worked before", calls: CALLS, run: () => markAll(kept, loose) },
  { name: "coveredShare, in a row", calls: CALLS, run: () => countAll(kept, row) },
  { name: "coveredShare, scattered", calls: CALLS, run: () => countAll(kept, loose) },
  {
    name: "coveredAlong, 3 m",
    calls: CALLS,
    run: () => {
      let sum = 0;
      for (let i = 0; i < row.length; i += 8) sum += kept.coveredAlong(row[i]!, row[i + 1]!, row[i + 2]!, row[i + 3]!);
      return sum;
    },
  },
  {
    name: "isCovered",
    calls: CALLS,
    run: () => {
      let sum = 0;
      for (let i = 0; i < row.length; i += 8) if (kept.isCovered(row[i]!, row[i + 1]!)) sum++;
      return sum;
    },
  },
  { name: "constant work, 150 steps", calls: CALLS, run: () => constantWork(CALLS) },
]);

// hour 1 against hour 10: 48 look-ahead counts and 48 marks a tick at 20 Hz. Two records of the same job, one in its first
// hour and one in its tenth, are driven in turn, slice by slice, so that a drift of the machine's speed hits both alike
{
  const HOUR = 72_000;
  const SLICE = 1_000;
  const slice = (record: CoverageRecord, first: number): number => {
    const marks: Float64Array[] = [];
    const ahead: Float64Array[] = [];
    for (let t = first; t < first + SLICE; t++) {
      marks.push(tickQuads(t, SECTIONS, WIDTH / SECTIONS, STEP, 0));
      ahead.push(tickQuads(t, SECTIONS, WIDTH / SECTIONS, STEP, 0.5));
    }
    const start = process.hrtime.bigint();
    for (let t = 0; t < SLICE; t++) {
      countAll(record, ahead[t]!);
      markAll(record, marks[t]!);
    }
    return Number(process.hrtime.bigint() - start) / SLICE;
  };
  const early = new CoverageRecord();
  const late = new CoverageRecord();
  for (let t = 0; t < 9 * HOUR; t += SLICE) slice(late, t);
  const ratios: number[] = [];
  const hourOne: number[] = [];
  const hourTen: number[] = [];
  const work: number[] = [];
  for (let t = 0; t < HOUR; t += SLICE) {
    const flip = (t / SLICE) % 2 === 0;
    const first = flip ? slice(early, t) : slice(late, 9 * HOUR + t);
    const second = flip ? slice(late, 9 * HOUR + t) : slice(early, t);
    const start = process.hrtime.bigint();
    constantWork(SLICE * 20);
    work.push(Number(process.hrtime.bigint() - start) / SLICE);
    hourOne.push(flip ? first : second);
    hourTen.push(flip ? second : first);
    ratios.push(flip ? second / first : first / second);
  }
  const microseconds = (values: readonly number[]): string => `${(median(values) / 1e3).toFixed(2)} µs`;
  console.log("\na tick of 48 sections of 0.5 m: 48 look-ahead counts and 48 marks");
  console.log(
    `  hour 1 ${microseconds(hourOne)}, hour 10 ${microseconds(hourTen)}, constant work ${microseconds(work)}`,
  );
  console.log(`  hour 10 to hour 1: ${median(ratios).toFixed(3)} (median over ${ratios.length} pairs)`);
  console.log(
    `  hour 10 ends at ${(late.areas().worked / 1e4).toFixed(0)} ha, ${(late.byteLength / 1e6).toFixed(2)} MB`,
  );
}

// garbage of the loop
{
  const record = new CoverageRecord();
  const quads = Array.from({ length: 2_000 }, (_, t) => tickQuads(t, SECTIONS, WIDTH / SECTIONS, STEP, 0));
  const shares = new Float64Array(SECTIONS);
  const byNumbers = (q: Float64Array): void => {
    countAll(record, q);
    markAll(record, q);
  };
  const byArrays = (q: Float64Array): void => {
    record.coveredShares(q, shares);
    for (let i = 0; i < q.length; i += 8) record.markFrom(q, i);
  };
  console.log("\ngarbage of a tick of 48 marks and 48 counts");
  for (const [name, tick] of [
    ["mark and coveredShare", byNumbers],
    ["markFrom and coveredShares", byArrays],
  ] as const) {
    for (let i = 0; i < 5; i++) for (const q of quads) tick(q);
    globalThis.gc?.();
    const before = process.memoryUsage().heapUsed;
    for (const q of quads) tick(q);
    const grown = process.memoryUsage().heapUsed - before;
    console.log(`  ${name}: ${(grown / quads.length).toFixed(1)} bytes`);
  }
}

// memory and reports of 100 ha
{
  const side = 1000;
  const fill = (gap: number): CoverageRecord => {
    const record = new CoverageRecord();
    for (let x = 0; x < side; x += 4) {
      for (let y = 0; y < side; y += 100) record.mark(x + gap, y, x + 4, y, x + 4, y + 100, x + gap, y + 100);
    }
    return record;
  };
  const field = [
    {
      exterior: [
        [0, 0],
        [side, 0],
        [side, side],
        [0, side],
      ] as [number, number][],
      holes: [],
    },
  ];
  console.log("\n100 ha at 0.1 m");
  for (const [name, record] of [
    ["worked whole", fill(0)],
    ["a gap of 0.3 m every 4 m: no tile full", fill(0.3)],
  ] as const) {
    const time = (call: () => unknown): string => {
      const start = process.hrtime.bigint();
      call();
      return `${(Number(process.hrtime.bigint() - start) / 1e6).toFixed(0)} ms`;
    };
    const bytes = record.snapshot();
    console.log(
      `  ${name}: ${(record.byteLength / 1e6).toFixed(2)} MB, snapshot ${(bytes.length / 1e6).toFixed(3)} MB`,
    );
    console.log(
      `    missed ${time(() => record.missed(field))}, outline ${time(() => record.outline())}, ` +
        `snapshot ${time(() => record.snapshot())}, restore ${time(() => CoverageRecord.restore(bytes))}`,
    );
  }
}
