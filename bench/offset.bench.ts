// offsets beside general-purpose engines, all with 16 chords a quadrant: times, vertices, deviation; first call and memory
// each in a process of its own
import { spawnSync } from "node:child_process";
import { fileURLToPath } from "node:url";
import type { Point, Polygon } from "../src/geometry/index.js";
import { DistanceField } from "../tests/offset/distance-field.js";
import { median } from "./harness.js";
import type { Engine, Result } from "./offset-engines.js";
import { type EngineName, engineOf } from "./offset-peers.js";
import { recordedCurve, wavyField, workedStrips } from "./workloads.js";

/** What a row of the table runs, and how its deviation is measured. */
interface Job {
  readonly title: string;
  readonly source: Polygon | readonly Point[] | readonly Polygon[];
  /** numbers to reach, printed beside what was measured */
  readonly goal: string;
  readonly engines: readonly (EngineName | readonly [EngineName, "chained"])[];
  /** engines that would take too long here, with what one run took when it was tried */
  readonly skipped?: readonly string[];
  run(engine: Engine, source: Result, chained: boolean): Result[];
  /** distances asked, in the order of the results; none for a union */
  readonly distances: readonly number[];
}

const loaded = new Map<EngineName, Engine | undefined>();
async function engine(name: EngineName): Promise<Engine | undefined> {
  if (!loaded.has(name)) loaded.set(name, await engineOf(name));
  return loaded.get(name);
}

/** Largest deviation of vertices and middles of output segments from the distance, metres. */
function deviation(
  chains: readonly (readonly Point[])[][],
  distances: readonly number[],
  field: DistanceField,
): number {
  let worst = 0;
  const check = (x: number, y: number, d: number): void => {
    worst = Math.max(worst, Math.abs(field.distance(x - field.originX, y - field.originY) - d));
  };
  chains.forEach((list, i) => {
    const d = Math.abs(distances[i]!);
    for (const chain of list) {
      // not every vertex of a large result is asked
      const step = Math.max(1, Math.floor(chain.length / 20_000));
      for (let k = 1; k < chain.length; k += step) {
        const [x, y] = chain[k]!;
        const [u, v] = chain[k - 1]!;
        check(x, y, d);
        check((x + u) / 2, (y + v) / 2, d);
      }
    }
  });
  return worst;
}

function fieldOf(source: Job["source"]): DistanceField {
  const rings: (readonly Point[])[] =
    "exterior" in source
      ? [source.exterior, ...source.holes].map((ring) => [...ring, ring[0]!])
      : [source as readonly Point[]];
  const flat = rings.flatMap((ring) => ring.slice(1).flatMap(([x, y], i) => [ring[i]![0], ring[i]![1], x, y]));
  return new DistanceField(Float64Array.from(flat));
}

const BUDGET = 1500;

