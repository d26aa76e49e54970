import { epsgEntry } from "../../frames/epsg.js";
import type { HelmertParameters } from "../../frames/index.js";

/** How a datum that a `.prj` file names lies against WGS 84. */
export interface WktDatum {
  /** `wgs84`, `nad83`, `modern`: the frames of satellite times, taken as equal to WGS 84; `shifted`: by known parameters */
  readonly kind: "wgs84" | "nad83" | "modern" | "shifted";
  readonly shift?: HelmertParameters;
  /** metres, of the shift */
  readonly shiftMetres?: number;
}

/**
 * Beginnings of the names of datums that are realisations of the ITRS or of a frame fixed to a plate that differs by no more
 * than two or three metres, as ESRI and EPSG write them, without `D_` and signs.
 *
 * EPSG dataset 10.076: those on GRS 1980 or WGS 84 for which it lists a null transformation to WGS 84. GRS 1980 alone says nothing:
 * Israel 1993, GGRS87 and Vietnam 2000 stand on it, or on WGS 84, and are 80 to 200 m away.
 */
const MODERN = (
  "etrs1989 etrs89 etrf europeanterrestrialreference itrf internationalterrestrialreference igs0 igs1 igb " +
  "gda1994 gda2020 geocentricdatumofaustralia nzgd2000 newzealandgeodeticdatum2000 " +
  "sirgas sistemadereferenciageocentrico posgar posicionesgeodesicasargentinas magna marcogeocentriconacional " +
  "peru96 regven redgeodesicavenezolana mexicoitrf mexicandatumof1993 marcogeodesiconacional " +
  "jgd2000 jgd2011 japanesegeodeticdatum20 korea2000 geocentricdatumofkorea china2000 cgcs2000 " +
  "chinageodeticcoordinatesystem2000 twd1997 taiwandatum1997 gdm2000 geodeticdatumofmalaysia2000 " +
  "hartebeesthoek1994 hartebeesthoek94 irenet95 sweref99 rgf1993 rgf93 reseaugeodesiquefrancais1993 " +
  "estonia1997 estonia1992 latvia1992 lithuania1994 igm1995 istitutogeograficomilitaire1995 " +
  "retedinamicanazionale2008 croatianterrestrialreferencesystem sloveniageodeticdatum1996 " +
  "swisstrf1995 chtrf1995 swissterrestrialreferencesystem1995 serbianreferencenetwork1998 serbianspatialreference " +
  "kosovoreferencesystem2001 moldref99 turkishnationalreferenceframe bulgariageodeticsystem2005 " +
  "redgeodesicadecanarias1995 ptra08 autonomousregionsofportugal2008 islandsnet fehmarnbeltdatum2010"
).split(" ");
const WGS84 = ["wgs1984", "wgs84", "worldgeodeticsystem1984"];
const NAD83 = ["northamerican1983", "nad1983", "nad83", "northamericandatum1983", "northamericandatumof1983"];

/** Datums with parameters in the built-in table, and an entry that has them. */
const SHIFTED: Readonly<Record<string, number>> = {
  amersfoort: 28992,
  osgb1936: 27700,
  osgb36: 27700,
  ordnancesurveyofgreatbritain1936: 27700,
  "ch1903+": 2056,
  belge1972: 31370,
  reseaunationalbelge1972: 31370,
  deutscheshauptdreiecksnetz: 31467,
  sjtsk: 5514,
  systemoftheunifiedtrigonometricalcadastralnetwork: 5514,
};

/** What is known of a datum; undefined for one that is not. */
export function wktDatum(name: string): WktDatum | undefined {
  let plain = "";
  for (const letter of name.toLowerCase()) {
    if ((letter >= "a" && letter <= "z") || (letter >= "0" && letter <= "9") || letter === "+") plain += letter;
  }
  if (name.startsWith("D_") || name.startsWith("d_")) plain = plain.slice(1);
  const begins = (list: readonly string[]): boolean => list.some((start) => plain.startsWith(start));
  if (begins(WGS84)) return { kind: "wgs84" };
  if (begins(NAD83)) return { kind: "nad83" };
  if (begins(MODERN)) return { kind: "modern" };
  const code = Object.hasOwn(SHIFTED, plain) ? SHIFTED[plain] : undefined;
  const entry = code === undefined ? undefined : epsgEntry(code);
  if (entry?.shift === undefined || entry.shiftMetres === undefined) return undefined;
  return { kind: "shifted", shift: entry.shift, shiftMetres: entry.shiftMetres };
}
