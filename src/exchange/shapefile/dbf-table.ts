import { FeeringError } from "../../errors/index.js";
import { type CodePage, codePageOf } from "./code-page.js";
import { CellProblem, dateCell, moneyCell, numberCell, textCell, timeCell, truthCell } from "./dbf-cells.js";
import { refused } from "./shapefile-error.js";
import type { ShapefileColumn } from "./shapefile-types.js";

/** Versions of the header whose columns are described in 32 bytes each: dBASE III to V, FoxBASE, FoxPro. */
const VERSIONS: ReadonlySet<number> = new Set([
  0x03, 0x30, 0x31, 0x32, 0x43, 0x63, 0x7b, 0x83, 0x8b, 0x8e, 0xcb, 0xe5, 0xf5, 0xfb,
]);
/** versions of FoxPro, in which `B` is a binary number */
const FOXPRO: ReadonlySet<number> = new Set([0x30, 0x31, 0x32]);
/** most columns of a table: dBASE IV and FoxPro have 255 */
const MOST_COLUMNS = 255;

type Cell = (at: number) => unknown;

interface Column extends ShapefileColumn {
  readonly offset: number;
  readonly read: Cell | undefined;
}

/**
 * The table of a shapefile (`.dbf`): dBASE III and IV, and what FoxPro adds that stands in the table itself.
 *
 * @see Borland, dBASE IV Language Reference, appendix on table file structure, by public descriptions (secondary)
 */
export class DbfTable {
  readonly rows: number;
  readonly columns: readonly ShapefileColumn[];
  readonly encoding: string;
  readonly #file: string;
  readonly #bytes: Uint8Array;
  readonly #start: number;
  readonly #length: number;
  readonly #read: readonly Column[];
  readonly #template: Readonly<Record<string, unknown>>;

  constructor(bytes: Uint8Array, cpg: Uint8Array | string | undefined, option: string | undefined, file: string) {
    this.#file = file;
    this.#bytes = bytes;
    if (bytes.length < 33) throw refused(file, `has ${bytes.length} bytes, its header alone needs 33`);
    const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
    const version = bytes[0]!;
    if (version === 0x04 || version === 0x8c)
      throw refused(file, "is of dBASE 7, not read: save it as dBASE III or IV");
    if (!VERSIONS.has(version)) throw refused(file, `begins with 0x${version.toString(16)}, no version of a table`);
    const rows = view.getUint32(4, true);
    const start = view.getUint16(8, true);
    const length = view.getUint16(10, true);
    if (start < 33 || start > bytes.length) {
      throw refused(file, `claims a header of ${start} bytes, ${bytes.length} are there`, { value: start });
    }
    const page = codePageOf(option, cpg, bytes[29]!, file);
    const columns = this.#columnsOf(view, version, start, length, page);
    const end = start + rows * length;
    if (end > bytes.length) {
      const there = Math.floor((bytes.length - start) / length);
      throw refused(file, `claims ${rows} rows of ${length} bytes, there are ${there}: it was cut off`, {
        value: rows,
      });
    }
    for (let i = end; i < bytes.length; i++) {
      const byte = bytes[i]!;
      // the mark of its end, and padding
      if (byte !== 0x1a && byte !== 0 && byte !== 0x20) {
        throw refused(file, `has ${bytes.length - end} bytes behind its ${rows} rows`, { value: bytes.length - end });
      }
    }
    this.rows = rows;
    this.encoding = page.name;
    this.#start = start;
    this.#length = length;
    const kept = rows > 0 && this.#onlyNumbers(columns, rows) ? undefined : columns;
    const reason = "holds the numbers of the records alone, as writers put in for a table without columns";
    this.columns = (kept ?? columns).map(({ name, type, length: bytesOf, decimals, passedOver }) => {
      const why = kept === undefined ? reason : passedOver;
      return { name, type, length: bytesOf, decimals, ...(why === undefined ? {} : { passedOver: why }) };
    });
    this.#read = (kept ?? []).filter((column) => column.read !== undefined);
    const template: Record<string, unknown> = {};
    for (const { name } of this.#read) template[name] = null;
    this.#template = template;
  }

  /** Whether a row is there, and not marked as deleted. */
  has(row: number): boolean {
    const mark = this.#bytes[this.#start + row * this.#length]!;
    if (mark === 0x20) return true;
    if (mark === 0x2a) return false;
    throw refused(this.#file, `row ${row + 1} begins with 0x${mark.toString(16)}, needs a blank or an asterisk`, {
      index: row + 1,
    });
  }

