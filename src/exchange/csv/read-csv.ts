import { FeeringError, requireNumber, requireObject } from "../../errors/index.js";
import { utf8Text } from "../utf-8.js";

/** Caps and options of {@link readCsv}. */
export interface ReadCsvOptions {
  /** what stands between cells; default `,` */
  readonly separator?: "," | ";" | "\t";
  /**
   * decimal mark of numbers. With `,` a cell that is a number and nothing else, such as `-12,5`, comes back with a point; default
   * `.`: every cell as it stands
   */
  readonly decimal?: "." | ",";
  /**
   * what to do with the apostrophe that `writeCsv` puts before texts that look like formulas: `unmark` takes it off where one of
   * `=`, `+`, `-`, `@`, a tab or a carriage return follows, `keep` leaves it. Default `keep`
   */
  readonly formulas?: "keep" | "unmark";
  /** longest input that is read, UTF-16 units of a text or bytes; default 256 million */
  readonly maximumLength?: number;
  /** most cells that are read; default 20 million */
  readonly maximumCells?: number;
}

/** A table that {@link readCsv} gives. */
export interface CsvTable {
  /** names of the columns, as they stand in the first line */
  readonly header: readonly string[];
  /** cells as texts; each row has as many as the header */
  readonly rows: readonly (readonly string[])[];
  /** line of the text that each row begins on, from 1 */
  readonly lines: readonly number[];
}

/**
 * Read comma-separated values (RFC 4180) with a header line.
 *
 * Lines end with CR LF or LF. A cell in quotation marks may hold separators, line ends and doubled quotation marks. A byte order
 * mark is taken off. Blank lines at the end are passed over, anywhere else they are rows that are too short. Spaces belong to the cell.
 *
 * RFC 4180 does not mark its end: a text cut off within the last cell of a row can't be told from a whole one.
 *
 * @param input - the text, or its bytes (UTF-8)
 * @param options - separator, decimal mark, caps
 * @returns header and rows
 * @throws `FeeringError` `bad-format` with line and column in the message and as `argument`: no header, a row with more or fewer cells
 * than the header, a quotation mark that is not closed or stands inside a plain cell, a carriage return without a line feed;
 * `bad-format` for bytes that are no UTF-8; `too-large` beyond a cap; `out-of-range` for an option
 * @see RFC 4180, Common Format and MIME Type for CSV Files, 2005
 * @example
 * ```ts
 * const { header, rows } = readCsv("time_s;on\r\n0,10;true\r\n", { separator: ";", decimal: "," });
 * rows[0]; // ["0.10", "true"]
 * ```
 */
export function readCsv(input: string | Uint8Array, options: ReadCsvOptions = {}): CsvTable {
  requireObject(options, "options");
  const { separator = ",", decimal = ".", formulas = "keep" } = options;
  requireOption(separator, [",", ";", "\t"], "options.separator");
  requireOption(decimal, [".", ","], "options.decimal");
  requireOption(formulas, ["keep", "unmark"], "options.formulas");
  const maximumLength = requireNumber(options.maximumLength ?? 256e6, "options.maximumLength", { min: 0 });
  const maximumCells = requireNumber(options.maximumCells ?? 20e6, "options.maximumCells", { min: 1 });
  const scanner = new Scanner(text(input, maximumLength), separator.charCodeAt(0), maximumCells);
  const commas = decimal === ",";
  const unmark = formulas === "unmark";
  const finish = (cells: string[]): string[] => {
    if (!commas && !unmark) return cells;
    for (let i = 0; i < cells.length; i++) {
      let cell = cells[i]!;
      if (unmark && cell.length > 1 && cell.charCodeAt(0) === APOSTROPHE && MARKED.includes(cell.charAt(1))) {
        cell = cell.slice(1);
      } else if (commas && isCommaNumber(cell)) cell = cell.replace(",", ".");
      cells[i] = cell;
    }
    return cells;
  };
  const first = scanner.row();
  if (first === undefined || (first.length === 1 && first[0] === "")) {
    throw new FeeringError("bad-format", "line 1, column 1: there is no header", { argument: "line 1, column 1" });
  }
  const header = unmark ? finish(first) : first;
  const rows: string[][] = [];
  const lines: number[] = [];
  for (;;) {
    if (scanner.restIsBlank()) return { header, rows, lines };
    const line = scanner.line;
    const row = scanner.row(header.length)!;
    rows.push(finish(row));
    lines.push(line);
  }
}

const QUOTE = 0x22;
const APOSTROPHE = 0x27;
const CR = 13;
const LF = 10;
const MARKED = "=+-@\t\r";

function text(input: string | Uint8Array, maximum: number): string {
  if (input instanceof Uint8Array) return utf8Text(input, maximum);
  if (typeof input !== "string") {
    throw new FeeringError("bad-format", `input is ${typeof input}, needs a text or bytes`, { argument: "input" });
  }
  if (input.length > maximum) {
    throw new FeeringError(
      "too-large",
      `input has ${input.length} characters, at most ${maximum} are read (options.maximumLength)`,
      { argument: "input", value: input.length },
    );
  }
  return input.charCodeAt(0) === 0xfeff ? input.slice(1) : input;
}

