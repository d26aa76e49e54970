import { describe, expect, it } from "vitest";
import { fuzzReader } from "./byte-fuzz.js";
import { fuzzJob } from "./job-fuzz.js";

const wanted = process.env["FEERING_SEED"];
const seed = wanted === "random" ? Math.floor(Math.random() * 2 ** 31) : Number(wanted ?? 20_250_416);

// npm run fuzz goes on where these stop, with a seed of its own
describe(`anything at all, seed ${seed}`, () => {
  it("ten million bytes: nothing thrown, every sentence in one count, nothing kept", () => {
    const { bytes, fixes, accepted, sentences } = fuzzReader(1e7, seed);
    expect(bytes).toBeGreaterThanOrEqual(1e7);
    expect(fixes).toBeGreaterThan(1000);
    expect(accepted).toBeGreaterThan(10_000);
    expect(sentences - accepted).toBeGreaterThan(10_000);
  });

  it("ten thousand fixes of any kind, and the operator's verbs: nothing thrown, all finite, off where not usable", () => {
    expect(fuzzJob(10_000, seed)).toBeGreaterThan(500);
  });
});
