/** DDI of the first word of the actual condensed work state, sections 1 to 16; the next words follow (ISO 11783-11). */
export const ACTUAL_CONDENSED_WORK_STATE_DDI = 161;
/** DDI of the first word of the setpoint condensed work state, sections 1 to 16; the next words follow (ISO 11783-11). */
export const SETPOINT_CONDENSED_WORK_STATE_DDI = 290;

/** Sections in one word. */
const SECTIONS = 16;

/**
 * The states of sections as ISO 11783-11 condensed work state: two bits a section, 00 off, 01 on, the leftmost section in the lowest
 * bits; places without a section are 11 (actual: not installed; setpoint: no change).
 *
 * @param states - on or off from left to right: `working` for the actual state, `ordered` for the setpoint
 * @returns one unsigned 32-bit number for every 16 sections begun; the k-th (from 0) belongs to DDI 161 + k (actual) or 290 + k (setpoint)
 *
 * @example
 * ```ts
 * condensedWorkState([true, true, false, true, false]); // [0xfffffc45]
 * ```
 */
export function condensedWorkState(states: readonly boolean[]): number[] {
  const words: number[] = [];
  for (let first = 0; first < states.length; first += SECTIONS) {
    let word = 0;
    for (let k = 0; k < SECTIONS; k++) {
      const state = states[first + k];
      const bits = state === undefined ? 3 : state ? 1 : 0;
      word += bits * 4 ** k;
    }
    words.push(word);
  }
  return words;
}
