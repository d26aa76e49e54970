import { unixTime } from "../date-time.js";
import { decimal } from "../decimal.js";
import { PassedOverCounter } from "../feature-document.js";
import type { GeoField, GeoLine, GeoPoint } from "../geo-data.js";
import type { Scan, ScanHandler, ScannedElement, XmlPlace } from "../scan-xml.js";
import { xmlError } from "../scan-xml.js";
import { type Coordinates, CoordinateReader } from "./kml-coordinates.js";
import { convertPlacemark, type KmlShape } from "./kml-placemark.js";
import type { KmlData } from "./read-kml.js";

const SHAPES = ["Point", "LineString", "LinearRing", "Polygon", "MultiGeometry", "Track", "MultiTrack"] as const;
const TEXTS = ["name", "address", "phoneNumber", "description", "visibility", "open", "styleUrl"] as const;

/** Which elements are read inside of which. Of the elements alone that are listed a text is taken. */
const CHILDREN: ReadonlyMap<string, ReadonlySet<string>> = new Map(
  Object.entries({
    "": ["kml"],
    kml: ["Document", "Folder", "Placemark"],
    Document: ["Document", "Folder", "Placemark", "Schema", "name"],
    Folder: ["Document", "Folder", "Placemark", "name"],
    Schema: ["SimpleField"],
    Placemark: [...SHAPES, ...TEXTS, "TimeStamp", "TimeSpan", "ExtendedData"],
    TimeStamp: ["when"],
    TimeSpan: ["begin", "end"],
    ExtendedData: ["Data", "SchemaData"],
    Data: ["value"],
    SchemaData: ["SimpleData"],
    MultiGeometry: SHAPES,
    MultiTrack: ["Track"],
    Polygon: ["outerBoundaryIs", "innerBoundaryIs", "altitudeMode"],
    outerBoundaryIs: ["LinearRing"],
    innerBoundaryIs: ["LinearRing"],
    Point: ["coordinates", "altitudeMode"],
    LineString: ["coordinates", "altitudeMode"],
    LinearRing: ["coordinates", "altitudeMode"],
    Track: ["when", "coord", "altitudeMode"],
  }).map(([parent, names]) => [parent, new Set<string>(names)]),
);

const MODES: ReadonlySet<string> = new Set([
  "clampToGround",
  "relativeToGround",
  "absolute",
  "clampToSeaFloor",
  "relativeToSeaFloor",
]);

const NUMBERS: ReadonlySet<string> = new Set(["int", "uint", "short", "ushort", "float", "double"]);

/** Anything of KML: 2.0 to 2.3, its extensions, and documents without a namespace. */
const NAMESPACE = /\/kml\/(?:ext\/)?2\.\d$/;

interface Open {
  readonly name: string;
  readonly place: XmlPlace;
  /** text so far; null where none is taken */
  text: string | null;
}

interface Placemark {
  readonly place: XmlPlace;
  readonly id: string | undefined;
  readonly texts: Map<string, string>;
  readonly more: Record<string, unknown>;
  readonly shapes: KmlShape[];
}

/** A shape under way. */
interface Draft {
  readonly rings: Coordinates[];
  mode: string;
  outer: boolean;
  readonly whens: (number | null)[];
  readonly coords: number[];
  readonly tokens: string[];
  /** places of `coord` without a position */
  readonly missing: Set<number>;
  count: number;
}

/** Takes the elements of one document. */
export class KmlReader implements ScanHandler {
  readonly #scan: Scan;
  readonly #coordinates: CoordinateReader;
  readonly #passedOver = new PassedOverCounter();
  readonly #stack: Open[] = [];
  readonly #folders: (string | undefined)[] = [];
  readonly #schemas = new Map<string, Map<string, string>>();
  readonly #fields: GeoField[] = [];
  readonly #lines: GeoLine[] = [];
  readonly #points: GeoPoint[] = [];
  #withoutGeometry = 0;
  #name: string | undefined;
  #skipping = 0;
  #placemark: Placemark | undefined;
  #draft: Draft | undefined;
  #schema: Map<string, string> | undefined;
  #label = "";

  constructor(scan: Scan, maximumPositions: number) {
    this.#scan = scan;
    this.#coordinates = new CoordinateReader(maximumPositions);
  }

