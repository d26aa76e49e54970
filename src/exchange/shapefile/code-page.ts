import { FeeringError } from "../../errors/index.js";
import { byteDecoder } from "./byte-pages.js";
import { refused } from "./shapefile-error.js";

/** An encoding of texts: its name and what turns bytes into text, throwing where they are none. */
export interface CodePage {
  readonly name: string;
  readonly decode: (bytes: Uint8Array) => string;
}

/**
 * The encoding of a table: the option, else the `.cpg` file, else the language driver byte of the table's header. Where none of
 * them says anything: UTF-8, as ASCII letters are the same in all, and the error of what is no UTF-8 names the option.
 *
 * @param option - `options.encoding`
 * @param cpg - the `.cpg` file
 * @param driver - byte 29 of the table
 * @param file - for messages
 */
export function codePageOf(
  option: string | undefined,
  cpg: Uint8Array | string | undefined,
  driver: number,
  file: string,
): CodePage {
  if (option !== undefined) {
    const page = typeof option === "string" ? pageOf(option) : undefined;
    if (page !== undefined) return page;
    throw new FeeringError("out-of-range", `options.encoding ${JSON.stringify(option)} is no encoding that is known`, {
      argument: "options.encoding",
      value: option,
    });
  }
  const text = typeof cpg === "string" ? cpg : cpg === undefined ? "" : new TextDecoder("windows-1252").decode(cpg);
  const said = text.slice(0, 100).replaceAll("\0", "").replace("\ufeff", "").trim();
  if (said !== "") {
    const byDriver = /^LDID\/(\d{1,3})$/i.exec(said);
    const page = byDriver === null ? pageOf(said) : pageOfDriver(Number(byDriver[1]));
    if (page !== undefined) return page;
    throw refused(file, `its .cpg file names the encoding ${JSON.stringify(said)}, not known: say options.encoding`);
  }
  if (driver === 0) {
    const hint = `${file}: nothing names its encoding, and it is no UTF-8: say options.encoding, such as "windows-1252"`;
    return { ...pageOf("utf-8")!, decode: hinting(hint) };
  }
  const page = pageOfDriver(driver);
  // letters of ASCII are the same in all of these: only a text that has others needs to know
  return (
    page ?? {
      name: "us-ascii",
      decode: () => {
        throw refused(file, `its language driver 0x${driver.toString(16)} is not known: say options.encoding`);
      },
    }
  );
}

function hinting(hint: string): (bytes: Uint8Array) => string {
  const decoder = new TextDecoder("utf-8", { fatal: true, ignoreBOM: true });
  return (bytes) => {
    try {
      return decoder.decode(bytes);
    } catch (cause) {
      throw new FeeringError("bad-format", hint, { argument: "options.encoding", cause });
    }
  };
}

/** An encoding by any of the names in use: `UTF-8`, `65001`, `1252`, `ANSI 1252`, `CP1252`, `ISO 8859-1`, `88591`, `OEM 850`. */
function pageOf(name: string): CodePage | undefined {
  const plain = name.trim().toLowerCase().replaceAll("_", "-");
  const number = /^(?:(?:ansi|oem|cp|ibm|ms|windows|x-cp|dos)[ -]?)?(\d{2,5})$/.exec(plain)?.[1];
  if (number !== undefined) return decoderOf(labelOf(number));
  const iso = /^iso[ -]?8859[ -]?(\d{1,2})$/.exec(plain)?.[1];
  return decoderOf(iso === undefined ? (ALIASES.get(plain) ?? plain) : `iso-8859-${iso}`);
}

const ALIASES: ReadonlyMap<string, string> = new Map([
  ["utf 8", "utf-8"],
  ["ansi", "windows-1252"],
  ["system", "windows-1252"],
  ["big 5", "big5"],
]);

/** Code pages of Windows and DOS by number, and those of ISO 8859 as `88591`. */
function labelOf(number: string): string {
  if (number === "65001") return "utf-8";
  if (/^125[0-8]$/.test(number)) return `windows-${number}`;
  if (/^8859\d{1,2}$/.test(number)) return `iso-8859-${number.slice(4)}`;
  return NUMBERED.get(number) ?? `ibm${number}`;
}

const NUMBERED: ReadonlyMap<string, string> = new Map([
  ["866", "ibm866"],
  ["874", "windows-874"],
  ["932", "shift_jis"],
  ["936", "gbk"],
  ["949", "euc-kr"],
  ["950", "big5"],
  ["10000", "macintosh"],
  ["10007", "x-mac-cyrillic"],
  ["20866", "koi8-r"],
  ["28591", "iso-8859-1"],
  ["28592", "iso-8859-2"],
  ["54936", "gb18030"],
]);

function decoderOf(label: string): CodePage | undefined {
  try {
    const own = byteDecoder(label);
    if (own !== undefined) return { name: label, decode: own };
    const decoder = new TextDecoder(label, { fatal: true, ignoreBOM: true });
    // ISO 8859-1 and other names of it are windows-1252 by the Encoding Standard
    const same = byteDecoder(decoder.encoding);
    if (same !== undefined) return { name: decoder.encoding, decode: same };
    // bytes of two to a character can't be told apart into cells of a table
    if (decoder.encoding.startsWith("utf-16")) return undefined;
    return { name: decoder.encoding, decode: (bytes) => decoder.decode(bytes) };
  } catch {
    return undefined;
  }
}

function pageOfDriver(driver: number): CodePage | undefined {
  const number = DRIVERS.get(driver);
  return number === undefined ? undefined : decoderOf(labelOf(number));
}

/** Language drivers of dBASE and FoxPro and their code pages; from memory, held against GDAL's in the tests. */
const DRIVERS: ReadonlyMap<number, string> = new Map(
  (
    [
      ["437", [0x01, 0x09, 0x0b, 0x0d, 0x0f, 0x11, 0x15, 0x18, 0x19, 0x1b]],
      ["850", [0x02, 0x0a, 0x0e, 0x10, 0x12, 0x14, 0x16, 0x1a, 0x1d, 0x25, 0x37]],
      ["852", [0x1f, 0x22, 0x23, 0x40, 0x64, 0x87]],
      ["865", [0x08, 0x17, 0x66]],
      ["866", [0x26, 0x65]],
      ["874", [0x50, 0x7c]],
      ["932", [0x13, 0x7b]],
      ["936", [0x4d, 0x7a]],
      ["949", [0x4e, 0x79]],
      ["950", [0x4f, 0x78]],
      ["1250", [0xc8]],
      ["1251", [0xc9]],
      ["1252", [0x03, 0x57, 0x58, 0x59]],
      ["1253", [0xcb]],
      ["1254", [0xca]],
      ["1255", [0x7d]],
      ["1256", [0x7e]],
      ["1257", [0xcc]],
      ["10000", [0x04]],
    ] as const
  ).flatMap(([number, drivers]) => drivers.map((driver) => [driver, number] as const)),
);
