/** Identifiers of the data dictionary of ISO 11783-11 (isobus.net), lengths in mm, times in ms where nothing else is said. */
export const DDI = {
  /** actual working width */
  width: 67,
  /** default working width */
  usualWidth: 68,
  /** maximum working width */
  largestWidth: 70,
  /** total area, m² */
  area: 116,
  /** effective total distance, mm */
  workedDistance: 117,
  /** ineffective total distance, mm */
  otherDistance: 118,
  /** effective total time, s */
  workedTime: 119,
  /** ineffective total time, s */
  otherTime: 120,
  /** device element offset ahead */
  offsetX: 134,
  /** device element offset to the right */
  offsetY: 135,
  /** actual work state: 0 off, 1 on */
  workState: 141,
  /** yaw angle, 0.001 degrees */
  yaw: 144,
  /** actual condensed work state of sections 1 to 16; the next words follow */
  condensedState: 161,
  /** section control turn-on time */
  turnOnTime: 205,
  /** section control turn-off time */
  turnOffTime: 206,
} as const;

/** Sections in a word of condensed work state. */
export const WORD_SECTIONS = 16;
/** Words of condensed work state. */
export const MOST_WORDS = 16;
