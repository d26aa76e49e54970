import { FeeringError, requireList, requireObject } from "../../errors/index.js";
import type { GeoData, GeoField, GeoLine, GeoPoint } from "../geo-data.js";
import type { Coordinate } from "../geojson/antimeridian-cut.js";
import { isDay } from "./dbf-cells.js";
import type { WrittenShapefileColumn } from "./dbf-columns.js";
import { writeTable } from "./dbf-writer.js";
import { fieldShape, lineShape, pointShape, type Shape, writeShapes, type Written } from "./shp-writer.js";

/** Options of {@link writeShapefile}. */
export interface WriteShapefileOptions {
  /**
   * altitudes: `keep` them, which makes the Z kind of shape where all positions have one, and is refused where only some have; or
   * `omit` them. Default `keep`
   */
  readonly altitudes?: "keep" | "omit";
  /** day that the table was last changed, `YYYY-MM-DD`, 1900 to 2155; default `1970-01-01`, as nothing here reads a clock */
  readonly modified?: string;
}

/** The files of a shapefile; `readShapefile` takes them as they are. */
export interface WrittenShapefile {
  /** main file */
  readonly shp: Uint8Array;
  /** index */
  readonly shx: Uint8Array;
  /** table */
  readonly dbf: Uint8Array;
  /** coordinate reference system: WGS 84, degrees */
  readonly prj: Uint8Array;
  /** code page: UTF-8 */
  readonly cpg: Uint8Array;
  /** columns of the table and the properties that they hold */
  readonly columns: readonly WrittenShapefileColumn[];
}

/** The text that ESRI's own software writes for WGS 84 in degrees. */
const WGS84 =
  'GEOGCS["GCS_WGS_1984",DATUM["D_WGS_1984",SPHEROID["WGS_1984",6378137.0,298.257223563]],' +
  'PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]]';

/**
 * Write fields as polygons, lines as polylines, or points, with their properties as a table: WGS 84 degrees, texts in UTF-8.
 *
 * A shapefile holds one kind of shape: give one list; `writeShapefileZip` writes several. Coordinates are written as they are, as doubles.
 * Exteriors are wound clockwise, holes counter-clockwise and behind their exterior; shapes across 180 degrees of longitude are cut there,
 * as by `toGeoJson`.
 *
 * Types of columns follow the values: truths, days (texts `YYYY-MM-DD`), numbers, texts; null where there is none. Numbers are written in the shortest
 * digits that give the same double again. Names are cut to 10 bytes of UTF-8, and told apart by a number where two become the same: see `columns`. Blanks behind a
 * text are lost, and an empty text is read as null: the format pads by blanks. An `id` becomes a column. Without properties there is one
 * column, `FID`, that counts the records, as a table needs one; `readShapefile` knows it.
 *
 * @param data - one of the lists `fields`, `lines`, `points`; others may be there, empty
 * @param options - altitudes, day of change
 * @returns the files, the same for the same data
 * @throws `FeeringError` `bad-format` for a property that no table holds (a list, an object, texts and numbers in one column), for no list and for
 * several, `too-large` for a text over 254 bytes, more than 255 properties, or a file over 2 GB; `not-finite`, `out-of-range` and
 * `too-few-points` as `toGeoJson`
 * @see ESRI Shapefile Technical Description, white paper, July 1998
 * @example
 * ```ts
 * const { shp, shx, dbf, prj, cpg } = writeShapefile({ fields: [{ polygons: [polygon], properties: { name: "Long Acre", ha: 4.2 } }] });
 * ```
 */
export function writeShapefile(
  data: Partial<Pick<GeoData, "fields" | "lines" | "points">>,
  options: WriteShapefileOptions = {},
): WrittenShapefile {
  requireObject(data, "data");
  requireObject(options, "options");
  const { altitudes = "keep", modified = "1970-01-01" } = options;
  if (altitudes !== "keep" && altitudes !== "omit") {
    throw new FeeringError("out-of-range", 'options.altitudes is neither "keep" nor "omit"', {
      argument: "options.altitudes",
      value: altitudes,
    });
  }
  const day = dayOf(modified);
  const kind = kindOf(data);
  const list: readonly (GeoField | GeoLine | GeoPoint)[] = data[kind]!;
  list.forEach((member, i) => requireObject(member, `${kind}[${i}]`));
  const shapes =
    kind === "fields"
      ? data.fields!.map((field, i) => fieldShape(field, `fields[${i}]`))
      : kind === "lines"
        ? data.lines!.map((line, i) => lineShape(line, `lines[${i}]`))
        : data.points!.map((point, i) => pointShape(point, `points[${i}]`));
  const z = altitudes === "keep" && haveAltitudes(shapes, kind);
  const { dbf, columns } = writeTable(list, kind, day);
  const encoder = new TextEncoder();
  return {
    ...writeShapes(kind, shapes, z, kind),
    dbf,
    prj: encoder.encode(WGS84),
    cpg: encoder.encode("UTF-8"),
    columns,
  };
}

function kindOf(data: Partial<Pick<GeoData, Written>>): Written {
  const given = (["fields", "lines", "points"] as const).filter((kind) => data[kind] !== undefined);
  for (const kind of given) requireList(data[kind], `data.${kind}`);
  const filled = given.filter((kind) => data[kind]!.length > 0);
  const kind = filled[0] ?? given[0];
  if (kind !== undefined && filled.length < 2) return kind;
  const found = kind === undefined ? "no list" : filled.join(" and ");
  throw new FeeringError("bad-format", `data has ${found}, a shapefile holds one of fields, lines and points`, {
    argument: "data",
  });
}

/** Whether all points have an altitude; none has where the first has none. */
function haveAltitudes(shapes: readonly Shape[], path: string): boolean {
  let z: boolean | undefined;
  shapes.forEach((shape, i) => {
    for (const part of shape) {
      for (const point of part) {
        const has = hasAltitude(point);
        if (z !== undefined && z !== has) {
          const problem = `${path}[${i}] has positions ${has ? "with" : "without"} an altitude, others are ${has ? "without" : "with"} one`;
          throw new FeeringError("bad-format", `${problem}: a shapefile has all or none (options.altitudes)`, {
            argument: path,
            index: i,
          });
        }
        z = has;
      }
    }
  });
  return z ?? false;
}

function hasAltitude(point: Coordinate): boolean {
  return point.length > 2;
}

function dayOf(text: unknown): readonly [number, number, number] {
  if (typeof text === "string" && isDay(text)) {
    const year = Number(text.slice(0, 4));
    if (year >= 1900 && year <= 2155) return [year, Number(text.slice(5, 7)), Number(text.slice(8))];
  }
  throw new FeeringError("out-of-range", "options.modified is no day as YYYY-MM-DD from 1900 to 2155", {
    argument: "options.modified",
    value: text,
  });
}
