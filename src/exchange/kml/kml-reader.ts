import type { GeoField, GeoLine, GeoPoint } from "../geo-data.js";
import { KnownElements, type KnownNames } from "../known-elements.js";
import type { Scan, ScanHandler, ScannedElement, XmlPlace } from "../scan-xml.js";
import { xmlError } from "../scan-xml.js";
import { ALTITUDE_MODES } from "./altitude-modes.js";
import { CoordinateReader } from "./kml-coordinates.js";
import { ShapeDraft, timeOf, typedValue } from "./kml-draft.js";
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

/** Anything of KML: 2.0 to 2.3, its extensions, and documents without a namespace. */
const KNOWN: KnownNames = { root: "kml", namespace: /\/kml\/(?:ext\/)?2\.\d$/, children: CHILDREN };

interface Placemark {
  readonly place: XmlPlace;
  readonly id: string | undefined;
  readonly texts: Map<string, string>;
  readonly more: Record<string, unknown>;
  readonly shapes: KmlShape[];
}

/** Takes the elements of one document. */
export class KmlReader implements ScanHandler {
  readonly #elements: KnownElements;
  readonly #coordinates: CoordinateReader;
  readonly #folders: (string | undefined)[] = [];
  readonly #schemas = new Map<string, Map<string, string>>();
  readonly #fields: GeoField[] = [];
  readonly #lines: GeoLine[] = [];
  readonly #points: GeoPoint[] = [];
  #withoutGeometry = 0;
  #name: string | undefined;
  #placemark: Placemark | undefined;
  #draft: ShapeDraft | undefined;
  #schema: Map<string, string> | undefined;
  #label = "";

  constructor(scan: Scan, maximumPositions: number) {
    this.#elements = new KnownElements(scan, KNOWN);
    this.#coordinates = new CoordinateReader(maximumPositions);
  }

  data(): KmlData {
    return {
      fields: this.#fields,
      lines: this.#lines,
      points: this.#points,
      withoutGeometry: this.#withoutGeometry,
      ...(this.#name === undefined ? {} : { name: this.#name }),
      passedOver: this.#elements.passedOver.list(),
    };
  }

  open(element: ScannedElement): void {
    const parent = this.#elements.parent;
    const open = this.#elements.open(element, (name) => name);
    if (open === undefined) return;
    const { name, place } = open;
    this.#begin(name, element, place, parent);
  }

  text(text: string): void {
    this.#elements.text(text);
  }

  close(): void {
    const closed = this.#elements.close();
    if (closed === undefined) return;
    const { name, place, text } = closed;
    const parent = this.#elements.parent;
    if (text !== null) this.#leaf(name, text, place, parent);
    else this.#end(name, parent);
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
      case "Point":
      case "LineString":
      case "Polygon":
      case "Track":
        if (!isBoundary(parent)) this.#draft = new ShapeDraft(name, place, this.#elements.passedOver);
        break;
    }
  }

  #end(name: string, parent: string): void {
    switch (name) {
      case "Folder":
      case "Document":
        this.#folders.pop();
        break;
      case "Placemark":
        this.#finish(this.#placemark!);
        this.#placemark = undefined;
        break;
      case "LinearRing":
      case "Point":
      case "LineString":
      case "Polygon":
      case "Track": {
        if (isBoundary(parent)) break;
        const shape = this.#draft!.finish();
        if (shape !== undefined) this.#placemark!.shapes.push(shape);
        this.#draft = undefined;
        break;
      }
    }
  }

  #leaf(name: string, text: string, place: XmlPlace, parent: string): void {
    switch (parent) {
      case "Schema":
        return;
      case "Folder":
      case "Document":
        if (name === "name") this.#folders[this.#folders.length - 1] = parent === "Folder" ? text : undefined;
        if (name === "name" && parent === "Document") this.#name ??= text;
        return;
      case "Placemark":
        // beside the conversion, which would put a # in front of any other document's
        if (name === "styleUrl" && text !== "") this.#placemark!.more[name] = text;
        else if (this.#placemark!.texts.has(name)) this.#elements.passedOver.add(`${name}, a second one`, place.line);
        else this.#placemark!.texts.set(name, text);
        return;
      case "TimeStamp":
      case "TimeSpan":
        if (text.trim() !== "") this.#placemark!.more[name === "when" ? "time" : name] = timeOf(text, place);
        return;
      case "Data":
      case "SchemaData":
        this.#attribute(text, place, name === "SimpleData" ? this.#schema?.get(this.#label) : undefined);
        return;
    }
    const draft = this.#draft!;
    if (name === "when") draft.when(text, place);
    else if (name === "coord") draft.coord(text, this.#coordinates, place);
    else if (name === "coordinates") {
      const outer = this.#elements.stack.some((open) => open.name === "outerBoundaryIs");
      draft.coordinates(this.#coordinates.tuples(text, place), outer, place);
    } else {
      const mode = text.trim();
      if (!ALTITUDE_MODES.has(mode)) throw xmlError(place, `altitudeMode is ${JSON.stringify(mode.slice(0, 40))}`);
      // a ring of a polygon has none of its own
      if (!this.#elements.stack.some((open) => isBoundary(open.name))) draft.mode = mode;
    }
  }

  #attribute(text: string, place: XmlPlace, type: string | undefined): void {
    const { more, texts } = this.#placemark!;
    const label = this.#label;
    if (label in more || texts.has(label))
      return this.#elements.passedOver.add(`${label.slice(0, 40)}, a second one`, place.line);
    const value = typedValue(text, type, place);
    if (value !== undefined) more[label] = value;
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

function isBoundary(name: string): boolean {
  return name === "outerBoundaryIs" || name === "innerBoundaryIs";
}
