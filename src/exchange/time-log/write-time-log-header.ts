import { escapeXml, plainNumber } from "../xml-text.js";
import { checkHeader } from "./check-header.js";
import type { InRecordOr, TimeLogChannel, TimeLogHeader, TimeLogPosition } from "./time-log-header.js";

/** Attribute of PTN, name here, file's units in one of ours, decimals in the file. */
const POSITION: readonly (readonly [
  attribute: string,
  name: keyof TimeLogPosition,
  scale: number,
  decimals: number,
])[] = [
  ["A", "latitude", 1, 9],
  ["B", "longitude", 1, 9],
  ["C", "altitude", 1000, 0],
  ["D", "status", 1, 0],
  ["E", "pdop", 1, 1],
  ["F", "hdop", 1, 1],
  ["G", "satellites", 1, 0],
  ["H", "utcTimeOfDay", 1000, 0],
  ["I", "utcDay", 1, 0],
];

/**
 * Write the header file of a time log, TLGxxxxx.XML, as version 4 has it.
 *
 * Numbers that hold for all records are rounded to what the format has: 1e-9 degrees, 1 mm, 1 ms, 0.1 of a dilution.
 *
 * @param header - what records have and what they are about; `ignored` is left out
 * @returns text for a file in UTF-8, lines ended by a line feed
 * @throws `FeeringError` `out-of-range`, `not-finite` or `too-large` with the path in the header
 */
export function writeTimeLogHeader(header: TimeLogHeader): string {
  const { start, type, position, channels } = checkHeader(header);
  const lines = ['<?xml version="1.0" encoding="UTF-8"?>'];
  lines.push(`<TIM A="${start === "record" ? "" : escapeXml(start, "header.start")}" D="${type}">`);
  if (position !== null) lines.push(`  <PTN${positionAttributes(position)}/>`);
  channels.forEach((channel, i) => lines.push(`  <DLV${channelAttributes(channel, i)}/>`));
  lines.push("</TIM>", "");
  return lines.join("\n");
}

function positionAttributes(position: TimeLogPosition): string {
  let text = "";
  for (const [attribute, name, scale, decimals] of POSITION) {
    const value: InRecordOr<number> | undefined = position[name];
    if (value === undefined) continue;
    text += ` ${attribute}="${value === "record" ? "" : plainNumber(value * scale, decimals)}"`;
  }
  return text;
}

function channelAttributes(channel: TimeLogChannel, i: number): string {
  const { ddi, element, value, pgn, startBit, stopBit } = channel;
  const code = ddi.toString(16).toUpperCase().padStart(4, "0");
  let text = ` A="${code}" B="${value === "record" ? "" : value}"`;
  text += ` C="${escapeXml(element, `header.channels[${i}].element`)}"`;
  if (pgn !== undefined) text += ` D="${pgn}"`;
  if (startBit !== undefined) text += ` E="${startBit}"`;
  if (stopBit !== undefined) text += ` F="${stopBit}"`;
  return text;
}
