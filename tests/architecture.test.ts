import { existsSync, readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";

// bottom to top; modules of one row may not import each other
const rows: readonly (readonly string[])[] = [
  ["errors"],
  ["units"],
  ["geometry"],
  ["offset"],
  ["frames"],
  ["receiver"],
  ["coverage", "machine"],
  ["survey"],
  ["guidance", "headland"],
  ["sections"],
  ["drawing", "journal", "planning"],
  ["job"],
  ["exchange"],
  ["simulation"],
];
const row = new Map(rows.flatMap((names, i) => names.map((name) => [name, i] as const)));
const root = new URL("../", import.meta.url);
const modules = JSON.parse(readFileSync(new URL("modules.json", root), "utf8")) as string[];

function filesOf(name: string): string[] {
  return readdirSync(new URL(`src/${name}/`, root), { recursive: true, encoding: "utf8" }).filter((f) =>
    f.endsWith(".ts"),
  );
}

describe("the layers", () => {
  it("know every module, and every module has a door, a subpath and a page", () => {
    expect([...row.keys()].sort()).toEqual(modules.filter((name) => !name.includes("/")).sort());
    const manifest = JSON.parse(readFileSync(new URL("package.json", root), "utf8")) as {
      exports: Record<string, unknown>;
      typesVersions: { "*": Record<string, unknown> };
    };
    for (const name of modules) {
      expect(existsSync(new URL(`src/${name}/index.ts`, root)), `src/${name}/index.ts`).toBe(true);
      const page = `docs/${name.split("/")[0]}.md`;
      expect(existsSync(new URL(page, root)), page).toBe(true);
      expect(manifest.exports[`./${name}`], `exports ./${name}`).toBeDefined();
      expect(manifest.typesVersions["*"][name], `typesVersions ${name}`).toBeDefined();
    }
  });

  it("import only downwards", () => {
    const wrong: string[] = [];
    for (const name of row.keys()) {
      for (const file of filesOf(name)) {
        const at = new URL(`src/${name}/${file}`, root);
        for (const match of readFileSync(at, "utf8").matchAll(/from "(\.[^"]*)"/g)) {
          const target = new URL(match[1]!, at).pathname.slice(new URL("src/", root).pathname.length).split("/")[0]!;
          if (target === name) continue;
          if (!row.has(target) || row.get(target)! >= row.get(name)!) wrong.push(`${name}/${file} -> ${target}`);
        }
      }
    }
    expect(wrong).toEqual([]);
  });

  it("use no clock, no chance and no port of the machine they run on", () => {
    const wrong: string[] = [];
    for (const name of row.keys()) {
      for (const file of filesOf(name)) {
        const source = readFileSync(new URL(`src/${name}/${file}`, root), "utf8");
        const text = source.replaceAll(/\/\*[^]*?\*\//g, ""); // examples in doc comments may print
        for (const forbidden of ["Date.now", "new Date()", "Math.random", "performance.now", '"node:', "console."]) {
          if (text.includes(forbidden)) wrong.push(`${name}/${file}: ${forbidden}`);
        }
      }
    }
    expect(wrong).toEqual([]);
  });
});