function requireOption(value: unknown, allowed: readonly string[], argument: string): void {
  if (allowed.includes(value as string)) return;
  throw new FeeringError("out-of-range", `${argument} is none of ${allowed.map((v) => JSON.stringify(v)).join(", ")}`, {
    argument,
    value,
  });
}

/** Whether a text is a number with a decimal comma: sign, digits, comma, digits. */
function isCommaNumber(cell: string): boolean {
  const sign = cell.charCodeAt(0);
  let i = sign === 0x2d || sign === 0x2b ? 1 : 0;
  const first = i;
  let commas = 0;
  let digits = 0;
  for (; i < cell.length; i++) {
    const code = cell.charCodeAt(i);
    if (code === 0x2c && commas === 0) commas++;
    else if (code >= 0x30 && code <= 0x39) digits++;
    else if ((code === 0x65 || code === 0x45) && digits > 0) return commas === 1 && isExponent(cell, i + 1);
    else return false;
  }
  return commas === 1 && digits > 0 && i > first;
}

function isExponent(cell: string, from: number): boolean {
  const sign = cell.charCodeAt(from);
  let i = sign === 0x2d || sign === 0x2b ? from + 1 : from;
  if (i >= cell.length) return false;
  for (; i < cell.length; i++) {
    const code = cell.charCodeAt(i);
    if (code < 0x30 || code > 0x39) return false;
  }
  return true;
}

class Scanner {
  /** line that the next row begins on, from 1 */
  line = 1;
  readonly #text: string;
  readonly #separator: number;
  readonly #maximum: number;
  #at = 0;
  #lineStart = 0;
  #cells = 0;

  constructor(text: string, separator: number, maximum: number) {
    this.#text = text;
    this.#separator = separator;
    this.#maximum = maximum;
  }

  /** Whether nothing but line ends is left. */
  restIsBlank(): boolean {
    const code = this.#text.charCodeAt(this.#at);
    if (code !== CR && code !== LF && this.#at < this.#text.length) return false;
    for (let i = this.#at; i < this.#text.length; i++) {
      const c = this.#text.charCodeAt(i);
      if (c !== LF && !(c === CR && this.#text.charCodeAt(i + 1) === LF)) return false;
    }
    return true;
  }

  /** The next row, checked for its number of cells; undefined at the end. */
  row(count?: number): string[] | undefined {
    // hot
    const source = this.#text;
    const { length } = source;
    const separator = this.#separator;
    if (this.#at >= length) return undefined;
    const cells: string[] = [];
    for (;;) {
      const start = this.#at;
      if (++this.#cells > this.#maximum) {
        throw new FeeringError("too-large", `more than ${this.#maximum} cells (options.maximumCells)`, {
          argument: "input",
          value: this.#cells,
        });
      }
      if (count !== undefined && cells.length === count) {
        throw this.#refuse(start, `the row has more than the header's ${count} cells`);
      }
      if (source.charCodeAt(start) === QUOTE) cells.push(this.#quoted(start));
      else {
        let i = start;
        let code = source.charCodeAt(i);
        while (i < length && code !== separator && code !== LF && code !== CR) {
          if (code === QUOTE) throw this.#refuse(i, "a quotation mark inside of a cell that does not begin with one");
          code = source.charCodeAt(++i);
        }
        cells.push(source.slice(start, i));
        this.#at = i;
      }
      const code = this.#at < length ? source.charCodeAt(this.#at) : LF;
      if (code === separator) {
        this.#at++;
        continue;
      }
      if (code === CR && source.charCodeAt(this.#at + 1) !== LF) {
        throw this.#refuse(this.#at, "a carriage return without a line feed");
      }
      if (count !== undefined && cells.length < count) {
        throw this.#refuse(this.#at, `the row has ${cells.length} cells, the header ${count}`);
      }
      this.#at = Math.min(length, this.#at + (code === CR ? 2 : 1));
      this.line++;
      this.#lineStart = this.#at;
      return cells;
    }
  }

  /** A cell in quotation marks; leaves off behind its last one. */
  #quoted(start: number): string {
    const source = this.#text;
    let from = start + 1;
    let cell = "";
    for (;;) {
      const end = source.indexOf('"', from);
      if (end < 0) throw this.#refuse(start, "a quotation mark that is not closed");
      cell += source.slice(from, end);
      if (source.charCodeAt(end + 1) !== QUOTE) {
        const code = source.charCodeAt(end + 1);
        const ends = end + 1 >= source.length || code === this.#separator || code === LF || code === CR;
        if (!ends) throw this.#refuse(end + 1, "text behind a cell's closing quotation mark");
        for (let i = start; i < end; i++) {
          if (source.charCodeAt(i) !== LF) continue;
          this.line++;
          this.#lineStart = i + 1;
        }
        this.#at = end + 1;
        return cell;
      }
      cell += '"';
      from = end + 2;
    }
  }

  #refuse(at: number, problem: string): FeeringError {
    const place = `line ${this.line}, column ${at - this.#lineStart + 1}`;
    return new FeeringError("bad-format", `${place}: ${problem}`, { argument: place });
  }
}
