import { createHash } from "node:crypto";
import { readdirSync, readFileSync } from "node:fs";

/**
 * What results are made by: the package's version, a hash of its sources and of the job's, and the engine, whose sines and logarithms
 * may differ in their last bits from another's.
 */
export function codeVersion(): string {
  const root = new URL("../../", import.meta.url);
  const { version } = JSON.parse(readFileSync(new URL("package.json", root), "utf8")) as { version: string };
  const files = readdirSync(new URL("src/", root), { recursive: true, encoding: "utf8" })
    .map((file) => `src/${file.replaceAll("\\", "/")}`)
    .filter((file) => file.endsWith(".ts"))
    .sort();
  const hash = createHash("sha256");
  for (const file of [...files, "examples/batch/run-job.ts"]) {
    // however a checkout ends its lines
    hash.update(`${file}\n${readFileSync(new URL(file, root), "utf8").replaceAll("\r\n", "\n")}\n`);
  }
  return `${version}+${hash.digest("hex").slice(0, 12)} v8-${process.versions.v8}`;
}
