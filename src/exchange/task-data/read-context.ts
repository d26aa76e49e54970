import { placeOf, type RawElement } from "./raw-element.js";

/** Something in a document that is not as the standard has it, but did not keep it from being read. */
export interface TaskDataProblem {
  /** what is wrong, with the element and the value */
  readonly problem: string;
  /** line, from 1 */
  readonly line: number;
  /** column, from 1 */
  readonly column: number;
  /** the external file that it is in, with its ending; absent for the document itself */
  readonly file?: string;
}

/** Most problems that are told. */
const MOST_PROBLEMS = 1000;

/** A reference to an element elsewhere. */
interface Reference {
  readonly id: string;
  readonly what: string;
  readonly from: RawElement;
}

/** What is gathered while a document is read. */
export class ReadContext {
  readonly major: number;
  readonly #problems: TaskDataProblem[] = [];
  #left = 0;
  readonly #ids = new Map<string, RawElement>();
  readonly #references: Reference[] = [];

  constructor(major: number) {
    this.major = major;
  }

  problem(from: RawElement, problem: string): void {
    if (this.#problems.length === MOST_PROBLEMS) {
      this.#left++;
      return;
    }
    const { line, column } = from.place;
    this.#problems.push({ problem, line, column, ...(from.file === "" ? {} : { file: from.file }) });
  }

  /** An element has an id. */
  define(id: string, raw: RawElement): void {
    const before = this.#ids.get(id);
    if (before !== undefined) this.problem(raw, `the id ${id} stands at ${placeOf(before)} already`);
    else this.#ids.set(id, raw);
    if (Number(idNumber(id)) === 0) this.problem(raw, `the id ${id}: the number 0 is reserved`);
  }

  /** An element refers to another. */
  refer(id: string, what: string, from: RawElement): void {
    this.#references.push({ id, what, from });
  }

  /** All problems, once all is read. */
  finish(root: RawElement): TaskDataProblem[] {
    for (const { id, what, from } of this.#references) {
      if (!this.#ids.has(id)) this.problem(from, `${what} is ${id}, which is nowhere in the document`);
    }
    if (this.#left === 0) return this.#problems;
    const problem = `${this.#left} more problems, of which only the first ${MOST_PROBLEMS} are told`;
    return [...this.#problems, { problem, ...root.place }];
  }
}

/** Digits of an id behind its three letters and the sign. */
function idNumber(id: string): string {
  return id.slice(id[3] === "-" ? 4 : 3);
}

/** Whether a text is an id of an element of this name: `PFD1`, `PFD-1`; 14 characters at most. */
export function isId(text: string, element: string): boolean {
  if (!text.startsWith(element)) return false;
  const from = text[element.length] === "-" ? element.length + 1 : element.length;
  if (text.length === from || text.length > from + 10) return false;
  for (let i = from; i < text.length; i++) {
    const code = text.charCodeAt(i);
    if (code < 48 || code > 57) return false;
  }
  return true;
}
