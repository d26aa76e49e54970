import { type Document, DOMImplementation, type Element } from "@xmldom/xmldom";

/**
 * A small document for `@tmcw/togeojson`, of one feature and of nothing that was not checked before: xmldom's own parser never
 * sees the input, and its memory is that of one feature at a time.
 */
export class FeatureDocument {
  readonly document: Document;
  #at: Element;

  constructor(root: string) {
    this.document = new DOMImplementation().createDocument(null, root);
    this.#at = this.document.documentElement!;
  }

  open(name: string, attributes: Readonly<Record<string, string>> = {}): this {
    const element = this.document.createElement(name);
    for (const attribute of Object.keys(attributes)) element.setAttribute(attribute, attributes[attribute]!);
    this.#at.appendChild(element);
    this.#at = element;
    return this;
  }

  close(): this {
    this.#at = this.#at.parentNode as Element;
    return this;
  }

  /** An element with a text and nothing else. */
  leaf(name: string, text: string, attributes: Readonly<Record<string, string>> = {}): this {
    this.open(name, attributes);
    this.#at.appendChild(this.document.createTextNode(text));
    return this.close();
  }
}

/** What a reader counts of elements that it does not take over. */
export interface PassedOver {
  /** name of the element, and what of it where it was taken in part */
  readonly element: string;
  /** how many there were */
  readonly count: number;
  /** line of the first */
  readonly line: number;
}

/** Counts what is passed over. */
export class PassedOverCounter {
  readonly #found = new Map<string, { element: string; count: number; line: number }>();

  add(element: string, line: number): void {
    const found = this.#found.get(element);
    if (found === undefined) this.#found.set(element, { element, count: 1, line });
    else found.count++;
  }

  list(): PassedOver[] {
    return [...this.#found.values()];
  }
}
