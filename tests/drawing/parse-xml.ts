/** An element of a parsed document. */
export interface XmlElement {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: readonly XmlElement[];
  /** text directly inside, entities resolved */
  readonly text: string;
}

/**
 * A small strict parser for the part of XML 1.0 that a drawing may use: elements, attributes, text, the five named
 * entities and numbered ones. It throws on whatever is not well-formed, and on what the drawing has no business with.
 * Rules after W3C, Extensible Markup Language 1.0 (5th edition), productions 2, 10, 14, 39 to 44, 66 to 68.
 */
export function parseXml(source: string): XmlElement {
  for (const character of source) {
    const code = character.codePointAt(0)!;
    const legal =
      code === 9 ||
      code === 10 ||
      code === 13 ||
      (code >= 0x20 && code <= 0xd7ff) ||
      (code >= 0xe000 && code <= 0xfffd) ||
      code >= 0x10000;
    if (!legal) throw new Error(`character U+${code.toString(16)} is not allowed`);
  }
  let at = 0;
  const fail = (what: string): never => {
    throw new Error(`${what} at ${at}: ${source.slice(at, at + 40)}`);
  };
  const expectText = (text: string): void => {
    if (!source.startsWith(text, at)) fail(`expected ${text}`);
    at += text.length;
  };
  const space = (): boolean => {
    const from = at;
    while (at < source.length && " \t\r\n".includes(source[at]!)) at++;
    return at > from;
  };
  const name = (): string => {
    const from = at;
    while (at < source.length && isNameCharacter(source[at]!, at === from)) at++;
    if (at === from) fail("expected a name");
    return source.slice(from, at);
  };
  const reference = (): string => {
    expectText("&");
    const end = source.indexOf(";", at);
    if (end < 0) fail("reference without end");
    const body = source.slice(at, end);
    at = end + 1;
    const named: Record<string, string> = { amp: "&", lt: "<", gt: ">", quot: '"', apos: "'" };
    if (Object.hasOwn(named, body)) return named[body]!;
    if (body.startsWith("#x")) return String.fromCodePoint(Number.parseInt(body.slice(2), 16));
    if (body.startsWith("#")) return String.fromCodePoint(Number.parseInt(body.slice(1), 10));
    return fail(`unknown entity ${body}`);
  };
  const element = (): XmlElement => {
    expectText("<");
    const tag = name();
    const attributes: Record<string, string> = {};
    for (;;) {
      const spaced = space();
      if (source.startsWith("/>", at)) {
        at += 2;
        return { name: tag, attributes, children: [], text: "" };
      }
      if (source.startsWith(">", at)) {
        at++;
        break;
      }
      if (!spaced) fail("expected a space");
      const key = name();
      if (Object.hasOwn(attributes, key)) fail(`attribute ${key} twice`);
      expectText("=");
      expectText('"');
      let value = "";
      while (source[at] !== '"') {
        if (at >= source.length || source[at] === "<") fail("bad attribute value");
        value += source[at] === "&" ? reference() : source[at++]!;
      }
      at++;
      attributes[key] = value;
    }
    const children: XmlElement[] = [];
    let text = "";
    for (;;) {
      if (at >= source.length) fail(`<${tag}> is not closed`);
      if (source.startsWith("</", at)) {
        at += 2;
        if (name() !== tag) fail(`<${tag}> closed by another name`);
        space();
        expectText(">");
        return { name: tag, attributes, children, text };
      }
      if (source[at] === "<") children.push(element());
      else if (source[at] === "&") text += reference();
      else if (source.startsWith("]]>", at)) fail("]]> in text");
      else text += source[at++]!;
    }
  };
  const root = element();
  space();
  if (at !== source.length) fail("something after the end");
  return root;
}

function isNameCharacter(character: string, first: boolean): boolean {
  const letter = (character >= "a" && character <= "z") || (character >= "A" && character <= "Z") || character === "_";
  return letter || (!first && ((character >= "0" && character <= "9") || character === "-" || character === ":"));
}

/** All elements below and including one, in document order. */
export function allElements(root: XmlElement): XmlElement[] {
  return [root, ...root.children.flatMap(allElements)];
}

/** The one element of a class. */
export function byClass(root: XmlElement, name: string): XmlElement {
  const found = allElements(root).filter((element) => element.attributes["class"] === name);
  if (found.length !== 1) throw new Error(`${found.length} elements of class ${name}`);
  return found[0]!;
}

/** Absolute corners of path data made of M, l and z, in drawing units; one list a subpath. */
export function pathPoints(d: string): [number, number][][] {
  const out: [number, number][][] = [];
  let last: [number, number] = [0, 0];
  for (const part of d.match(/[Mlz][^Mlz]*/g) ?? []) {
    const numbers = (part.match(/-?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?/g) ?? []).map(Number);
    if (part.startsWith("M")) {
      last = [numbers[0]!, numbers[1]!];
      out.push([last]);
    } else if (part.startsWith("l")) {
      for (let i = 0; i + 1 < numbers.length; i += 2) {
        last = [last[0] + numbers[i]!, last[1] + numbers[i + 1]!];
        out.at(-1)!.push(last);
      }
    }
  }
  return out;
}
