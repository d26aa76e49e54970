import { requireNumber, requireObject } from "../../errors/index.js";
import type { PassedOver } from "../feature-document.js";
import type { GeoData } from "../geo-data.js";
import { scanXml } from "../scan-xml.js";
import { GpxReader } from "./gpx-reader.js";

/** Caps of {@link readGpx}. */
export interface ReadGpxOptions {
  /** longest document that is read, UTF-16 units of a text or bytes; default 256 million */
  readonly maximumLength?: number;
  /** most positions that are read; default 5 million */
  readonly maximumPositions?: number;
}

/** What {@link readGpx} gives. */
export interface GpxData extends GeoData {
  /** elements that were not taken over, by name, such as `sat of trkpt`, `extensions of trk` or `trkseg of 1 points` */
  readonly passedOver: readonly PassedOver[];
}

/**
 * Read a GPX document (1.1, or 1.0): lines and points with their attributes.
 *
 * | in the document | in the result |
 * |---|---|
 * | each trkseg of a trk | one of `lines`, with the track's attributes |
 * | rte | one of `lines`, with a property `gpx` of `rte` |
 * | wpt | one of `points` |
 * | time of trkpt, rtept | property `times` of the line: s since 1970 UTC for each position, null where there is none; left out where none has one |
 * | time of wpt | property `time`, s since 1970 UTC |
 * | name, cmt, desc, type, sym, link | properties of these names; `links`, a list of `{ href, text, type }` |
 * | anything else: metadata, extensions, satellites and the like; segments of fewer than two points | counted in `passedOver` |
 *
 * There are no surfaces in GPX, so `fields` is empty: a boundary is a closed line. Heights (`ele`) are handed on as they stand; GPX does
 * not say what they are measured from, mostly it is sea level. Longitudes come back in -180 to 180.
 *
 * The document is parsed by `saxes`, checked, and converted by `@tmcw/togeojson` a piece at a time.
 *
 * @param input - the text, or its bytes (UTF-8, UTF-16, ISO 8859-1)
 * @param options - caps
 * @returns lines and points in the order of the document
 * @throws `FeeringError` `bad-format` with line and column in the message and as `argument`: XML that is not well-formed or ends early, a
 * document type declaration, more than 64 levels, a root other than `gpx`, a point without latitude and longitude or out of range, a height
 * or a time that is none; `too-large` beyond a cap
 * @see GPX 1.1 Schema Documentation
 * @example
 * ```ts
 * const { lines } = readGpx(bytes);
 * const boundary = toLocalLine(frame, lines[0]!.positions);
 * ```
 */
export function readGpx(input: string | Uint8Array, options: ReadGpxOptions = {}): GpxData {
  requireObject(options, "options");
  const maximumLength = requireNumber(options.maximumLength ?? 256e6, "options.maximumLength", { min: 0 });
  const maximumPositions = requireNumber(options.maximumPositions ?? 5e6, "options.maximumPositions", { min: 0 });
  let reader: GpxReader | undefined;
  scanXml(input, maximumLength, (scan) => {
    reader = new GpxReader(scan, maximumPositions);
    return reader;
  });
  return reader!.data();
}
