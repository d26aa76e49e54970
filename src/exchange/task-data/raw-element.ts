import { FeeringError } from "../../errors/index.js";
import { type Scan, scanXml, type ScannedElement, type ScanHandler, type XmlPlace } from "../scan-xml.js";
import type { TaskElement } from "./task-element.js";

/** An element as it stands in a file. */
export interface RawElement {
  /** name as it stands, with its prefix */
  readonly qualifiedName: string;
  /** name without prefix; empty where it is of another namespace than the root, and nothing that is known */
  readonly name: string;
  readonly attributes: readonly (readonly [name: string, value: string])[];
  readonly children: (RawElement | string)[];
  readonly place: XmlPlace;
  /** the external file that it stands in, empty for the document itself */
  readonly file: string;
}

/**
 * A document as a tree. Blanks between elements are left out where an element has no other text.
 *
 * @throws `FeeringError` as `scanXml`, with the external file in front of message and argument
 */
export function rawDocument(input: string | Uint8Array, maximumLength: number, file = ""): RawElement {
  let builder: TreeBuilder | undefined;
  try {
    scanXml(input, maximumLength, (scan) => {
      builder = new TreeBuilder(scan, file);
      return builder;
    });
  } catch (error) {
    if (file === "" || !(error instanceof FeeringError)) throw error;
    throw new FeeringError(error.code, `${file}: ${error.message}`, {
      argument: `${file}: ${error.argument}`,
      value: error.value,
      cause: error,
    });
  }
  return builder!.root!;
}

/** An element to be kept, without what it was read with. */
export function keptElement(raw: RawElement): TaskElement {
  return {
    name: raw.qualifiedName,
    attributes: raw.attributes,
    children: raw.children.map((child) => (typeof child === "string" ? child : keptElement(child))),
  };
}

/** Error of an element, with its place. */
export function rawError(raw: RawElement, problem: string): FeeringError {
  const at = placeOf(raw);
  return new FeeringError("bad-format", `${at}: ${problem}`, { argument: at });
}

/** Where an element stands, in words. */
export function placeOf({ file, place }: RawElement): string {
  return `${file === "" ? "" : `${file}: `}line ${place.line}, column ${place.column}`;
}

/** A value for a message; never long. */
export function said(text: string): string {
  return JSON.stringify(text.slice(0, 40));
}

class TreeBuilder implements ScanHandler {
  root: RawElement | undefined;
  readonly #scan: Scan;
  readonly #file: string;
  readonly #stack: RawElement[] = [];
  #home = "";

  constructor(scan: Scan, file: string) {
    this.#scan = scan;
    this.#file = file;
  }

  open(element: ScannedElement): void {
    // hot: once an element
    const parent = this.#stack.at(-1);
    if (parent === undefined) this.#home = element.uri;
    const raw: RawElement = {
      qualifiedName: element.qualifiedName,
      name: element.uri === this.#home ? element.name : "",
      attributes: element.attributes(),
      children: [],
      place: this.#scan.place,
      file: this.#file,
    };
    if (parent === undefined) this.root = raw;
    else parent.children.push(raw);
    this.#stack.push(raw);
  }

  text(text: string): void {
    const children = this.#stack.at(-1)?.children;
    if (children === undefined) return;
    const last = children.length - 1;
    // text comes in pieces
    if (last >= 0 && typeof children[last] === "string") children[last] += text;
    else children.push(text);
  }

  close(): void {
    const { children } = this.#stack.pop()!;
    for (const child of children) if (typeof child === "string" && !isBlank(child)) return;
    let kept = 0;
    for (const child of children) if (typeof child !== "string") children[kept++] = child;
    children.length = kept;
  }
}

function isBlank(text: string): boolean {
  return withoutBlanks(text) === "";
}

/** A text without the blanks of XML at its ends. */
export function withoutBlanks(text: string): string {
  let from = 0;
  let end = text.length;
  while (from < end && BLANKS.includes(text.charAt(from))) from++;
  while (end > from && BLANKS.includes(text.charAt(end - 1))) end--;
  return text.slice(from, end);
}

const BLANKS = " \t\n\r";
