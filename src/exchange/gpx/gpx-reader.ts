import { FeeringError } from "../../errors/index.js";
import { unixTime } from "../date-time.js";
import { decimal } from "../decimal.js";
import type { GeoData } from "../geo-data.js";
import { readGeoJson } from "../geojson/read-geojson.js";
import { KnownElements, type KnownNames } from "../known-elements.js";
import type { Scan, ScanHandler, ScannedElement, XmlPlace } from "../scan-xml.js";
import { xmlError } from "../scan-xml.js";
import { convertTexts, convertWaypoint, type GpxPoint, GpxPoints } from "./gpx-points.js";
import type { GpxData } from "./read-gpx.js";

const TEXTS = ["name", "cmt", "desc", "type"] as const;

/** Which elements are read inside of which. Of the elements alone that are listed a text is taken. */
const CHILDREN: ReadonlyMap<string, ReadonlySet<string>> = new Map(
  Object.entries({
    "": ["gpx"],
    gpx: ["wpt", "rte", "trk"],
    wpt: [...TEXTS, "sym", "ele", "time", "link"],
    rte: [...TEXTS, "rtept", "link"],
    trk: [...TEXTS, "trkseg", "link"],
    trkseg: ["trkpt"],
    rtept: ["ele", "time"],
    trkpt: ["ele", "time"],
    link: ["text", "type"],
  }).map(([parent, names]) => [parent, new Set<string>(names)]),
);

const KNOWN: KnownNames = { root: "gpx", namespace: /\/GPX\/1\/[01]$/, children: CHILDREN };

/** A way point, route or track under way. */
interface Feature {
  readonly kind: "wpt" | "rte" | "trk";
  readonly place: XmlPlace;
  readonly texts: Map<string, string>;
  readonly links: Record<string, string>[];
  readonly segments: GpxPoints[];
}

/** Takes the elements of one document. */
export class GpxReader implements ScanHandler {
  readonly #elements: KnownElements;
  readonly #maximum: number;
  readonly #data: { [K in "fields" | "lines" | "points"]: GeoData[K][number][] } = {
    fields: [],
    lines: [],
    points: [],
  };
  #count = 0;
  #feature: Feature | undefined;
  #point: GpxPoint | undefined;
  #ele: string | undefined;
  #time: number | null = null;
  #link: Record<string, string> = {};

  constructor(scan: Scan, maximumPositions: number) {
    this.#elements = new KnownElements(scan, KNOWN);
    this.#maximum = maximumPositions;
  }

  data(): GpxData {
    return { ...this.#data, withoutGeometry: 0, passedOver: this.#elements.passedOver.list() };
  }

  open(element: ScannedElement): void {
    // hot: once an element
    const open = this.#elements.open(element, (name, parent) => (parent === "gpx" ? name : `${name} of ${parent}`));
    if (open === undefined) return;
    const { name, place } = open;
    if (name === "wpt" || name === "rte" || name === "trk") {
      this.#feature = { kind: name, place, texts: new Map(), links: [], segments: [] };
      if (name === "rte") this.#feature.segments.push(new GpxPoints(place));
    } else if (name === "trkseg") this.#feature!.segments.push(new GpxPoints(place));
    else if (name === "link") this.#link = { href: element.attribute("href") ?? "" };
    if (name === "wpt" || name === "rtept" || name === "trkpt") this.#point = this.#place(element, name, place);
  }

  text(text: string): void {
    this.#elements.text(text);
  }

  close(): void {
    const closed = this.#elements.close();
    if (closed === undefined) return;
    const { name, place, text } = closed;
    if (text !== null) this.#leaf(name, text, place);
    else if (name === "trkpt" || name === "rtept") {
      this.#feature!.segments.at(-1)!.add({ ...this.#point!, ele: this.#ele }, this.#time);
    } else if (name === "link") this.#feature!.links.push(this.#link);
    else if (name === "trkseg") this.#feature!.segments.at(-1)!.finish();
    else if (name === "wpt") this.#waypoint(this.#feature!);
    else if (name === "rte" || name === "trk") this.#line(this.#feature!);
  }

  #place(element: ScannedElement, name: string, place: XmlPlace): GpxPoint {
    if (++this.#count > this.#maximum) {
      throw new FeeringError("too-large", `more than ${this.#maximum} positions (options.maximumPositions)`, {
        argument: "input",
        value: this.#count,
      });
    }
    this.#ele = undefined;
    this.#time = null;
    const lon = element.attribute("lon")?.trim() ?? "";
    const lat = element.attribute("lat")?.trim() ?? "";
    // written so that NaN fails too
    if (!(Math.abs(decimal(lat)) <= 90)) {
      throw xmlError(place, `lat of ${name} is ${JSON.stringify(lat.slice(0, 40))}, needs -90 to 90 degrees`);
    }
    if (!(Math.abs(decimal(lon)) <= 360)) {
      throw xmlError(place, `lon of ${name} is ${JSON.stringify(lon.slice(0, 40))}, needs -180 to 180 degrees`);
    }
    return { lon, lat, ele: undefined };
  }

  #leaf(name: string, text: string, place: XmlPlace): void {
    const parent = this.#elements.parent;
    if (parent === "link") this.#link[name] = text;
    else if (name === "ele") {
      const trimmed = text.trim();
      if (Number.isNaN(decimal(trimmed))) {
        throw xmlError(place, `ele is ${JSON.stringify(text.slice(0, 40))}, needs a height in metres`);
      }
      this.#ele = trimmed;
    } else if (name === "time") {
      const seconds = unixTime(text.trim());
      if (Number.isNaN(seconds)) throw xmlError(place, `${JSON.stringify(text.slice(0, 40))} is no date and time`);
      this.#time = seconds;
    } else if (this.#feature!.texts.has(name))
      this.#elements.passedOver.add(`${name} of ${parent}, a second one`, place.line);
    else this.#feature!.texts.set(name, text);
  }

  #waypoint({ texts, links, place }: Feature): void {
    const [coordinates, properties] = convertWaypoint({ ...this.#point!, ele: this.#ele }, texts, place);
    const time = this.#time === null ? {} : { time: this.#time };
    this.#take({ type: "Point", coordinates }, { ...properties, ...linksOf(links), ...time });
  }

  #line({ kind, texts, links, segments, place }: Feature): void {
    const properties = { ...convertTexts(texts, place), ...linksOf(links), ...(kind === "rte" ? { gpx: "rte" } : {}) };
    for (const segment of segments) {
      segment.finish();
      const { coordinates, times } = segment;
      if (coordinates.length === 0) {
        const what = kind === "rte" ? "rte" : "trkseg";
        this.#elements.passedOver.add(`${what} of ${times.length} points`, segment.place.line);
        continue;
      }
      this.#take({ type: "LineString", coordinates }, properties, times);
    }
    if (segments.length === 0) this.#elements.passedOver.add("trk without trkseg", place.line);
  }

  #take(geometry: object, properties: object, times: readonly (number | null)[] = []): void {
    const { lines, points } = readGeoJson(
      { type: "Feature", properties, geometry },
      { maximumPositions: Number.MAX_SAFE_INTEGER },
    );
    const known = times.some((time) => time !== null);
    for (const line of lines) {
      this.#data.lines.push(known ? { ...line, properties: { ...line.properties, times } } : line);
    }
    this.#data.points.push(...points);
  }
}

function linksOf(links: readonly Record<string, string>[]): { links?: readonly Record<string, string>[] } {
  return links.length === 0 ? {} : { links };
}