  data(): KmlData {
    return {
      fields: this.#fields,
      lines: this.#lines,
      points: this.#points,
      withoutGeometry: this.#withoutGeometry,
      ...(this.#name === undefined ? {} : { name: this.#name }),
      passedOver: this.#passedOver.list(),
    };
  }

  open(element: ScannedElement): void {
    if (this.#skipping > 0) {
      this.#skipping++;
      return;
    }
    const { name } = element;
    const place = this.#scan.place;
    const parent = this.#stack.at(-1)?.name ?? "";
    const known = element.uri === "" || (element.uri.length < 100 && NAMESPACE.test(element.uri));
    if (!known || CHILDREN.get(parent)?.has(name) !== true) {
      if (parent === "") throw xmlError(place, `the root is ${JSON.stringify(name.slice(0, 40))}, needs kml`);
      this.#passedOver.add(name, place.line);
      this.#skipping = 1;
      return;
    }
    this.#stack.push({ name, place, text: CHILDREN.has(name) ? null : "" });
    this.#begin(name, element, place, parent);
  }

  text(text: string): void {
    const top = this.#stack.at(-1);
    if (this.#skipping === 0 && top !== undefined && top.text !== null) top.text += text;
  }

  close(): void {
    if (this.#skipping > 0) {
      this.#skipping--;
      return;
    }
    const { name, place, text } = this.#stack.pop()!;
    const parent = this.#stack.at(-1)?.name ?? "";
    if (text !== null) this.#leaf(name, text, place, parent);
    else this.#end(name, place, parent);
  }

  #begin(name: string, element: ScannedElement, place: XmlPlace, parent: string): void {
    switch (name) {
      case "Folder":
      case "Document":
        this.#folders.push(undefined);
        break;
      case "Placemark":
        this.#placemark = { place, id: element.attribute("id"), texts: new Map(), more: bare(), shapes: [] };
        break;
      case "Schema": {
        const fields = new Map<string, string>();
        for (const key of ["id", "name"]) {
          const value = element.attribute(key);
          if (value !== undefined && !this.#schemas.has(value)) this.#schemas.set(value, fields);
        }
        this.#schema = fields;
        break;
      }
      case "SimpleField":
        this.#schema?.set(element.attribute("name") ?? "", element.attribute("type") ?? "string");
        break;
      case "SchemaData": {
        const url = element.attribute("schemaUrl") ?? "";
        this.#schema = this.#schemas.get(url.slice(url.indexOf("#") + 1));
        break;
      }
      case "Data":
      case "SimpleData":
        this.#label = element.attribute("name") ?? "";
        break;
      case "LinearRing":
        if (parent === "outerBoundaryIs" || parent === "innerBoundaryIs") break;
        this.#draft = draft();
        break;
      case "Point":
      case "LineString":
      case "Polygon":
      case "Track":
        this.#draft = draft();
        break;
    }
  }

  #end(name: string, place: XmlPlace, parent: string): void {
    switch (name) {
      case "Folder":
      case "Document":
        this.#folders.pop();
        break;
      case "Placemark":
        this.#finish(this.#placemark!);
        this.#placemark = undefined;
        break;
      case "Point":
      case "LineString":
      case "LinearRing":
        if (parent !== "outerBoundaryIs" && parent !== "innerBoundaryIs") this.#simple(name, place);
        break;
      case "Polygon":
        this.#polygon(place);
        break;
      case "Track":
        this.#track(place);
        break;
    }
  }

  #leaf(name: string, text: string, place: XmlPlace, parent: string): void {
    const draft = this.#draft;
    switch (parent) {
      case "Folder":
      case "Document":
        if (name === "name") this.#folders[this.#folders.length - 1] = parent === "Folder" ? text : undefined;
        if (name === "name" && parent === "Document") this.#name ??= text;
        return;
      case "Placemark":
        if (this.#placemark!.texts.has(name)) this.#passedOver.add(`${name}, a second one`, place.line);
        else this.#placemark!.texts.set(name, text);
        return;
      case "TimeStamp":
      case "TimeSpan":
        if (text.trim() !== "") this.#placemark!.more[name === "when" ? "time" : name] = time(text, place);
        return;
      case "Data":
      case "SchemaData":
        this.#attribute(text, place, name === "SimpleData" ? this.#schema?.get(this.#label) : undefined);
        return;
      case "Track":
        if (name === "when") draft!.whens.push(text.trim() === "" ? null : time(text, place));
        else if (name === "coord") {
          const token = this.#coordinates.coord(text, draft!.count, draft!.coords, place);
          if (token === undefined) {
            draft!.missing.add(draft!.count);
            this.#passedOver.add("coord without a position", place.line);
          } else draft!.tokens.push(token);
          draft!.count++;
        }
        break;
    }
    if (name === "coordinates") {
      const read = this.#coordinates.tuples(text, place);
      const outer = this.#stack.some((open) => open.name === "outerBoundaryIs");
      if (read.numbers.length > 0 && this.#stack.some((open) => open.name === "Polygon")) {
        const found = distinct(read.numbers);
        if (found < 3) throw xmlError(place, `a ring has ${found} distinct positions, needs 3`);
        if (outer && draft!.outer) throw xmlError(place, "a polygon has two outer boundaries");
      }
      if (read.numbers.length === 0) this.#passedOver.add("coordinates without a position", place.line);
      // the outer ring comes first, wherever it stands
      else if (outer) {
        draft!.outer = true;
        draft!.rings.unshift(read);
      } else draft!.rings.push(read);
    } else if (name === "altitudeMode") {
      const mode = text.trim();
      if (!MODES.has(mode)) throw xmlError(place, `altitudeMode is ${JSON.stringify(mode.slice(0, 40))}`);
      // a ring of a polygon has none of its own
      if (!this.#stack.some((open) => open.name.endsWith("BoundaryIs"))) draft!.mode = mode;
    }
  }

  #attribute(text: string, place: XmlPlace, type: string | undefined): void {
    const { more, texts } = this.#placemark!;
    const label = this.#label;
    if (label in more || texts.has(label))
      return this.#passedOver.add(`${label.slice(0, 40)}, a second one`, place.line);
    if (type !== undefined && NUMBERS.has(type)) {
      if (text.trim() === "") return;
      const number = decimal(text.trim());
      if (Number.isNaN(number))
        throw xmlError(place, `SimpleData is ${JSON.stringify(text.slice(0, 40))}, its type ${type}`);
      more[label] = number;
    } else if (type === "bool") {
      const word = text.trim().toLowerCase();
      if (word === "") return;
      const truth = word === "true" || word === "1" ? true : word === "false" || word === "0" ? false : undefined;
      if (truth === undefined)
        throw xmlError(place, `SimpleData is ${JSON.stringify(text.slice(0, 40))}, its type bool`);
      more[label] = truth;
    } else more[label] = text;
  }

  #simple(name: "Point" | "LineString" | "LinearRing", place: XmlPlace): void {
    const { rings, mode } = this.#draft!;
    this.#draft = undefined;
    if (rings.length > 1) throw xmlError(place, `a ${name} has coordinates twice`);
    const [ring] = rings;
    if (ring === undefined) return;
    const count = ring.numbers.length / 3;
    if (name === "Point" ? count !== 1 : count < 2) {
      throw xmlError(place, `a ${name} has ${count} positions, needs ${name === "Point" ? 1 : 2}`);
    }
    this.#placemark!.shapes.push({ type: name === "Point" ? "Point" : "LineString", rings, mode });
  }

