import { FeeringError } from "../errors/index.js";
import { type DatumFrame, epsgEntry, frameOfDatum } from "./epsg.js";
import { degreesFromArcSeconds, type HelmertParameters } from "./helmert.js";

/** What a definition says, with the datum taken out of the projection. */
export interface ParsedCrs {
  readonly name: string;
  /** projection, ellipsoid and prime meridian alone, as proj writes them */
  readonly projection: string;
  /** the ellipsoid's words alone */
  readonly ellipsoid: string;
  /** the frame that positions have to be in, undefined where the definition does not tell */
  readonly frame: DatumFrame | undefined;
  /** from the grid's own datum to the frame */
  readonly shift: HelmertParameters | undefined;
  /** metres; null where the definition does not tell */
  readonly shiftMetres: number | null;
  /** why positions cannot be brought to the grid's datum, undefined where they can */
  readonly missing: string | undefined;
}

/** Words that speak of datum, units or axes: taken out, because all that is done here and not by proj4. */
const DATUM_WORDS = new Set([
  "datum",
  "towgs84",
  "nadgrids",
  "geoidgrids",
  "axis",
  "units",
  "to_meter",
  "vunits",
  "vto_meter",
  "no_defs",
  "type",
  "wktext",
  "title",
]);
const ELLIPSOID_WORDS = new Set(["ellps", "a", "b", "rf", "r", "r_a"]);
/** Words of a projection that hold a number. */
const NUMBERS = new Set(
  "lat_0 lat_1 lat_2 lat_ts lon_0 lon_1 lon_2 lonc lon_wrap alpha gamma x_0 y_0 k k_0 zone h a b rf r".split(" "),
);
/** The rest that proj4 reads; it passes over any other in silence, a misspelt one too. */
const OTHERS = new Set("proj south pm approx over no_uoff no_off no_rot czech sweep ellps r_a".split(" "));
const NOT_PROJECTED = new Set(["longlat", "latlong", "lonlat", "latlon", "geocent", "ob_tran"]);
const FALSE_ORIGIN = ["x_0", "y_0"];
const ORIGIN = ["lat_0", "lon_0", "x_0", "y_0"];
/** Projections whose origin is not 0, 0 where none is given. */
const OWN_ORIGIN = new Set(["utm", "krovak", "omerc", "somerc"]);
/** longer than any definition in use by far */
const LONGEST = 2000;

/** EPSG's own figures, where proj4 has the shorter axis rounded to the millimetre: 30 µm in the British National Grid. */
const BETTER: Readonly<Record<string, string>> = {
  airy: "+a=6377563.396 +rf=299.3249646",
};

/** Ellipsoid of each of proj's named datums that has one of its own. */
const ELLIPSOID_OF_DATUM: Readonly<Record<string, string>> = {
  wgs84: "WGS84",
  nad83: "GRS80",
  ggrs87: "GRS80",
  ch1903: "bessel",
  potsdam: "bessel",
  hermannskogel: "bessel",
  mgi: "bessel",
  s_jtsk: "bessel",
  gunung_segara: "bessel",
  nad27: "clrk66",
  carthage: "clrk80ign",
  beduaram: "clrk80",
  osni52: "airy",
  osgb36: "airy",
  ire65: "mod_airy",
  rassadiran: "intl",
  nzgd49: "intl",
  rnb72: "intl",
};

/**
 * Read a definition: a code of the built-in table, or a proj string.
 *
 * @throws `FeeringError` `unknown-crs`
 */