async function measure(job: Job): Promise<void> {
  console.log(`\n${job.title}\n  to reach: ${job.goal}`);
  const candidates: { name: string; run: () => number; times: number[]; row: string }[] = [];
  const field = job.distances.length > 0 ? fieldOf(job.source) : undefined;
  for (const entry of job.engines) {
    const chained = typeof entry !== "string";
    const one = await engine(typeof entry === "string" ? entry : entry[0]);
    if (one === undefined) continue;
    const source = one.load(job.source);
    const band = job.run === inward || job.run === rings || job.distances.length === 0 ? undefined : one.band;
    const name = chained ? `${one.name}, each from the one before` : band ? `${one.name}, ${band}` : one.name;
    const timed = (): { results: Result[]; ms: number } => {
      const start = performance.now();
      const results = job.run(one, source, chained);
      return { results, ms: performance.now() - start };
    };
    // the first run warms up and is looked at
    const { results } = timed();
    const chains = results.map((result) => one.chains(result));
    const vertices = chains.reduce((sum, list) => sum + list.reduce((n, chain) => n + chain.length, 0), 0);
    const asked = job.distances;
    const off = field === undefined || band !== undefined ? Number.NaN : deviation(chains, asked, field);
    one.free(results);
    const shown = Number.isNaN(off) ? "-" : `${off < 1e-4 ? off.toExponential(1) : off.toFixed(4)} m`;
    candidates.push({
      name,
      times: [],
      row: `${String(vertices).padStart(8)} vertices, off by at most ${shown}`,
      run: () => {
        const again = timed();
        one.free(again.results);
        return again.ms;
      },
    });
  }
  // in turn, round after round, so that a drift of the machine hits all alike
  const spent = candidates.map(() => 0);
  for (let round = 0; round < 15; round++) {
    candidates.forEach((candidate, i) => {
      if (round > 0 && spent[i]! > BUDGET) return;
      const ms = candidate.run();
      spent[i]! += ms;
      // a quick one is run some more, until its compiled code has settled
      if (round === 0) for (let k = 0; k < 10 && ms * k < 100; k++) candidate.run();
      else candidate.times.push(ms);
      if (round === 0 && ms > BUDGET) candidate.times.push(ms);
    });
  }
  const first = median(candidates[0]!.times);
  for (const candidate of candidates) {
    const ms = median(candidate.times);
    const ratio = candidate === candidates[0] ? "" : `${(ms / first).toFixed(2)} times ours`;
    console.log(
      `  ${candidate.name.padEnd(48)} ${ms.toFixed(2).padStart(9)} ms ${ratio.padStart(18)} ${candidate.row}`,
    );
  }
  for (const what of job.skipped ?? []) console.log(`  skipped: ${what}`);
}

function once(title: string, job: string, engines: readonly EngineName[], goal: string): void {
  console.log(`\n${title}\n  to reach: ${goal}`);
  for (const name of engines) {
    const file = fileURLToPath(new URL("./offset-once.ts", import.meta.url));
    const child = spawnSync(process.execPath, ["--import", "tsx", file, job, name], {
      encoding: "utf8",
      timeout: 60_000,
    });
    const line = child.stdout.split("\n").find((text) => text.startsWith("{"));
    if (line === undefined) {
      console.log(
        `  ${name.padEnd(48)} no result${child.signal === null ? "" : " within a minute"}: ${child.stdout.trim()}`,
      );
      continue;
    }
    const { milliseconds, megabytes } = JSON.parse(line) as { milliseconds: number; megabytes: number };
    console.log(
      `  ${name.padEnd(48)} ${milliseconds.toFixed(0).padStart(9)} ms, ${megabytes.toFixed(0)} MB more at its peak`,
    );
  }
}

const inward: Job["run"] = (one, source) => one.rings(source, [12]);
const sides: Job["run"] = (one, source) => one.sides(source, [24]);
const rings11 = Array.from({ length: 11 }, (_, i) => 12 + 6 * i);
const steps11 = rings11.map((d, i) => (i === 0 ? d : 6));
const rings: Job["run"] = (one, source, chained) =>
  chained ? one.chained(source, steps11) : one.rings(source, rings11);
const passes40 = Array.from({ length: 40 }, (_, i) => 6 * (i + 1));
const passes: Job["run"] = (one, source) => one.sides(source, passes40);
const both = (distances: readonly number[]): number[] => [...distances, ...distances.map((d) => -d)];

