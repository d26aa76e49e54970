/**
 * A small harness: candidates run in turn, round after round, in one process, so that a drift of the machine's speed
 * hits all alike. Medians of the rounds are compared; what counts is the ratio.
 */
export interface Candidate {
  readonly name: string;
  /** does `calls` calls and gives back something that depends on their results, so that none is optimised away */
  run(): number;
  /** how many calls one `run` makes */
  readonly calls: number;
}

export interface Result {
  readonly name: string;
  /** median over the rounds, nanoseconds a call */
  readonly nanoseconds: number;
}

let sink = 0;

export function compare(title: string, candidates: readonly Candidate[], rounds = 15): Result[] {
  const times: number[][] = candidates.map(() => []);
  for (const candidate of candidates) for (let warm = 0; warm < 3; warm++) sink += candidate.run();
  for (let round = 0; round < rounds; round++) {
    candidates.forEach((candidate, i) => {
      const start = process.hrtime.bigint();
      sink += candidate.run();
      times[i]!.push(Number(process.hrtime.bigint() - start) / candidate.calls);
    });
  }
  const results = candidates.map((candidate, i) => ({ name: candidate.name, nanoseconds: median(times[i]!) }));
  const ours = results[0]!.nanoseconds;
  console.log(`\n${title}`);
  for (const result of results) {
    const ratio = result === results[0] ? "" : `  ${(result.nanoseconds / ours).toFixed(2)} times ours`;
    console.log(`  ${result.name.padEnd(44)} ${format(result.nanoseconds).padStart(12)} a call${ratio}`);
  }
  return results;
}

/** One that reads or writes a file: peers may answer by promises. */
export interface Reader {
  readonly name: string;
  /** length of the file */
  readonly bytes: number;
  /** gives back something that depends on all that was read */
  run(): Promise<number> | number;
}

/** As {@link compare}, in MB/s; the first one's time against those of the others is given as ratio. */
export async function compareReaders(title: string, readers: readonly Reader[], rounds = 11): Promise<void> {
  const times: number[][] = readers.map(() => []);
  for (const reader of readers) for (let warm = 0; warm < 2; warm++) sink += await reader.run();
  for (let round = 0; round < rounds; round++) {
    for (const [i, reader] of readers.entries()) {
      // what one leaves behind is not swept on the account of the next
      globalThis.gc?.();
      const start = process.hrtime.bigint();
      sink += await reader.run();
      times[i]!.push(Number(process.hrtime.bigint() - start));
    }
  }
  console.log(`\n${title}`);
  const ours = median(times[0]!);
  readers.forEach((reader, i) => {
    const time = median(times[i]!);
    const ratio = i === 0 ? "" : `  ${(time / ours).toFixed(2)} times ours`;
    console.log(`  ${reader.name.padEnd(44)} ${((reader.bytes / time) * 1e3).toFixed(1).padStart(8)} MB/s${ratio}`);
  });
}

/** Middle value of a list. */
export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[sorted.length >> 1] ?? Number.NaN;
}

function format(nanoseconds: number): string {
  if (nanoseconds < 1e3) return `${nanoseconds.toFixed(1)} ns`;
  if (nanoseconds < 1e6) return `${(nanoseconds / 1e3).toFixed(2)} µs`;
  return `${(nanoseconds / 1e6).toFixed(2)} ms`;
}

export function consume(): number {
  return sink;
}
