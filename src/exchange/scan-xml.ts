import { type SaxesAttributeNS, SaxesParser, type SaxesTagNS } from "saxes";
import { FeeringError } from "../errors/index.js";
import { utf8Text } from "./utf-8.js";

/** Where something stands in a document. */
export interface XmlPlace {
  readonly line: number;
  readonly column: number;
}

/** An element as it begins. */
export interface ScannedElement {
  /** name without prefix */
  readonly name: string;
  /** namespace, empty where there is none */
  readonly uri: string;
  /** name as it stands, with its prefix */
  readonly qualifiedName: string;
  /** value of an attribute without namespace, undefined where it is not there */
  attribute(name: string): string | undefined;
  /** all attributes in their order, names as they stand, those that declare namespaces with them */
  attributes(): (readonly [name: string, value: string])[];
}

/** What a scan tells, in the order of the document. */
export interface ScanHandler {
  open(element: ScannedElement): void;
  /** text and CDATA; in pieces */
  text(text: string): void;
  close(): void;
}

/** A scan under way. */
export interface Scan {
  /** where it is now: the beginning of an element, when its `open` is called */
  readonly place: XmlPlace;
}

/** Deepest nesting of elements. */
const MAXIMUM_DEPTH = 64;
/** Most attributes of one element. */
const MAXIMUM_ATTRIBUTES = 256;
/** Characters that the parser is given at once. */
const PIECE = 65_536;

/**
 * Go through a document of XML 1.0 with namespaces, strictly: what is not well-formed, ends early, has a document type
 * declaration (and with it entities of its own), or is nested deeper than 64 levels is refused.
 *
 * @throws `FeeringError` `bad-format` with line and column in the message and as `argument`; `too-large` beyond `maximumLength`
 */
export function scanXml(
  input: string | Uint8Array,
  maximumLength: number,
  handlerOf: (scan: Scan) => ScanHandler,
): void {
  const text = xmlText(input, maximumLength);
  const parser = new SaxesParser({ xmlns: true, position: true });
  let depth = 0;
  let attributes: SaxesAttributeNS[] = [];
  let start: XmlPlace = { line: 1, column: 1 };
  const here = (): XmlPlace => ({ line: parser.line, column: parser.columnIndex + 1 });
  const scan: Scan = {
    get place() {
      return start;
    },
  };
  const handler = handlerOf(scan);
  parser.on("doctype", () => {
    throw xmlError(here(), "a document type declaration is not read: it could define entities");
  });
  parser.on("opentagstart", () => {
    attributes = [];
  });
  parser.on("attribute", (attribute) => {
    // its namespace comes later, when all are known; a list is faster than the tag's own table of them
    if (attributes.push(attribute) > MAXIMUM_ATTRIBUTES) {
      throw xmlError(here(), `more than ${MAXIMUM_ATTRIBUTES} attributes`);
    }
  });
  parser.on("opentag", (tag: SaxesTagNS) => {
    start = here();
    if (++depth > MAXIMUM_DEPTH) throw xmlError(start, `elements are nested deeper than ${MAXIMUM_DEPTH} levels`);
    handler.open(new TagElement(tag, attributes));
  });
  parser.on("text", (part) => handler.text(part));
  parser.on("cdata", (part) => handler.text(part));
  parser.on("closetag", () => {
    depth--;
    handler.close();
  });
  try {
    for (let at = 0; at < text.length; at += PIECE) parser.write(text.slice(at, at + PIECE));
    parser.close();
  } catch (error) {
    if (error instanceof FeeringError) throw error;
    // the parser puts its own place in front of its reason
    const said = error instanceof Error ? error.message : String(error);
    const colon = said.indexOf(": ");
    throw xmlError(here(), colon < 0 ? said : said.slice(colon + 2), error);
  }
}

/** An element as the parser gives it. */
class TagElement implements ScannedElement {
  readonly name: string;
  readonly uri: string;
  readonly qualifiedName: string;
  readonly #attributes: readonly SaxesAttributeNS[];

  constructor(tag: SaxesTagNS, attributes: readonly SaxesAttributeNS[]) {
    // hot: once an element
    this.name = tag.local;
    this.uri = tag.uri;
    this.qualifiedName = tag.name;
    this.#attributes = attributes;
  }

  attribute(name: string): string | undefined {
    for (const found of this.#attributes) if (found.name === name && found.uri === "") return found.value;
    return undefined;
  }

  attributes(): (readonly [name: string, value: string])[] {
    return this.#attributes.map(({ name, value }) => [name, value] as const);
  }
}

/** An error of a document, with its place. */
export function xmlError(place: XmlPlace, problem: string, cause?: unknown): FeeringError {
  const at = `line ${place.line}, column ${place.column}`;
  return new FeeringError("bad-format", `${at}: ${problem.slice(0, 300)}`, { argument: at, cause });
}

/** Encodings beside UTF-8 that files of this kind are found in, as their declarations name them. */
const ENCODINGS: ReadonlyMap<string, string> = new Map([
  ["utf-8", "utf-8"],
  ["utf8", "utf-8"],
  ["us-ascii", "utf-8"],
  ["iso-8859-1", "windows-1252"],
  ["windows-1252", "windows-1252"],
]);

function xmlText(input: string | Uint8Array, maximum: number): string {
  if (input instanceof Uint8Array) {
    const [a, b] = input;
    const wide = a === 0xff && b === 0xfe ? "utf-16le" : a === 0xfe && b === 0xff ? "utf-16be" : undefined;
    const encoding = wide ?? declaredEncoding(input);
    if (encoding === "utf-8") return utf8Text(input, maximum);
    if (input.length > maximum) throw tooLarge(input.length, "bytes", maximum);
    try {
      return new TextDecoder(encoding, { fatal: true }).decode(input);
    } catch (cause) {
      throw new FeeringError("bad-format", `input can't be read as ${encoding}`, { argument: "input", cause });
    }
  }
  if (typeof input !== "string") {
    throw new FeeringError("bad-format", `input is ${typeof input}, needs a text or bytes`, { argument: "input" });
  }
  if (input.length > maximum) throw tooLarge(input.length, "characters", maximum);
  return input.charCodeAt(0) === 0xfeff ? input.slice(1) : input;
}

function tooLarge(found: number, what: string, maximum: number): FeeringError {
  return new FeeringError(
    "too-large",
    `input has ${found} ${what}, at most ${maximum} are read (options.maximumLength)`,
    { argument: "input", value: found },
  );
}

/** The encoding that the first line declares; UTF-8 where it declares none. */
function declaredEncoding(bytes: Uint8Array): string {
  let head = "";
  for (let i = 0; i < Math.min(bytes.length, 200) && bytes[i] !== 0x3e; i++) head += String.fromCharCode(bytes[i]!);
  const at = head.startsWith("<?xml") ? head.indexOf("encoding") : -1;
  if (at < 0) return "utf-8";
  const quote = [...head.slice(at)].find((c) => c === '"' || c === "'") ?? '"';
  const from = head.indexOf(quote, at) + 1;
  const name = head.slice(from, head.indexOf(quote, from));
  const encoding = ENCODINGS.get(name.toLowerCase());
  if (encoding !== undefined) return encoding;
  throw xmlError({ line: 1, column: from + 1 }, `the encoding ${JSON.stringify(name.slice(0, 40))} is not read`);
}
