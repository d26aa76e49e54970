// a display that repaints, with each tick, the tiles that changed: 48 sections of 0.5 m at 20 Hz and 3 m/s
import { CoverageRecord } from "../src/coverage/index.js";
import { median } from "./harness.js";

const WIDTH = 24;
const SECTION = 0.5;
const STEP = 0.15;
const PASS = 1000;
const TICKS = 400;
const HECTARES = [1, 10, 50, 100];

const record = new CoverageRecord();
const row: string[] = [];
let pass = 0;
for (const hectares of HECTARES) {
  // whole passes up to there, with a gap in each so that no tile is worked whole, then ticks along the next
  const passes = Math.floor((hectares * 1e4) / (PASS * WIDTH));
  for (; pass < passes; pass++) {
    for (let y = 0; y < PASS; y += 100) {
      for (let x = pass * WIDTH; x < (pass + 1) * WIDTH; x += 4) {
        record.mark(x + 0.3, y, x + 4, y, x + 4, y + 100, x + 0.3, y + 100);
      }
    }
  }
  const asked: number[] = [];
  const painted: number[] = [];
  const all: number[] = [];
  let tiles = 0;
  for (let round = 0; round < 3; round++) {
    for (let t = 0; t < TICKS; t++) {
      const before = record.revision;
      const y = 10 + (round * TICKS + t) * STEP;
      for (let x = pass * WIDTH; x < (pass + 1) * WIDTH; x += SECTION) {
        record.mark(x, y, x + SECTION, y, x + SECTION, y + STEP, x, y + STEP);
      }
      const start = process.hrtime.bigint();
      const keys = record.changedTiles(before);
      const between = process.hrtime.bigint();
      for (const key of keys) record.tileOutline(key);
      const end = process.hrtime.bigint();
      if (round === 0) continue; // warm
      asked.push(Number(between - start) / 1e3);
      painted.push(Number(end - between) / 1e3);
      tiles += keys.length;
    }
  }
  for (let k = 0; k < 5; k++) {
    const start = process.hrtime.bigint();
    record.changedTiles(0);
    all.push(Number(process.hrtime.bigint() - start) / 1e6);
  }
  row.push(
    `  ${String(hectares).padStart(3)} ha: changedTiles ${median(asked).toFixed(1)} µs, ` +
      `tileOutline of them ${median(painted).toFixed(0)} µs (${(tiles / (2 * TICKS)).toFixed(1)} tiles); ` +
      `changedTiles(0) ${median(all).toFixed(1)} ms`,
  );
}
console.log("\nrepaint of a tick's changes, medians");
for (const line of row) console.log(line);
