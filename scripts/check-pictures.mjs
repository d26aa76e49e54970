// After `npm run demo`: the picture in docs must be the one that the demo draws now. `--update` takes the new one.
import { copyFileSync, readFileSync } from "node:fs";

const made = new URL("../out/map.svg", import.meta.url);
const shown = new URL("../docs/demo-map.svg", import.meta.url);
if (process.argv.includes("--update")) copyFileSync(made, shown);
if (!readFileSync(made).equals(readFileSync(shown))) {
  console.error(
    "docs/demo-map.svg is not what the demo draws: look at out/map.svg, then node scripts/check-pictures.mjs --update",
  );
  process.exitCode = 1;
} else {
  console.log("docs/demo-map.svg is what the demo draws");
}
