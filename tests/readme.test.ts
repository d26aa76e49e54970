import { existsSync, readdirSync, readFileSync } from "node:fs";
import { expect, it, vi } from "vitest";

const root = new URL("../", import.meta.url);
const text = (path: string): string => readFileSync(new URL(path, root), "utf8");

it("README's example is the one in examples, and prints what README says", async () => {
  const [, code, , output] = /```ts\n([\s\S]*?)```\n(\n```\n([\s\S]*?)```)/.exec(text("README.md"))!;
  expect(text("examples/quick.ts").replace("../src/index.js", "feering")).toBe(code);
  const log = vi.spyOn(console, "log").mockImplementation(() => undefined);
  await import("../examples/quick.js");
  const printed = log.mock.calls.map((call) => String(call[0])).join("\n");
  log.mockRestore();
  expect(printed).toBe(output!.trim());
});

it("every relative link of README, DEVELOPERS and the docs pages leads somewhere", () => {
  const pages = [
    "README.md",
    "DEVELOPERS.md",
    ...readdirSync(new URL("docs/", root))
      .filter((f) => f.endsWith(".md"))
      .map((f) => `docs/${f}`),
  ];
  const dead: string[] = [];
  for (const page of pages) {
    for (const match of text(page).matchAll(/\]\(([^)#:]+?)(#[^)]*)?\)/g)) {
      if (!existsSync(new URL(match[1]!, new URL(page, root)))) dead.push(`${page}: ${match[1]}`);
    }
  }
  expect(dead).toEqual([]);
});
