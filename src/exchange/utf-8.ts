import { FeeringError } from "../errors/index.js";

/**
 * Bytes as UTF-8 text, a byte order mark taken off. Nothing is put in place of what is no UTF-8.
 *
 * @throws `FeeringError` `bad-format` with the offset of the first bad byte as `index`; `too-large` for more bytes than `maximum`
 */
export function utf8Text(bytes: Uint8Array, maximum: number): string {
  if (bytes.length > maximum) {
    throw new FeeringError(
      "too-large",
      `input has ${bytes.length} bytes, at most ${maximum} are read (options.maximumLength)`,
      { argument: "input", value: bytes.length },
    );
  }
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch (cause) {
    const index = firstBad(bytes);
    const byte = `byte ${index}, 0x${(bytes[index] ?? 0).toString(16).padStart(2, "0")}, begins no character`;
    throw new FeeringError("bad-format", `input is no UTF-8: ${byte}`, { argument: "input", index, cause });
  }
}

/** Offset of the first byte that starts no whole character. */
function firstBad(bytes: Uint8Array): number {
  const fits = (end: number, stream: boolean): boolean => {
    try {
      new TextDecoder("utf-8", { fatal: true }).decode(bytes.subarray(0, end), { stream });
      return true;
    } catch {
      return false;
    }
  };
  let low = 0;
  let high = bytes.length;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (fits(middle, true)) low = middle;
    else high = middle - 1;
  }
  // back over the beginning of a character that does not go on
  while (low > 0 && !fits(low, false)) low--;
  return low;
}
