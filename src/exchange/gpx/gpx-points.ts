import { gpx } from "@tmcw/togeojson";
import { FeatureDocument } from "../feature-document.js";
import { xmlError, type XmlPlace } from "../scan-xml.js";

/** Positions that are converted at once: a document of so few is swept while it is young, which takes a fifth less time than one of thousands. */
const PIECE = 256;

/** A point as the document writes it, checked. */
export interface GpxPoint {
  readonly lon: string;
  readonly lat: string;
  readonly ele: string | undefined;
}

/**
 * Converts points by `@tmcw/togeojson`, a piece at a time, and holds the result against what was read. It passes over points that
 * it can't read, and segments of one point.
 */
export class GpxPoints {
  /** longitude, latitude, altitude where there is one */
  readonly coordinates: number[][] = [];
  /** s of each, null where it has none */
  readonly times: (number | null)[] = [];
  readonly place: XmlPlace;
  #piece: GpxPoint[] = [];
  /** points at the piece's beginning that were converted before */
  #done = 0;

  constructor(place: XmlPlace) {
    this.place = place;
  }

  add(point: GpxPoint, time: number | null): void {
    this.#piece.push(point);
    this.times.push(time);
    if (this.#piece.length === PIECE) this.#convert();
  }

  /** Convert what is left; a lone point stays unconverted. */
  finish(): void {
    if (this.#piece.length > 1) this.#convert();
  }

  #convert(): void {
    const piece = this.#piece;
    const source = new FeatureDocument("gpx").open("trk").open("trkseg");
    for (const point of piece) write(source, "trkpt", point).close();
    const geometry = gpx(source.document).features[0]?.geometry;
    const read = geometry?.type === "LineString" ? geometry.coordinates : [];
    if (read.length !== piece.length) throw lost(this.place);
    for (let i = this.#done; i < read.length; i++) {
      if (!isSame(read[i]!, piece[i]!)) throw lost(this.place);
      this.coordinates.push(read[i]!);
    }
    // a lone point is no line, so the last one goes along with the next piece
    this.#piece = [piece[piece.length - 1]!];
    this.#done = 1;
  }
}

/** The attributes of a route or track, of elements that hold a text. */
export function convertTexts(texts: ReadonlyMap<string, string>, place: XmlPlace): Record<string, unknown> {
  const [, properties] = convertWaypoint({ lon: "0", lat: "0", ele: undefined }, texts, place);
  return properties;
}

/** A way point: its place and its attributes. */
export function convertWaypoint(
  point: GpxPoint,
  texts: ReadonlyMap<string, string>,
  place: XmlPlace,
): [coordinates: number[], properties: Record<string, unknown>] {
  const source = write(new FeatureDocument("gpx"), "wpt", point);
  for (const [name, text] of texts) source.leaf(name, text);
  const [feature] = gpx(source.document).features;
  if (feature?.geometry.type !== "Point" || !isSame(feature.geometry.coordinates, point)) throw lost(place);
  return [feature.geometry.coordinates, { ...feature.properties }];
}

function write(source: FeatureDocument, name: string, { lon, lat, ele }: GpxPoint): FeatureDocument {
  source.open(name, { lat, lon });
  return ele === undefined ? source : source.leaf("ele", ele);
}

function isSame(position: readonly number[], { lon, lat, ele }: GpxPoint): boolean {
  const altitude = ele === undefined ? undefined : Number(ele);
  return position[0] === Number(lon) && position[1] === Number(lat) && position[2] === altitude;
}

function lost(place: XmlPlace): Error {
  return xmlError(place, "what stands here could not be converted");
}