export function parseCrs(definition: unknown): ParsedCrs {
  if (typeof definition !== "string" || definition.length > LONGEST) {
    throw unknown(definition, "needs a code as EPSG:25832 or a proj string");
  }
  const text = definition.trim();
  if (text.startsWith("+")) return parseProjString(text, definition);
  const code = /^EPSG:(\d{1,6})$/i.exec(text);
  if (code === null) throw unknown(definition, "needs a code as EPSG:25832 or a proj string that starts with +proj=");
  const entry = epsgEntry(Number(code[1]));
  if (entry === undefined) throw unknown(definition, "is not in the built-in table: give its proj string instead");
  const words = readWords(entry.text, definition);
  return {
    name: `EPSG:${Number(code[1])} ${entry.name}`,
    projection: projectionOf(words),
    ellipsoid: ellipsoidOf(words),
    frame: entry.frame,
    shift: entry.shift,
    shiftMetres: entry.shiftMetres ?? null,
    missing: undefined,
  };
}

function parseProjString(text: string, definition: unknown): ParsedCrs {
  const words = readWords(text, definition);
  const projection = words.get("proj");
  if (projection === undefined || projection === "") throw unknown(definition, "names no projection (+proj=)");
  if (NOT_PROJECTED.has(projection)) throw unknown(definition, `is not a projected grid (+proj=${projection})`);
  const datum = words.get("datum");
  const known = datum === undefined || datum === "none" ? undefined : frameOfDatum(datum);
  const grids = words.get("nadgrids");
  const shift = readShift(words.get("towgs84"), definition);
  const common = {
    name: text,
    projection: projectionOf(words),
    ellipsoid: ellipsoidOf(words),
    frame: known,
    shiftMetres: null,
  };
  // named parameters come first, zeros among them: on an ellipsoid as the Earth's they say "the same frame"
  if (shift !== undefined) {
    const equal = isModern(words) && isZero(shift);
    return { ...common, shift: equal ? undefined : shift, missing: undefined };
  }
  if (known !== undefined) return { ...common, shift: undefined, missing: undefined };
  // the long-standing way of saying "take WGS 84 as it is"
  if (grids === "@null") return { ...common, frame: frameOfDatum("WGS84"), shift: undefined, missing: undefined };
  let missing: string | undefined;
  if (grids !== undefined) missing = `the grid of shifts ${grids} is not available here`;
  else if (datum !== undefined && datum !== "none") {
    missing = `the built-in parameters behind +datum=${datum} are not used, some are wrong by hundreds of metres`;
  } else if (!isModern(words)) missing = `nothing says how its datum (${ellipsoidOf(words)}) lies against WGS 84`;
  return { ...common, shift: undefined, missing };
}

/** The words of a proj string; a flag has an empty value; of a word given twice the first counts, as in PROJ. */
function readWords(text: string, definition: unknown): Map<string, string> {
  const words = new Map<string, string>();
  for (const part of text.split(/\s+/)) {
    if (part === "") continue;
    if (!part.startsWith("+")) throw unknown(definition, `has a word without a plus: ${part}`);
    const at = part.indexOf("=");
    const name = (at < 0 ? part.slice(1) : part.slice(1, at)).toLowerCase();
    if (name === "init" || name === "step" || name === "inv")
      throw unknown(definition, `uses +${name}, not understood`);
    if (!NUMBERS.has(name) && !OTHERS.has(name) && !DATUM_WORDS.has(name)) {
      throw unknown(definition, `has a word that is not understood: ${part}`);
    }
    const value = at < 0 ? "" : part.slice(at + 1);
    if (NUMBERS.has(name)) checkNumber(name, value, definition);
    if (!words.has(name)) words.set(name, value);
  }
  const datum = words.get("datum");
  const bare = ![...ELLIPSOID_WORDS].some((word) => words.has(word));
  if (bare && datum !== undefined) {
    const name = datum.toLowerCase();
    const ellipsoid = Object.hasOwn(ELLIPSOID_OF_DATUM, name) ? ELLIPSOID_OF_DATUM[name] : undefined;
    if (ellipsoid !== undefined) words.set("ellps", ellipsoid);
    else if (name !== "none") throw unknown(definition, `names a datum that is not known: ${datum}`);
  }
  return words;
}

