import { readFileSync } from "node:fs";

/** Rows of a reference table in `tests/reference`: objects of strings by column name; `#` lines are left out. */
export function readTable(path: string): Record<string, string>[] {
  const text = readFileSync(new URL(`../reference/${path}`, import.meta.url), "utf8");
  const lines = text.split("\n").filter((line) => line !== "" && !line.startsWith("#"));
  const names = lines[0]!.split(",");
  return lines.slice(1).map((line) => {
    const cells = line.split(",");
    return Object.fromEntries(names.map((name, i) => [name, cells[i] ?? ""]));
  });
}

/** Lines of JSON of a reference file in `tests/reference`. */
export function readJsonLines<T>(path: string): T[] {
  const text = readFileSync(new URL(`../reference/${path}`, import.meta.url), "utf8");
  return text
    .split("\n")
    .filter((line) => line.trim() !== "")
    .map((line) => JSON.parse(line) as T);
}
