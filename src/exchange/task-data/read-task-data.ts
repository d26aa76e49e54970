import { FeeringError, requireNumber, requireObject } from "../../errors/index.js";
import { decimal } from "../decimal.js";
import { describe } from "../json-value.js";
import type { ExternalFile, TaskData, TaskDataVersion } from "./task-data.js";
import { ROOT_TABLE } from "./task-tables.js";
import { rawDocument, rawError, said, type RawElement } from "./raw-element.js";
import { ReadContext, type TaskDataProblem } from "./read-context.js";
import { readElement } from "./read-element.js";

/** Settings of {@link readTaskData}. */
export interface ReadTaskDataOptions {
  /** longest document that is read, with its external files, UTF-16 units of texts and bytes together; default 64 million */
  readonly maximumLength?: number;
  /** external files by their names in the task folder, `PFD00001.XML`, in upper or lower case; default none */
  readonly files?: ReadonlyMap<string, string | Uint8Array>;
  /** whether an external file that is not among `files` is told in `externalFiles` and `problems` (default), or refused */
  readonly missingFiles?: "tell" | "refuse";
}

/** What {@link readTaskData} gives. */
export interface TaskDataRead extends TaskData {
  /** what is not as the standard has it, but did not keep the document from being read; in no order, the first 1000 of them */
  readonly problems: readonly TaskDataProblem[];
}

/**
 * Read task data of ISO 11783-10, TASKDATA.XML, of versions 2, 3 and 4.
 *
 * Fields, guidance, devices and tasks come as plain objects with the units of this library. What is not understood (elements, attributes, makers' own
 * ones) is kept with the element that it belongs to, in `other`; a number of an enumeration that has no word here stays that number.
 * Comments and processing instructions are passed over.
 *
 * Rings come without their first point repeated at the end, whichever way the version has it. A polygon of several exteriors, as version 3 allows it, comes as
 * several polygons. References that point nowhere, ids that stand twice, rings that are not closed and the like are told in `problems`.
 *
 * After public copies of the schema (secondary): the paid text of the standard was not read.
 *
 * @param input - the file as text or bytes (UTF-8, UTF-16, ISO 8859-1)
 * @param options - cap, external files
 * @returns plain data that `writeTaskData` takes, and the problems
 * @throws `FeeringError` `bad-format` with line and column in the message and as `argument`: XML that is not well-formed or ends early, a
 * document type declaration, more than 64 levels, another root, another version, an attribute missing or not what it should be, a position out of
 * range, a ring of fewer than three places, an external file that is missing where that is refused; `too-large` beyond the cap
 * @example
 * ```ts
 * const { partfields, problems } = readTaskData(bytes);
 * for (const { problem, line } of problems) console.log(`line ${line}: ${problem}`);
 * ```
 */
export function readTaskData(input: string | Uint8Array, options: ReadTaskDataOptions = {}): TaskDataRead {
  requireObject(options, "options");
  const maximumLength = requireNumber(options.maximumLength ?? 64e6, "options.maximumLength", { min: 0 });
  const { missingFiles = "tell" } = options;
  if (missingFiles !== "tell" && missingFiles !== "refuse") {
    throw new FeeringError("out-of-range", `options.missingFiles is ${describe(missingFiles)}, needs tell or refuse`, {
      argument: "options.missingFiles",
      value: missingFiles,
    });
  }
  const files = requireFiles(options.files);
  const root = rawDocument(input, maximumLength);
  if (root.name !== ROOT_TABLE.element) {
    throw rawError(root, `the root is ${said(root.qualifiedName)}, needs ${ROOT_TABLE.element}`);
  }
  const version = versionOf(root);
  const context = new ReadContext(version.major);
  if (version.major === 2) context.problem(root, "version 2 is read by the rules of version 3");
  const children = resolve(root, files, maximumLength - input.length, missingFiles, context);
  const [draft] = readElement({ ...root, children }, ROOT_TABLE, context);
  const { versionMajor: _major, versionMinor: _minor, ...rest } = draft!;
  return { version, ...rest, problems: context.finish(root) } as unknown as TaskDataRead;
}

