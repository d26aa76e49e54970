import { PassedOverCounter } from "./feature-document.js";
import { type Scan, type ScannedElement, xmlError, type XmlPlace } from "./scan-xml.js";

/** What a reader of one format knows. */
export interface KnownNames {
  /** name of the root */
  readonly root: string;
  /** its namespaces; a document without one is known too */
  readonly namespace: RegExp;
  /** which elements are read inside of which, those of the document inside of "". Of the elements alone that are listed a text is taken */
  readonly children: ReadonlyMap<string, ReadonlySet<string>>;
}

/** An element that is open. */
export interface OpenElement {
  readonly name: string;
  readonly place: XmlPlace;
  /** text so far; null where none is taken */
  text: string | null;
}

/** Keeps to the elements that a reader knows: all others are counted, with whatever is in them. */
export class KnownElements {
  /** those that are open, the outermost first */
  readonly stack: OpenElement[] = [];
  readonly passedOver: PassedOverCounter = new PassedOverCounter();
  readonly #scan: Scan;
  readonly #known: KnownNames;
  #skipping = 0;

  constructor(scan: Scan, known: KnownNames) {
    this.#scan = scan;
    this.#known = known;
  }

  /** Name of the innermost that is open, "" outside of the root. */
  get parent(): string {
    return this.stack.at(-1)?.name ?? "";
  }

  /**
   * Take an element.
   *
   * @param label - what one that is not known is counted as, by its name and its parent's
   * @returns it, where it is known
   * @throws `FeeringError` `bad-format` for another root
   */
  open(element: ScannedElement, label: (name: string, parent: string) => string): OpenElement | undefined {
    // hot: once an element
    if (this.#skipping > 0) {
      this.#skipping++;
      return undefined;
    }
    const { name, uri } = element;
    const place = this.#scan.place;
    const { children, namespace, root } = this.#known;
    const parent = this.parent;
    const known = uri === "" || (uri.length < 100 && namespace.test(uri));
    if (!known || children.get(parent)?.has(name) !== true) {
      if (parent === "") throw xmlError(place, `the root is ${JSON.stringify(name.slice(0, 40))}, needs ${root}`);
      this.passedOver.add(label(name, parent), place.line);
      this.#skipping = 1;
      return undefined;
    }
    const open: OpenElement = { name, place, text: children.has(name) ? null : "" };
    this.stack.push(open);
    return open;
  }

  text(text: string): void {
    const top = this.stack.at(-1);
    if (this.#skipping === 0 && top !== undefined && top.text !== null) top.text += text;
  }

  /** The element that ends, where it is known. */
  close(): OpenElement | undefined {
    if (this.#skipping === 0) return this.stack.pop();
    this.#skipping--;
    return undefined;
  }
}
