import { execFileSync } from "node:child_process";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { random } from "../helpers/random.js";
import { logBytes, replay } from "./replay-log.js";

// P24 and P35 of the properties: what comes out depends on the bytes alone
describe("a log replayed", () => {
  const bytes = logBytes();
  const whole = replay(bytes, [bytes.length]);

  it("gives the same states, orders, totals and record again", () => {
    expect(whole).toMatch(/^[45]\d\d -?\d+ [0-9a-f]{64}$/u);
    expect(replay(bytes, [bytes.length])).toBe(whole);
  });

  it("gives the same cut in any way", () => {
    const chance = random(36);
    for (const sizes of [
      [1],
      [7],
      [4096],
      [1, 200, 3, 64, 1000],
      Array.from({ length: 99 }, () => 1 + Math.floor(chance() * 900)),
    ]) {
      expect(replay(bytes, sizes), `cut into ${sizes.slice(0, 5).join(", ")}`).toBe(whole);
    }
  });

  it("gives the same in other processes", () => {
    const script = fileURLToPath(new URL("./replay-log.ts", import.meta.url));
    for (const size of ["100000", "13"]) {
      const out = execFileSync(process.execPath, ["--import", "tsx", script, size], { encoding: "utf8" });
      expect(out.trim()).toBe(whole);
    }
  });
});
