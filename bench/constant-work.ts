const work = new Float64Array(4096);

/** A loop of constant work, about what memory and arithmetic of a tick cost: the machine's speed at this moment. */
export function constantWork(): number {
  let total = 0;
  for (let i = 0; i < 4096; i++) {
    work[i] = work[i]! * 0.5 + i;
    total += work[i]!;
  }
  return total;
}
