import { type WktNode, WktProblem } from "./wkt.js";

/** How the parameters of a projection of WKT 1 become words of a proj string. */
interface Projection {
  readonly proj: string;
  /** parameter, lower case without signs, to its word; a word in capitals holds to the value behind it: `=90` */
  readonly words: Readonly<Record<string, string>>;
  /** words put behind */
  readonly also?: string;
  /** words that have to be there */
  readonly needs?: readonly string[];
}

const FALSE_ORIGIN = { falseeasting: "x_0", falsenorthing: "y_0" };
const MERIDIAN = {
  centralmeridian: "lon_0",
  longitudeofcenter: "lon_0",
  longitudeoforigin: "lon_0",
  longitudeofnaturalorigin: "lon_0",
};
const ORIGIN = { ...FALSE_ORIGIN, ...MERIDIAN, latitudeoforigin: "lat_0", latitudeofcenter: "lat_0" };
const SCALED = { ...ORIGIN, scalefactor: "k_0" };
const CONIC = { ...SCALED, standardparallel1: "lat_1", standardparallel2: "lat_2" };

const TRANSVERSE_MERCATOR: Projection = { proj: "tmerc", words: SCALED, needs: ["lon_0"] };
const LAMBERT: Projection = { proj: "lcc", words: CONIC, needs: ["lat_0", "lon_0"] };
const ALBERS: Projection = { proj: "aea", words: CONIC, needs: ["lat_1", "lat_2", "lon_0"] };
const STEREOGRAPHIC: Projection = { proj: "sterea", words: SCALED, needs: ["lat_0", "lon_0"] };
const MERCATOR = { ...FALSE_ORIGIN, ...MERIDIAN, latitudeoforigin: "=0" };
const POLAR = { ...FALSE_ORIGIN, ...MERIDIAN, scalefactor: "k_0" };

/** Projections by their names in WKT 1 of OGC and of ESRI, lower case without signs. */
const PROJECTIONS: Readonly<Record<string, Projection>> = {
  transversemercator: TRANSVERSE_MERCATOR,
  gausskruger: TRANSVERSE_MERCATOR,
  lambertconformalconic: LAMBERT,
  lambertconformalconic1sp: LAMBERT,
  lambertconformalconic2sp: LAMBERT,
  albers: ALBERS,
  albersconicequalarea: ALBERS,
  lambertazimuthalequalarea: { proj: "laea", words: ORIGIN, needs: ["lat_0", "lon_0"] },
  doublestereographic: STEREOGRAPHIC,
  obliquestereographic: STEREOGRAPHIC,
  stereographicnorthpole: { proj: "stere", words: { ...POLAR, standardparallel1: "lat_ts" }, also: "+lat_0=90" },
  stereographicsouthpole: { proj: "stere", words: { ...POLAR, standardparallel1: "lat_ts" }, also: "+lat_0=-90" },
  mercator: { proj: "merc", words: { ...MERCATOR, standardparallel1: "lat_ts" } },
  mercator1sp: { proj: "merc", words: { ...MERCATOR, scalefactor: "k_0" } },
  mercator2sp: { proj: "merc", words: { ...MERCATOR, standardparallel1: "lat_ts" } },
  mercatorauxiliarysphere: {
    proj: "merc",
    words: { ...MERCATOR, standardparallel1: "lat_ts", auxiliaryspheretype: "=0" },
  },
  // turned by 90 degrees it is the Swiss one
  hotineobliquemercatorazimuthcenter: {
    proj: "somerc",
    words: { ...SCALED, azimuth: "=90", rectifiedgridangle: "=90" },
    needs: ["lat_0", "lon_0"],
  },
  swissobliquecylindrical: { proj: "somerc", words: SCALED, needs: ["lat_0", "lon_0"] },
  krovak: {
    proj: "krovak",
    words: {
      ...SCALED,
      azimuth: "alpha",
      pseudostandardparallel1: "=78.5",
      xscale: "=-1",
      yscale: "=1",
      xyplanerotation: "=90",
    },
    needs: ["lat_0", "lon_0", "alpha", "=-1", "=90"],
  },
};

/** Whether a projection takes its ellipsoid for a sphere. */
export function onSphere(projection: string): boolean {
  return plainName(projection) === "mercatorauxiliarysphere";
}

/**
 * The words of a proj string for projection and parameters, without an ellipsoid.
 *
 * @param projection - name in the `PROJECTION` object
 * @param parameters - the `PARAMETER` objects
 * @param unit - metres of the grid's unit
 * @param degrees - degrees of the angular unit
 * @param meridian - degrees of the prime meridian
 * @throws WktProblem that names what is not understood
 */
export function projectionWords(
  projection: string,
  parameters: readonly WktNode[],
  unit: number,
  degrees: number,
  meridian: number,
): string {
  const name = plainName(projection);
  const known = Object.hasOwn(PROJECTIONS, name) ? PROJECTIONS[name]! : undefined;
  if (known === undefined) throw new WktProblem(`has the projection ${JSON.stringify(projection)}, not understood`);
  const found = new Map<string, number>();
  for (const { values } of parameters) {
    const [parameter, value] = values;
    if (typeof parameter !== "string" || typeof value !== "number") {
      throw new WktProblem("has a PARAMETER without a name and a number");
    }
    const plain = plainName(parameter);
    const word = Object.hasOwn(known.words, plain) ? known.words[plain]! : undefined;
    if (word === undefined || found.has(word)) {
      throw new WktProblem(`has the parameter ${JSON.stringify(parameter)} of ${projection}, not understood`);
    }
    if (word.startsWith("=") && Math.abs(value - Number(word.slice(1))) > 1e-9) {
      throw new WktProblem(`has ${parameter} of ${value}, of ${projection} only ${word.slice(1)} is understood`);
    }
    found.set(word, scaled(word, value, unit, degrees));
  }
  for (const word of known.needs ?? []) {
    if (!found.has(word)) throw new WktProblem(`has no parameter of ${projection} for ${word}`);
  }
  if (meridian !== 0) found.set("lon_0", (found.get("lon_0") ?? 0) + meridian);
  if (known.proj === "lcc" && !found.has("lat_1")) found.set("lat_1", found.get("lat_0")!);
  const words = [`+proj=${known.proj}`, ...(known.also === undefined ? [] : [known.also])];
  for (const [word, value] of found) if (!word.startsWith("=")) words.push(`+${word}=${value}`);
  return words.join(" ");
}

function scaled(word: string, value: number, unit: number, degrees: number): number {
  if (word === "x_0" || word === "y_0") return value * unit;
  return word === "k_0" || word.startsWith("=") ? value : value * degrees;
}

function plainName(name: string): string {
  let plain = "";
  for (const letter of name.toLowerCase()) {
    if ((letter >= "a" && letter <= "z") || (letter >= "0" && letter <= "9")) plain += letter;
  }
  return plain;
}
