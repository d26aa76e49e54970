// A field out of a file, by the ending of its name: task data, shapefile, KML or GeoJSON
import { basename } from "node:path";
import { type GeoData, readGeoJson } from "../../src/exchange/index.js";
import { readKml } from "../../src/exchange/kml/index.js";
import { readShapefile } from "../../src/exchange/shapefile/index.js";
import { readTaskData, type TaskDataRead } from "../../src/exchange/task-data/index.js";
import type { GeographicPosition } from "../../src/frames/index.js";
import type { GeographicPolygon } from "../../src/survey/index.js";

/** A field as it came in. */
export interface FieldSource {
  readonly polygons: readonly GeographicPolygon[];
  /** attributes of the field in its file */
  readonly labels: { readonly [name: string]: string };
  /** where the field is entered, where the file says so */
  readonly gate?: GeographicPosition;
}

/** The first field of a file. */
export function readField(name: string, bytes: Uint8Array): FieldSource {
  const [, ending = ""] = /\.([^.]*)$/.exec(name.toLowerCase()) ?? [];
  switch (ending) {
    case "xml":
      return fromTaskData(readTaskData(bytes));
    case "zip":
      return fromFeatures(name, readShapefile(bytes));
    case "kml":
    case "kmz":
      return fromFeatures(name, readKml(bytes));
    case "json":
    case "geojson":
      return fromFeatures(name, readGeoJson(bytes));
    default:
      throw new Error(`${name}: needs TASKDATA.XML, or a file that ends in .zip, .kml, .kmz or .geojson`);
  }
}

function fromFeatures(name: string, { fields, points }: Pick<GeoData, "fields" | "points">): FieldSource {
  const field = fields.find(({ polygons }) => polygons.length > 0);
  if (field === undefined) throw new Error(`${name}: there is no field in it`);
  const labels = Object.fromEntries(Object.entries(field.properties).map(([key, value]) => [key, String(value)]));
  const gate = points[0]?.position;
  return {
    polygons: field.polygons,
    labels: { name: basename(name), ...labels },
    ...(gate === undefined ? {} : { gate }),
  };
}

function fromTaskData({ partfields, farms, cropTypes, tasks, problems }: TaskDataRead): FieldSource {
  for (const { problem, line } of problems) console.log(`  line ${line}: ${problem}`);
  const partfield = partfields.find(({ polygons }) => polygons.some(({ type }) => type === "partfield-boundary"));
  if (partfield === undefined) throw new Error("there is no field with a boundary in the task data");
  const farm = farms.find(({ id }) => id === partfield.farm)?.designator;
  const crop = cropTypes.find(({ id }) => id === partfield.cropType)?.designator;
  const operation = tasks.find((task) => task.partfield === partfield.id)?.designator;
  const gate = partfield.points.find(({ type }) => type === "field-access");
  const given = { name: partfield.designator, farm, crop, operation };
  return {
    polygons: partfield.polygons
      .filter(({ type }) => type === "partfield-boundary")
      .map(({ exterior, interiors }) => ({
        exterior: exterior.points,
        holes: interiors.map(({ points }) => points),
      })),
    labels: Object.fromEntries(
      Object.entries(given).flatMap(([key, value]) => (value === undefined ? [] : [[key, value]])),
    ),
    ...(gate === undefined ? {} : { gate }),
  };
}
