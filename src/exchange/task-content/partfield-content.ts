import { FeeringError, requireList, requireObject, requirePoints } from "../../errors/index.js";
import type { LocalFrame } from "../../frames/index.js";
import { difference, polygonArea, type Polygon } from "../../geometry/index.js";
import type { GuidancePattern } from "../../guidance/index.js";
import { toGeographicPolygon, toLocalPolygon } from "../local.js";
import type {
  GuidanceAllocation,
  GuidancePatternData,
  GuidanceShiftData,
  Partfield,
  TaskLineString,
  TaskPolygon,
  TaskPolygonType,
} from "../task-data/index.js";
import { fromPatternData, toPatternData } from "./pattern-data.js";
import { within } from "./within.js";

/** What {@link toPartfield} makes a PFD of. Shapes are metres in the frame. */
export interface PartfieldContent {
  /** name of the field, 32 characters at most */
  readonly name: string;
  /** the field, obstacles as holes */
  readonly field: readonly Polygon[];
  /** the headland; default none */
  readonly headland?: readonly Polygon[];
  /** what remains within the headland; default none */
  readonly mainfield?: readonly Polygon[];
  /** ground never to be worked, beside waterways say; default none */
  readonly bufferZones?: readonly Polygon[];
  /** patterns, as one guidance group; default none */
  readonly patterns?: readonly GuidancePattern[];
}

/** Ids of {@link toPartfield}, where others are to refer to what it makes; without them `writeTaskData` gives some. */
export interface PartfieldIds {
  /** of the field: `PFD1` */
  readonly partfield?: string;
  /** of the guidance group: `GGP1` */
  readonly group?: string;
  /** of the patterns in their order: `GPN1` */
  readonly patterns?: readonly string[];
}

/**
 * A field as PFD of ISO 11783-10: polygons of its boundary (obstacles as interiors), headland, mainfield and buffer zones, each with its area on the plan,
 * and a guidance group.
 *
 * @param frame - the field's frame
 * @param content - name and shapes
 * @param ids - ids that others refer to
 * @returns plain data: places to 1e-9 degrees when written, areas to 1 m²
 * @throws `FeeringError` with the path: `not-finite`, `too-few-points`, `out-of-range` for shapes that are none; what {@link toPatternData} throws
 * @example
 * ```ts
 * const text = writeTaskData({ origin: "management", partfields: [toPartfield(frame, { name: "Long Acre", field })] });
 * ```
 */
export function toPartfield(frame: LocalFrame, content: PartfieldContent, ids: PartfieldIds = {}): Partfield {
  requireObject(frame, "frame");
  requireObject(content, "content");
  requireObject(ids, "ids");
  const { name, field, headland = [], mainfield = [], bufferZones = [], patterns = [] } = content;
  const surfaces: readonly (readonly [TaskPolygonType, readonly Polygon[], string])[] = [
    ["partfield-boundary", field, "field"],
    ["headland", headland, "headland"],
    ["mainfield", mainfield, "mainfield"],
    ["buffer-zone", bufferZones, "bufferZones"],
  ];
  const polygons = surfaces.flatMap(([type, list, path]) => {
    requireList(list, `content.${path}`);
    return list.map((polygon, i) => within(`content.${path}[${i}]`, () => surface(frame, type, polygon)));
  });
  requireList(patterns, "content.patterns");
  const group = {
    ...(ids.group === undefined ? {} : { id: ids.group }),
    patterns: patterns.map((pattern, i) =>
      within(`content.patterns[${i}]`, () => toPatternData(frame, pattern, ids.patterns?.[i])),
    ),
    boundaries: [],
  };
  return {
    ...(ids.partfield === undefined ? {} : { id: ids.partfield }),
    designator: name,
    area: field.reduce((sum, polygon) => sum + polygonArea(polygon), 0),
    polygons,
    lineStrings: [],
    points: [],
    guidanceGroups: patterns.length === 0 ? [] : [group],
  };
}

/** A pattern of a field, and where it comes from. */
export interface PartfieldPattern {
  /** id of the pattern in the document */
  readonly id?: string;
  /** id of its group */
  readonly group?: string;
  /** the pattern */
  readonly pattern: GuidancePattern;
}

/** A pattern that none could be made of. */
export interface RefusedPattern {
  /** id of the pattern in the document */
  readonly id?: string;
  /** why not */
  readonly reason: string;
}

/** What {@link fromPartfield} finds: every list is there, empty where there is nothing. Shapes are metres in the frame. */
export interface PartfieldFound extends Required<Omit<PartfieldContent, "patterns">> {
  /** obstacles, water, buildings, roads and windbreaks that have polygons of their own; they are taken out of `field` already */
  readonly obstacles: readonly Polygon[];
  /** patterns of all groups */
  readonly patterns: readonly PartfieldPattern[];
  /** patterns that none could be made of */
  readonly refused: readonly RefusedPattern[];
  /** polygons of other kinds, as they stand: treatment zones, flags */
  readonly others: readonly TaskPolygon[];
}

