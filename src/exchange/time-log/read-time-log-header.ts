import { FeeringError } from "../../errors/index.js";
import { decimal } from "../decimal.js";
import { scanXml, type ScannedElement, xmlError, type XmlPlace } from "../scan-xml.js";
import { POSITION_RANGES } from "./check-header.js";
import { localTime } from "./record-layout.js";
import {
  type InRecordOr,
  MOST_CHANNELS,
  type TimeLogChannel,
  type TimeLogHeader,
  type TimeLogPosition,
} from "./time-log-header.js";

/** Most characters of a header file: 255 values of it have some 20 kB. */
const LONGEST = 1_000_000;
/** Most names of elements told as left out. */
const MOST_IGNORED = 100;

/** Attribute of PTN, name here, file's units in one of ours. */
const POSITION: readonly (readonly [attribute: string, name: keyof TimeLogPosition, scale: number])[] = [
  ["A", "latitude", 1],
  ["B", "longitude", 1],
  ["C", "altitude", 1000],
  ["D", "status", 1],
  ["E", "pdop", 1],
  ["F", "hdop", 1],
  ["G", "satellites", 1],
  ["H", "utcTimeOfDay", 1000],
  ["I", "utcDay", 1],
];

/**
 * Read the header file of a time log, TLGxxxxx.XML: an attribute that is empty stands in every record, one with a value holds for all of them,
 * one that is absent is nowhere.
 *
 * After public copies of the schema of ISO 11783-10 (secondary): the paid text was not read.
 *
 * @param input - the file as bytes or text
 * @returns the header
 * @throws `FeeringError` `bad-format` with line and column in the message and as `argument`; `too-large` for more than 1 000 000 characters
 */
export function readTimeLogHeader(input: string | Uint8Array): TimeLogHeader {
  let depth = 0;
  let root: Pick<TimeLogHeader, "start" | "type"> | undefined;
  let position: TimeLogPosition | null = null;
  const channels: TimeLogChannel[] = [];
  const ignored: string[] = [];
  scanXml(input, LONGEST, (scan) => ({
    open(element) {
      const place = scan.place;
      depth++;
      if (depth === 1) root = readTime(element, place);
      else if (depth === 2 && element.name === "PTN") {
        if (position !== null) throw xmlError(place, "a second PTN: a record has one position");
        position = readPosition(element, place);
      } else if (depth === 2 && element.name === "DLV") {
        if (channels.length === MOST_CHANNELS) throw xmlError(place, `more than ${MOST_CHANNELS} elements DLV`);
        channels.push(readChannel(element, place));
      } else if (ignored.length < MOST_IGNORED) ignored.push(element.name.slice(0, 100));
    },
    text() {
      // the header has no text of its own
    },
    close() {
      depth--;
    },
  }));
  if (root === undefined) throw new FeeringError("bad-format", "header has no element", { argument: "header" });
  return { ...root, position, channels, ...(ignored.length === 0 ? {} : { ignored }) };
}

function readTime(element: ScannedElement, place: XmlPlace): Pick<TimeLogHeader, "start" | "type"> {
  if (element.name !== "TIM") throw xmlError(place, `the header of a time log is a TIM, this is ${said(element.name)}`);
  const start = element.attribute("A");
  if (start === undefined) throw xmlError(place, "TIM has no attribute A (start)");
  if (start !== "" && Number.isNaN(localTime(start))) {
    throw xmlError(place, `attribute A (start) of TIM is ${said(start)}, needs a date and time, or nothing`);
  }
  const type = element.attribute("D") ?? "";
  return {
    start: start === "" ? "record" : start,
    // required, but of no meaning for the records
    type: type === "" ? 4 : number(type, "attribute D (type) of TIM", 0, 255, place),
  };
}

function readPosition(element: ScannedElement, place: XmlPlace): TimeLogPosition {
  const position: { -readonly [K in keyof TimeLogPosition]: TimeLogPosition[K] } = {};
  for (const [attribute, name, scale] of POSITION) {
    const text = element.attribute(attribute);
    if (text === undefined) continue;
    const [low, high] = POSITION_RANGES[name];
    const what = `attribute ${attribute} (${name}) of PTN`;
    position[name] = text === "" ? "record" : number(text, what, low * scale, high * scale, place) / scale;
  }
  return position;
}

function readChannel(element: ScannedElement, place: XmlPlace): TimeLogChannel {
  const ddi = element.attribute("A") ?? "";
  const code = hexadecimal(ddi);
  if (Number.isNaN(code)) {
    throw xmlError(place, `attribute A (DDI) of DLV is ${said(ddi)}, needs 1 to 4 hexadecimal digits`);
  }
  const value = element.attribute("B");
  if (value === undefined) throw xmlError(place, "DLV has no attribute B (value)");
  const name = element.attribute("C") ?? "";
  if (name === "" || name.length > 32) {
    throw xmlError(place, `attribute C (device element) of DLV is ${said(name)}, needs 1 to 32 characters`);
  }
  const whole = (attribute: string, low: number, high: number): InRecordOr<number> | undefined => {
    const text = element.attribute(attribute);
    if (text === undefined) return undefined;
    if (text === "") return "record";
    const found = number(text, `attribute ${attribute} of DLV`, low, high, place);
    if (Number.isInteger(found)) return found;
    throw xmlError(place, `attribute ${attribute} of DLV is ${said(text)}, needs a whole number`);
  };
  const pgn = whole("D", 0, 0x3_ffff);
  const startBit = whole("E", 0, 63);
  const stopBit = whole("F", 0, 63);
  return {
    ddi: code,
    element: name,
    value: whole("B", -0x8000_0000, 0x7fff_ffff) ?? "record",
    // records have no room for these: an empty one says nothing
    ...(typeof pgn === "number" ? { pgn } : {}),
    ...(typeof startBit === "number" ? { startBit } : {}),
    ...(typeof stopBit === "number" ? { stopBit } : {}),
  };
}

function number(text: string, what: string, low: number, high: number, place: XmlPlace): number {
  const value = decimal(text);
  if (value >= low && value <= high) return value;
  throw xmlError(place, `${what} is ${said(text)}, needs ${low} to ${high}`);
}

/** Up to four digits; `parseInt` would take what is behind them as well. */
function hexadecimal(text: string): number {
  if (text.length < 1 || text.length > 4) return Number.NaN;
  for (const c of text) if (!"0123456789abcdefABCDEF".includes(c)) return Number.NaN;
  return Number.parseInt(text, 16);
}

function said(text: string): string {
  return JSON.stringify(text.slice(0, 40));
}
