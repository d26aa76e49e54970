import { createReadStream, readdirSync, readFileSync, statSync } from "node:fs";
import { basename, join } from "node:path";
import type { BatchField } from "./job.js";
import { hashOf } from "./key.js";

/** Files that hold one feature a line. */
const LINES = /\.(jsonl|ndjson)$/i;
const WHOLE = /\.(geojson|json)$/i;

/**
 * Fields of a file, or of all files of a folder in the order of their names, one after the other: `*.geojson` with its features (read
 * whole), `*.jsonl` and `*.ndjson` with one feature a line (read as they come). A field is called by its feature's `id`, else its
 * property `id`, else by file and number. What is no JSON comes as a field too, so that it shows among the results.
 */
export async function* readFields(path: string): AsyncGenerator<BatchField> {
  for (const file of fieldFiles(path)) {
    const name = basename(file);
    if (LINES.test(file)) yield* readLines(file, name);
    else yield* readWhole(file, name);
  }
}

function fieldFiles(path: string): string[] {
  if (!statSync(path).isDirectory()) return [path];
  const names = readdirSync(path).filter((name) => LINES.test(name) || /\.geojson$/i.test(name));
  if (names.length === 0) throw new Error(`no *.geojson, *.jsonl or *.ndjson in ${path}`);
  return names.sort().map((name) => join(path, name));
}

async function* readLines(file: string, name: string): AsyncGenerator<BatchField> {
  let number = 0;
  for await (const line of linesOf(file)) {
    number++;
    // a byte order mark, and the record separator that RFC 8142 puts before each text
    const bare = line.replace(/^[\ufeff\u001e]+/, "").trim();
    if (bare !== "") yield fieldOf(parsed(bare), `${name}:${number}`);
  }
}

/** Lines by line feeds alone: a text in JSON may hold other separators (node:readline ends lines at U+2028 too). */
async function* linesOf(file: string): AsyncGenerator<string> {
  let rest = "";
  for await (const chunk of createReadStream(file, "utf8") as AsyncIterable<string>) {
    const lines = (rest + chunk).split("\n");
    rest = lines.pop()!;
    yield* lines;
  }
  yield rest;
}

function* readWhole(file: string, name: string): Generator<BatchField> {
  if (!WHOLE.test(file)) throw new Error(`${file} is no *.geojson, *.jsonl or *.ndjson`);
  const document = parsed(readFileSync(file, "utf8").replace(/^\ufeff/, ""));
  if (!isObject(document) || !Array.isArray(document["features"])) {
    yield fieldOf(document, name);
    return;
  }
  const { features, crs } = document;
  let number = 0;
  for (const feature of features as unknown[]) {
    number++;
    yield fieldOf(feature, `${name}:${number}`, crs);
  }
}

/** The value of a text; the text itself where it is no JSON. */
function parsed(text: string): unknown {
  try {
    return JSON.parse(text) as unknown;
  } catch {
    return text;
  }
}

function fieldOf(feature: unknown, fallback: string, crs?: unknown): BatchField {
  if (!isObject(feature)) return { id: fallback, geometry: wellFormed(feature) };
  const properties = isObject(feature["properties"]) ? feature["properties"] : {};
  const [named] = [feature["id"], properties["id"]].filter((id) => typeof id === "string" || typeof id === "number");
  const id = named === undefined || named === "" ? fallback : String(named);
  if (feature["type"] !== "Feature") return { id, geometry: wellFormed(feature) };
  const { geometry } = feature;
  // a coordinate system that is told further out is not lost: the reader refuses all but degrees of WGS 84
  const system = feature["crs"] ?? crs;
  return {
    id,
    geometry: wellFormed(isObject(geometry) && system !== undefined ? { ...geometry, crs: system } : geometry),
  };
}

/** What can be hashed and sent to a worker: nested too deeply, a value overflows the stack of both. */
function wellFormed(geometry: unknown): unknown {
  try {
    hashOf([geometry]);
    return geometry;
  } catch {
    return "nested too deeply";
  }
}

function isObject(value: unknown): value is Record<string, unknown> {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}
