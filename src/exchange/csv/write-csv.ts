import { FeeringError, requireList, requireNumber, requireObject } from "../../errors/index.js";

/** What a cell of {@link writeCsv} may hold. */
export type CsvValue = string | number | boolean | null | undefined;

/** A column of {@link writeCsv}. */
export interface CsvColumn<Row> {
  /** the column's name, written in the first line */
  readonly header: string;
  /** the cell of a row; nothing, null and numbers that are not finite give an empty cell */
  readonly value: (row: Row, index: number) => CsvValue;
  /** decimals of numbers, 0 to 15; default as many as the number has */
  readonly decimals?: number;
}

/** Options of {@link writeCsv}. */
export interface WriteCsvOptions {
  /**
   * what to do with texts that a spreadsheet would run as a formula (they start with `=`, `+`, `-`, `@`, a tab or a
   * carriage return): `mark` puts an apostrophe in front, `keep` writes them as they are, for programs that read the
   * file back. Default `mark`. Numbers are never touched
   */
  readonly formulas?: "mark" | "keep";
}

/**
 * Write rows as comma-separated values (RFC 4180): a header line, lines ended by CR LF, cells quoted where they must
 * be. Numbers have a decimal point and no grouping, whatever the machine's language.
 *
 * @param rows - one for each line
 * @param columns - one for each cell of a line
 * @param options - treatment of texts that look like formulas
 * @returns the text
 * @throws FeeringError `out-of-range` for no columns or decimals outside 0 to 15; `too-few-points` for what is no list; `bad-format`
 * for a column without a header or a value function
 * @see RFC 4180, Common Format and MIME Type for CSV Files, 2005; OWASP, CSV Injection
 * @example
 * ```ts
 * writeCsv([{ t: 0.1, on: true }], [
 *   { header: "time_s", value: (row) => row.t, decimals: 2 },
 *   { header: "on", value: (row) => row.on },
 * ]); // "time_s,on\r\n0.10,true\r\n"
 * ```
 */
export function writeCsv<Row>(
  rows: readonly Row[],
  columns: readonly CsvColumn<Row>[],
  options: WriteCsvOptions = {},
): string {
  requireList(rows, "rows");
  requireList(columns, "columns");
  requireObject(options, "options");
  if (columns.length === 0) {
    throw new FeeringError("out-of-range", "columns is empty, needs 1 column", { argument: "columns", value: 0 });
  }
  columns.forEach((column, index) => {
    const { decimals, header, value } = (column ?? {}) as Partial<CsvColumn<Row>>;
    if (typeof header !== "string" || typeof value !== "function") {
      throw new FeeringError("bad-format", `columns[${index}] needs a header text and a value function`, {
        argument: "columns",
        index,
        value: column,
      });
    }
    if (decimals !== undefined) requireNumber(decimals, "columns.decimals", { min: 0, max: 15, index });
  });
  const mark = options.formulas !== "keep";
  const lines = [columns.map((column) => cell(column.header, undefined, mark, columns.length)).join(",")];
  rows.forEach((row, index) => {
    lines.push(
      columns.map((column) => cell(column.value(row, index), column.decimals, mark, columns.length)).join(","),
    );
  });
  return `${lines.join("\r\n")}\r\n`;
}

function cell(value: CsvValue, decimals: number | undefined, mark: boolean, columns: number): string {
  if (typeof value === "number" && Number.isFinite(value)) {
    return decimals === undefined ? String(value + 0) : signless(value.toFixed(decimals));
  }
  if (typeof value === "boolean") return String(value);
  if (typeof value !== "string" || value === "") {
    // a lone empty cell would be a line of nothing, which readers drop
    return columns === 1 ? '""' : "";
  }
  const text = mark && "=+-@\t\r".includes(value.charAt(0)) ? `'${value}` : value;
  const plain = !/[",\r\n]/.test(text) && text.trim() === text;
  return plain ? text : `"${text.replaceAll('"', '""')}"`;
}

// "-0.00" is 0
function signless(text: string): string {
  return Number(text) === 0 && text.startsWith("-") ? text.slice(1) : text;
}
