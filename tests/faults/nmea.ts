import { type Fix, NmeaReader } from "../../src/receiver/index.js";
import { angleText, bytesOf, sentence } from "../receiver/sentences.js";
import type { Item } from "./drive.js";

const DAY = 86_400;
const KNOT = 1852 / 3600;

/** Bytes that come in together. */
export interface Piece {
  readonly at: number;
  readonly bytes: Uint8Array;
  readonly place: number;
}

/** What a receiver writes of a fix: GGA, RMC, GST. `leap`: Unix time of a midnight after which UTC had 23:59:60. */
export function textOf(fix: Fix, leap: number = Number.POSITIVE_INFINITY, talker: string = "GN"): string {
  // the true time runs on through the leap second, the clock on the wall shows it as second 60
  const late = fix.time >= leap + 1;
  const during = fix.time >= leap && !late;
  const wall = late ? fix.time - 1 : during ? leap - 1 : fix.time;
  const hundredths = Math.round((wall - Math.floor(wall / DAY) * DAY) * 100);
  const h = during ? DAY * 100 - 100 : hundredths;
  const seconds = ((h / 100) % 60) + (during ? 1 + (fix.time - leap) : 0);
  const two = (n: number): string => String(n).padStart(2, "0");
  const clock = `${two(Math.floor(h / 360_000))}${two(Math.floor(h / 6000) % 60)}${seconds.toFixed(2).padStart(5, "0")}`;
  const date = new Date(wall * 1000);
  const day = `${two(date.getUTCDate())}${two(date.getUTCMonth() + 1)}${two(date.getUTCFullYear() % 100)}`;
  const { latitude, longitude } = fix;
  const where = `${angleText(latitude, 2)},${latitude < 0 ? "S" : "N"},${angleText(longitude, 3)},${longitude < 0 ? "W" : "E"}`;
  const knots = ((fix.speed ?? 0) / KNOT).toFixed(3);
  return [
    `GGA,${clock},${where},${fix.quality},16,0.6,${((fix.altitude ?? 100) - 43.3).toFixed(2)},M,43.3,M,${(fix.correctionAge ?? 1).toFixed(1)},0001`,
    `RMC,${clock},A,${where},${knots},${(fix.course ?? 0).toFixed(2)},${day},,,${"NADPRFEMS"[fix.quality]}`,
    `GST,${clock},,,,,0.014,0.014,0.019`,
  ]
    .map((body) => sentence(talker + body))
    .join("");
}

/** A drive as bytes, one piece an epoch. */
export function toPieces(items: readonly Item[], leap?: number): Piece[] {
  return items.map(({ at, fix, place }) => ({ at, bytes: bytesOf(textOf(fix, leap)), place }));
}

/** The fixes that a reader makes of bytes; each comes in with the piece that completes it. */
export function toItems(pieces: readonly Piece[]): Item[] {
  const reader = new NmeaReader();
  const items: Item[] = [];
  for (const { at, bytes, place } of pieces) {
    for (const fix of reader.push(bytes)) items.push({ at, fix, place });
  }
  return items;
}
