import { createHash } from "node:crypto";
import type { Job } from "./job.js";

/** Longest name that is told in a key. */
const LONGEST = 80;

/**
 * What a job is known by, wherever it is run: field, settings, and a hash of all that its result depends on but the code. Holds neither
 * colon nor space, as queues want it.
 */
export function jobKey(job: Job): string {
  const { field, settings, seed, simulate } = job;
  return `${plainName(field.id)}/${plainName(settings.id)}/${hashOf({ geometry: field.geometry, settings, seed, simulate })}`;
}

/** Hash of plain data, however its properties are ordered: 64 bits in hexadecimal. */
export function hashOf(value: unknown): string {
  return createHash("sha256").update(sorted(value)).digest("hex").slice(0, 16);
}

/** The seed of a field: the same for all settings, so that they meet the same errors, and another for each field. */
export function fieldSeed(seed: number, geometry: unknown): number {
  return Number.parseInt(hashOf([seed, geometry]).slice(0, 12), 16);
}

function plainName(id: string): string {
  // lone surrogates can't be encoded
  return encodeURIComponent(id.slice(0, LONGEST).replace(/\p{Surrogate}/gu, "\ufffd"));
}

/** JSON with the properties of each object in order. */
function sorted(value: unknown): string {
  return JSON.stringify(value, (_, inner: unknown) =>
    typeof inner === "object" && inner !== null && !Array.isArray(inner)
      ? Object.fromEntries(Object.entries(inner).sort(([a], [b]) => (a < b ? -1 : 1)))
      : inner,
  );
}
