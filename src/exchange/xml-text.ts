import { FeeringError } from "../errors/index.js";

/**
 * A text for XML 1.0, in an element or an attribute.
 *
 * @throws `FeeringError` `bad-format` for a character that no XML document can hold: a control character, half a surrogate pair
 */
export function escapeXml(text: string, path: string): string {
  let escaped = "";
  let from = 0;
  for (let i = 0; i < text.length; i++) {
    const code = text.charCodeAt(i);
    if (code >= 0x3f && code < 0xd800) continue;
    let reference: string | undefined;
    if (code === 0x26) reference = "&amp;";
    else if (code === 0x3c) reference = "&lt;";
    else if (code === 0x3e) reference = "&gt;";
    else if (code === 0x22) reference = "&quot;";
    // readers would make a space or a line feed of these
    else if (code === 9 || code === 10 || code === 13) reference = `&#${code};`;
    else if (code >= 0xd800 && code < 0xdc00 && isLow(text.charCodeAt(i + 1))) i++;
    else if (code < 0x20 || (code >= 0xd800 && code < 0xe000) || code >= 0xfffe) {
      const at = code.toString(16).padStart(4, "0").toUpperCase();
      throw new FeeringError("bad-format", `${path} has the character U+${at}, which no XML document can hold`, {
        argument: path,
        index: i,
        value: text,
      });
    }
    if (reference === undefined) continue;
    escaped += text.slice(from, i) + reference;
    from = i + 1;
  }
  return from === 0 ? text : escaped + text.slice(from);
}

function isLow(code: number): boolean {
  return code >= 0xdc00 && code < 0xe000;
}

/** A number with so many decimals at most, without an exponent: `12.5`, `-0.000000001`. */
export function plainNumber(value: number, decimals: number): string {
  const text = value.toFixed(decimals);
  if (!text.includes(".")) return text === "-0" ? "0" : text;
  let end = text.length;
  while (text.charCodeAt(end - 1) === 48) end--;
  if (text.charCodeAt(end - 1) === 46) end--;
  const short = text.slice(0, end);
  return short === "-0" ? "0" : short;
}
