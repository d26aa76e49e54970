// `npm run mutate -- ground`: mutation tests of one group of the code that decides, or of all of them in turn
import { spawnSync } from "node:child_process";
import { groups } from "../stryker.config.mjs";

const wanted = process.argv.slice(2);
const names = wanted.length > 0 ? wanted : Object.keys(groups);
let worst = 0;
for (const name of names) {
  if (!(name in groups)) {
    console.error(`no group ${name}: ${Object.keys(groups).join(", ")}`);
    process.exit(2);
  }
  const run = spawnSync("npx", ["stryker", "run"], { stdio: "inherit", env: { ...process.env, MUTATE: name } });
  worst = Math.max(worst, run.status ?? 1);
}
process.exit(worst);
