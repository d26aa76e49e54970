import { FeeringError } from "../../errors/index.js";
import type { GeoProperties } from "../geo-data.js";
import { describe } from "../json-value.js";
import { isDay } from "./dbf-cells.js";
import type { ShapefileColumn } from "./shapefile-types.js";

/** A column as it was written, and the property that it holds. */
export interface WrittenShapefileColumn extends ShapefileColumn {
  /** name of the property; the column's own name is cut to 10 bytes of UTF-8 */
  readonly property: string;
}

/** Something with attributes. */
export interface Attributed {
  readonly properties: GeoProperties;
  readonly id?: string | number;
}

/** most columns that a table of dBASE IV has */
const MOST_COLUMNS = 255;
/** bytes, the longest text of a table */
const LONGEST_TEXT = 254;
/** digits and sign of the widest number in plain digits; GDAL's own width for reals */
const WIDEST_NUMBER = 24;
/** digits behind the point, of those */
const MOST_DECIMALS = 15;

/** A column with the text of each of its cells, empty for none. */
export interface FilledColumn {
  readonly column: WrittenShapefileColumn;
  readonly cells: readonly string[];
}

/**
 * The columns that a list of properties needs, in the order in which their names come up.
 *
 * @param rows - what is to be written
 * @param path - for messages
 */
export function columnsOf(rows: readonly Attributed[], path: string): FilledColumn[] {
  const properties = new Map<string, unknown[]>();
  const valuesOf = (name: string): unknown[] => {
    let values = properties.get(name);
    if (values === undefined) properties.set(name, (values = new Array<unknown>(rows.length).fill(null)));
    return values;
  };
  let identified = false;
  rows.forEach((row, i) => {
    identified ||= row.id !== undefined;
    for (const name of Object.keys(row.properties ?? {})) {
      const value = row.properties[name];
      // as `readGeoJson` leaves it out
      if (name === "__proto__" || value === undefined) continue;
      if (!properties.has(name) && properties.size === MOST_COLUMNS) {
        throw new FeeringError("too-large", `${path} have more than ${MOST_COLUMNS} properties`, { argument: path });
      }
      valuesOf(name)[i] = value;
    }
  });
  if (identified) {
    let name = "id";
    for (let n = 2; properties.has(name); n++) name = `id ${n}`;
    if (properties.size === MOST_COLUMNS) {
      throw new FeeringError("too-large", `${path} have more than ${MOST_COLUMNS} properties`, { argument: path });
    }
    const values = valuesOf(name);
    rows.forEach((row, i) => (values[i] = row.id ?? null));
  }
  // a table needs a column; this one is taken for what it is when read again
  if (properties.size === 0)
    properties.set(
      "FID",
      rows.map((_, i) => i),
    );
  const names = new Set<string>();
  return [...properties].map(([property, values]) => {
    const at = (row: number): string => `${path}[${row}].properties.${property}`;
    const { cells, ...kind } = cellsOf(values, at);
    return { column: { property, name: columnName(property, names), ...kind }, cells };
  });
}

interface Cells {
  readonly type: string;
  readonly length: number;
  readonly decimals: number;
  readonly cells: readonly string[];
}

function cellsOf(values: readonly unknown[], at: (row: number) => string): Cells {
  let first = -1;
  const kinds = values.map((value, row) => {
    const kind = kindOf(value, at(row));
    if (first < 0 && kind !== "none") first = row;
    return kind;
  });
  const has = new Set(kinds);
  has.delete("none");
  // digits that no double holds go with numbers, as they are read
  if (has.has("text")) for (const other of ["digits", "day"] as const) if (has.delete(other)) has.add("text");
  if (has.has("number") && has.delete("digits")) has.add("number");
  if (has.size > 1 && has.has("day") && has.delete("day")) has.add("text");
  if (has.size > 1 && has.has("digits") && has.delete("digits")) has.add("text");
  if (has.size > 1) {
    const row = kinds.findIndex((kind) => kind !== "none" && kind !== kinds[first]);
    throw new FeeringError(
      "bad-format",
      `${at(row)} is ${describe(values[row])}, ${at(first)} of the same column ${describe(values[first])}`,
      {
        argument: at(row),
        index: row,
        value: values[row],
      },
    );
  }
  const [kind] = has;
  if (kind === "truth") {
    return { type: "L", length: 1, decimals: 0, cells: values.map((v) => (v === null ? "" : v === true ? "T" : "F")) };
  }
  if (kind === "day") {
    return {
      type: "D",
      length: 8,
      decimals: 0,
      cells: values.map((v) => (v === null ? "" : (v as string).replaceAll("-", ""))),
    };
  }
  if (kind === "number" || kind === "digits") return numberCells(values as (number | string | null)[]);
  const encoder = new TextEncoder();
  let length = 1;
  const cells = values.map((value, row) => {
    const text = value === null ? "" : (value as string);
    const bytes = text === "" ? 0 : encoder.encode(text).length;
    if (bytes > LONGEST_TEXT) {
      throw new FeeringError("too-large", `${at(row)} is a text of ${bytes} bytes, at most ${LONGEST_TEXT} fit`, {
        argument: at(row),
        index: row,
        value,
      });
    }
    length = Math.max(length, bytes);
    return text;
  });
  return { type: "C", length, decimals: 0, cells };
}

