/** A whole number of the command line. */
export function wholeNumber(name: string, text: string, min = 0): number {
  const value = Number(text);
  if (/^\d+$/.test(text) && value >= min && Number.isSafeInteger(value)) return value;
  throw new Error(`--${name} is ${text}, needs a whole number from ${min} on`);
}

/** `i/n`, i from 1 to n. */
export function parseSlice(text: string | undefined): { index: number; of: number } | undefined {
  if (text === undefined) return undefined;
  const [, i, n] = /^(\d+)\/(\d+)$/.exec(text) ?? [];
  const [index, of] = [Number(i) - 1, Number(n)];
  if (index >= 0 && index < of) return { index, of };
  throw new Error(`--slice is ${text}, needs i/n with i from 1 to n`);
}
