import { FeeringError } from "../../errors/index.js";
import { ProjectedCrs, projectedCrs, type ProjectedCrsOptions } from "../../frames/index.js";
import { wrapLongitude } from "../../frames/longitude.js";
import { refused } from "./shapefile-error.js";
import type { ShapefileCrs } from "./shapefile-types.js";
import { parseWkt, type WktNode, WktProblem } from "./wkt.js";
import { wktDatum } from "./wkt-datum.js";
import { onSphere, projectionWords } from "./wkt-projection.js";

/** What turns coordinates of a file into positions. */
export interface FileCrs {
  readonly crs: ShapefileCrs;
  /** metres of one unit of z, negative for depths */
  readonly altitude: number;
  /** `[x, y, ...]` to `[latitude, longitude, ...]`, degrees; NaN for what is no place */
  toPositions(xy: Float64Array, out: Float64Array): void;
}

const DEGREE = Math.PI / 180;

/**
 * The coordinate reference system of a shapefile: the option in place of all else, then the `.prj` file.
 *
 * @param option - `options.crs`
 * @param prj - text of the `.prj` file
 * @param accept - metres, `options.acceptAccuracy`
 * @param file - for messages
 * @throws `FeeringError` `unknown-crs`, `inaccurate-crs`
 */
export function fileCrs(
  option: string | ProjectedCrs | undefined,
  prj: string | undefined,
  accept: number | undefined,
  file: string,
): FileCrs {
  const options: ProjectedCrsOptions = accept === undefined ? {} : { acceptAccuracy: accept };
  const text = prj === undefined ? {} : { text: prj };
  if (option !== undefined) {
    if (typeof option !== "string") {
      if (option instanceof ProjectedCrs || typeof (option as ProjectedCrs)?.toGeographicBatch === "function") {
        return onGrid(option, 1, 1, { name: option.name, source: "option", ...text });
      }
    } else if (GEOGRAPHIC.has(option.trim().toUpperCase())) {
      return inDegrees(1, 0, 1, { name: option, source: "option", ...text });
    } else if (/^\s*(?:PROJCS|GEOGCS|COMPD_CS)\s*[[(]/i.test(option.slice(0, 40))) {
      return ofWkt(option, options, "options.crs", { source: "option", ...text });
    }
    const grid = projectedCrs(option, options);
    return onGrid(grid, 1, 1, { name: grid.name, source: "option", ...text });
  }
  if (prj === undefined) {
    const problem =
      'has no .prj file that says what its coordinates are: say options.crs, such as "EPSG:25832" or "WGS 84"';
    throw refused(file, problem, { code: "unknown-crs" });
  }
  return ofWkt(prj, options, file, { source: "prj", ...text });
}

const GEOGRAPHIC: ReadonlySet<string> = new Set(["EPSG:4326", "EPSG:4258", "OGC:CRS84", "CRS84", "WGS84", "WGS 84"]);

type Said = Pick<ShapefileCrs, "source" | "text">;

function ofWkt(text: string, options: ProjectedCrsOptions, file: string, said: Said): FileCrs {
  try {
    return understood(parseWkt(text), options, said);
  } catch (error) {
    const unknown = error instanceof WktProblem;
    if (!unknown && !(error instanceof FeeringError)) throw error;
    const code = unknown ? "unknown-crs" : error.code;
    const which = file === "options.crs" ? file : `${file}: its .prj file`;
    const hint = code === "inaccurate-crs" ? "" : file === "options.crs" ? "" : "; say options.crs instead";
    throw new FeeringError(code, `${which} ${error.message}${hint}`, { argument: file, value: text, cause: error });
  }
}

function understood(nodes: readonly WktNode[], options: ProjectedCrsOptions, said: Said): FileCrs {
  let [first, ...rest] = nodes;
  if (first?.keyword === "COMPD_CS") [first, ...rest] = objects(first);
  const altitude = verticalUnit(rest);
  if (first?.keyword === "GEOGCS") {
    const geographic = geographicOf(first);
    const { name, datum, degrees, meridian, height } = geographic;
    if (wktDatum(datum)?.kind === undefined || wktDatum(datum)?.kind === "shifted") {
      throw new WktProblem(`has the datum ${JSON.stringify(datum)}, and degrees on it are not read`);
    }
    requireModern(geographic);
    return inDegrees(degrees, meridian, altitude ?? height ?? 1, { name, ...said });
  }
  if (first?.keyword !== "PROJCS") {
    throw new WktProblem(`begins with ${first?.keyword ?? "nothing"}, only GEOGCS and PROJCS of WKT 1 are understood`);
  }
  return projectedOf(first, altitude, options, said);
}

function projectedOf(node: WktNode, altitude: number | undefined, options: ProjectedCrsOptions, said: Said): FileCrs {
  const geographic = geographicOf(child(node, "GEOGCS"));
  const { datum, degrees, meridian, toWgs84 } = geographic;
  const unit = unitOf(node);
  const name = textOf(node);
  for (const { values } of objects(node).filter(({ keyword }) => keyword === "AXIS")) {
    if (values[1] === "WEST" || values[1] === "SOUTH") {
      throw new WktProblem(`has an axis to the ${values[1].toLowerCase()}, not understood`);
    }
  }
  const projection = textOf(child(node, "PROJECTION"));
  const parameters = objects(node).filter(({ keyword }) => keyword === "PARAMETER");
  const known = wktDatum(datum);
  let more: string;
  let given: ProjectedCrsOptions = options;
  const ellipsoid =
    geographic.inverse === 0
      ? `+a=${geographic.semiMajorAxis} +b=${geographic.semiMajorAxis}`
      : `+a=${geographic.semiMajorAxis} +rf=${geographic.inverse}`;
  if (onSphere(projection)) {
    if (known?.kind !== "wgs84") throw new WktProblem(`has ${projection} on the datum ${JSON.stringify(datum)}`);
    more = `+a=${geographic.semiMajorAxis} +b=${geographic.semiMajorAxis} +nadgrids=@null`;
  } else if (known?.kind === "shifted") {
    given = { ...options, shift: known.shift!, shiftAccuracy: known.shiftMetres! };
    more = ellipsoid;
  } else if (known !== undefined) {
    requireModern(geographic);
    more = `${ellipsoid}${known.kind === "wgs84" ? " +datum=WGS84" : known.kind === "nad83" ? " +datum=NAD83" : ""}`;
  } else if (toWgs84 !== undefined) {
    more = `${ellipsoid} +towgs84=${toWgs84.join(",")}`;
  } else throw new WktProblem(`has the datum ${JSON.stringify(datum)}, not known how it lies against WGS 84`);
  const words = projectionWords(projection, parameters, unit, degrees, meridian);
  const grid = projectedCrs(`${words} ${more}`, given);
  return onGrid(grid, unit, altitude ?? geographic.height ?? 1, { name, ...said });
}

interface Geographic {
  readonly name: string;
  readonly datum: string;
  readonly semiMajorAxis: number;
  /** inverse flattening, 0 for a sphere */
  readonly inverse: number;
  readonly degrees: number;
  readonly meridian: number;
  readonly height: number | undefined;
  readonly toWgs84: readonly number[] | undefined;
}

function geographicOf(node: WktNode): Geographic {
  const datum = child(node, "DATUM");
  const [, semiMajorAxis, inverse] = child(datum, "SPHEROID").values;
  if (typeof semiMajorAxis !== "number" || typeof inverse !== "number") {
    throw new WktProblem("has a SPHEROID without its two numbers");
  }
  const angle = unitOf(node);
  // 15 digits of pi / 180, as files have it, are meant to be degrees
  const degrees = Math.abs(angle - DEGREE) < 1e-12 ? 1 : angle / DEGREE;
  const prime = objects(node).find(({ keyword }) => keyword === "PRIMEM");
  const meridian = prime?.values[1] ?? 0;
  if (typeof meridian !== "number" || (meridian !== 0 && degrees !== 1)) {
    throw new WktProblem("has a prime meridian that is not understood in a unit other than degrees");
  }
  const height = objects(node).find(({ keyword }) => keyword === "LINUNIT")?.values[1];
  const shift = objects(datum).find(({ keyword }) => keyword === "TOWGS84")?.values;
  if (shift !== undefined && !shift.every((value) => typeof value === "number")) {
    throw new WktProblem("has a TOWGS84 that is no list of numbers");
  }
  return {
    name: textOf(node),
    datum: textOf(datum),
    semiMajorAxis,
    inverse,
    degrees,
    meridian,
    height: typeof height === "number" && height > 0 ? height : undefined,
    toWgs84: shift,
  };
}

function requireModern({ datum, semiMajorAxis, inverse }: Geographic): void {
  if (semiMajorAxis === 6_378_137 && Math.abs(inverse - 298.2572) < 1e-3) return;
  throw new WktProblem(`has the datum ${JSON.stringify(datum)} on an ellipsoid that is not its own`);
}

/** Metres of one unit of height, where a vertical system says so. */
function verticalUnit(nodes: readonly WktNode[]): number | undefined {
  let unit: number | undefined;
  for (const node of nodes) {
    if (node.keyword === "METADATA" || node.keyword === "AUTHORITY") continue;
    if (node.keyword !== "VERTCS" && node.keyword !== "VERT_CS") {
      throw new WktProblem(`has ${node.keyword} beside its coordinates, not understood`);
    }
    unit = unitOf(node);
    for (const { keyword, values } of objects(node)) {
      if (keyword !== "PARAMETER" || typeof values[1] !== "number") continue;
      const parameter = typeof values[0] === "string" ? values[0].toLowerCase() : "";
      const shift = parameter === "vertical_shift" && values[1] !== 0;
      if (shift) throw new WktProblem("has heights that are shifted, not understood");
      if (parameter === "direction" && values[1] < 0) unit = -unit;
    }
  }
  return unit;
}

function onGrid(grid: ProjectedCrs, unit: number, altitude: number, said: Said & { readonly name: string }): FileCrs {
  return {
    crs: { ...said, kind: "projected", accuracy: grid.accuracy },
    altitude,
    toPositions(xy, out) {
      for (let i = 0; i < xy.length; i++) out[i] = xy[i]! * unit;
      grid.toGeographicBatch(out, out);
    },
  };
}

function inDegrees(
  degrees: number,
  meridian: number,
  altitude: number,
  said: Said & { readonly name: string },
): FileCrs {
  return {
    crs: { ...said, kind: "geographic" },
    altitude,
    toPositions(xy, out) {
      // hot
      for (let i = 0; i < xy.length; i += 2) {
        const longitude = xy[i]! * degrees + meridian;
        const latitude = xy[i + 1]! * degrees;
        const fits = longitude >= -360 && longitude <= 360 && latitude >= -90 && latitude <= 90;
        out[i] = fits ? latitude + 0 : Number.NaN;
        out[i + 1] = longitude === 180 ? 180 : wrapLongitude(longitude);
      }
    },
  };
}

function objects(node: WktNode): WktNode[] {
  return node.values.filter((value) => typeof value === "object");
}

function child(node: WktNode, keyword: string): WktNode {
  const found = objects(node).find((value) => value.keyword === keyword);
  if (found === undefined) throw new WktProblem(`has no ${keyword} in its ${node.keyword}`);
  return found;
}

function textOf(node: WktNode): string {
  const [name] = node.values;
  if (typeof name === "string") return name;
  throw new WktProblem(`has no name for its ${node.keyword}`);
}

/** The factor of the `UNIT` of an object: metres or radians. */
function unitOf(node: WktNode): number {
  const [, factor] = child(node, "UNIT").values;
  if (typeof factor === "number" && factor > 0) return factor;
  throw new WktProblem(`has a UNIT in its ${node.keyword} without a factor above 0`);
}