/** Settings of {@link fromPartfield}. */
export interface FromPartfieldOptions {
  /** guidance that a task allocates: the move of a pattern, else of its group, is put into it; the last one counts. Default patterns as they were recorded */
  readonly allocations?: readonly GuidanceAllocation[];
  /** distance of passes where a pattern has none, metres; default such patterns are refused */
  readonly swathWidth?: number;
}

/**
 * The way back from {@link toPartfield}, and from fields of other makers: the field is its boundary without interiors, obstacles, water, buildings, roads and
 * windbreaks, as the standard has it.
 *
 * @param frame - the frame to bring all into
 * @param partfield - from `readTaskData`
 * @param options - moves, swath width
 * @returns plain data; a pattern that can't be read is told in `refused`, and keeps nothing else from being read
 * @throws `FeeringError` what `toLocalPolygon` throws, `boolean-failed` where obstacles can't be taken out
 * @example
 * ```ts
 * const { partfields } = readTaskData(bytes);
 * const frame = localFrame(partfields[0].polygons[0].exterior.points[0]);
 * const { field, patterns } = fromPartfield(frame, partfields[0]);
 * ```
 */
export function fromPartfield(
  frame: LocalFrame,
  partfield: Partfield,
  options: FromPartfieldOptions = {},
): PartfieldFound {
  requireObject(frame, "frame");
  requireObject(partfield, "partfield");
  requireObject(options, "options");
  const found = { field: [], obstacles: [], headland: [], mainfield: [], bufferZones: [] } as Record<
    Surface,
    Polygon[]
  >;
  const others: TaskPolygon[] = [];
  requireList(partfield.polygons, "partfield.polygons");
  partfield.polygons.forEach((polygon, i) => {
    const list = SURFACES.get(polygon.type);
    if (list === undefined) others.push(polygon);
    else found[list].push(within(`partfield.polygons[${i}]`, () => localPolygon(frame, polygon)));
  });
  const patterns: PartfieldPattern[] = [];
  const refused: RefusedPattern[] = [];
  requireList(partfield.guidanceGroups, "partfield.guidanceGroups");
  for (const { id: group, patterns: list } of partfield.guidanceGroups) {
    for (const data of list) {
      const named = data.id === undefined ? {} : { id: data.id };
      const shift = shiftFor(data, group, options.allocations ?? []);
      const { swathWidth } = options;
      const given = { ...(shift === undefined ? {} : { shift }), ...(swathWidth === undefined ? {} : { swathWidth }) };
      try {
        const pattern = fromPatternData(frame, data, given);
        patterns.push({ ...named, ...(group === undefined ? {} : { group }), pattern });
      } catch (error) {
        if (!(error instanceof FeeringError)) throw error;
        refused.push({ ...named, reason: error.message });
      }
    }
  }
  const { field, obstacles } = found;
  return {
    name: partfield.designator,
    ...found,
    field: field.length > 0 && obstacles.length > 0 ? difference(field, obstacles) : field,
    patterns,
    refused,
    others,
  };
}

type Surface = "field" | "obstacles" | "headland" | "mainfield" | "bufferZones";

const SURFACES: ReadonlyMap<unknown, Surface> = new Map<unknown, Surface>([
  ["partfield-boundary", "field"],
  ["water-surface", "obstacles"],
  ["building", "obstacles"],
  ["road", "obstacles"],
  ["obstacle", "obstacles"],
  ["windbreak", "obstacles"],
  ["headland", "headland"],
  ["mainfield", "mainfield"],
  ["buffer-zone", "bufferZones"],
]);

function surface(frame: LocalFrame, type: TaskPolygonType, polygon: Polygon): TaskPolygon {
  requireObject(polygon, "polygon");
  requirePoints(polygon.exterior, "exterior", 3);
  const { exterior, holes } = toGeographicPolygon(frame, polygon);
  const ring = (kind: "exterior" | "interior", positions: typeof exterior): TaskLineString => ({
    type: kind,
    points: positions.slice(0, -1).map(({ latitude, longitude }) => ({ type: "other", latitude, longitude })),
  });
  return {
    type,
    area: polygonArea(polygon),
    exterior: ring("exterior", exterior),
    interiors: holes.map((hole) => ring("interior", hole)),
  };
}

function localPolygon(frame: LocalFrame, { exterior, interiors }: TaskPolygon): Polygon {
  return toLocalPolygon(frame, { exterior: exterior.points, holes: interiors.map(({ points }) => points) });
}

function shiftFor(
  { id }: GuidancePatternData,
  group: string | undefined,
  allocations: readonly GuidanceAllocation[],
): GuidanceShiftData | undefined {
  let own: GuidanceShiftData | undefined;
  let whole: GuidanceShiftData | undefined;
  for (const allocation of allocations) {
    for (const shift of allocation.shifts) {
      if (shift.pattern !== undefined) own = shift.pattern === id ? shift : own;
      else if ((shift.group ?? allocation.group) === group) whole = shift;
    }
  }
  return own ?? whole;
}
