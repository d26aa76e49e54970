import { LONG } from "./engine.js";

/** Runs of a property: the same ones each time, so that a change is judged by what it changes; many new ones in the long run. */
export function runs(count: number, long = 30): { readonly numRuns: number; readonly seed?: number } {
  return LONG ? { numRuns: count * long } : { numRuns: count, seed: 1911 };
}
