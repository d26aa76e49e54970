import { type Zippable, zipSync } from "fflate";
import { FeeringError, requireObject } from "../../errors/index.js";
import type { GeoData } from "../geo-data.js";
import { writeShapefile, type WriteShapefileOptions } from "./write-shapefile.js";

/** Options of {@link writeShapefileZip}. */
export interface WriteShapefileZipOptions extends WriteShapefileOptions {
  /** name of the files in the archive, without an ending; default `fields`, `lines` or `points` */
  readonly name?: string;
}

/**
 * Write shapefiles into one archive (zip): one for each of the lists that is not empty; of several lists the files are called `name_fields`,
 * `name_lines` and `name_points`.
 *
 * @param data - what to write; lists that are left out are empty
 * @param options - as `writeShapefile`, and the name
 * @returns the archive, the same bytes for the same data
 * @throws `FeeringError` as {@link writeShapefile}; `out-of-range` for a name that is no file's
 * @example
 * ```ts
 * const bytes = writeShapefileZip({ fields, points }, { name: "spring" });
 * readShapefile(bytes, { layer: "spring_points" });
 * ```
 */
export function writeShapefileZip(
  data: Partial<Pick<GeoData, "fields" | "lines" | "points">>,
  options: WriteShapefileZipOptions = {},
): Uint8Array {
  requireObject(data, "data");
  requireObject(options, "options");
  const { name, ...rest } = options;
  if (name !== undefined) requireName(name);
  const kinds = (["fields", "lines", "points"] as const).filter((kind) => data[kind] !== undefined);
  const filled = kinds.filter((kind) => data[kind]!.length > 0);
  const written = filled.length === 0 ? kinds.slice(0, 1) : filled;
  const files: Zippable = {};
  if (written.length === 0) writeShapefile(data, rest);
  for (const kind of written) {
    const stem = name === undefined ? kind : written.length === 1 ? name : `${name}_${kind}`;
    const { shp, shx, dbf, prj, cpg } = writeShapefile({ [kind]: data[kind] }, rest);
    files[`${stem}.shp`] = shp;
    files[`${stem}.shx`] = shx;
    files[`${stem}.dbf`] = dbf;
    files[`${stem}.prj`] = prj;
    files[`${stem}.cpg`] = cpg;
  }
  const [year, month, day] = (options.modified ?? "1980-01-01").split("-").map(Number) as [number, number, number];
  // an archive's times are local ones, from 1980 to 2107
  return zipSync(files, { level: 6, mtime: new Date(Math.min(2107, Math.max(1980, year)), month - 1, day) });
}

function requireName(name: unknown): void {
  const fits =
    typeof name === "string" &&
    name.trim() !== "" &&
    name.length <= 100 &&
    ![...name].some((c) => c < " " || '/\\:*?"<>|'.includes(c));
  if (fits) return;
  throw new FeeringError("out-of-range", "options.name is no name of a file, of at most 100 characters", {
    argument: "options.name",
    value: name,
  });
}
