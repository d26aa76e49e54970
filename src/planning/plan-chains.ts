import type { PlanRow } from "./plan-rows.js";

/**
 * Rows put into chains: in a chain each strip has one row, beside the one before. Where the ground divides or comes together, about an
 * obstacle or a bay of the edge, chains end and others begin: the cells of a boustrophedon decomposition (Choset 2000), strip by strip.
 *
 * @internal
 */
export function planChains(rows: readonly PlanRow[]): PlanRow[][] {
  const next = rows.map((): number[] => []);
  const before = rows.map((): number[] => []);
  let first = 0;
  rows.forEach((row, i) => {
    while (first < rows.length && rows[first]!.band < row.band + 1) first++;
    for (let j = first; j < rows.length && rows[j]!.band === row.band + 1; j++) {
      if (rows[j]!.from < row.to && row.from < rows[j]!.to) {
        next[i]!.push(j);
        before[j]!.push(i);
      }
    }
  });
  const follows = (j: number): boolean => before[j]!.length === 1 && next[before[j]![0]!]!.length === 1;
  const chains: PlanRow[][] = [];
  rows.forEach((row, i) => {
    if (follows(i)) return;
    const chain = [row];
    for (let at = i; next[at]!.length === 1 && follows(next[at]![0]!); ) {
      at = next[at]![0]!;
      chain.push(rows[at]!);
    }
    chains.push(chain);
  });
  return chains;
}
