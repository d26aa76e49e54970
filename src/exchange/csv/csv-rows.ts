import { FeeringError } from "../../errors/index.js";
import { decimal } from "../decimal.js";
import type { CsvTable } from "./read-csv.js";

/** Cells of a table by the names of their columns, as numbers and truth values; errors carry line and column name. */
export class CsvRows {
  readonly #table: CsvTable;
  readonly #columns = new Map<string, number>();
  #row = 0;

  constructor(table: CsvTable, needed: readonly string[]) {
    this.#table = table;
    table.header.forEach((name, i) => {
      if (this.#columns.has(name)) {
        throw new FeeringError("bad-format", `line 1: there are two columns ${JSON.stringify(name.slice(0, 40))}`, {
          argument: "line 1",
          value: name,
        });
      }
      this.#columns.set(name, i);
    });
    for (const name of needed) {
      if (this.#columns.has(name)) continue;
      throw new FeeringError("bad-format", `line 1: there is no column ${name}`, { argument: "line 1", value: name });
    }
  }

  has(name: string): boolean {
    return this.#columns.has(name);
  }

  map<T>(read: () => T): T[] {
    return this.#table.rows.map((_, i) => {
      this.#row = i;
      return read();
    });
  }

  text(name: string): string {
    return this.#table.rows[this.#row]![this.#columns.get(name)!]!;
  }

  /** NaN for an empty cell. */
  numberOrNaN(name: string, limit: number = Number.MAX_VALUE): number {
    const cell = this.text(name);
    return cell === "" ? Number.NaN : this.number(name, limit);
  }

  number(name: string, limit: number = Number.MAX_VALUE): number {
    const cell = this.text(name);
    const number = decimal(cell);
    // written so that what is no number fails too
    if (!(Math.abs(number) <= limit)) {
      const within = limit === Number.MAX_VALUE ? "" : ` of -${limit} to ${limit}`;
      throw this.refuse(name, `needs a number${within}`);
    }
    return number;
  }

  integer(name: string): number {
    const number = this.number(name);
    if (!Number.isSafeInteger(number)) throw this.refuse(name, "needs a whole number");
    return number;
  }

  truth(name: string): boolean {
    const cell = this.text(name);
    if (cell === "true" || cell === "1") return true;
    if (cell === "false" || cell === "0") return false;
    throw this.refuse(name, "needs true or false");
  }

  refuse(name: string, problem: string): FeeringError {
    const place = `line ${this.#table.lines[this.#row]}, column ${name}`;
    const cell = this.text(name);
    const said = JSON.stringify(cell.length > 40 ? `${cell.slice(0, 40)}...` : cell);
    return new FeeringError("bad-format", `${place} is ${said}, ${problem}`, { argument: place, value: cell });
  }
}
