/** Slots of a second, by hundredths, and one more for epochs without a time. */
const SLOTS = 101;
const NONE = 255;

/**
 * Learns which sentence type comes last in an epoch, so that a fix can be given out as soon as it is complete.
 *
 * It is learnt for each hundredth of a second apart: a stream of 10 fixes a second often carries more sentences on the
 * whole second. What is learnt changes only when two epochs of a slot in a row end otherwise: a lost sentence changes nothing.
 */
export class EpochOrder {
  private readonly last: Uint8Array = new Uint8Array(SLOTS).fill(NONE);
  private readonly candidate: Uint8Array = new Uint8Array(SLOTS).fill(NONE);
  /** of whichever slots came last: for a slot that is still new */
  private usual = NONE;
  private usualCandidate = NONE;

  /**
   * @param timeOfDay - seconds, NaN where the epoch has none
   * @param type - type of the sentence that has just been joined
   * @returns whether an epoch at that time ends with this type
   */
  isLast(timeOfDay: number, type: number): boolean {
    const learnt = this.last[slotOf(timeOfDay)]!;
    return type === (learnt === NONE ? this.usual : learnt);
  }

  /**
   * Take note of how an epoch ended, known once the next begins.
   *
   * @param timeOfDay - seconds, NaN where the epoch had none
   * @param type - type of its last sentence
   */
  learn(timeOfDay: number, type: number): void {
    const slot = slotOf(timeOfDay);
    if (this.last[slot] === NONE || this.candidate[slot] === type) this.last[slot] = type;
    this.candidate[slot] = this.last[slot] === type ? NONE : type;
    if (this.usual === NONE || this.usualCandidate === type) this.usual = type;
    this.usualCandidate = this.usual === type ? NONE : type;
  }
}

function slotOf(timeOfDay: number): number {
  if (!(timeOfDay >= 0)) return SLOTS - 1;
  return Math.round((timeOfDay - Math.floor(timeOfDay)) * 100) % 100;
}
