// Packs the library, installs the archive in an empty folder, and loads every subpath as ESM and as CommonJS:
// named exports must be the same in both, and no subpath may load empty.
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

const root = new URL("..", import.meta.url).pathname;
const modules = JSON.parse(readFileSync(join(root, "modules.json"), "utf8"));
const folder = mkdtempSync(join(tmpdir(), "feering-pack-"));
try {
  const [packed] = JSON.parse(
    execFileSync("npm", ["pack", "--json", "--ignore-scripts", "--pack-destination", folder], {
      cwd: root,
      encoding: "utf8",
    }),
  );
  writeFileSync(join(folder, "package.json"), '{"private":true,"type":"module"}');
  execFileSync("npm", ["install", "--no-audit", "--no-fund", "--prefer-offline", join(folder, packed.filename)], {
    cwd: folder,
    stdio: "pipe",
  });
  const names = ["feering", ...modules.map((name) => `feering/${name}`)];
  writeFileSync(
    join(folder, "esm.mjs"),
    `for (const name of ${JSON.stringify(names)}) console.log(name, Object.keys(await import(name)).sort().join(","));`,
  );
  writeFileSync(
    join(folder, "cjs.cjs"),
    `for (const name of ${JSON.stringify(names)}) console.log(name, Object.keys(require(name)).filter((k) => k !== "__esModule").sort().join(","));`,
  );
  const run = (file) => execFileSync("node", ["--no-warnings", file], { cwd: folder, encoding: "utf8" }).trim();
  const esm = run("esm.mjs");
  const cjs = run("cjs.cjs");
  if (esm !== cjs) throw new Error(`ESM and CommonJS export different names:\n${esm}\n---\n${cjs}`);
  const empty = esm.split("\n").filter((line) => line.split(" ")[1] === "" || line.split(" ").length < 2);
  if (empty.length > 0) throw new Error(`empty subpaths: ${empty.join("; ")}`);
  console.log(
    `package loads: ${names.length} entry points, ESM and CommonJS alike, ${packed.files.length} files packed`,
  );
} finally {
  rmSync(folder, { recursive: true, force: true });
}
