import { expect } from "vitest";

/** One millimetre, metres. */
export const MM = 1e-3;

/** Compare two numbers within a tolerance that has a unit; the message prints both values and the difference. */
export function expectWithin(actual: number, expected: number, tolerance: number, what = "value"): void {
  const difference = Math.abs(actual - expected);
  if (!(difference <= tolerance)) {
    expect.fail(`${what}: got ${actual}, expected ${expected}, off by ${difference}, tolerance ${tolerance}`);
  }
}

/** Compare two angles, degrees, the short way round. */
export function expectAngleWithin(actual: number, expected: number, tolerance: number, what = "angle"): void {
  let d = (actual - expected) % 360;
  if (d > 180) d -= 360;
  if (d < -180) d += 360;
  if (!(Math.abs(d) <= tolerance)) {
    expect.fail(`${what}: got ${actual}, expected ${expected}, off by ${d} degrees, tolerance ${tolerance}`);
  }
}

/** Run a call that must throw, and check the code of its error; gives the error back for more checks. */
export function expectCode(
  call: () => unknown,
  code: string,
): Error & { code: string; argument: string; index?: number } {
  try {
    call();
  } catch (error) {
    expect((error as { code?: string }).code, String(error)).toBe(code);
    return error as Error & { code: string; argument: string; index?: number };
  }
  expect.fail(`expected an error with code ${code}, nothing was thrown`);
}
