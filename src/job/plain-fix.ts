import type { Fix } from "../receiver/index.js";

const NUMBERS = [
  "time",
  "latitude",
  "longitude",
  "altitude",
  "quality",
  "correctionAge",
  "horizontalAccuracy",
] as const;

/** What the comparison of two receivers reads of a fix, as plain data; a fix without a position for what is none. */
export function plainFix(fix: Fix): Fix {
  const given: Partial<Record<string, unknown>> =
    typeof fix === "object" && (fix as unknown) !== null ? { ...fix } : {};
  const plain: Record<string, unknown> = {
    time: Number.NaN,
    latitude: Number.NaN,
    longitude: Number.NaN,
    quality: 0,
    dated: given["dated"] === true,
  };
  for (const name of NUMBERS) if (typeof given[name] === "number") plain[name] = given[name];
  return plain as unknown as Fix;
}
