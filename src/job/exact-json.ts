/** What JSON can't say is written as text that begins with this; text of its own that does gets another one in front. */
const ESCAPE = "\u0001";
/** JSON has no word for these. */
const WORDS: readonly (readonly [word: string, value: number | undefined])[] = [
  ["NaN", Number.NaN],
  ["Infinity", Number.POSITIVE_INFINITY],
  ["-Infinity", Number.NEGATIVE_INFINITY],
  ["-0", -0],
  ["undefined", undefined],
];
/** Characters made of codes at a time: more arguments than this a call can't take everywhere. */
const CHUNK = 4096;

/**
 * Plain data as bytes, so that reading them gives the same data bit for bit: JSON in ASCII, -0, NaN, infinities and `undefined` in lists told
 * apart, byte arrays behind it as they are. Properties that are `undefined` are left out.
 *
 * @param data - plain data; functions and symbols in it are left out as in JSON
 * @returns length of the text u32, the text, the byte arrays
 * @throws TypeError or RangeError as `JSON.stringify`, for what is no plain data
 */
export function encodeExact(data: unknown): Uint8Array {
  const parts: Uint8Array[] = [];
  let total = 0;
  const text = JSON.stringify(data, function (this: Record<string, unknown>, key: string, value: unknown): unknown {
    if (typeof value === "number") {
      return Object.is(value, -0) || !Number.isFinite(value) ? ESCAPE + wordOf(value) : value;
    }
    if (typeof value === "string") return value.startsWith(ESCAPE) ? ESCAPE + value : value;
    if (value === undefined) return Array.isArray(this) ? ESCAPE + wordOf(undefined) : undefined;
    // by its holder: some byte arrays have a wording of their own for JSON
    const part = this[key];
    if (!(part instanceof Uint8Array)) return value;
    parts.push(part);
    total += part.length;
    return `${ESCAPE}bytes ${total - part.length} ${total}`;
  }) as string | undefined;
  const ascii = (text ?? "null").replace(
    /[\u0080-\uffff]/g,
    (c) => `\\u${c.charCodeAt(0).toString(16).padStart(4, "0")}`,
  );
  const bytes = new Uint8Array(4 + ascii.length + total);
  new DataView(bytes.buffer).setUint32(0, ascii.length, true);
  for (let i = 0; i < ascii.length; i++) bytes[4 + i] = ascii.charCodeAt(i);
  let at = 4 + ascii.length;
  for (const part of parts) {
    bytes.set(part, at);
    at += part.length;
  }
  return bytes;
}

/**
 * Read what {@link encodeExact} wrote.
 *
 * @param bytes - from it
 * @returns the same data; byte arrays are copies
 * @throws SyntaxError or RangeError for other bytes
 */
export function decodeExact(bytes: Uint8Array): unknown {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const behind = 4 + view.getUint32(0, true);
  if (behind > bytes.length) throw new RangeError("the text is longer than the bytes");
  let text = "";
  for (let at = 4; at < behind; at += CHUNK) {
    text += String.fromCharCode(...bytes.subarray(at, Math.min(behind, at + CHUNK)));
  }
  return revive(JSON.parse(text), (start, end) => new Uint8Array(bytes.subarray(behind + start, behind + end)));
}

/** put back what JSON can't say; in place, as the data was just parsed */
function revive(value: unknown, bytesOf: (start: number, end: number) => Uint8Array): unknown {
  if (typeof value === "string") {
    if (!value.startsWith(ESCAPE)) return value;
    if (value.startsWith(ESCAPE, 1)) return value.slice(1);
    const word = value.slice(1);
    const known = WORDS.find(([name]) => name === word);
    if (known !== undefined) return known[1];
    const [, start, end] = word.split(" ");
    return bytesOf(Number(start), Number(end));
  }
  if (typeof value !== "object" || value === null) return value;
  if (Array.isArray(value)) {
    for (let i = 0; i < value.length; i++) value[i] = revive(value[i], bytesOf);
    return value;
  }
  const object = value as Record<string, unknown>;
  for (const key of Object.keys(object)) {
    const part = object[key];
    const revived = revive(part, bytesOf);
    if (revived !== part) object[key] = revived;
  }
  return object;
}

function wordOf(value: number | undefined): string {
  return WORDS.find(([, known]) => Object.is(known, value))![0];
}
