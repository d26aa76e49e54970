import { expect, test } from "vitest";
import { runs } from "../../helpers/light.js";
import { fuzzExchange } from "./exchange-fuzz.js";

const wanted = process.env["FEERING_SEED"];
const seed = wanted === "random" ? Math.floor(Math.random() * 2 ** 31) : Number(wanted ?? 20_251_201);

// npm run fuzz:exchange goes on where this stops, with a seed of its own
test(`documents with changes by chance, seed ${seed}: every reader gives data or a typed error, soon`, () => {
  const { counts, failures } = fuzzExchange(runs(22_000), seed);
  expect(failures).toEqual([]);
  for (const [name, { read, refused }] of counts) {
    // a fuzz that reads nothing, or refuses nothing, tries nothing
    expect(read, name).toBeGreaterThan((read + refused) / 20);
    expect(refused, name).toBeGreaterThan((read + refused) / 20);
  }
});
