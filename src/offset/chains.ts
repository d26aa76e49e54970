import type { LinkedPieces } from "./link.js";

/**
 * A run of linked pieces.
 *
 * @internal
 */
export interface Chain {
  /** piece numbers, in order */
  readonly pieces: readonly number[];
  readonly closed: boolean;
}

/** Walk the links into chains, by their first pieces: open ones from their starts, then loops. @internal */
export function chainsOf(linked: LinkedPieces): Chain[] {
  const { from, to, next, led } = linked;
  const seen = new Uint8Array(to - from);
  const walk = (first: number): Chain => {
    const pieces: number[] = [];
    let p = first;
    while (p >= 0 && seen[p - from] === 0) {
      seen[p - from] = 1;
      pieces.push(p);
      p = next[p - from]!;
    }
    return { pieces, closed: p === first };
  };
  const chains: Chain[] = [];
  for (let p = from; p < to; p++) if (led[p - from] === 0) chains.push(walk(p));
  for (let p = from; p < to; p++) if (seen[p - from] === 0) chains.push(walk(p));
  return chains.sort((a, b) => a.pieces[0]! - b.pieces[0]!);
}
