/** Sentence types that the reader uses; all others are counted as ignored. */
export type NmeaSentenceType = "GGA" | "RMC" | "VTG" | "HDT" | "THS" | "GST" | "ZDA" | "GNS" | "GLL";

/**
 * What a reader has met since it was made.
 *
 * `sentences` is always the sum of `accepted`, `ignored`, `malformed`, `outOfRange` (those four have a right checksum: `valid`)
 * and `badChecksum`, `noChecksum`, `incomplete`, `overlong`.
 */
export interface NmeaCounts {
  /** everything that began with `$` and has come to an end of some kind */
  sentences: number;
  /** sentences with a right checksum, of any type, used or not */
  valid: number;
  /** sentences used: right checksum, known type, all fields fine or null */
  accepted: number;
  /** right checksum, a type that the reader does not use (satellites in view, proprietary ones) */
  ignored: number;
  /** right checksum, too few fields or a field that is no number */
  malformed: number;
  /** right checksum, a value that cannot be true: latitude over 90, minutes of 60, hour 24 */
  outOfRange: number;
  /** the checksum does not fit, or is no two hexadecimal digits and the end of the line */
  badChecksum: number;
  /** the line ended without a checksum; such a sentence is never used */
  noChecksum: number;
  /** cut off by the next `$` or the end of the stream */
  incomplete: number;
  /** longer than 1024 characters (the standard says 82; receivers send up to some 300) */
  overlong: number;
  /** bytes outside sentences, line ends not counted */
  noiseBytes: number;
  /** accepted sentences that came after their fix had been given out, or that repeat one of it: not in any fix */
  late: number;
  /** malformed or impossible dates in accepted sentences; the rest of the sentence is used */
  badDates: number;
  /** dates that are not the running one; ten in a row make it the running one */
  dateDisagreements: number;
  /** dates that are a multiple of 1024 weeks before the running or the earliest one */
  weekRollovers: number;
  /** fixes given out */
  fixes: number;
  /** accepted sentences by type */
  readonly types: Record<NmeaSentenceType, number>;
}
