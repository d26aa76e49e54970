import { describe, expect, it } from "vitest";
import { random } from "../helpers/random.js";
import type { CoverageRecord } from "../../src/coverage/index.js";
import type { GeographicPosition } from "../../src/frames/index.js";
import { areaBeyond, driveAlong, type Item, jobOn, makeWay, sweptBy } from "./drive.js";
import { assertFive } from "./five.js";
import { originOf, type Scenario, scenarios } from "./scenarios.js";

// the 171 pairs of scenarios, each with itself too, over a whole drive: two passes and the turn between them, and with
// FEERING_LONG=1 five longer passes and five runs of each pair
const long = process.env["FEERING_LONG"] === "1";
const wanted = process.env["FEERING_SEED"];
const seed = wanted === "random" ? Math.floor(Math.random() * 2 ** 31) : Number(wanted ?? 20_250_416);

const way = long ? makeWay(5, 200) : makeWay(2, 60);
const RUNS = long ? 5 : 1;
/** m, as for one scenario alone, and for a heading that is found anew in a turn */
const MARGIN = 0.6;

const drives = new Map<GeographicPosition, Item[]>();
function driveFrom(origin: GeographicPosition): readonly Item[] {
  if (!drives.has(origin)) drives.set(origin, driveAlong(way, { origin }));
  return drives.get(origin)!;
}
const grounds = new Map<number, CoverageRecord>();
function groundWithin(margin: number): CoverageRecord {
  if (!grounds.has(margin)) grounds.set(margin, sweptBy(way, margin));
  return grounds.get(margin)!;
}

/** The longest a dropout may be here, s: a jump within what can be driven in the time is none. */
const LONGEST = 4;

function onBytes({ id }: Scenario): number {
  return id === "F14" ? 3 : id === "F6" ? 2 : id === "F5" ? 1 : 0;
}

function meet(first: Scenario, second: Scenario, chance: () => number, label: string): void {
  const origin = originOf(first, second);
  let items: readonly Item[] = driveFrom(origin);
  const end = items[items.length - 1]!.at;
  let definition = { ...jobOn(way), origin };
  const pick = <T>(values: readonly T[]): T => values[Math.floor(chance() * values.length)]!;
  let margin = MARGIN;
  let said = label;
  // what acts on bytes acts first: the receiver's, before those of its fixes
  for (const scenario of [first, second].sort((a, b) => onBytes(b) - onBytes(a))) {
    const lengths = scenario.lengths.filter((length) => length <= LONGEST || scenario.lengths.length === 1);
    // a jump is one that cannot be driven in the longest gap
    const size = scenario.id === "F2" ? pick([200, 1e4]) : pick(scenario.sizes);
    const fault = { at: 2 + chance() * (end - 12), length: pick(lengths), size, way, origin, chance };
    said += `, ${scenario.id} at ${fault.at.toFixed(2)} for ${fault.length} by ${size}`;
    items = scenario.apply(items, fault);
    definition = { ...definition, ...scenario.job?.(definition, fault) };
    if (scenario.id === "F17" && size === 1) delete (definition as { field?: unknown }).field;
    margin += scenario.margin?.(size) ?? 0;
  }
  const { job } = assertFive(definition, items, first.recovery + second.recovery + 0.5, said);
  expect(areaBeyond(job.coverage, groundWithin(margin)), `${said}: falsely marked, m2`).toBe(0);
}

describe(`pairs of faults, seed ${seed}`, () => {
  it.for(scenarios)("$id with each", (first) => {
    scenarios.forEach((second, i) => {
      if (i < scenarios.indexOf(first)) return;
      for (let n = 0; n < RUNS; n++) {
        const chance = random(seed + 1000 * scenarios.indexOf(first) + 10 * i + n);
        // which of the two comes first is chance
        if (chance() < 0.5) meet(first, second, chance, `run ${n}`);
        else meet(second, first, chance, `run ${n}`);
      }
    });
  });
});
