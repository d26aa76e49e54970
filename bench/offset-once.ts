// One job by one engine in a process of its own: `offset-once.ts <job> <engine>` prints its first (cold) time and the
// memory it took at most, as JSON.
import { type EngineName, engineOf } from "./offset-peers.js";
import { recordedCurve, wavyField, workedStrips } from "./workloads.js";

const [job, name] = process.argv.slice(2) as [string, EngineName];
const engine = await engineOf(name);
if (engine !== undefined) {
  const source =
    job === "field" ? wavyField(20_000, 50) : job === "curve" ? recordedCurve(100_000) : workedStrips(10_000);
  const loaded = engine.load(source);
  // maxRSS is in kilobytes
  const before = process.resourceUsage().maxRSS;
  const start = performance.now();
  if (job === "field") engine.rings(loaded, [12]);
  else if (job === "curve") engine.sides(loaded, [24]);
  else engine.union(loaded);
  const milliseconds = performance.now() - start;
  console.log(JSON.stringify({ milliseconds, megabytes: (process.resourceUsage().maxRSS - before) / 1024 }));
}
