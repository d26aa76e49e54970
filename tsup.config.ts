import { readFileSync } from "node:fs";
import { defineConfig } from "tsup";

const modules = JSON.parse(readFileSync(new URL("./modules.json", import.meta.url), "utf8")) as string[];

export default defineConfig({
  entry: Object.fromEntries([
    ["index", "src/index.ts"],
    ...modules.map((name) => [`${name}/index`, `src/${name}/index.ts`]),
  ]) as Record<string, string>,
  format: ["esm", "cjs"],
  target: "es2022",
  // one shared chunk for what two subpaths use: one FeeringError, one LocalFrame, in both formats
  splitting: true,
  sourcemap: true,
  clean: true,
  treeshake: true,
  dts: { compilerOptions: { ignoreDeprecations: "6.0" } },
});
