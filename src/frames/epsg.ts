import { degreesFromArcSeconds, type HelmertParameters } from "./helmert.js";

/** A frame that grids are drawn in, and what it costs to take a receiver's WGS 84 for it. */
export interface DatumFrame {
  readonly name: string;
  /** metres between it and the ITRF that WGS 84 follows, rounded up, as of 2026 and for a few years on; 0 for WGS 84 itself */
  readonly metres: number;
}

/** A grid of the built-in table. */
export interface EpsgEntry {
  readonly name: string;
  /** proj string without any datum: projection and ellipsoid alone */
  readonly text: string;
  readonly frame: DatumFrame;
  /** from the grid's own datum to the frame, where the two differ */
  readonly shift?: HelmertParameters;
  /** metres, of the shift: EPSG's figure, or the larger one seen against the official grid of shifts */
  readonly shiftMetres?: number;
}

/*
 * plate motion since each frame was fixed: ITRF2014 model (Altamimi et al. 2017, doi 10.1093/gji/ggx136) by PROJ 9.1.1:
 * ETRF2014 0.89 m at 52N 5E in 2026, growing 2.4 cm a year; NAD83(2011) 1.36 m at 42N 93W, up to 2 m; GDA94 1.8 m to
 * GDA2020 (ICSM) and that 0.34 m in six years; Brazil and Argentina 1.2 cm a year. NZGD2000: 26 years of about 4 cm, from memory.
 */
const WGS: DatumFrame = { name: "WGS 84", metres: 0 };
const ETRS: DatumFrame = { name: "ETRS89", metres: 1 };
const NAD: DatumFrame = { name: "NAD83", metres: 2 };
const GDA94: DatumFrame = { name: "GDA94", metres: 2.5 };
const GDA2020: DatumFrame = { name: "GDA2020", metres: 0.5 };
const NZGD: DatumFrame = { name: "NZGD2000", metres: 1.5 };
const SIRGAS: DatumFrame = { name: "SIRGAS 2000", metres: 0.5 };
const POSGAR: DatumFrame = { name: "POSGAR 2007", metres: 0.5 };

/** The frame that a proj string's `+datum` names, where it is one that needs no shift. */
export function frameOfDatum(datum: string): DatumFrame | undefined {
  if (datum === "WGS84") return WGS;
  return datum === "NAD83" ? NAD : undefined;
}

/** EPSG:1777, DHDN to WGS 84 for the whole of western Germany; up to 3 m */
const DHDN = seven(598.1, 73.7, 418.2, 0.202, 0.045, -2.455, 6.7, "position-vector");

const SINGLE: Readonly<Record<number, EpsgEntry>> = {
  2056: {
    name: "CH1903+ / LV95",
    text: "+proj=somerc +lat_0=46.9524055555556 +lon_0=7.43958333333333 +k_0=1 +x_0=2600000 +y_0=1200000 +ellps=bessel",
    frame: ETRS,
    shift: { translation: [674.374, 15.056, 405.346], convention: "position-vector" },
    shiftMetres: 0.1,
  },
  2154: {
    name: "RGF93 / Lambert-93",
    text: "+proj=lcc +lat_0=46.5 +lon_0=3 +lat_1=49 +lat_2=44 +x_0=700000 +y_0=6600000 +ellps=GRS80",
    frame: ETRS,
  },
  2157: { name: "IRENET95 / Irish Transverse Mercator", text: tmerc(53.5, -8, 0.99982, 600000, 750000), frame: ETRS },
  2180: { name: "ETRF2000-PL / CS92", text: tmerc(0, 19, 0.9993, 500000, -5300000), frame: ETRS },
  2193: { name: "NZGD2000 / NZTM 2000", text: tmerc(0, 173, 0.9996, 1600000, 10000000), frame: NZGD },
  3006: { name: "SWEREF99 TM", text: utm(33), frame: ETRS },
  3035: {
    name: "ETRS89-extended / LAEA Europe",
    text: "+proj=laea +lat_0=52 +lon_0=10 +x_0=4321000 +y_0=3210000 +ellps=GRS80",
    frame: ETRS,
  },
  3067: { name: "ETRS89 / TM35FIN", text: utm(35), frame: ETRS },
  3857: { name: "WGS 84 / Pseudo-Mercator", text: "+proj=merc +lon_0=0 +k=1 +a=6378137 +b=6378137", frame: WGS },
  4647: { name: "ETRS89 / UTM zone 32N (zE-N)", text: tmerc(0, 9, 0.9996, 32500000, 0), frame: ETRS },
  5070: {
    name: "NAD83 / Conus Albers",
    text: "+proj=aea +lat_0=23 +lon_0=-96 +lat_1=29.5 +lat_2=45.5 +ellps=GRS80",
    frame: NAD,
  },
  5514: {
    name: "S-JTSK / Krovak East North",
    text: "+proj=krovak +lat_0=49.5 +lon_0=24.8333333333333 +alpha=30.2881397527778 +k=0.9999 +ellps=bessel",
    frame: ETRS,
    shift: seven(570.8, 85.7, 462.8, 4.998, 1.587, 5.261, 3.56, "position-vector"),
    shiftMetres: 1,
  },
  27700: {
    name: "OSGB36 / British National Grid",
    text: tmerc(49, -2, 0.9996012717, 400000, -100000, "+ellps=airy"),
    frame: ETRS,
    shift: seven(446.448, -125.157, 542.06, 0.15, 0.247, 0.842, -20.489, "position-vector"),
    // EPSG says 2 m; up to 2.4 m are seen against the grid OSTN15
    shiftMetres: 3,
  },
  28992: {
    name: "Amersfoort / RD New",
    text: "+proj=sterea +lat_0=52.1561605555556 +lon_0=5.38763888888889 +k=0.9999079 +x_0=155000 +y_0=463000 +ellps=bessel",
    frame: ETRS,
    shift: seven(
      565.7381,
      50.4018,
      465.2904,
      0.395025981036064,
      -0.330772431242031,
      1.87607329462821,
      4.07244,
      "coordinate-frame",
    ),
    shiftMetres: 0.25,
  },
  31370: {
    name: "BD72 / Belgian Lambert 72",
    text: "+proj=lcc +lat_0=90 +lon_0=4.36748666666667 +lat_1=51.1666672333333 +lat_2=49.8333339 +x_0=150000.013 +y_0=5400088.438 +ellps=intl",
    frame: ETRS,
    shift: seven(-106.8686, 52.2978, -103.7239, -0.3366, 0.457, -1.8422, -1.2747, "coordinate-frame"),
    shiftMetres: 0.2,
  },
};

