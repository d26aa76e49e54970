import { requireNumber, requireObject } from "../../errors/index.js";
import type { FieldJob } from "../../job/index.js";
import type { Fix } from "../../receiver/index.js";
import { CsvRows } from "./csv-rows.js";
import { readCsv, type ReadCsvOptions } from "./read-csv.js";
import type { CsvColumn } from "./write-csv.js";

/** One instant of a drive. What is not known is NaN. */
export interface TrackRow {
  /** s, by the clock of the fixes; always known */
  readonly time: number;
  /** degrees north, reference point of the machine */
  readonly latitude: number;
  /** degrees east */
  readonly longitude: number;
  /** metres above the ellipsoid */
  readonly altitude: number;
  /** quality of the fix, 0 to 8, as NMEA 0183 GGA and ISO 11783-10 number it */
  readonly quality: number;
  /** m/s, negative in reverse */
  readonly speed: number;
  /** degrees clockwise from the frame's north */
  readonly heading: number;
  /** metres from the pass, right of it positive, in the line's own direction */
  readonly crossTrackError: number;
  /** number of the pass that is followed */
  readonly pass: number;
  /** whether each section of the first boom works, from the left */
  readonly sections: readonly boolean[];
}

/**
 * Columns for {@link TrackRow}, for `writeCsv`: `time_s`, `latitude_deg`, `longitude_deg`, `altitude_m`, `quality`, `speed_m_s`,
 * `heading_deg`, `cross_track_error_m`, `pass`, and `section_1` to the last, 1 at work and 0 not. Rounded to 1 ms, 1e-9 degrees
 * (0.1 mm), 1 mm, 1 mm/s, 0.001 degrees and 0.1 mm; unknown values are empty cells.
 *
 * @param sections - how many sections there are, 0 to 255
 * @returns the columns
 * @throws `FeeringError` `not-finite` or `out-of-range` for a number of sections that is none
 * @example
 * ```ts
 * const rows: TrackRow[] = [];
 * for (const fix of reader.push(bytes)) {
 *   job.update(fix);
 *   rows.push(trackRow(job, fix));
 * }
 * const text = writeCsv(rows, trackColumns(8));
 * ```
 */
export function trackColumns(sections: number): CsvColumn<TrackRow>[] {
  const count = Math.floor(requireNumber(sections, "sections", { min: 0, max: MOST_SECTIONS }));
  const columns: CsvColumn<TrackRow>[] = [
    { header: "time_s", value: (row) => row.time, decimals: 3 },
    { header: "latitude_deg", value: (row) => row.latitude, decimals: 9 },
    { header: "longitude_deg", value: (row) => row.longitude, decimals: 9 },
    { header: "altitude_m", value: (row) => row.altitude, decimals: 3 },
    { header: "quality", value: (row) => row.quality },
    { header: "speed_m_s", value: (row) => row.speed, decimals: 3 },
    { header: "heading_deg", value: (row) => row.heading, decimals: 3 },
    { header: "cross_track_error_m", value: (row) => row.crossTrackError, decimals: 4 },
    { header: "pass", value: (row) => row.pass },
  ];
  for (let i = 0; i < count; i++) {
    columns.push({
      header: `section_${i + 1}`,
      value: (row) => (row.sections[i] === undefined ? undefined : row.sections[i] ? 1 : 0),
    });
  }
  return columns;
}

/**
 * What a job knows now, as a row: the reference point of the machine, and the sections of the first boom at work.
 *
 * @param job - a `FieldJob` or `RecordedJob`, after its update
 * @param fix - the fix it was updated with, for altitude and quality
 * @returns a new object; NaN for what is not known: pass and error without a pattern, place and heading before the first good fix
 * @throws `FeeringError` `not-finite` for what is no object
 */
export function trackRow(job: Pick<FieldJob, "frame" | "state">, fix: Fix): TrackRow {
  requireObject(job, "job");
  requireObject(fix, "fix");
  const { time, x, y, motion, guidance, sections } = job.state;
  const moved = motion.source !== "none";
  const known = guidance.status !== "no-line" && moved;
  const { latitude, longitude } = job.frame.toGeodetic([x, y]);
  return {
    time,
    latitude: moved ? latitude : fix.latitude,
    longitude: moved ? longitude : fix.longitude,
    altitude: fix.altitude ?? Number.NaN,
    quality: fix.quality,
    speed: motion.speed,
    heading: moved ? motion.heading : Number.NaN,
    crossTrackError: known ? guidance.crossTrackError : Number.NaN,
    pass: known ? guidance.pass : Number.NaN,
    sections: [...sections.working],
  };
}

/**
 * Read what `writeCsv` wrote with {@link trackColumns}. Columns may stand in any order, and others beside them; only time, latitude
 * and longitude must be there.
 *
 * @param input - the text, or its bytes
 * @param options - as for `readCsv`
 * @returns rows in the order of the file; NaN for empty cells and columns that are not there
 * @throws `FeeringError` as `readCsv`; `bad-format` with line and column name for a cell that is no number or out of range, a missing
 * or doubled column
 */
export function readTrackCsv(input: string | Uint8Array, options: ReadCsvOptions = {}): TrackRow[] {
  const rows = new CsvRows(readCsv(input, options), ["time_s", "latitude_deg", "longitude_deg"]);
  let count = 0;
  while (count < MOST_SECTIONS && rows.has(`section_${count + 1}`)) count++;
  const names = Array.from({ length: count }, (_, i) => `section_${i + 1}`);
  const number = (name: string): number => (rows.has(name) ? rows.numberOrNaN(name) : Number.NaN);
  return rows.map(() => {
    const sections: boolean[] = [];
    // sections that a row does not have are empty cells at its end
    for (const name of names) if (rows.text(name) !== "") sections.push(rows.truth(name));
    return {
      time: rows.number("time_s"),
      latitude: rows.numberOrNaN("latitude_deg", 90),
      longitude: rows.numberOrNaN("longitude_deg", 360),
      altitude: number("altitude_m"),
      quality: number("quality"),
      speed: number("speed_m_s"),
      heading: number("heading_deg"),
      crossTrackError: number("cross_track_error_m"),
      pass: number("pass"),
      sections,
    };
  });
}

const MOST_SECTIONS = 255;
