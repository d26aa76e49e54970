import { readdirSync, readFileSync } from "node:fs";
import { defineConfig, type Options } from "tsup";

const modules = JSON.parse(readFileSync(new URL("./modules.json", import.meta.url), "utf8")) as string[];

// every source file stands alone in dist, so that a bundler can drop the ones that are not used, and what they import
const files = readdirSync(new URL("./src/", import.meta.url), { recursive: true, encoding: "utf8" })
  .filter((file) => file.endsWith(".ts"))
  .map((file) => file.slice(0, -".ts".length));
const entries = (names: readonly string[]): Record<string, string> =>
  Object.fromEntries(names.map((name) => [name, `src/${name}.ts`]));

const config: Options = {
  entry: entries(files),
  format: ["esm", "cjs"],
  target: "es2022",
  // what two files use is one thing, in both formats: one FeeringError, one LocalFrame
  splitting: true,
  sourcemap: true,
  clean: true,
  dts: {
    entry: entries(["index", ...modules.map((name) => `${name}/index`)]),
    compilerOptions: { ignoreDeprecations: "6.0" },
  },
};

export default defineConfig(config) as Options;
