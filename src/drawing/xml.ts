/** Attributes of an element in the order they are written; numbers are rounded to 0.01, undefined ones left out. */
export type Attributes = Readonly<Record<string, string | number | undefined>>;

/**
 * Text as it may stand in XML 1.0, in content and in a quoted attribute alike.
 *
 * Characters that XML 1.0 can't hold at all (control characters, halves of surrogate pairs, U+FFFE and U+FFFF) become
 * U+FFFD, so that a name from a damaged file still gives a drawing that opens.
 *
 * @see W3C, Extensible Markup Language 1.0 (5th edition), 2.2 Characters
 */
export function escapeXml(text: string): string {
  let out = "";
  for (const character of text) {
    const code = character.codePointAt(0)!;
    if (character === "&") out += "&amp;";
    else if (character === "<") out += "&lt;";
    else if (character === ">") out += "&gt;";
    else if (character === '"') out += "&quot;";
    else if (character === "'") out += "&#39;";
    else out += isXmlCharacter(code) ? character : "\ufffd";
  }
  return out;
}

function isXmlCharacter(code: number): boolean {
  if (code < 0x20) return code === 0x9 || code === 0xa || code === 0xd;
  return code < 0xd800 || (code > 0xdfff && code !== 0xfffe && code !== 0xffff);
}

/** An element as text; `inside` is markup already. */
export function element(name: string, attributes: Attributes, inside?: string): string {
  let out = `<${name}`;
  for (const [key, value] of Object.entries(attributes)) {
    if (value === undefined) continue;
    out += ` ${key}="${typeof value === "number" ? hundredths(value) : escapeXml(value)}"`;
  }
  return inside === undefined ? `${out}/>` : `${out}>${inside}</${name}>`;
}

/** A number with at most two decimals, never `-0`. */
export function hundredths(value: number): string {
  return String(Math.round(value * 100) / 100 + 0);
}
