import { FeeringError } from "../errors/feering-error.js";

/**
 * Check at set-up that a word is one of those allowed.
 *
 * @throws `FeeringError` `out-of-range` for any other
 */
export function requireOneOf<T extends string>(value: unknown, allowed: readonly T[], argument: string): T {
  if (!(allowed as readonly unknown[]).includes(value)) {
    const names = allowed.map((name) => JSON.stringify(name)).join(", ");
    const given = typeof value === "string" ? JSON.stringify(value) : value === null ? "null" : typeof value;
    throw new FeeringError("out-of-range", `${argument} is ${given}, needs one of ${names}`, { argument, value });
  }
  return value as T;
}
