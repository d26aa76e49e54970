/** Chance in 0..1, as `random` of the helpers gives it. */
export type Chance = () => number;

/** A whole number of 0 to one less than `below`. */
export function whole(chance: Chance, below: number): number {
  return Math.floor(chance() * below);
}

/** One of a list. */
export function pick<T>(chance: Chance, values: readonly T[]): T {
  return values[whole(chance, values.length)]!;
}

const WHOLE_NUMBERS = [0, 1, -1, 0x7fff_ffff, -0x8000_0000, 0xffff, 255];
const NUMBERS = [Number.NaN, Infinity, 1e308, -1e39, 180, 90.1, 1e-300, 0];

const codes = (marks: string): ReadonlySet<number> => new Set(Array.from(marks, (mark) => mark.charCodeAt(0)));
const OPENING = codes('">,:[\n');
const CLOSING = codes('"<,]}\n');
const LINE_END = codes("\n");
const VALUES = [
  ...[
    "",
    "0",
    "1",
    "-1",
    "2",
    "9",
    "90",
    "-91",
    "181",
    "0.5",
    "1e3",
    "1e309",
    "65535",
    "2147483648",
    "99999999999999999999",
    "NaN",
  ],
  ...[
    "x",
    "true",
    "null",
    "name",
    "A",
    "2024-05-01T10:00:00Z",
    "2024-13-01",
    "__proto__",
    "ä",
    "5,47",
    "5,47 6,48 5,48 5,47",
    " ",
  ],
].map((value) => new TextEncoder().encode(value));

/** Where a stretch begins behind the next opening mark, and ends before the closing one. */
function between(
  bytes: Uint8Array,
  at: number,
  opening: ReadonlySet<number>,
  closing: ReadonlySet<number>,
): [from: number, to: number] {
  let from = at;
  while (from < bytes.length && !opening.has(bytes[from]!)) from++;
  let to = Math.min(bytes.length, ++from);
  while (to < bytes.length && !closing.has(bytes[to]!)) to++;
  return [Math.min(from, bytes.length), to];
}

/**
 * A document with one to four changes, mostly one: bytes set, bits turned, cut off, stretches or lines left out, doubled or moved, a token of its format or a number put in, a
 * value between marks changed for another; seldom nothing of it but bytes of any kind.
 *
 * @param gentle - share of changes to values and lines alone, most of which a parser lets through to the reader
 */
export function mutateBytes(
  chance: Chance,
  document: Uint8Array,
  tokens: readonly Uint8Array[],
  gentle = 0,
): Uint8Array {
  if (chance() < 0.02) return Uint8Array.from({ length: whole(chance, 200) }, () => whole(chance, 256));
  let bytes = document.slice();
  for (let n = 1 + Math.floor(chance() ** 2 * 4); n > 0 && bytes.length > 0; n--) {
    const at = whole(chance, bytes.length);
    const end = Math.min(bytes.length, at + 1 + Math.floor(chance() ** 3 * 200));
    const view = new DataView(bytes.buffer);
    switch (chance() < gentle ? 8 + whole(chance, 5) : whole(chance, 16)) {
      case 0:
        bytes[at] = whole(chance, 256);
        break;
      case 1:
        bytes[at] = bytes[at]! ^ (1 << whole(chance, 8));
        break;
      case 2:
        // to the end in one of three, as a document cut off says least
        if (chance() < 0.33) bytes = bytes.slice(0, at);
        break;
      case 3:
        bytes = joined(bytes.subarray(0, at), bytes.subarray(end));
        break;
      case 4:
        bytes = joined(bytes.subarray(0, end), bytes.subarray(at));
        break;
      case 5: {
        const to = whole(chance, bytes.length);
        bytes = joined(bytes.subarray(0, to), bytes.subarray(at, end), bytes.subarray(to));
        break;
      }
      case 6:
        if (at + 4 <= bytes.length) view.setInt32(at, pick(chance, WHOLE_NUMBERS), chance() < 0.5);
        break;
      case 7:
        if (at + 8 <= bytes.length) view.setFloat64(at, pick(chance, NUMBERS), chance() < 0.8);
        break;
      case 8:
      case 9:
      case 10: {
        // a value between marks
        const [from, to] = between(bytes, at, OPENING, CLOSING);
        bytes = joined(bytes.subarray(0, from), pick(chance, VALUES), bytes.subarray(to));
        break;
      }
      case 11:
      case 12: {
        // a line, which is an element in XML and a row in CSV
        const [from, to] = between(bytes, at, LINE_END, LINE_END);
        const line = bytes.subarray(from, to + 1);
        const there = between(bytes, whole(chance, bytes.length), LINE_END, LINE_END)[0];
        if (chance() < 0.5) bytes = joined(bytes.subarray(0, from), bytes.subarray(to + 1));
        else bytes = joined(bytes.subarray(0, there), line, bytes.subarray(there));
        break;
      }
      default:
        bytes = joined(bytes.subarray(0, at), pick(chance, tokens), bytes.subarray(chance() < 0.5 ? at : end));
    }
  }
  return bytes;
}

/** Values that have no business where they are put. */
const WRONG: readonly unknown[] = [
  null,
  undefined,
  0,
  -1,
  0.5,
  1e300,
  Number.NaN,
  Infinity,
  "",
  "x",
  "1e999",
  true,
  [],
  [[]],
  {},
  [null, null],
  { type: "Point" },
  Symbol.iterator,
  10n,
];

/** A copy of plain data with one to three values changed for others: wrong ones, or those of another place in the data. */
export function mutateValue(chance: Chance, value: unknown): unknown {
  const root = { value: copy(value) };
  for (let n = 1 + Math.floor(chance() ** 2 * 3); n > 0; n--) {
    const [place, name] = anyPlace(chance, root);
    const kind = chance();
    if (kind < 0.15) delete place[name];
    else if (kind < 0.4) {
      const [other, from] = anyPlace(chance, root);
      place[name] = copy(other[from]);
    } else place[name] = copy(pick(chance, WRONG));
  }
  return root.value;
}

type Container = Record<string, unknown>;

/** Some place of the data: from the root downwards, by the toss of a coin. */
function anyPlace(chance: Chance, root: Container): [place: Container, name: string] {
  let place = root;
  let name = "value";
  while (chance() < 0.9) {
    const inner = place[name];
    if (typeof inner !== "object" || inner === null) break;
    const names = Object.keys(inner);
    if (names.length === 0) break;
    place = inner as Container;
    name = pick(chance, names);
  }
  return [place, name];
}

function copy(value: unknown): unknown {
  if (typeof value !== "object" || value === null) return value;
  if (Array.isArray(value)) return value.map(copy);
  return Object.fromEntries(Object.entries(value).map(([name, inner]) => [name, copy(inner)]));
}

function joined(...parts: readonly Uint8Array[]): Uint8Array<ArrayBuffer> {
  let length = 0;
  for (const part of parts) length += part.length;
  const bytes = new Uint8Array(length);
  let at = 0;
  for (const part of parts) {
    bytes.set(part, at);
    at += part.length;
  }
  return bytes;
}
