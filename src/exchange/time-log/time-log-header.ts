/** Where a value of a time log stands: in every record, or once for all in the header, as this number. */
export type InRecordOr<T> = "record" | T;

/** Which parts of a position a time log has; what is left out is nowhere in it. Element PTN of ISO 11783-10. */
export interface TimeLogPosition {
  /** degrees north (attribute A) */
  readonly latitude?: InRecordOr<number>;
  /** degrees east (B) */
  readonly longitude?: InRecordOr<number>;
  /** metres up, above the ellipsoid as far as the standard goes (C) */
  readonly altitude?: InRecordOr<number>;
  /** 0 to 8 as NMEA 0183 GGA numbers quality, 14 error, 15 not available (D) */
  readonly status?: InRecordOr<number>;
  /** position dilution of precision (E) */
  readonly pdop?: InRecordOr<number>;
  /** horizontal dilution of precision (F) */
  readonly hdop?: InRecordOr<number>;
  /** satellites in use (G) */
  readonly satellites?: InRecordOr<number>;
  /** s since midnight UTC (H) */
  readonly utcTimeOfDay?: InRecordOr<number>;
  /** days since 1980-01-01, UTC (I) */
  readonly utcDay?: InRecordOr<number>;
}

/** One value that a time log has beside time and position. Element DLV of ISO 11783-10; records name it by its place in the header's list. */
export interface TimeLogChannel {
  /** identifier of the dictionary of ISO 11783-11, 0 to 65535 (A) */
  readonly ddi: number;
  /** device element that it belongs to, such as `DET-1` (C) */
  readonly element: string;
  /** in the records that list it, or fixed: the raw number, in the unit of the dictionary (B) */
  readonly value: InRecordOr<number>;
  /** parameter group logged, where `ddi` is 57342 (DFFE): a raw signal of the bus (D) */
  readonly pgn?: number;
  /** first bit of it (E) */
  readonly startBit?: number;
  /** last bit of it (F) */
  readonly stopBit?: number;
}

/** What the header file of a time log (TLGxxxxx.XML) says of its records. Element TIM of ISO 11783-10. */
export interface TimeLogHeader {
  /** `record`, or the one time of all records as the file has it, local without zone: `2024-05-01T10:00:00` (A) */
  readonly start: string;
  /** kind of time: 1 planned, 2 preliminary, 4 effective, 5 ineffective, 6 repair, 7 clearing, 8 powered down (D) */
  readonly type: number;
  /** which parts of a position; null where there is none at all */
  readonly position: TimeLogPosition | null;
  /** values beside it, in the order of the file: at most 255 */
  readonly channels: readonly TimeLogChannel[];
  /** names of elements in the file that are none of ISO 11783-10's header, and were left out; only told by the reader */
  readonly ignored?: readonly string[];
}

/** Most values that a record can list, and channels that it can name. */
export const MOST_CHANNELS = 255;

/** Bytes of the longest record: 30 before the values, their number, the values. */
export const LONGEST_RECORD: number = 31 + 5 * MOST_CHANNELS;
