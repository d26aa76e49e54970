import { type Attributes, element, escapeXml } from "./xml.js";

// widths of characters in em, on the wide side of the usual sans-serif types (measured on none: a guess that errs to safety)
const NARROW = /[ijlIftr.,:;'|!()[\] -]/;
const WIDE = /[mwMW@%&]/;

/** Width of a line of text, millimetres: an estimate on the wide side, for any sans-serif type of that size. */
export function textWidth(text: string, size: number): number {
  let em = 0;
  for (const character of text) {
    const code = character.codePointAt(0)!;
    if (code >= 0x1100) em += 1.05;
    else if (NARROW.test(character)) em += 0.42;
    else if (WIDE.test(character)) em += 0.98;
    else if (character >= "A" && character <= "Z") em += 0.74;
    else em += 0.64;
  }
  return em * size;
}

/**
 * Break text into lines of a width: at spaces, and inside a word that is wider than a line by itself.
 *
 * Line breaks of the text itself stay; each run of other white space becomes one space.
 */
export function breakText(text: string, size: number, width: number): string[] {
  const lines: string[] = [];
  for (const paragraph of text.split(/\r\n|\r|\n/)) {
    let line = "";
    for (const word of paragraph.split(/\s+/)) {
      const longer = line === "" ? word : `${line} ${word}`;
      if (textWidth(longer, size) <= width) {
        line = longer;
        continue;
      }
      if (line !== "") lines.push(line);
      line = "";
      for (const character of word) {
        if (line !== "" && textWidth(line + character, size) > width) {
          lines.push(line);
          line = "";
        }
        line += character;
      }
    }
    lines.push(line);
  }
  return lines;
}

/** At most so many lines; where some are cut, the last one ends in an ellipsis. */
export function cutLines(lines: readonly string[], most: number): string[] {
  if (lines.length <= most) return [...lines];
  const kept = lines.slice(0, Math.max(0, most));
  if (kept.length > 0) kept[kept.length - 1] = `${kept[kept.length - 1]!.replace(/.{2}$/u, "")} …`;
  return kept;
}

/** One line of text; `y` is its base line. */
export function textElement(text: string, x: number, y: number, size: number, more: Attributes = {}): string {
  return element("text", { x, y, "font-size": size, ...more }, escapeXml(text));
}
