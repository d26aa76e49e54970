import { FeeringError, requireList, requireObject } from "../../errors/index.js";
import type { LocalFrame } from "../../frames/index.js";
import type { Polygon } from "../../geometry/index.js";
import { checkLine } from "../../guidance/check-line.js";
import {
  type GuidancePattern,
  guidancePattern,
  type PatternOptions,
  type ReferenceLine,
} from "../../guidance/index.js";
import type { JobTotals, PassReport, SwitchEvent } from "../../job/index.js";
import type { GeoData, GeoField, GeoLine, GeoPoint } from "../geo-data.js";
import { isObject, mapEvery } from "../json-value.js";
import { toLocalLine, toLocalPolygon } from "../local.js";
import { isSectionReason } from "../section-reasons.js";
import type { FieldContent, FieldPass, FieldReport, FieldRound } from "./field-content.js";
import { Properties } from "./properties.js";

/** What {@link readFieldFeatures} finds: every list is there, empty where there is nothing. */
export interface FieldContents extends Required<Omit<FieldContent, "name" | "report" | "rounds">> {
  /** name of the field, where it has one */
  readonly name?: string;
  /** what was done, where it says so */
  readonly report?: FieldReport;
  /** rounds of the headland */
  readonly rounds: readonly FieldRound[];
  /** features whose `kind` is none of these, or that have none: fields of other programs, say */
  readonly others: GeoData;
}

/**
 * The way back from {@link fieldFeatures}: features with a `kind` as fields, lines, patterns, passes, rounds, ground worked, orders to
 * sections and a record. Lines and patterns are checked as their makers do. Several fields, headlands and so on come together
 * in one list; the name is that of the first. Lines that are kept as a place (`a-plus`, `pivot`, `spiral`) come after the others.
 *
 * Headings are rounded to 1e-9 degrees.
 *
 * A property may stand as text where it is a number or a truth value, as formats without types give it.
 *
 * @param frame - the frame to bring all into; it need not be the one that it was written from
 * @param data - from `readGeoJson`, `readKml` and the like
 * @returns plain data, metres; features of other kinds in `others`
 * @throws `FeeringError` `bad-format` for a property that is missing or not what it should be, with its path, such as
 * `lines[3].properties.swathWidth`; what the makers of lines and patterns throw, likewise
 */
export function readFieldFeatures(frame: LocalFrame, data: GeoData): FieldContents {
  requireObject(frame, "frame");
  requireObject(data, "data");
  const found = {
    field: [] as Polygon[],
    headland: [] as Polygon[],
    mainfield: [] as Polygon[],
    worked: [] as Polygon[],
    workedTwice: [] as Polygon[],
    lines: [] as ReferenceLine[],
    patterns: [] as GuidancePattern[],
    passes: [] as FieldPass[],
    rounds: [] as FieldRound[],
    switchings: [] as SwitchEvent[],
  };
  const others = {
    fields: [] as GeoField[],
    lines: [] as GeoLine[],
    points: [] as GeoPoint[],
    withoutGeometry: data.withoutGeometry ?? 0,
  };
  let name: string | undefined;
  let report: FieldReport | undefined;
  const reference = (properties: Properties, positions: GeoLine["positions"]): void => {
    const line = referenceLine(frame, properties, positions);
    if (properties.has("swathWidth")) found.patterns.push(pattern(properties, line));
    else found.lines.push(line);
  };

  each(data.fields, "fields", (feature, properties) => {
    const list = SURFACES.get(properties.kind);
    if (list === undefined) return void others.fields.push(feature);
    if (list === "field") name ??= properties.textOr("name");
    requireList(feature.polygons, `${properties.path}.polygons`);
    for (const polygon of feature.polygons) found[list].push(properties.within(() => toLocalPolygon(frame, polygon)));
  });
  each(data.lines, "lines", (feature, properties) => {
    const points = (): FieldPass["points"] => properties.within(() => toLocalLine(frame, feature.positions));
    if (properties.kind === "reference-line") reference(properties, feature.positions);
    else if (properties.kind === "pass") {
      const line = { id: properties.textOr("lineId"), name: properties.textOr("lineName") };
      found.passes.push({ pass: properties.integer("pass"), line: defined(line), points: points() });
    } else if (properties.kind === "round") found.rounds.push(round(properties, points()));
    else others.lines.push(feature);
  });
  each(data.points, "points", (feature, properties) => {
    if (properties.kind === "reference-line") reference(properties, [feature.position]);
    else if (properties.kind === "switching") {
      found.switchings.push(switching(frame, properties, feature.position));
    } else if (properties.kind === "record") report ??= record(properties);
    else others.points.push(feature);
  });
  return {
    ...found,
    ...(name === undefined ? {} : { name }),
    ...(report === undefined ? {} : { report }),
    others,
  };
}

type Surface = "field" | "headland" | "mainfield" | "worked" | "workedTwice";

const SURFACES: ReadonlyMap<unknown, Surface> = new Map<unknown, Surface>([
  ["field", "field"],
  ["headland", "headland"],
  ["mainfield", "mainfield"],
  ["worked", "worked"],
  ["worked-twice", "workedTwice"],
]);

