import { FeeringError, requireList, requireObject } from "../../errors/index.js";
import type { LocalFrame } from "../../frames/index.js";
import { type Point, polygonArea, type Polygon } from "../../geometry/index.js";
import type { GuidancePattern, ReferenceLine } from "../../guidance/index.js";
import type { GeoData, GeoField, GeoLine, GeoPoint } from "../geo-data.js";
import { toGeographicLine, toGeographicPolygon } from "../local.js";
import type { FieldContent, FieldReport } from "./field-content.js";

/**
 * A field with all that belongs to it as features for any format: each has a property `kind`.
 *
 * | `kind` | shape | other properties |
 * |---|---|---|
 * | `field` | surface, obstacles as holes | `name`, `area` |
 * | `headland`, `mainfield` | surface | `area` |
 * | `worked`, `worked-twice` | surface | `area` |
 * | `reference-line` | line; the place of A or of the centre for `a-plus`, `pivot`, `spiral` | `line` (its kind: `ab`, `a-plus`, `curve`, `closed`, `pivot`, `spiral`), `id`, `name`, `note`, `heading`, `departure`, `radius`, `rotation`, `start`, `end`, `startRadius`, `endRadius`, `pitch`; with a pattern `swathWidth`, `propagation`, `extension`, `swathsLeft`, `swathsRight`, `shiftEast`, `shiftNorth`, `firstPassOffset`, `firstPass` |
 * | `pass` | line | `pass`, `lineId`, `lineName` |
 * | `round` | line | `number`, `source`, `index`, `obstacles`, `distance`, `closed`, `drivable`, `reason` |
 * | `switching` | place | `time`, `exactTime`, `boom`, `section`, `on`, `reason`, `pass` |
 * | `record` | place: the frame's origin | `startTime`, `endTime`, the labels, the totals, `workedTwiceArea`, `passes` (a list) |
 *
 * Names, units and signs are the library's own (m, m², s, m²/s); headings are true ones at their place, degrees. Areas are those of the plane.
 *
 * @param frame - the field's frame
 * @param content - what to write, metres
 * @returns data for `writeGeoJson`, `writeKml` or `writeGpx`; {@link readFieldFeatures} is the way back
 * @throws `FeeringError` `not-finite`, `out-of-range` or `too-few-points` with the path of what is no place or no list
 * @example
 * ```ts
 * const text = writeGeoJson(fieldFeatures(frame, { name: "Long Acre", field, patterns: [pattern], passes: fieldPassLines(pattern, field) }));
 * ```
 */
export function fieldFeatures(frame: LocalFrame, content: FieldContent): GeoData {
  requireObject(frame, "frame");
  requireObject(content, "content");
  const fields: GeoField[] = [];
  const lines: GeoLine[] = [];
  const points: GeoPoint[] = [];
  const surface = (
    kind: string,
    polygons: readonly Polygon[] | undefined,
    more: Record<string, unknown> = {},
  ): void => {
    const parts = list(polygons, kind).map((polygon) => toGeographicPolygon(frame, polygon));
    if (parts.length === 0) return;
    const area = polygons!.reduce((sum, polygon) => sum + polygonArea(polygon), 0);
    fields.push({ polygons: parts, properties: { kind, ...more, area } });
  };
  const line = (at: readonly Point[], properties: Record<string, unknown>): void => {
    lines.push({ positions: toGeographicLine(frame, at), properties: defined(properties) });
  };
  surface("field", content.field, content.name === undefined ? {} : { name: content.name });
  surface("headland", content.headland);
  surface("mainfield", content.mainfield);
  surface("worked", content.worked);
  surface("worked-twice", content.workedTwice);

  const reference = (made: ReferenceLine, pattern: Record<string, unknown>): void => {
    const { kind, points: vertices, ...rest } = made as ReferenceLine & Record<string, unknown>;
    const properties: Record<string, unknown> = { kind: "reference-line", line: kind, ...rest, ...pattern };
    // found again from the ring
    delete properties["inradius"];
    if (kind === "ab" || kind === "curve") return line(vertices, properties);
    if (kind === "closed") return line([...vertices, vertices[0]!], properties);
    const position = toGeographicLine(frame, vertices)[0]!;
    for (const name of ["heading", "start", "end"]) {
      if (properties[name] !== undefined) properties[name] = frame.headingToTrue(properties[name] as number, position);
    }
    points.push({ position, properties: defined(properties) });
  };
  list(content.patterns, "patterns").forEach((pattern) => reference(pattern.line, ruleOf(pattern)));
  list(content.lines, "lines").forEach((made) => reference(made, {}));
  list(content.passes, "passes").forEach(({ pass, line: of, points: at }) =>
    line(at, { kind: "pass", pass, lineId: of?.id, lineName: of?.name }),
  );
  list(content.rounds, "rounds").forEach((round) => {
    const { number, source, index, obstacles, distance, closed, drivable, reason } = round;
    line(round.line, { kind: "round", number, source, index, obstacles, distance, closed, drivable, reason });
  });
  list(content.switchings, "switchings").forEach(({ x, y, ...rest }) => {
    points.push({ position: toGeographicLine(frame, [[x, y]])[0]!, properties: { kind: "switching", ...rest } });
  });
  if (content.report !== undefined) {
    points.push({ position: frame.origin, properties: { kind: "record", ...recordOf(content.report) } });
  }
  return { fields, lines, points, withoutGeometry: 0 };
}

function ruleOf({ line: _, shift, ...rest }: GuidancePattern): Record<string, unknown> {
  return { ...rest, shiftEast: shift.east, shiftNorth: shift.north };
}

function recordOf(report: FieldReport): Record<string, unknown> {
  requireObject(report, "content.report");
  const { labels, startTime, endTime, totals, workedTwiceArea, passes } = report;
  return { ...defined({ ...labels }), startTime, endTime, ...totals, workedTwiceArea, passes };
}

function list<T>(value: readonly T[] | undefined, name: string): readonly T[] {
  if (value === undefined) return [];
  requireList(value, `content.${name}`);
  value.forEach((member, i) => {
    if (typeof member === "object" && member !== null) return;
    throw new FeeringError("not-finite", `content.${name}[${i}] is no object`, {
      argument: `content.${name}`,
      index: i,
      value: member,
    });
  });
  return value;
}

function defined(properties: Record<string, unknown>): Record<string, unknown> {
  return Object.fromEntries(Object.entries(properties).filter(([, value]) => value !== undefined));
}
