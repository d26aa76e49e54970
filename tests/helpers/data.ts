import { existsSync, readFileSync } from "node:fs";
import { resolve } from "node:path";

/**
 * Recorded data that is not part of the project: recorded receiver streams and real parcels, in the folder named by
 * FEERING_DATA (default: `../shared/data` beside the checkout). Tests that need it skip, with a line that says so.
 */
const folder = resolve(process.env["FEERING_DATA"] ?? "../shared/data");

/** Whether the recorded data has this file or folder; prints a line where it has not. */
export function hasData(path: string): boolean {
  const there = existsSync(resolve(folder, path));
  if (!there) console.warn(`skipped: recorded data "${path}" is not here (set FEERING_DATA to its folder)`);
  return there;
}

/** Bytes of a recorded file. */
export function readData(path: string): Uint8Array {
  return readFileSync(resolve(folder, path));
}
