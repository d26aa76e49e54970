import { FeeringError } from "../../errors/index.js";
import { unpackEntry, zipEntries } from "../shapefile/zip-archive.js";

/**
 * The KML document of a KMZ archive: `doc.kml`, else the first in the archive's directory whose name ends in `.kml` (OGC 12-007r2, annex C).
 * Names are looked at, never used as paths.
 *
 * @throws `FeeringError` `bad-format` for a damaged archive, or one without a document; `too-large` for a document above `maximum`, or
 * one that is packed too tightly to be true
 */
export function kmlOfZip(bytes: Uint8Array, maximum: number): { document: Uint8Array; others: number } {
  const found = zipEntries(bytes).filter(({ name }) => name.toLowerCase().endsWith(".kml"));
  const entry = found.find(({ name }) => name.toLowerCase() === "doc.kml") ?? found[0];
  if (entry === undefined) {
    throw new FeeringError("bad-format", "the archive holds no document whose name ends in .kml", {
      argument: "input",
    });
  }
  if (entry.size > maximum) {
    throw new FeeringError(
      "too-large",
      `the document in the archive has ${entry.size} bytes, at most ${maximum} are read (options.maximumLength)`,
      { argument: "input", value: entry.size },
    );
  }
  return { document: unpackEntry(bytes, entry), others: found.length - 1 };
}