function each<T extends { readonly properties: GeoField["properties"] }>(
  features: readonly T[],
  list: string,
  take: (feature: T, properties: Properties) => void,
): void {
  requireList(features, `data.${list}`);
  mapEvery(features, (item, i) => {
    requireObject(item, `data.${list}[${i}]`);
    const feature = item as T;
    take(feature, new Properties(feature.properties, `${list}[${i}]`));
  });
}

function referenceLine(frame: LocalFrame, properties: Properties, positions: GeoLine["positions"]): ReferenceLine {
  const points = properties.within(() => toLocalLine(frame, positions));
  const kind = properties.text("line");
  if (kind === "closed") points.pop();
  // to 1e-9 degrees: what comes of turning to and fro is taken off, so that 0 is not 359.9999999999
  const heading = (name: string): number =>
    Number(frame.headingToLocal(properties.number(name), positions[0]!).toFixed(9)) % 360;
  const labels = defined({
    id: properties.textOr("id"),
    name: properties.textOr("name"),
    note: properties.textOr("note"),
  });
  const line: Record<string, unknown> = { kind, points, ...labels };
  if (kind === "a-plus") line["heading"] = heading("heading");
  if (kind === "curve") line["departure"] = properties.has("departure") ? properties.number("departure") : 0;
  if (kind === "pivot" || kind === "spiral") {
    line["rotation"] = properties.text("rotation");
    line["start"] = heading("start");
    if (properties.has("end")) line["end"] = heading("end");
    for (const name of kind === "pivot" ? ["radius"] : ["startRadius", "endRadius", "pitch"]) {
      line[name] = properties.number(name);
    }
  }
  return properties.within(() => checkLine(line as unknown as ReferenceLine, "line"));
}

function pattern(properties: Properties, line: ReferenceLine): GuidancePattern {
  const options: Record<string, unknown> = {
    shift: { east: properties.numberOr("shiftEast") ?? 0, north: properties.numberOr("shiftNorth") ?? 0 },
  };
  for (const name of ["swathWidth", "swathsLeft", "swathsRight", "firstPassOffset", "firstPass"]) {
    if (properties.has(name)) options[name] = properties.number(name);
  }
  for (const name of ["propagation", "extension"]) if (properties.has(name)) options[name] = properties.text(name);
  return properties.within(() => guidancePattern(line, options as unknown as PatternOptions));
}

function switching(frame: LocalFrame, properties: Properties, position: GeoPoint["position"]): SwitchEvent {
  const [x, y] = properties.within(() => toLocalLine(frame, [position]))[0]!;
  return {
    time: properties.number("time"),
    exactTime: properties.number("exactTime"),
    boom: properties.integer("boom"),
    section: properties.integer("section"),
    on: properties.truth("on"),
    reason: properties.oneOf("reason", isSectionReason),
    pass: properties.integer("pass"),
    x,
    y,
  };
}

const isSource = (text: string): text is FieldRound["source"] => ["boundary", "obstacle", "side"].includes(text);
const isRoundReason = (text: string): text is NonNullable<FieldRound["reason"]> =>
  text === "too-narrow" || text === "tight-turn";

function round(properties: Properties, line: FieldRound["line"]): FieldRound {
  return {
    line,
    closed: properties.truth("closed"),
    source: properties.oneOf("source", isSource),
    index: properties.integer("index"),
    obstacles: mapEvery(properties.list("obstacles"), (value, i) => properties.numberOf(value, `obstacles[${i}]`)),
    number: properties.integer("number"),
    distance: properties.number("distance"),
    drivable: properties.truth("drivable"),
    ...(properties.has("reason") ? { reason: properties.oneOf("reason", isRoundReason) } : {}),
  };
}

const LABELS = ["field", "farm", "crop", "operation", "operator", "product", "notes"] as const;

const TOTALS = [
  "distance",
  "distanceWorked",
  "time",
  "timeWorked",
  "workedArea",
  "overlapArea",
  "workRate",
  "fixes",
  "switches",
] as const satisfies readonly (keyof JobTotals)[];

const PASS_NUMBERS = ["pass", "length", "meanError", "error95", "workedArea", "overlapArea", "switches"] as const;

function record(properties: Properties): FieldReport {
  const labels = Object.fromEntries(LABELS.map((name) => [name, properties.textOr(name)]));
  return {
    labels: defined(labels),
    startTime: properties.number("startTime"),
    endTime: properties.number("endTime"),
    totals: Object.fromEntries(TOTALS.map((name) => [name, properties.number(name)])) as unknown as JobTotals,
    workedTwiceArea: properties.number("workedTwiceArea"),
    passes: mapEvery(properties.list("passes"), (value, i) => {
      const path = `${properties.path}.properties.passes[${i}]`;
      if (!isObject(value)) throw new FeeringError("bad-format", `${path} is no object`, { argument: path, value });
      const row = new Properties(value, path, "");
      const of = new Properties(isObject(value["line"]) ? value["line"] : {}, `${path}.line`, "");
      return {
        line: defined({ id: of.textOr("id"), name: of.textOr("name") }),
        ...Object.fromEntries(PASS_NUMBERS.map((name) => [name, row.number(name)])),
      } as PassReport;
    }),
  };
}

function defined<T extends Record<string, unknown>>(properties: T): { [K in keyof T]?: Exclude<T[K], undefined> } {
  return Object.fromEntries(Object.entries(properties).filter(([, value]) => value !== undefined)) as {
    [K in keyof T]?: Exclude<T[K], undefined>;
  };
}
