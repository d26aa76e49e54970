import { FeeringError } from "../errors/index.js";

/** Deepest nesting of objects and lists that is read: real documents have under ten. */
export const MAXIMUM_DEPTH = 64;

/** An error of the document, with the path in it: `features[3].geometry.coordinates[0][2]`. */
export function badFormat(path: string, problem: string, value?: unknown): FeeringError {
  const at = path === "" ? "document" : path;
  const index = /\[(\d+)\]$/.exec(path)?.[1];
  return new FeeringError("bad-format", `${at} ${problem}`, {
    argument: at,
    value,
    ...(index === undefined ? {} : { index: Number(index) }),
  });
}

/** A value in a few words, for a message; never deep, never long. */
export function describe(value: unknown): string {
  if (typeof value === "string") return JSON.stringify(value.length > 40 ? `${value.slice(0, 40)}...` : value);
  if (typeof value === "number" || typeof value === "boolean" || value === null || value === undefined) {
    return String(value);
  }
  if (Array.isArray(value)) return `a list of ${value.length}`;
  return typeof value === "object" ? "an object" : `a ${typeof value}`;
}

/** Whether a value is a JSON object: neither null nor a list. */
export function isObject(value: unknown): value is Record<string, unknown> {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

/** What a call makes of each item of a list; unlike `map` it calls for gaps too, as `undefined`, so that checks see them. */
export function mapEvery<T>(list: readonly unknown[], make: (item: unknown, i: number) => T): T[] {
  const made: T[] = [];
  for (let i = 0; i < list.length; i++) made.push(make(list[i], i));
  return made;
}

/**
 * A copy of a JSON value, so that the result shares nothing with the input.
 *
 * The name `__proto__` is left out: an object that carries it poisons the next one it is assigned to.
 */
export function copyJson(value: unknown, path: string, depth: number): unknown {
  if (depth > MAXIMUM_DEPTH) throw badFormat(path, `is nested deeper than ${MAXIMUM_DEPTH} levels`);
  if (typeof value === "number") {
    if (Number.isFinite(value)) return value;
    throw badFormat(path, `is ${value}, needs a finite number`, value);
  }
  if (value === null || typeof value === "string" || typeof value === "boolean") return value;
  if (Array.isArray(value)) return mapEvery(value, (item, i) => copyJson(item, `${path}[${i}]`, depth + 1));
  if (!isObject(value)) throw badFormat(path, `is ${describe(value)}, needs a JSON value`, value);
  const copy: Record<string, unknown> = {};
  for (const name of Object.keys(value)) {
    const item = value[name];
    if (name !== "__proto__" && item !== undefined) copy[name] = copyJson(item, `${path}.${name}`, depth + 1);
  }
  return copy;
}
