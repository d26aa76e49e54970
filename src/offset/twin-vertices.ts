import type { FlatSource } from "./flat-source.js";

/**
 * For each vertex the first vertex at exactly the same place, itself where there is none before it.
 *
 * @internal
 */
export function firstTwins(source: FlatSource): Int32Array {
  const { size, x, y } = source;
  let slots = 16;
  while (slots < 2 * size) slots *= 2;
  const table = new Int32Array(slots).fill(-1);
  const twins = new Int32Array(size);
  const key = new Float64Array(2);
  const bits = new Uint32Array(key.buffer);
  for (let k = 0; k < size; k++) {
    // the sum turns -0 into 0
    key[0] = x[k]! + 0;
    key[1] = y[k]! + 0;
    let hash = Math.imul(bits[0]! ^ Math.imul(bits[1]!, 0x85ebca6b), 0x9e3779b1);
    hash = Math.imul(hash ^ (hash >>> 15) ^ bits[2]!, 0xc2b2ae35);
    hash = Math.imul(hash ^ (hash >>> 13) ^ bits[3]!, 0x27d4eb2f);
    let slot = (hash ^ (hash >>> 16)) & (slots - 1);
    let other = table[slot]!;
    while (other >= 0 && (x[other] !== x[k] || y[other] !== y[k])) {
      slot = (slot + 1) & (slots - 1);
      other = table[slot]!;
    }
    if (other < 0) table[slot] = k;
    twins[k] = other < 0 ? k : other;
  }
  return twins;
}