function checkNumber(name: string, text: string, definition: unknown): void {
  const value = text === "" ? Number.NaN : Number(text);
  const ok =
    Number.isFinite(value) &&
    (!name.startsWith("lat_") || Math.abs(value) <= 90) &&
    (!name.startsWith("lon") || Math.abs(value) <= 360) &&
    (!(name === "k" || name === "k_0" || name === "a" || name === "b" || name === "rf" || name === "r") || value > 0) &&
    (name !== "zone" || (Number.isInteger(value) && value >= 1 && value <= 60));
  if (!ok) throw unknown(definition, `has a number that is none: +${name}=${text}`);
}

function projectionOf(words: ReadonlyMap<string, string>): string {
  const kept: string[] = [];
  for (const [name, value] of words) {
    if (!DATUM_WORDS.has(name) && !ELLIPSOID_WORDS.has(name)) kept.push(write(name, value));
  }
  // PROJ's defaults, which proj4 leaves undefined in some projections
  const own = OWN_ORIGIN.has(words.get("proj") ?? "");
  for (const name of own ? FALSE_ORIGIN : ORIGIN) if (!words.has(name)) kept.push(write(name, "0"));
  return `${kept.join(" ")} ${ellipsoidOf(words)}`;
}

function ellipsoidOf(words: ReadonlyMap<string, string>): string {
  const ellps = words.get("ellps");
  if (ellps !== undefined) return Object.hasOwn(BETTER, ellps) ? BETTER[ellps]! : write("ellps", ellps);
  const kept: string[] = [];
  for (const [name, value] of words) if (ELLIPSOID_WORDS.has(name)) kept.push(write(name, value));
  return kept.length === 0 ? "+ellps=WGS84" : kept.join(" ");
}

/** Is the ellipsoid one of the frames of satellite times: WGS 84 or GRS 80? */
function isModern(words: ReadonlyMap<string, string>): boolean {
  const ellps = words.get("ellps");
  if (ellps !== undefined) return ellps === "WGS84" || ellps === "GRS80";
  if (words.has("r")) return false;
  const a = words.get("a");
  if (a === undefined) return true;
  if (Number(a) !== 6378137) return false;
  const rf = words.get("rf");
  const b = words.get("b");
  const flattening = rf === undefined ? (6378137 - Number(b ?? "6356752.3142")) / 6378137 : 1 / Number(rf);
  return Math.abs(flattening - 1 / 298.2572) < 1e-8;
}

/** `+towgs84`, three or seven numbers: metres, arc-seconds, parts per million, position vector. */
function readShift(text: string | undefined, definition: unknown): HelmertParameters | undefined {
  if (text === undefined) return undefined;
  const parts = text.split(",");
  const n = parts.map(Number);
  if ((n.length !== 3 && n.length !== 7) || parts.some((part) => part.trim() === "") || !n.every(Number.isFinite)) {
    throw unknown(definition, `has +towgs84=${text}, needs three or seven numbers`);
  }
  return {
    translation: [n[0]!, n[1]!, n[2]!],
    rotation: [degreesFromArcSeconds(n[3] ?? 0), degreesFromArcSeconds(n[4] ?? 0), degreesFromArcSeconds(n[5] ?? 0)],
    scale: (n[6] ?? 0) * 1e-6,
    convention: "position-vector",
  };
}

function isZero(shift: HelmertParameters): boolean {
  return shift.translation.every((v) => v === 0) && (shift.rotation ?? []).every((v) => v === 0) && !shift.scale;
}

function write(name: string, value: string): string {
  return value === "" ? `+${name}` : `+${name}=${value}`;
}

function unknown(definition: unknown, why: string): FeeringError {
  const shown = typeof definition === "string" ? JSON.stringify(definition.slice(0, 80)) : String(definition);
  return new FeeringError("unknown-crs", `definition ${shown} ${why}`, { argument: "definition", value: definition });
}