/** A family of zones: EPSG code and zone count up together. */
interface Family {
  readonly first: number;
  readonly last: number;
  /** zone of the first code */
  readonly zone: number;
  readonly name: string;
  readonly suffix: string;
  readonly frame: DatumFrame;
  readonly text: (zone: number) => string;
  readonly shift?: HelmertParameters;
  readonly shiftMetres?: number;
}

const FAMILIES: readonly Family[] = [
  { first: 32601, last: 32660, zone: 1, name: "WGS 84 / UTM zone", suffix: "N", frame: WGS, text: wgsNorth },
  { first: 32701, last: 32760, zone: 1, name: "WGS 84 / UTM zone", suffix: "S", frame: WGS, text: wgsSouth },
  { first: 25828, last: 25838, zone: 28, name: "ETRS89 / UTM zone", suffix: "N", frame: ETRS, text: utm },
  { first: 26901, last: 26923, zone: 1, name: "NAD83 / UTM zone", suffix: "N", frame: NAD, text: utm },
  { first: 28348, last: 28358, zone: 48, name: "GDA94 / MGA zone", suffix: "", frame: GDA94, text: utmSouth },
  { first: 7846, last: 7859, zone: 46, name: "GDA2020 / MGA zone", suffix: "", frame: GDA2020, text: utmSouth },
  { first: 31978, last: 31985, zone: 18, name: "SIRGAS 2000 / UTM zone", suffix: "S", frame: SIRGAS, text: utmSouth },
  {
    first: 5343,
    last: 5349,
    zone: 1,
    name: "POSGAR 2007 / Argentina",
    suffix: "",
    frame: POSGAR,
    text: (zone) => tmerc(-90, 3 * zone - 75, 1, zone * 1e6 + 5e5, 0, "+ellps=WGS84"),
  },
  {
    first: 31466,
    last: 31469,
    zone: 2,
    name: "DHDN / 3-degree Gauss-Krueger zone",
    suffix: "",
    frame: ETRS,
    text: (zone) => tmerc(0, 3 * zone, 1, zone * 1e6 + 5e5, 0, "+ellps=bessel"),
    shift: DHDN,
    shiftMetres: 3,
  },
];

/**
 * Look a code up in the built-in table.
 *
 * @param code - the number behind `EPSG:`
 */
export function epsgEntry(code: number): EpsgEntry | undefined {
  const single = Object.hasOwn(SINGLE, code) ? SINGLE[code] : undefined;
  if (single !== undefined) return single;
  for (const family of FAMILIES) {
    if (code < family.first || code > family.last) continue;
    const zone = family.zone + code - family.first;
    return {
      name: `${family.name} ${zone}${family.suffix}`,
      text: family.text(zone),
      frame: family.frame,
      ...(family.shift === undefined ? {} : { shift: family.shift }),
      ...(family.shiftMetres === undefined ? {} : { shiftMetres: family.shiftMetres }),
    };
  }
  return undefined;
}

function utm(zone: number): string {
  return `+proj=utm +zone=${zone} +ellps=GRS80`;
}

function utmSouth(zone: number): string {
  return `+proj=utm +zone=${zone} +south +ellps=GRS80`;
}

function wgsNorth(zone: number): string {
  return `+proj=utm +zone=${zone} +ellps=WGS84`;
}

function wgsSouth(zone: number): string {
  return `+proj=utm +zone=${zone} +south +ellps=WGS84`;
}

function tmerc(lat0: number, lon0: number, k: number, x0: number, y0: number, ellipsoid = "+ellps=GRS80"): string {
  return `+proj=tmerc +lat_0=${lat0} +lon_0=${lon0} +k=${k} +x_0=${x0} +y_0=${y0} ${ellipsoid}`;
}

/** Seven parameters as they are published: metres, arc-seconds, parts per million. */
function seven(
  tx: number,
  ty: number,
  tz: number,
  rx: number,
  ry: number,
  rz: number,
  ppm: number,
  convention: HelmertParameters["convention"],
): HelmertParameters {
  return {
    translation: [tx, ty, tz],
    rotation: [degreesFromArcSeconds(rx), degreesFromArcSeconds(ry), degreesFromArcSeconds(rz)],
    scale: ppm * 1e-6,
    convention,
  };
}
