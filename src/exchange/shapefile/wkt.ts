import { decimal } from "../decimal.js";

/** An object of WKT 1: `KEYWORD["text", number, OTHER[...]]`. */
export interface WktNode {
  /** upper case */
  readonly keyword: string;
  /** texts in quotes and bare words, numbers, objects, in order */
  readonly values: readonly (string | number | WktNode)[];
}

/** longer than any in use by far: real ones have under 2 kB */
const LONGEST = 20_000;
const DEEPEST = 16;

/** What is wrong with a text that should be WKT. */
export class WktProblem extends Error {}

/**
 * Read well-known text of coordinate reference systems, version 1: objects one after the other, commas between them.
 *
 * @throws WktProblem with the place
 * @see OGC 01-009, Coordinate Transformation Services, 2001, section 7
 */
export function parseWkt(text: string): WktNode[] {
  if (text.length > LONGEST) throw new WktProblem(`has ${text.length} characters, at most ${LONGEST} are read`);
  const reader = new Reader(text);
  const nodes: WktNode[] = [];
  do {
    const node = reader.value(0);
    if (typeof node !== "object") throw new WktProblem(`has ${JSON.stringify(node)} where an object should be`);
    nodes.push(node);
  } while (reader.take(","));
  reader.end();
  return nodes;
}

class Reader {
  readonly #text: string;
  #at = 0;

  constructor(text: string) {
    this.#text = text;
  }

  value(depth: number): string | number | WktNode {
    if (depth > DEEPEST) throw new WktProblem(`is nested deeper than ${DEEPEST} levels`);
    this.#skip();
    const text = this.#text;
    const from = this.#at;
    if (text[from] === '"') return this.#quoted();
    let end = from;
    while (end < text.length && isWord(text.charCodeAt(end))) end++;
    if (end === from) throw this.#problem("needs a word, a number or a quote");
    this.#at = end;
    const word = text.slice(from, end);
    this.#skip();
    const open = text[this.#at];
    if (open !== "[" && open !== "(") {
      const value = decimal(word);
      return Number.isNaN(value) ? word : value;
    }
    this.#at++;
    const values: (string | number | WktNode)[] = [];
    do values.push(this.value(depth + 1));
    while (this.take(","));
    if (!this.take(open === "[" ? "]" : ")")) throw this.#problem(`needs the end of ${word}`);
    return { keyword: word.toUpperCase(), values };
  }

  take(sign: string): boolean {
    this.#skip();
    if (this.#text[this.#at] !== sign) return false;
    this.#at++;
    return true;
  }

  end(): void {
    this.#skip();
    if (this.#at < this.#text.length) throw this.#problem("goes on behind its end");
  }

  #quoted(): string {
    let value = "";
    for (;;) {
      const end = this.#text.indexOf('"', this.#at + 1);
      if (end < 0) throw this.#problem("has a quote that does not end");
      value += this.#text.slice(this.#at + 1, end);
      this.#at = end + 1;
      if (this.#text[this.#at] !== '"') return value;
      value += '"';
    }
  }

  #skip(): void {
    while (this.#at < this.#text.length && isSpace(this.#text.charCodeAt(this.#at))) this.#at++;
  }

  #problem(what: string): WktProblem {
    return new WktProblem(`${what}, at character ${this.#at + 1}`);
  }
}

function isSpace(code: number): boolean {
  // files end in zeros at times
  return code === 32 || (code >= 9 && code <= 13) || code === 0 || code === 0xfeff;
}

function isWord(code: number): boolean {
  const letter = (code >= 65 && code <= 90) || (code >= 97 && code <= 122);
  return letter || (code >= 48 && code <= 57) || code === 95 || code === 43 || code === 45 || code === 46;
}
