import { FeeringError, requireList, requireObject } from "../../errors/index.js";
import { escapeXml } from "../xml-text.js";
import type { TaskElement, TaskOther } from "./task-element.js";
import { requireText } from "./write-value.js";

/** Deepest nesting of elements that a reader takes. */
const MAXIMUM_DEPTH = 64;

/** Attributes of an element as they are written, by their names. */
export type Written = Map<string, string>;

/** Prefixes that are declared where an element stands. */
export type Prefixes = ReadonlySet<string>;

/** A document as it is written, element by element, indented by two. */
export class XmlLines {
  readonly #lines: string[] = ['<?xml version="1.0" encoding="UTF-8"?>'];

  /**
   * Begin an element.
   *
   * @returns the prefixes that hold inside of it
   */
  open(name: string, attributes: Written, depth: number, empty: boolean, prefixes: Prefixes, path: string): Prefixes {
    const inside = declared(attributes, prefixes);
    this.#lines.push(`${"  ".repeat(depth)}<${name}${attributeText(attributes, inside, path)}${empty ? "/>" : ">"}`);
    return inside;
  }

  close(name: string, depth: number): void {
    this.#lines.push(`${"  ".repeat(depth)}</${name}>`);
  }

  /** An element or a text that is kept as it was. */
  kept(child: TaskElement | string, depth: number, prefixes: Prefixes, path: string): void {
    const text = typeof child === "string" ? escapeXml(child, path) : elementText(child, depth, prefixes, path, true);
    this.#lines.push("  ".repeat(depth) + text);
  }

  text(): string {
    return `${this.#lines.join("\n")}\n`;
  }
}

/**
 * Add the attributes that are kept to those that were written; one that has been written stays.
 *
 * @throws `FeeringError` `bad-format` for a name that is none or stands twice
 */
export function addKept(written: Written, other: TaskOther | undefined, path: string): void {
  if (other?.attributes === undefined) return;
  const kept = keptAttributes(other.attributes, `${path}.other.attributes`);
  for (const [name, value] of kept) if (!written.has(name)) written.set(name, value);
}

function keptAttributes(attributes: TaskElement["attributes"], path: string): Written {
  requireList(attributes, path);
  const kept: Written = new Map();
  attributes.forEach((pair: unknown, i) => {
    const at = `${path}[${i}]`;
    requireList(pair, at);
    const [name, value] = pair as readonly [string, string];
    requireName(name, at);
    if (kept.has(name)) throw bad(at, `${name} stands twice`);
    kept.set(name, escapeXml(requireText(value, `${at}[1]`, "a text"), `${at}[1]`));
  });
  return kept;
}

function elementText(element: TaskElement, depth: number, prefixes: Prefixes, path: string, indented: boolean): string {
  requireObject(element, path);
  if (depth >= MAXIMUM_DEPTH) {
    throw new FeeringError("too-large", `${path} is nested deeper than ${MAXIMUM_DEPTH} levels`, { argument: path });
  }
  const { name, children } = element;
  requireName(name, `${path}.name`);
  const attributes = keptAttributes(element.attributes, `${path}.attributes`);
  const inside = declared(attributes, prefixes);
  requirePrefix(name, inside, `${path}.name`);
  const head = `<${name}${attributeText(attributes, inside, path)}`;
  requireList(children, `${path}.children`);
  if (children.length === 0) return `${head}/>`;
  // blanks beside a text would become a part of it
  const apart = indented && !children.some((child) => typeof child === "string");
  const before = apart ? `\n${"  ".repeat(depth + 1)}` : "";
  let text = `${head}>`;
  children.forEach((child, i) => {
    const at = `${path}.children[${i}]`;
    text += before;
    text += typeof child === "string" ? escapeXml(child, at) : elementText(child, depth + 1, inside, at, apart);
  });
  return `${text}${apart ? `\n${"  ".repeat(depth)}` : ""}</${name}>`;
}

function attributeText(attributes: Written, prefixes: Prefixes, path: string): string {
  let text = "";
  for (const [name, value] of attributes) {
    if (!name.startsWith("xmlns")) requirePrefix(name, prefixes, path);
    text += ` ${name}="${value}"`;
  }
  return text;
}

function declared(attributes: Written, prefixes: Prefixes): Prefixes {
  let inside: Set<string> | undefined;
  for (const name of attributes.keys()) {
    if (!name.startsWith("xmlns:")) continue;
    inside ??= new Set(prefixes);
    inside.add(name.slice(6));
  }
  return inside ?? prefixes;
}

function requirePrefix(name: string, prefixes: Prefixes, path: string): void {
  const colon = name.indexOf(":");
  if (colon < 0) return;
  const prefix = name.slice(0, colon);
  if (prefix !== "xml" && !prefixes.has(prefix))
    throw bad(path, `${name} has a prefix that is not declared by xmlns:${prefix}`);
}

// XML 1.0, fifth edition, productions 4 and 4a, and Namespaces in XML 1.0, production 7
const START =
  "A-Z_a-z\\u00C0-\\u00D6\\u00D8-\\u00F6\\u00F8-\\u02FF\\u0370-\\u037D\\u037F-\\u1FFF\\u200C\\u200D\\u2070-\\u218F\\u2C00-\\u2FEF\\u3001-\\uD7FF\\uF900-\\uFDCF\\uFDF0-\\uFFFD\\u{10000}-\\u{EFFFF}";
const LATER = `${START}\\-.0-9\\u00B7\\u0300-\\u036F\\u203F\\u2040`;
const NAME = new RegExp(`^[${START}][${LATER}]*(?::[${START}][${LATER}]*)?$`, "u");

function requireName(name: unknown, path: string): void {
  if (typeof name === "string" && NAME.test(name)) return;
  throw bad(path, `${typeof name === "string" ? JSON.stringify(name.slice(0, 40)) : typeof name} is no name of XML`);
}

function bad(path: string, problem: string): FeeringError {
  return new FeeringError("bad-format", `${path}: ${problem}`, { argument: path });
}