function versionOf(root: RawElement): TaskDataVersion {
  const number = (name: string): number => {
    const text = root.attributes.find(([attribute]) => attribute === name)?.[1];
    if (text === undefined) throw rawError(root, `${root.name} has no attribute ${name}`);
    const value = decimal(text);
    if (Number.isInteger(value) && value >= 0 && value <= 99) return value;
    throw rawError(root, `attribute ${name} of ${root.name} is ${said(text)}, needs a whole number`);
  };
  const version = { major: number("VersionMajor"), minor: number("VersionMinor") };
  if (version.major >= 2 && version.major <= 4) return version;
  throw rawError(
    root,
    `version ${version.major} of task data is not read, only 2, 3 and 4: have it written as version 3 or 4`,
  );
}

/** The root's children, those of external files in the place of what refers to them. */
function resolve(
  root: RawElement,
  files: ReadonlyMap<string, string | Uint8Array>,
  room: number,
  missingFiles: "tell" | "refuse",
  context: ReadContext,
): (RawElement | string)[] {
  const children: (RawElement | string)[] = [];
  const seen = new Set<string>();
  for (const child of root.children) {
    const reference = typeof child === "string" || child.name !== "XFR" ? undefined : externalOf(child, context);
    if (reference === undefined || typeof child === "string") {
      children.push(child);
      continue;
    }
    const name = `${reference.file.toUpperCase()}.XML`;
    if (seen.has(name)) throw rawError(child, `a second reference to the external file ${name}`);
    seen.add(name);
    const content = files.get(name);
    if (content === undefined) {
      const problem = `the external file ${name} was not handed in (options.files)`;
      if (missingFiles === "refuse") throw rawError(child, problem);
      context.problem(child, problem);
      children.push(child);
      continue;
    }
    const part = rawDocument(content, room, name);
    room -= content.length;
    if (reference.other !== undefined) context.problem(child, "what XFR has beside its attributes A and B is left out");
    if (part.name !== "XFC") throw rawError(part, `the root is ${said(part.qualifiedName)}, needs XFC`);
    for (const inner of part.children) children.push(typeof inner === "string" ? inner : withNamespaces(inner, part));
    for (const [name] of part.attributes) {
      if (!isPrefix(name)) context.problem(part, `attribute ${said(name)} of XFC is left out`);
    }
  }
  return children;
}

/** A reference to a file of XML; what else there may be stays in the document. */
function externalOf(raw: RawElement, context: ReadContext): ExternalFile | undefined {
  const [draft] = readElement(raw, ROOT_TABLE.children.find(([name]) => name === "externalFiles")![1], context);
  const external = draft as unknown as ExternalFile;
  return external.type === 1 ? external : undefined;
}

const isPrefix = (name: string): boolean => name.startsWith("xmlns:");

/** An element with the prefixes that the root of its file declares, which is left out. */
function withNamespaces(raw: RawElement, root: RawElement): RawElement {
  const more = root.attributes.filter(([name]) => isPrefix(name) && !raw.attributes.some(([own]) => own === name));
  return more.length === 0 ? raw : { ...raw, attributes: [...raw.attributes, ...more] };
}

function requireFiles(files: ReadTaskDataOptions["files"]): Map<string, string | Uint8Array> {
  const found = new Map<string, string | Uint8Array>();
  if (files === undefined) return found;
  if (!(files instanceof Map)) {
    throw new FeeringError("not-finite", "options.files is no Map of names to texts or bytes", {
      argument: "options.files",
      value: files,
    });
  }
  for (const [name, content] of files as ReadonlyMap<string, string | Uint8Array>) {
    found.set(String(name).toUpperCase(), content);
  }
  return found;
}
