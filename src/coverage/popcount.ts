/**
 * Number of set bits of a 32-bit word.
 *
 * @param word - any 32-bit integer, signed or not
 * @returns 0..32
 * @see Warren, Hacker's Delight, 2nd ed., figure 5-2
 */
export function popcount(word: number): number {
  // hot: once a word that was partly worked before
  let v = word - ((word >>> 1) & 0x55555555);
  v = (v & 0x33333333) + ((v >>> 2) & 0x33333333);
  return Math.imul((v + (v >>> 4)) & 0x0f0f0f0f, 0x01010101) >>> 24;
}
