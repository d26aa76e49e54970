import { requireNumber, requireObject } from "../../errors/index.js";
import type { PassedOver } from "../feature-document.js";
import type { GeoData } from "../geo-data.js";
import { scanXml } from "../scan-xml.js";
import { KmlReader } from "./kml-reader.js";
import { isZip } from "../shapefile/zip-archive.js";
import { kmlOfZip } from "./kmz.js";

/** Caps of {@link readKml}. */
export interface ReadKmlOptions {
  /** longest document that is read, UTF-16 units of a text or bytes, unpacked; default 256 million */
  readonly maximumLength?: number;
  /** most positions that are read; default 5 million */
  readonly maximumPositions?: number;
}

/** What {@link readKml} gives. */
export interface KmlData extends GeoData {
  /** name of the document, where it has one */
  readonly name?: string;
  /** elements that were not taken over, by name: styles, views, links to other documents; none of them is followed */
  readonly passedOver: readonly PassedOver[];
}

/**
 * Read a KML document (OGC 12-007r2; 2.0 to 2.3), or a KMZ archive with one: fields, lines and points with their attributes.
 *
 * | in the document | in the result |
 * |---|---|
 * | the Polygons of one Placemark, with inner boundaries | one of `fields`, a part each |
 * | LineString, LinearRing | one of `lines` |
 * | Track, each Track of a MultiTrack | one of `lines`, with a property `times`: s since 1970 UTC for each position, null where unknown; a track of one position is a point |
 * | Point | one of `points` |
 * | a Placemark without a shape, or with empty coordinates only | counted in `withoutGeometry` |
 * | `name`, `description`, `address`, `phoneNumber`, `open`, `styleUrl`, `visibility` | properties |
 * | TimeStamp, TimeSpan | properties `time`, `begin`, `end`, s since 1970 UTC |
 * | ExtendedData: Data, SimpleData | properties; SimpleData as its Schema says (number, truth value), Data as text |
 * | names of folders | property `folder`, joined by ` / ` |
 * | anything else: NetworkLink, overlays, Model, Style, views | counted in `passedOver`; nothing is fetched |
 *
 * Altitudes are handed on as they stand. KML measures them from the ground or from sea level (EGM96), as the property `altitudeMode`
 * says, not from the ellipsoid; without that property they play no part (`clampToGround`). Rings come back closed and wound, longitudes
 * in -180 to 180, as from `readGeoJson`.
 *
 * The document is parsed by `saxes`, checked, and converted by `@tmcw/togeojson` a placemark at a time. After the published standard; the
 * `gx:` elements (Track before KML 2.3) after public documentation.
 *
 * @param input - the text, its bytes (UTF-8, UTF-16, ISO 8859-1), or the bytes of a KMZ archive
 * @param options - caps
 * @returns fields, lines and points in the order of the document; the surfaces of a placemark before its other shapes
 * @throws `FeeringError` `bad-format` with line and column in the message and as `argument`: XML that is not well-formed or ends early, a
 * document type declaration, more than 64 levels, a root other than `kml`, coordinates that are no numbers or out of range, a ring of fewer
 * than three distinct positions, a line of one; `too-large` beyond a cap
 * @example
 * ```ts
 * const { fields, passedOver } = readKml(bytes);
 * ```
 */
export function readKml(input: string | Uint8Array, options: ReadKmlOptions = {}): KmlData {
  requireObject(options, "options");
  const maximumLength = requireNumber(options.maximumLength ?? 256e6, "options.maximumLength", { min: 0 });
  const maximumPositions = requireNumber(options.maximumPositions ?? 5e6, "options.maximumPositions", { min: 0 });
  const archive = input instanceof Uint8Array && isZip(input) ? kmlOfZip(input, maximumLength) : undefined;
  let reader: KmlReader | undefined;
  scanXml(archive?.document ?? input, maximumLength, (scan) => {
    reader = new KmlReader(scan, maximumPositions);
    return reader;
  });
  const data = reader!.data();
  if (archive === undefined || archive.others === 0) return data;
  return {
    ...data,
    passedOver: [...data.passedOver, { element: "other KML documents in the archive", count: archive.others, line: 0 }],
  };
}
