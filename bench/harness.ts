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
