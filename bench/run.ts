// npm run bench            every bench
// npm run bench -- frames  one of them
import { readdirSync } from "node:fs";

const wanted = process.argv.slice(2);
const files = readdirSync(new URL(".", import.meta.url)).filter((name) => name.endsWith(".bench.ts"));
const chosen = wanted.length === 0 ? files : files.filter((name) => wanted.includes(name.replace(".bench.ts", "")));
if (chosen.length === 0) {
  console.error(`no bench ${wanted.join(", ")}; there are: ${files.map((n) => n.replace(".bench.ts", "")).join(", ")}`);
  process.exitCode = 1;
}
for (const file of chosen) await import(new URL(file, import.meta.url).href);
