import { FeeringError, requireObject } from "../../errors/index.js";
import type { GeographicPosition, LocalFrame } from "../../frames/index.js";
import type { SwitchEvent } from "../../job/index.js";
import { isSectionReason } from "../section-reasons.js";
import { CsvRows } from "./csv-rows.js";
import { readCsv, type ReadCsvOptions } from "./read-csv.js";
import type { CsvColumn } from "./write-csv.js";

/**
 * Columns for orders to sections, for `writeCsv`: `time_s`, `exact_time_s`, `boom`, `section` (both from 0, as in `SwitchEvent`), `on`,
 * `reason`, `pass`, `latitude_deg`, `longitude_deg` of the middle of the section. Rounded to 1 ms, 0.1 ms and 1e-9 degrees (0.1 mm).
 *
 * @param frame - the job's frame
 * @returns the columns
 * @throws `FeeringError` `not-finite` for what is no frame
 * @example
 * ```ts
 * const events: SwitchEvent[] = [];
 * job.onSwitch = (event) => events.push(event);
 * // ... after the day
 * const text = writeCsv(events, switchingColumns(job.frame));
 * ```
 */
export function switchingColumns(frame: LocalFrame): CsvColumn<SwitchEvent>[] {
  requireObject(frame, "frame");
  let last: SwitchEvent | undefined;
  let place: GeographicPosition;
  const placeOf = (event: SwitchEvent): GeographicPosition => {
    if (event !== last) place = frame.toGeodetic([event.x, event.y]);
    last = event;
    return place;
  };
  return [
    { header: "time_s", value: (event) => event.time, decimals: 3 },
    { header: "exact_time_s", value: (event) => event.exactTime, decimals: 4 },
    { header: "boom", value: (event) => event.boom },
    { header: "section", value: (event) => event.section },
    { header: "on", value: (event) => event.on },
    { header: "reason", value: (event) => event.reason },
    { header: "pass", value: (event) => event.pass },
    { header: "latitude_deg", value: (event) => placeOf(event).latitude, decimals: 9 },
    { header: "longitude_deg", value: (event) => placeOf(event).longitude, decimals: 9 },
  ];
}

/**
 * Read what `writeCsv` wrote with {@link switchingColumns}. Columns may stand in any order, and others beside them.
 *
 * @param input - the text, or its bytes
 * @param frame - the frame to bring places into
 * @param options - as for `readCsv`
 * @returns orders in the order of the file
 * @throws `FeeringError` as `readCsv`; `bad-format` with line and column name for a cell that is not what it should be, a missing or
 * doubled column
 */
export function readSwitchingCsv(
  input: string | Uint8Array,
  frame: LocalFrame,
  options: ReadCsvOptions = {},
): SwitchEvent[] {
  requireObject(frame, "frame");
  const rows = new CsvRows(
    readCsv(input, options),
    switchingColumns(frame).map(({ header }) => header),
  );
  return rows.map(() => {
    const [x, y] = frame.toLocal({
      latitude: rows.number("latitude_deg", 90),
      longitude: rows.number("longitude_deg", 360),
    });
    if (!Number.isFinite(x)) {
      throw new FeeringError("out-of-range", "frame has no place for the position", { argument: "frame" });
    }
    const reason = rows.text("reason");
    if (!isSectionReason(reason)) throw rows.refuse("reason", "which is none of those known");
    return {
      time: rows.number("time_s"),
      exactTime: rows.number("exact_time_s"),
      boom: rows.integer("boom"),
      section: rows.integer("section"),
      on: rows.truth("on"),
      reason,
      pass: rows.integer("pass"),
      x,
      y,
    };
  });
}
