export { type CsvTable, readCsv, type ReadCsvOptions } from "./read-csv.js";
export { readSwitchingCsv, switchingColumns } from "./switching-csv.js";
export { readTrackCsv, trackColumns, trackRow, type TrackRow } from "./track-csv.js";
export { type CsvColumn, type CsvValue, writeCsv, type WriteCsvOptions } from "./write-csv.js";
