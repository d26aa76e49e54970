export { type CsvColumn, type CsvValue, writeCsv, type WriteCsvOptions } from "./write-csv.js";
