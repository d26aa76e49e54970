const RECTANGLE = [
  [0, 0],
  [200, 0],
  [200, 100],
  [0, 100],
];

/** Values that no set-up call asks for, or that it asks for somewhere else. */
export const ODD: readonly unknown[] = [
  undefined,
  null,
  Number.NaN,
  Number.POSITIVE_INFINITY,
  -1,
  0,
  1e300,
  -1e15,
  "6",
  true,
  10n,
  Symbol("odd"),
  () => 1,
  {},
  [],
  [undefined],
  [null],
  [[0, 0]],
  [
    [0, 0],
    [0, 0],
    [0, 0],
  ],
  [
    [0, 0],
    [Number.NaN, 1],
    [2, 2],
  ],
  [
    [0, 0],
    [1e300, 0],
    [1e300, 1e300],
  ],
  [
    [0, 0],
    [100, 100],
    [100, 0],
    [0, 100],
  ],
  [{}],
  [{ exterior: null, holes: [] }],
  { exterior: RECTANGLE, holes: null },
  { exterior: RECTANGLE, holes: [[[0, 0]]] },
  { latitude: Number.NaN, longitude: 0 },
  { latitude: 100, longitude: 0 },
];

/** What became of a call with an odd value in every place of its good arguments, one at a time. */
export interface Codes {
  accepted: number;
  /** errors with a code */
  refused: number;
  /** other errors, and numbers in a result that are not finite */
  readonly other: string[];
}

/** Call with each odd value in each place, down to the third level. */
export function codesOf(call: (...args: never[]) => unknown, good: readonly unknown[]): Codes {
  const codes: Codes = { accepted: 0, refused: 0, other: [] };
  // the good ones are good
  call(...(good as never[]));
  for (const path of pathsOf(good, [], 0)) {
    for (const odd of ODD) {
      const args = replaced(good, path, odd) as never[];
      try {
        if (finite(call(...args))) codes.accepted++;
        else codes.other.push(`${path.join(".")} = ${String(odd)}: not finite`);
      } catch (error) {
        const { name, code, message } = error as Error & { code?: string };
        if (name === "FeeringError" && code !== undefined) codes.refused++;
        else codes.other.push(`${path.join(".")}: ${message}`);
      }
    }
  }
  return codes;
}

function pathsOf(value: unknown, path: readonly string[], depth: number): string[][] {
  const own = path.length > 0 ? [[...path]] : [];
  if (depth > 3 || !plain(value)) return own;
  return [...own, ...Object.keys(value).flatMap((key) => pathsOf(value[key], [...path, key], depth + 1))];
}

function plain(value: unknown): value is Record<string, unknown> {
  return (
    Array.isArray(value) ||
    (typeof value === "object" && value !== null && Object.getPrototypeOf(value) === Object.prototype)
  );
}

function replaced(value: unknown, path: readonly string[], odd: unknown): unknown {
  const [key, ...rest] = path;
  if (key === undefined) return odd;
  const copy: unknown = Array.isArray(value) ? [...(value as unknown[])] : { ...(value as object) };
  (copy as Record<string, unknown>)[key] = replaced((copy as Record<string, unknown>)[key], rest, odd);
  return copy;
}

function finite(value: unknown): boolean {
  if (typeof value === "number") return Number.isFinite(value);
  return !plain(value) || Object.values(value).every(finite);
}
