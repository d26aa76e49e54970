import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { onTestFinished } from "vitest";
import type { BatchSettings, Job } from "../../examples/batch/job.js";

/** A folder that goes with the test. */
export function temporaryFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), "feering-batch-"));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

/** GeoJSON geometry of a rectangle, metres east and north, at 52 N. */
export function rectangle(east: number, north: number): object {
  const x = east / (111_412.8 * Math.cos((52 * Math.PI) / 180));
  const y = north / 111_257;
  const at = (a: number, b: number): number[] => [5 + a * x, 52 + b * y];
  return { type: "Polygon", coordinates: [[at(0, 0), at(1, 0), at(1, 1), at(0, 1), at(0, 0)]] };
}

export const SETTINGS: readonly BatchSettings[] = [
  { id: "wide", plan: { swathWidth: 12, minimumRadius: 6 } },
  { id: "narrow", plan: { swathWidth: 6, minimumRadius: 5 } },
];

/** Rectangles of several sizes as lines of JSON, and one line that is none. */
export function writeFields(folder: string, count = 6): string {
  const lines = Array.from({ length: count }, (_, i) =>
    JSON.stringify({ type: "Feature", id: `f${i}`, properties: {}, geometry: rectangle(90 + i, 60 + i) }),
  );
  const path = join(folder, "fields.jsonl");
  writeFileSync(path, `${lines.join("\n")}\n{"type": "Feature", "geom\n`);
  return path;
}

export function jobOf(geometry: unknown, more: Partial<Job> = {}): Job {
  return { field: { id: "f", geometry }, settings: SETTINGS[0]!, seed: 1, simulate: false, ...more };
}