const jobs: Job[] = [
  {
    title: "W1 field 12 m inward, 200 vertices, 5 obstacles",
    source: wavyField(200, 5),
    goal: "2 times geos-wasm",
    engines: ["feering", "fine", "geos", "jsts", "clipper"],
    run: inward,
    distances: [12],
  },
  {
    title: "W1 field 12 m inward, 2 000 vertices, 5 obstacles",
    source: wavyField(2000, 5),
    goal: "level with the best or better",
    engines: ["feering", "fine", "geos", "jsts", "clipper"],
    run: inward,
    distances: [12],
  },
  {
    title: "W1 field 12 m inward, 20 000 vertices, 50 obstacles",
    source: wavyField(20_000, 50),
    goal: "45 ms, 8 times clipper2-wasm",
    engines: ["feering", "fine", "geos", "clipper"],
    skipped: ["jsts (about 16 s a run)"],
    run: inward,
    distances: [12],
  },
  {
    title: "11 rings, 12 m and then 6 m apart, 200 vertices, 5 obstacles",
    source: wavyField(200, 5),
    goal: "10 times the chain of geos-wasm",
    engines: ["feering", "fine", "geos", ["geos", "chained"], ["jsts", "chained"]],
    skipped: ["clipper2-wasm, each from the one before (9 to 45 s a run)"],
    run: rings,
    distances: rings11,
  },
  {
    title: "11 rings, 12 m and then 6 m apart, 2 000 vertices, 5 obstacles",
    source: wavyField(2000, 5),
    goal: "10 times the chain of geos-wasm, level with geos-wasm from the source, a tenth of the chain's vertices",
    engines: ["feering", "fine", "geos", ["geos", "chained"], ["jsts", "chained"]],
    skipped: ["clipper2-wasm, each from the one before (over 45 s a run)"],
    run: rings,
    distances: rings11,
  },
  {
    title: "W2 recorded curve, both sides at 24 m, 1 000 points",
    source: recordedCurve(1000),
    goal: "2.5 ms, 7 times geos-wasm",
    engines: ["feering", "fine", "geos", "jsts", "clipper"],
    run: sides,
    distances: both([24]),
  },
  {
    title: "W2 recorded curve, both sides at 24 m, 10 000 points",
    source: recordedCurve(10_000),
    goal: "18 ms, 7 times geos-wasm",
    engines: ["feering", "fine", "geos", "jsts", "clipper"],
    run: sides,
    distances: both([24]),
  },
  {
    title: "W2 recorded curve, both sides at 24 m, 100 000 points",
    source: recordedCurve(100_000),
    goal: "350 ms, 4 times geos-wasm",
    engines: ["feering", "fine", "geos"],
    skipped: ["jsts (about 7 s a run)", "clipper2-wasm (over 45 s a run)"],
    run: sides,
    distances: both([24]),
  },
  {
    title: "40 passes each side, 6 m apart, 1 000 points",
    source: recordedCurve(1000),
    goal: "12 times geos-wasm",
    engines: ["feering", "fine", "geos"],
    skipped: ["jsts (about 7 s a run)", "clipper2-wasm (about 12 s a run)"],
    run: passes,
    distances: both(passes40),
  },
  {
    title: "40 passes each side, 6 m apart, 10 000 points",
    source: recordedCurve(10_000),
    goal: "15 times geos-wasm",
    engines: ["feering", "geos"],
    skipped: ["jsts, clipper2-wasm (over a minute a run)"],
    run: passes,
    distances: both(passes40),
  },
  {
    title: "W3 covered area of 10 000 strips",
    source: workedStrips(10_000),
    goal: "100 ms",
    engines: ["feering", "geos", "clipper", "polygon-clipping"],
    skipped: ["jsts (about 16 s a run)"],
    run: (one, source) => [one.union(source)],
    distances: [],
  },
];

console.log(
  "Arcs of all engines have 16 chords a quadrant but where said; a family of ours has one tolerance, that of its",
);
console.log(
  "smallest distance. Peers: sources loaded and results left in their own form; ours takes and gives points.",
);
for (const job of jobs) await measure(job);
once(
  "First call in a fresh process: W1, 20 000 vertices, 50 obstacles",
  "field",
  ["feering", "geos", "clipper"],
  "500 ms",
);
once("First call in a fresh process: W2, 100 000 points", "curve", ["feering", "geos"], "-");
once(
  "First call in a fresh process: W3, 10 000 strips",
  "strips",
  ["feering", "geos", "clipper", "polygon-clipping"],
  "-",
);