  #polygon(place: XmlPlace): void {
    const { rings, mode, outer } = this.#draft!;
    this.#draft = undefined;
    if (!outer && rings.length > 0) throw xmlError(place, "a Polygon has inner boundaries and no outer one");
    if (rings.length > 0) this.#placemark!.shapes.push({ type: "Polygon", rings, mode });
  }

  #track(place: XmlPlace): void {
    const { mode, whens, coords, tokens, missing, count } = this.#draft!;
    this.#draft = undefined;
    if (whens.length !== count && whens.length > 0) {
      throw xmlError(place, `a Track has ${whens.length} times and ${count} positions`);
    }
    if (tokens.length === 0) return this.#passedOver.add("Track without a position", place.line);
    const times = whens.length === 0 ? undefined : whens.filter((_, i) => !missing.has(i));
    this.#placemark!.shapes.push({
      type: tokens.length === 1 ? "Point" : "LineString",
      rings: [{ numbers: coords, text: tokens.join(" ") }],
      mode,
      ...(times === undefined ? {} : { times }),
    });
  }

  #finish(placemark: Placemark): void {
    const folder = this.#folders.filter((name) => name !== undefined && name !== "").join(" / ");
    if (folder !== "" && !("folder" in placemark.more)) placemark.more["folder"] = folder;
    const { fields, lines, points, withoutGeometry } = convertPlacemark(placemark);
    for (const field of fields) this.#fields.push(field);
    for (const line of lines) this.#lines.push(line);
    for (const point of points) this.#points.push(point);
    this.#withoutGeometry += withoutGeometry;
  }
}

/** An object without a prototype: names of a document are data. */
function bare(): Record<string, unknown> {
  return Object.create(null) as Record<string, unknown>;
}

function draft(): Draft {
  return {
    rings: [],
    mode: "clampToGround",
    outer: false,
    whens: [],
    coords: [],
    tokens: [],
    missing: new Set(),
    count: 0,
  };
}

function time(text: string, place: XmlPlace): number {
  const seconds = unixTime(text.trim());
  if (Number.isNaN(seconds)) throw xmlError(place, `${JSON.stringify(text.slice(0, 40))} is no date and time`);
  return seconds;
}

/** How many distinct places a ring has, counted up to three. */
function distinct(numbers: readonly number[]): number {
  const found: number[] = [];
  for (let i = 0; i < numbers.length && found.length < 6; i += 3) {
    let known = false;
    for (let k = 0; k < found.length; k += 2) {
      known ||= found[k + 1] === numbers[i + 1] && (found[k]! - numbers[i]!) % 360 === 0;
    }
    if (!known) found.push(numbers[i]!, numbers[i + 1]!);
  }
  return found.length / 2;
}