type Kind = "none" | "truth" | "number" | "digits" | "day" | "text";

function kindOf(value: unknown, path: string): Kind {
  if (value === null) return "none";
  if (typeof value === "boolean") return "truth";
  if (typeof value === "number") {
    if (Number.isFinite(value)) return "number";
    throw new FeeringError("not-finite", `${path} is ${value}, needs a finite number`, { argument: path, value });
  }
  if (typeof value === "string") {
    checkText(value, path);
    return isDigits(value) ? "digits" : isDay(value) ? "day" : "text";
  }
  throw new FeeringError("bad-format", `${path} is ${describe(value)}, a table holds texts, numbers and truths`, {
    argument: path,
    value,
  });
}

/** Zeros end a text in most readers; half a surrogate is no character. */
function checkText(text: string, path: string): void {
  for (let i = 0; i < text.length; i++) {
    const code = text.charCodeAt(i);
    const next = text.charCodeAt(i + 1);
    if (code >= 0xd800 && code < 0xdc00 && next >= 0xdc00 && next < 0xe000) i++;
    else if (code === 0 || (code >= 0xd800 && code < 0xe000)) {
      throw new FeeringError("bad-format", `${path} has a character at ${i} that no table holds`, {
        argument: path,
        index: i,
        value: text,
      });
    }
  }
}

/** Whether a text is a whole number of up to 20 digits that no double holds, written as `readShapefile` gives it. */
function isDigits(text: string): boolean {
  const from = text.startsWith("-") ? 1 : 0;
  if (text.length - from < 16 || text.length > 20 || text[from] === "0") return false;
  for (let i = from; i < text.length; i++) if (!(text[i]! >= "0" && text[i]! <= "9")) return false;
  return String(Number(text)) !== text && !Number.isSafeInteger(Number(text));
}

/** Numbers in their shortest digits: plain where all of a column fit side by side, else with exponents; none is rounded. */
function numberCells(values: readonly (number | string | null)[]): Cells {
  let whole = 1;
  let decimals = 0;
  const plain = values.map((value) => {
    if (value === null) return "";
    const text = typeof value === "string" ? value : plainDigits(value);
    const point = text.indexOf(".");
    whole = Math.max(whole, point < 0 ? text.length : point);
    if (point >= 0) decimals = Math.max(decimals, text.length - point - 1);
    return text;
  });
  if (decimals === 0 && whole <= 20) return { type: "N", length: whole, decimals: 0, cells: plain };
  const length = whole + 1 + decimals;
  if (decimals > 0 && decimals <= MOST_DECIMALS && length <= WIDEST_NUMBER) {
    const cells = plain.map((text, i) => {
      // digits that no double holds are told from numbers by having no point
      if (text === "" || typeof values[i] === "string") return text;
      const point = text.indexOf(".");
      return point < 0 ? `${text}.${"0".repeat(decimals)}` : text.padEnd(point + 1 + decimals, "0");
    });
    return { type: "N", length, decimals, cells };
  }
  const cells = values.map((value) => (value === null ? "" : typeof value === "string" ? value : withExponent(value)));
  return { type: "F", length: WIDEST_NUMBER, decimals: MOST_DECIMALS, cells };
}

/** The shortest digits that give the same number again, without an exponent. */
function plainDigits(value: number): string {
  const text = String(value + 0);
  const e = text.indexOf("e");
  if (e < 0) return text;
  const exponent = Number(text.slice(e + 1));
  const negative = text.startsWith("-");
  const mantissa = text.slice(negative ? 1 : 0, e);
  const digits = mantissa.replace(".", "");
  const sign = negative ? "-" : "";
  if (exponent < 0) return `${sign}0.${"0".repeat(-exponent - 1)}${digits}`;
  return `${sign}${digits.padEnd(exponent + 1, "0")}`;
}

/** The shortest digits; large whole numbers with an exponent, so that they are told from digits that no double holds. */
function withExponent(value: number): string {
  const text = String(value + 0);
  return Number.isInteger(value) && text.length > 15 ? value.toExponential() : text;
}

/** A name of at most 10 bytes that no other column has, whatever the case. */
function columnName(property: string, taken: Set<string>): string {
  let plain = "";
  for (const letter of property) {
    const code = letter.codePointAt(0)!;
    // signs that end a name, or that are none
    plain += code < 0x20 || code === 0x7f || (code >= 0xd800 && code < 0xe000) ? "_" : letter;
  }
  plain = plain.trim() === "" ? "column" : plain.trim();
  let name = cut(plain, 10);
  for (let n = 2; taken.has(name.toLowerCase()); n++) {
    const suffix = `_${n}`;
    name = cut(plain, 10 - suffix.length) + suffix;
  }
  taken.add(name.toLowerCase());
  return name;
}

/** As many characters as fit in so many bytes of UTF-8. */
function cut(text: string, bytes: number): string {
  let size = 0;
  let kept = "";
  for (const letter of text) {
    const code = letter.codePointAt(0)!;
    size += code < 0x80 ? 1 : code < 0x800 ? 2 : code < 0x10000 ? 3 : 4;
    if (size > bytes) break;
    kept += letter;
  }
  return kept.trimEnd();
}
