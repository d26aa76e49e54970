// What a plan saves on real parcels against the best direction of any of their edges with passes in sequence; prints the table of docs/planning.md.
// Some 17,000 plans: a quarter of an hour on two cores.
import { JobPool } from "../examples/batch/pool.js";
import { type Parcel, realParcels } from "./planning-parcels.js";
import type { Measures, Savings } from "./planning-savings-thread.js";

const WORKERS = 2;
const PLAN = { swathWidth: 24, minimumRadius: 9, rounds: 2 };
/** Costs and metres that differ by less are the same. */
const SAME = 1e-6;

const parcels = realParcels();
if (parcels.length === 0) console.log("skipped: recorded parcels are not here (set FEERING_DATA to their folder)");
else print(await compare(parcels));

async function compare(list: readonly Parcel[]): Promise<(Savings & { name: string })[]> {
  const module = new URL("./planning-savings-thread.ts", import.meta.url);
  const pool = new JobPool<{ found: Savings | null }>({ workers: WORKERS, timeLimit: 1800, module });
  const rows: (Savings & { name: string })[] = [];
  let next = 0;
  const work = async (): Promise<void> => {
    while (next < list.length) {
      const { name, field } = list[next++]!;
      const settings = { id: "24 m", plan: PLAN };
      const result = await pool.run({ field: { id: name, geometry: field }, settings, seed: 1, simulate: false });
      if (!("found" in result)) throw new Error(`${name}: ${result.reason}`);
      if (result.found !== null) rows.push({ name, ...result.found });
    }
  };
  await Promise.all(Array.from({ length: WORKERS }, work));
  await pool.close();
  return rows;
}

function print(rows: readonly (Savings & { name: string })[]): void {
  const groups: [string, (row: Savings) => boolean][] = [
    ["all", () => true],
    ["under 1 ha", ({ area }) => area < 1e4],
    ["1 to 5 ha", ({ area }) => area >= 1e4 && area < 5e4],
    ["5 ha and more", ({ area }) => area >= 5e4],
    ["divided or several mainfields", ({ blocks }) => blocks > 1],
  ];
  console.log("\nsaved against the best edge in sequence, %: lower quartile, median, upper quartile (most)\n");
  console.log("| parcels | how many | time of the mainfield | way without work | time all together |");
  console.log("|---|---|---|---|---|");
  for (const [name, holds] of groups) {
    const of = rows.filter(holds);
    if (of.length === 0) continue;
    const cells = (["cost", "nonWorking", "time"] as const).map((measure) => shares(of, measure));
    console.log(`| ${name} | ${of.length} | ${cells.join(" | ")} |`);
  }
  for (const against of ["best", "least"] as const) {
    for (const measure of ["cost", "nonWorking", "time"] as const) {
      const worse = rows.filter((row) => row.plan[measure] > row[against][measure] + SAME);
      const named = worse.map(
        ({ name, plan, ...row }) => `${name} ${(plan[measure] - row[against][measure]).toFixed(1)}`,
      );
      console.log(
        `worse than the ${against} of all edges by ${measure}: ${worse.length} ${named.slice(0, 8).join(", ")}`,
      );
    }
  }
}

function shares(rows: readonly Savings[], measure: keyof Measures): string {
  const saved = rows
    .map(({ plan, best }) => (best[measure] > 0 ? 100 * (1 - plan[measure] / best[measure]) : 0))
    // no saving is 0, not -0
    .map((share) => (Math.abs(share) < 0.05 ? 0 : share))
    .sort((a, b) => a - b);
  const at = (share: number): string => saved[Math.round(share * (saved.length - 1))]!.toFixed(1);
  return `${at(0.25)}, ${at(0.5)}, ${at(0.75)} (${at(1)})`;
}
