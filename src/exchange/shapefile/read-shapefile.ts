import { FeeringError, requireNumber, requireObject } from "../../errors/index.js";
import type { ProjectedCrs } from "../../frames/index.js";
import type { GeoField, GeoLine, GeoPoint } from "../geo-data.js";
import { readLayer } from "./read-layer.js";
import type { ShapefileData, ShapefileLayer, ShapefileParts } from "./shapefile-types.js";
import { isZip, unpackEntry, type ZipEntry, zipEntries } from "./zip-archive.js";

/** Options of {@link readShapefile}. */
export interface ReadShapefileOptions {
  /**
   * what the coordinates are, in place of the `.prj` file: `"WGS 84"` (or `"EPSG:4326"`) for degrees, a definition as
   * `projectedCrs` takes it, the text of a `.prj` file, or a `ProjectedCrs`; default what the `.prj` file says
   */
  readonly crs?: string | ProjectedCrs;
  /** metres: a grid whose shift of datum is stated to be worse is refused; default 1 */
  readonly acceptAccuracy?: number;
  /**
   * encoding of texts, in place of the `.cpg` file and of the table's header: any label of the Encoding Standard (`windows-1252`,
   * `iso-8859-2`, `shift_jis`) or a number (`850`); default what they say, UTF-8 where they say nothing
   */
  readonly encoding?: string;
  /** the one layer to read of an archive: its name with or without folders, in any case; default all */
  readonly layer?: string;
  /** most bytes that are read, unpacked; default 256 million */
  readonly maximumLength?: number;
  /** most positions that are read; default 5 million */
  readonly maximumPositions?: number;
}

/**
 * Read a shapefile: polygons as fields, lines and points, with their rows of the table as properties, positions in WGS 84.
 *
 * Takes an archive (zip) with one shapefile or several, in any folders and names in any case, or the parts of one. The index
 * (`.shx`) is not needed and not looked at. A record of several parts is one field of several polygons, several lines with the same properties,
 * or several points. Null shapes are counted as `withoutGeometry`; records whose row is marked as deleted are left out and counted.
 *
 * Which ring is a hole of which is decided by what contains what; the winding, outer rings clockwise by the white paper, is not relied on, as
 * too many writers have it wrong: rings wound otherwise than they lie are counted (`rewound`). Rings come back closed, exteriors
 * counter-clockwise, holes clockwise. Polygons and lines cut at 180 degrees of longitude are joined there, as by `readGeoJson`.
 *
 * Coordinates of a grid are brought to WGS 84 by `projectedCrs`; its accuracy is in each layer's `crs`. Z is taken for metres above the
 * ellipsoid where no vertical system says otherwise; M is counted and passed over.
 *
 * Values: texts without the blanks behind them, null where nothing is left; numbers, null for blanks and asterisks; whole numbers that no double holds
 * as texts of their digits; truths; days as `YYYY-MM-DD`. Columns whose values are not in the table itself say why in `columns`.
 *
 * @param input - bytes of an archive, or the parts
 * @param options - what the files do not say; caps
 * @returns all layers, together and one by one
 * @throws `FeeringError` `bad-format` for a file that is damaged, cut off or at odds with itself, with the file as `argument` and the number of
 * the record or row, from 1, as `index`; `unknown-crs` where nothing says what coordinates are, or what is said is not understood;
 * `inaccurate-crs` for a shift of datum worse than accepted; `out-of-range` for coordinates that are no place, an encoding or a layer that is
 * not known; `too-large` beyond a cap, and for an archive packed too tightly
 * @see ESRI Shapefile Technical Description, white paper, July 1998
 * @example
 * ```ts
 * const { fields, layers } = readShapefile(bytes);
 * console.log(layers[0]?.crs.name, fields[0]?.properties["NAME"]);
 * ```
 */
export function readShapefile(input: Uint8Array | ShapefileParts, options: ReadShapefileOptions = {}): ShapefileData {
  requireObject(options, "options");
  const maximumLength = requireNumber(options.maximumLength ?? 256e6, "options.maximumLength", { min: 0 });
  const maximumPositions = requireNumber(options.maximumPositions ?? 5e6, "options.maximumPositions", { min: 0 });
  if (options.layer !== undefined && typeof options.layer !== "string") {
    throw new FeeringError("out-of-range", "options.layer is no text", {
      argument: "options.layer",
      value: options.layer,
    });
  }
  if (!(input instanceof Uint8Array)) {
    requireParts(input);
    const { shp, dbf, prj, cpg } = input;
    requireLength(
      [shp, dbf, prj, cpg].reduce((sum, part) => sum + (part?.length ?? 0), 0),
      maximumLength,
    );
    return together([readLayer("", input, options, maximumPositions)], []);
  }
  if (!isZip(input)) {
    const hint = input[0] === 0 && input[2] === 0x27 ? ": give a .shp file as { shp, dbf, prj, cpg }" : "";
    throw new FeeringError("bad-format", `input is no zip archive${hint}`, { argument: "input" });
  }
  const { found, others } = layersOf(zipEntries(input), options.layer);
  requireLength(
    found.reduce((sum, { files }) => sum + [...files.values()].reduce((s, f) => s + f.size, 0), 0),
    maximumLength,
  );
  const layers: ShapefileLayer[] = [];
  let positions = maximumPositions;
  for (const { name, files } of found) {
    const part = (ending: string): Uint8Array | undefined => {
      const entry = files.get(ending);
      return entry === undefined ? undefined : unpackEntry(input, entry);
    };
    const parts = { shp: part("shp")!, dbf: part("dbf"), prj: part("prj"), cpg: part("cpg") };
    layers.push(readLayer(name, parts, options, positions, (count) => (positions -= count)));
  }
  return together(layers, others);
}

