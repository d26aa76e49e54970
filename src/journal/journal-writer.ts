import { LARGEST_BODY, RECORD_HEADER, sealRecord, viewOf } from "./record-format.js";

/**
 * Frames records in a buffer of its own: whoever records writes the body straight into it.
 *
 * Allocates only when the buffer has to grow, which is when a record is large or the storage fails for long.
 *
 * @example
 * ```ts
 * const writer = new JournalWriter(1, salt);
 * const at = writer.reserve(8);
 * writer.view.setFloat64(at, 1.5, true);
 * writer.commit(8);
 * storage.append(name, writer.framed());
 * ```
 */
export class JournalWriter {
  /** the buffer; another one after {@link JournalWriter.reserve} had to make it larger */
  bytes: Uint8Array;
  /** the buffer seen as numbers, little-endian by custom */
  view: DataView;
  /** sequence of the next record */
  sequence: number;
  /** sequence of the first record in the buffer */
  firstSequence: number;
  /** bytes of whole records in the buffer */
  length = 0;
  private salt: number;
  private readonly most: number;

  /**
   * @param sequence - of the next record
   * @param salt - of the file that the records go into
   * @param capacity - bytes at the start
   * @param most - bytes at most
   */
  constructor(sequence: number, salt: number, capacity: number = 1 << 16, most: number = 1 << 22) {
    this.bytes = new Uint8Array(capacity);
    this.view = viewOf(this.bytes);
    this.sequence = sequence;
    this.firstSequence = sequence;
    this.salt = salt;
    this.most = most;
  }

  /**
   * Make room for a record.
   *
   * @param size - bytes that its body has at most
   * @returns where in {@link JournalWriter.bytes} the body begins; -1 where there is no room for it
   */
  reserve(size: number): number {
    // hot: once a fix
    const at = this.length + RECORD_HEADER;
    if (at + size > this.bytes.length && !this.grow(at + size)) return -1;
    return size <= LARGEST_BODY ? at : -1;
  }

  /**
   * Take the body just written as a record.
   *
   * @param size - bytes that it has, no more than were reserved
   */
  commit(size: number): void {
    // hot: once a fix
    sealRecord(this.bytes, this.view, this.length, size, this.sequence, this.salt);
    this.length += RECORD_HEADER + size;
    this.sequence++;
  }

  /**
   * @returns the records in the buffer, as they go into a file; a view that the next call makes stale
   */
  framed(): Uint8Array {
    return this.bytes.subarray(0, this.length);
  }

  /** Forget the records in the buffer. */
  clear(): void {
    this.length = 0;
    this.firstSequence = this.sequence;
  }

  /**
   * Count a record that could not be taken, and forget those in the buffer: without it they lead nowhere.
   */
  skip(): void {
    this.sequence++;
    this.clear();
  }

  /**
   * From now on the records go into another file, those in the buffer too.
   *
   * @param salt - of that file
   */
  moveTo(salt: number): void {
    const change = this.salt ^ salt;
    this.salt = salt;
    for (let at = 0; at < this.length; ) {
      const size = this.view.getUint32(at + 4, true) & LARGEST_BODY;
      this.view.setUint32(at, this.view.getUint32(at, true) ^ change, true);
      at += RECORD_HEADER + size;
    }
  }

  private grow(needed: number): boolean {
    if (needed > this.most) return false;
    const larger = new Uint8Array(Math.min(this.most, 2 * needed));
    larger.set(this.framed());
    this.bytes = larger;
    this.view = viewOf(larger);
    return true;
  }
}