  /** A row's values by the names of its columns. */
  properties(row: number): Record<string, unknown> {
    // a copy of a whole object is faster, and smaller, than one that grows name by name
    const properties = { ...this.#template };
    const at = this.#start + row * this.#length;
    const columns = this.#read;
    for (let i = 0; i < columns.length; i++) {
      const column = columns[i]!;
      try {
        properties[column.name] = column.read!(at + column.offset);
      } catch (error) {
        throw this.#told(error, row, column.name);
      }
    }
    return properties;
  }

  #told(error: unknown, row: number, name: string): unknown {
    if (error instanceof CellProblem) {
      return refused(this.#file, `row ${row + 1}, ${JSON.stringify(name)} ${error.message}`, { index: row + 1 });
    }
    if (!(error instanceof FeeringError)) return error;
    const { code, argument, message, cause } = error;
    const text = `${message} (row ${row + 1}, ${JSON.stringify(name)})`;
    return new FeeringError(code, text, { argument, index: row + 1, ...(cause === undefined ? {} : { cause }) });
  }

  #columnsOf(view: DataView, version: number, start: number, length: number, page: CodePage): Column[] {
    const bytes = this.#bytes;
    const found: { name: string; type: string; length: number; decimals: number }[] = [];
    const names = new Set<string>();
    let at = 32;
    for (; at < start && bytes[at] !== 0x0d; at += 32) {
      if (at + 32 > start) throw refused(this.#file, `has a header whose columns do not end within ${start} bytes`);
      if (found.length === MOST_COLUMNS) {
        throw refused(this.#file, `has more than ${MOST_COLUMNS} columns`, { code: "too-large" });
      }
      let name: string | null;
      try {
        name = textCell(bytes, at, 11, page);
      } catch (error) {
        if (!(error instanceof CellProblem)) throw error;
        throw refused(this.#file, `column ${found.length + 1} has a name that ${error.message}`, { cause: error });
      }
      found.push({
        name: uniqueName(name ?? `column ${found.length + 1}`, names),
        type: String.fromCharCode(bytes[at + 11]!),
        length: bytes[at + 16]!,
        decimals: bytes[at + 17]!,
      });
    }
    if (at >= start) throw refused(this.#file, "has a header whose columns are not ended by 0x0d");
    let sum = 1;
    for (const column of found) sum += column.length;
    if (sum !== length) {
      // Clipper and FoxPro keep the upper byte of a text's length where decimals stand
      for (const column of found) {
        if (column.type !== "C" || column.decimals === 0) continue;
        sum += 256 * column.decimals;
        column.length += 256 * column.decimals;
        column.decimals = 0;
      }
    }
    if (sum !== length) throw refused(this.#file, `has rows of ${length} bytes, its columns need ${sum}`);
    let offset = 1;
    return found.map((column) => {
      const { name, type, length: bytesOf } = column;
      if (bytesOf === 0) throw refused(this.#file, `column ${JSON.stringify(name)} has no length`);
      const own = offset;
      offset += bytesOf;
      const read =
        name === "__proto__" ? "its name could poison an object" : this.#reader(view, type, bytesOf, version, page);
      return typeof read === "string"
        ? { ...column, offset: own, read: undefined, passedOver: read }
        : { ...column, offset: own, read };
    });
  }

  /** What reads cells of a type, or why none does. */
  #reader(view: DataView, type: string, length: number, version: number, page: CodePage): Cell | string {
    const bytes = this.#bytes;
    switch (type) {
      case "C":
        return (at) => textCell(bytes, at, length, page);
      case "N":
      case "F":
        return (at) => numberCell(bytes, at, length);
      case "L":
        return (at) => truthCell(bytes, at, length);
      case "D":
        return (at) => dateCell(bytes, at, length);
      case "I":
      case "+":
        return length === 4 ? (at) => view.getInt32(at, true) : `is of type ${type} with ${length} bytes, not 4`;
      case "B":
        if (!FOXPRO.has(version) || length !== 8) return "points into a .dbt file, which is not read";
        return (at) => finite(view.getFloat64(at, true));
      case "O":
        return length === 8 ? (at) => finite(view.getFloat64(at, true)) : `is of type O with ${length} bytes, not 8`;
      case "T":
      case "@":
        return length === 8 ? (at) => timeCell(view, at) : `is of type ${type} with ${length} bytes, not 8`;
      case "Y":
        return length === 8 ? (at) => moneyCell(view, at) : `is of type Y with ${length} bytes, not 8`;
      case "M":
      case "G":
      case "P":
        return "points into a .dbt or .fpt file, which is not read";
      case "0":
        return "holds FoxPro's own marks";
      default:
        return `is of type ${JSON.stringify(type)}, which is not known`;
    }
  }

  /** Whether the only column is the one that writers put in where there is none: `FID`, counting the records from 0. */
  #onlyNumbers(columns: readonly Column[], rows: number): boolean {
    const [only] = columns;
    if (columns.length !== 1 || only!.name !== "FID" || only!.type !== "N") return false;
    for (let row = 0; row < rows; row++) {
      try {
        if (only!.read!(this.#start + row * this.#length + only!.offset) !== row) return false;
      } catch {
        return false;
      }
    }
    return true;
  }
}

function finite(value: number): number {
  if (Number.isFinite(value)) return value + 0;
  throw new CellProblem(`is ${value}, needs a finite number`);
}

/** A name that is not among those taken: a number is put behind it where it is. */
function uniqueName(name: string, taken: Set<string>): string {
  let unique = name;
  for (let n = 2; taken.has(unique); n++) unique = `${name} ${n}`;
  taken.add(unique);
  return unique;
}
