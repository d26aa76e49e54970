import { unixTime } from "../date-time.js";
import { decimal } from "../decimal.js";
import type { AttributeKind, AttributeRow, Draft, ElementTable } from "./element-table.js";
import { checkObjects, checkZones } from "./check-inside.js";
import { keptElement, rawError, said, type RawElement, withoutBlanks } from "./raw-element.js";
import { isId, type ReadContext } from "./read-context.js";
import { shapePattern, shapePolygon } from "./read-shapes.js";
import type { Task } from "./task.js";
import type { TaskDevice } from "./task-device.js";
import type { TaskElement, TaskOther } from "./task-element.js";

/**
 * An element with all that is inside of it, by its table. A polygon of several exteriors comes as several.
 *
 * @throws `FeeringError` `bad-format` with line and column for what is missing or not what it should be
 */
export function readElement(raw: RawElement, table: ElementTable, context: ReadContext): Draft[] {
  const draft: Draft = {};
  const attributes: (readonly [string, string])[] = [];
  const children: (TaskElement | string)[] = [];
  for (const row of table.attributes) {
    const found = raw.attributes.find(([name]) => name === row[0]);
    if (found === undefined) {
      if (row[3] === "required") throw rawError(raw, `${table.element} has no attribute ${labelOf(row)}`);
      continue;
    }
    const [, name, kind, required] = row;
    if (found[1] === "" && required === undefined && kind.as !== "text") {
      context.problem(raw, `attribute ${labelOf(row)} of ${table.element} is empty`);
      attributes.push(found);
    } else draft[name] = readValue(found[1], row, kind, raw, table, context);
  }
  for (const attribute of raw.attributes) {
    if (!table.attributes.some(([name]) => name === attribute[0])) attributes.push(attribute);
  }
  // every list of the table is there, empty where the element has none
  const places = new Map<string, RawElement[]>();
  const lists = new Map<string, { readonly list: Draft[]; readonly table: ElementTable }>();
  for (const [name, inner] of table.children) {
    const list: Draft[] = [];
    draft[name] = list;
    lists.set(inner.element, { list, table: inner });
    places.set(name, []);
  }
  for (const child of raw.children) {
    const known = typeof child === "string" ? undefined : lists.get(child.name);
    if (known === undefined || typeof child === "string") {
      if (typeof child === "string") {
        const text = withoutBlanks(child);
        if (text === "") continue;
        context.problem(raw, `${table.element} has a text, ${said(text)}`);
        children.push(text);
      } else {
        children.push(keptElement(child));
        defineAll(child, context);
      }
      continue;
    }
    const made = readElement(child, known.table, context);
    known.list.push(...made);
    // an LSG is one line: its place stands beside it
    if (known.table.element === "LSG") places.get("lineStrings")?.push(child);
  }
  const other: TaskOther = {
    ...(attributes.length === 0 ? {} : { attributes }),
    ...(children.length === 0 ? {} : { children }),
  };
  if (attributes.length + children.length > 0) draft["other"] = other;
  if (table.shape === "polygon") return shapePolygon(draft, raw, places.get("lineStrings")!, context);
  if (table.shape === "pattern") return [shapePattern(draft, raw)];
  if (table.shape === "device") checkObjects(draft as unknown as TaskDevice, raw, context);
  if (table.shape === "task") checkZones(draft as unknown as Task, raw, context);
  return [draft];
}

function readValue(
  text: string,
  row: AttributeRow,
  kind: AttributeKind,
  raw: RawElement,
  table: ElementTable,
  context: ReadContext,
): unknown {
  const refuse = (needs: string): Error =>
    rawError(raw, `attribute ${labelOf(row)} of ${table.element} is ${said(text)}, needs ${needs}`);
  switch (kind.as) {
    case "text":
      return text;
    case "id":
      if (!isId(text, table.element)) throw refuse(`${table.element}1, ${table.element}-1 or the like`);
      context.define(text, raw);
      return text;
    case "reference":
      if (!isId(text, kind.to)) throw refuse(`${kind.to}1, ${kind.to}-1 or the like`);
      context.refer(text, `attribute ${labelOf(row)} of ${table.element}`, raw);
      return text;
    case "file":
      if (!isFileName(text)) throw refuse("a name of letters and digits without folder and ending");
      return text;
    case "number": {
      const value = decimal(text) / kind.scale;
      const { min, max, scale } = kind;
      if (!(value >= min && value <= max)) throw refuse(`${min * scale} to ${max * scale}`);
      return value + 0;
    }
    case "word": {
      const value = decimal(text);
      if (!(Number.isInteger(value) && value >= 0 && value <= 255)) throw refuse("a whole number of 0 to 255");
      const word = kind.words.byNumber.get(value);
      if (word === undefined)
        context.problem(raw, `attribute ${labelOf(row)} of ${table.element} has no value ${value}`);
      return word ?? value;
    }
    case "ddi":
      if (!isHexadecimal(text) || text.length > 4) throw refuse("1 to 4 hexadecimal digits");
      return Number.parseInt(text, 16);
    case "hexadecimal":
      if (!isHexadecimal(text) || text.length > kind.digits) throw refuse(`1 to ${kind.digits} hexadecimal digits`);
      return text;
    case "time":
      if (text.length < 19 || Number.isNaN(unixTime(text))) throw refuse("a date and time");
      return text;
  }
}

function labelOf([attribute, name]: AttributeRow): string {
  return attribute.length > 1 ? attribute : `${attribute} (${name})`;
}

/** Ids of elements that are kept as they stand: others may refer to them. */
function defineAll(raw: RawElement, context: ReadContext): void {
  const id = raw.attributes.find(([name]) => name === "A")?.[1];
  if (id !== undefined && raw.name.length === 3 && isId(id, raw.name)) context.define(id, raw);
  for (const child of raw.children) if (typeof child !== "string") defineAll(child, context);
}

/** Whether a text is hexadecimal digits, one at the least. */
export function isHexadecimal(text: string): boolean {
  for (const c of text) if (!"0123456789abcdefABCDEF".includes(c)) return false;
  return text !== "";
}

/** Whether a text is the name of a file without folder and ending. */
export function isFileName(text: string): boolean {
  return /^[A-Za-z0-9_-]{1,40}$/.test(text);
}