function together(layers: readonly ShapefileLayer[], otherFiles: readonly string[]): ShapefileData {
  const fields: GeoField[] = [];
  const lines: GeoLine[] = [];
  const points: GeoPoint[] = [];
  let withoutGeometry = 0;
  for (const layer of layers) {
    for (const field of layer.fields) fields.push(field);
    for (const line of layer.lines) lines.push(line);
    for (const point of layer.points) points.push(point);
    withoutGeometry += layer.withoutGeometry;
  }
  return { fields, lines, points, withoutGeometry, layers, otherFiles };
}

interface LayerFiles {
  readonly name: string;
  /** by ending, lower case */
  readonly files: Map<string, ZipEntry>;
}

const ENDINGS: ReadonlySet<string> = new Set(["shp", "dbf", "prj", "cpg"]);

/** The shapefiles of an archive, in the order of their main files. */
function layersOf(entries: readonly ZipEntry[], wanted: string | undefined): { found: LayerFiles[]; others: string[] } {
  const stems = new Map<string, LayerFiles>();
  const others = new Set<string>();
  for (const entry of entries) {
    const { name } = entry;
    others.add(name);
    const dot = name.lastIndexOf(".");
    const ending = name.slice(dot + 1).toLowerCase();
    // what one system's archives keep beside each file has its name and is none
    const beside = name.slice(name.lastIndexOf("/") + 1).startsWith("._");
    if (dot < 0 || beside || !ENDINGS.has(ending)) continue;
    const stem = name.slice(0, dot).toLowerCase();
    let layer = stems.get(stem);
    if (layer === undefined) stems.set(stem, (layer = { name: name.slice(0, dot), files: new Map() }));
    if (layer.files.has(ending)) {
      throw new FeeringError("bad-format", `the archive holds ${JSON.stringify(name)} twice`, { argument: "input" });
    }
    layer.files.set(ending, entry);
  }
  const all = [...stems.values()].filter(({ files }) => files.has("shp"));
  if (all.length === 0) throw new FeeringError("bad-format", "the archive holds no .shp file", { argument: "input" });
  const found = wanted === undefined ? all : all.filter(({ name }) => isNamed(name, wanted));
  if (wanted !== undefined && found.length !== 1) {
    const names = all
      .map(({ name }) => JSON.stringify(name))
      .slice(0, 20)
      .join(", ");
    const problem = `options.layer ${JSON.stringify(wanted)} fits ${found.length} of the layers ${names}`;
    throw new FeeringError("out-of-range", problem, { argument: "options.layer", value: wanted });
  }
  for (const { files } of found) for (const { name } of files.values()) others.delete(name);
  return { found, others: [...others] };
}

function isNamed(name: string, wanted: string): boolean {
  const lower = name.toLowerCase();
  const asked = wanted.toLowerCase();
  const plain = asked.endsWith(".shp") ? asked.slice(0, -4) : asked;
  return lower === plain || lower.slice(lower.lastIndexOf("/") + 1) === plain;
}

function requireParts(input: unknown): asserts input is ShapefileParts {
  const bad = (argument: string, needs: string): FeeringError =>
    new FeeringError("bad-format", `${argument} needs to be ${needs}`, { argument });
  if (typeof input !== "object" || input === null)
    throw bad("input", "bytes of a zip archive, or { shp, dbf, prj, cpg }");
  const { shp, dbf, prj, cpg } = input as Partial<Record<keyof ShapefileParts, unknown>>;
  if (!(shp instanceof Uint8Array)) throw bad("input.shp", "bytes");
  if (dbf !== undefined && !(dbf instanceof Uint8Array)) throw bad("input.dbf", "bytes");
  for (const [name, value] of [["prj", prj] as const, ["cpg", cpg] as const]) {
    if (value !== undefined && typeof value !== "string" && !(value instanceof Uint8Array)) {
      throw bad(`input.${name}`, "bytes or a text");
    }
  }
}

function requireLength(length: number, maximum: number): void {
  if (length <= maximum) return;
  throw new FeeringError(
    "too-large",
    `input has ${length} bytes, unpacked, at most ${maximum} are read (options.maximumLength)`,
    { argument: "input", value: length },
  );
}
