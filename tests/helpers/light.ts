/** a run of mutants asks for each test again and again: FEERING_LIGHT=1 takes a few cases of each kind */
export const light: boolean = process.env["FEERING_LIGHT"] !== undefined;

/** All of a list, or its first ones where tests are to be light. */
export function some<T>(list: readonly T[], few = 1): readonly T[] {
  return light ? list.slice(0, few) : list;
}

/** So many runs of a property, or a tenth where tests are to be light. */
export function runs(count: number): number {
  return light ? Math.ceil(count / 10) : count;
}
