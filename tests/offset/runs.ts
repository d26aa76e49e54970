import { LONG } from "./engine.js";

/** Runs of a property, many more in the long run; which cases they are, the seed says (tests/helpers/seed.ts). */
export function runs(count: number, long = 30): { readonly numRuns: number } {
  return { numRuns: LONG ? count * long : count };
}
