/**
 * Where a journal and its snapshots are kept: a few named files of bytes, hardly more than any store offers.
 *
 * All calls are synchronous, and each may throw whatever it likes: the journal takes a call that threw as one that may have done all, a
 * part or nothing, and tries again later. What is not synced may be lost when the power goes, whole or in part and in any order.
 */
export interface JournalStorage {
  /**
   * The whole of a file.
   *
   * @param name - letters, digits and hyphens only
   * @returns its bytes, not changed afterwards by either side; undefined where there is no such file
   */
  read(name: string): Uint8Array | undefined;
  /**
   * Add bytes at the end of a file, which is made where it is missing.
   *
   * @param name - as for `read`
   * @param bytes - to be copied before the call ends: the buffer is used again
   */
  append(name: string, bytes: Uint8Array): void;
  /**
   * Make a file of these bytes, in place of the one that may be there.
   *
   * @param name - as for `read`
   * @param bytes - to be copied before the call ends
   */
  write(name: string, bytes: Uint8Array): void;
  /**
   * Come back only when all that was written to a file, and its name, would outlive a power cut.
   *
   * @param name - as for `read`
   */
  sync(name: string): void;
  /**
   * Give a file another name in one step: whoever reads finds the old file of that name or the new one, never none and never a mixture;
   * after a power cut too. Which of the two, only `sync` of the new name makes certain.
   *
   * @param from - name that it has
   * @param to - name that it gets; a file of that name is replaced
   */
  rename(from: string, to: string): void;
  /**
   * Remove a file; one that is not there is no error.
   *
   * @param name - as for `read`
   */
  remove(name: string): void;
  /**
   * @returns names of all files, in any order
   */
  list(): readonly string[];
}
