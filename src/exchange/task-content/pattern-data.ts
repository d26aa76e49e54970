import { FeeringError, requireObject } from "../../errors/index.js";
import type { GeographicPosition, LocalFrame } from "../../frames/index.js";
import { headingBetween, type Point, RADIANS } from "../../geometry/index.js";
import { checkLine } from "../../guidance/check-line.js";
import { type GuidancePattern, guidancePattern, type ReferenceLine } from "../../guidance/index.js";
import { toGeographicLine } from "../local.js";
import type { GuidancePatternData, GuidanceShiftData, TaskPoint, TaskPointType } from "../task-data/index.js";
import { readLine } from "./read-line.js";
import { shiftOf } from "./shift-data.js";
import { spiralTrace } from "./spiral-trace.js";

/**
 * A guidance pattern as GPN of ISO 11783-10. Its line is as it was recorded: what the pattern was moved by is told by a task (`toShiftData`).
 *
 * | line | GPN | points |
 * |---|---|---|
 * | AB, A+ | 1, 2, with the heading | A and B; A |
 * | curve | 3 | A, guidance points, B |
 * | closed line | 3 | its first point again at the end |
 * | circle | 4, full circle; counter-clockwise: option 2 and no B | centre, A where it starts |
 * | arc | 4, clockwise or counter-clockwise | centre, A, B |
 * | spiral | 5 | centre, A, points on it that chords of depart by 1 cm at the most, B |
 *
 * The number of its first pass, the line's note, an `id` that is no GPN id and the `departure` of a curve have no place there.
 *
 * @param frame - the frame of the pattern
 * @param pattern - checked as `guidancePattern` does
 * @param id - `GPN1`; default the line's own id where it is one, else `writeTaskData` gives one
 * @returns plain data: places to 1e-9 degrees when written, the swath width to 1 mm
 * @throws `FeeringError` what `guidancePattern` throws; `out-of-range` for a line beside the Earth
 * @example
 * ```ts
 * const data = toPatternData(frame, pattern, "GPN1");
 * ```
 */
export function toPatternData(frame: LocalFrame, pattern: GuidancePattern, id?: string): GuidancePatternData {
  requireObject(frame, "frame");
  requireObject(pattern, "pattern");
  const { line, swathWidth, propagation, extension, swathsLeft, swathsRight } = guidancePattern(pattern.line, pattern);
  const { points, ...more } = partsOf(frame, line);
  const name = id ?? line.id;
  return {
    ...(name !== undefined && isPatternId(name) ? { id: name } : {}),
    ...(line.name === undefined ? {} : { designator: line.name }),
    ...more,
    propagation,
    extension,
    ...(swathsLeft === undefined ? {} : { swathsLeft }),
    ...(swathsRight === undefined ? {} : { swathsRight }),
    line: { type: "guidance-pattern", width: swathWidth, points },
    boundaries: [],
  };
}

/** Settings of {@link fromPatternData}. */
export interface FromPatternDataOptions {
  /** move of the pattern that a task tells (GST); default none */
  readonly shift?: GuidanceShiftData;
  /** distance of passes where the data have none, metres; default refused */
  readonly swathWidth?: number;
}

/**
 * The way back from {@link toPatternData}, and from patterns of other makers.
 *
 * A curve that ends where it began is a closed line. A spiral without a centre, or whose points lie on no Archimedean spiral to 5 cm, is the curve through
 * its points. A pivot without a rotation is clockwise; without a radius, as far from its centre as its A. `designator` becomes the line's name, the id its id.
 *
 * @param frame - the frame to bring it into
 * @param data - from `readTaskData`
 * @param options - move, swath width
 * @returns a checked pattern
 * @throws `FeeringError` `bad-format` with the path for what no pattern can be made of: an unknown kind, a point that is missing, an A+ line without heading; what
 * the makers of lines and patterns throw
 */
export function fromPatternData(
  frame: LocalFrame,
  data: GuidancePatternData,
  options: FromPatternDataOptions = {},
): GuidancePattern {
  requireObject(frame, "frame");
  requireObject(data, "data");
  requireObject(options, "options");
  const line = checkLine(readLine(frame, data), "line");
  const { propagation, extension, swathsLeft, swathsRight } = data;
  const swathWidth = data.line.width !== undefined && data.line.width > 0 ? data.line.width : options.swathWidth;
  if (swathWidth === undefined) {
    throw new FeeringError(
      "bad-format",
      "data.line.width is missing: how far apart are the passes (options.swathWidth)?",
      {
        argument: "data.line.width",
        value: data.line.width,
      },
    );
  }
  for (const [name, value] of Object.entries({ propagation, extension })) {
    if (typeof value !== "number") continue;
    throw new FeeringError("bad-format", `data.${name} is ${value}, a number without a meaning here`, {
      argument: `data.${name}`,
      value,
    });
  }
  const moved = options.shift === undefined ? {} : shiftOf(frame, data, options.shift);
  return guidancePattern(line, {
    swathWidth,
    // absent means both, also of a spiral
    propagation: (propagation ?? "both") as GuidancePattern["propagation"],
    extension: (extension ?? "both") as GuidancePattern["extension"],
    ...(swathsLeft === undefined ? {} : { swathsLeft }),
    ...(swathsRight === undefined ? {} : { swathsRight }),
    ...moved,
  });
}

type LineParts = Pick<GuidancePatternData, "kind" | "options" | "heading" | "radius"> & {
  readonly points: TaskPoint[];
};

function partsOf(frame: LocalFrame, line: ReferenceLine): LineParts {
  const places = (points: readonly Point[]): GeographicPosition[] => toGeographicLine(frame, points);
  const [first] = places([line.points[0]]);
  switch (line.kind) {
    case "ab": {
      const heading = frame.headingToTrue(headingBetween(...line.points), first!);
      return { kind: "ab", heading, points: typed(places(line.points)) };
    }
    case "a-plus":
      return { kind: "a-plus", heading: frame.headingToTrue(line.heading, first!), points: typed([first!]) };
    case "curve":
      return { kind: "curve", points: typed(places(line.points)) };
    case "closed":
      return { kind: "curve", points: typed(places([...line.points, line.points[0]!])) };
    case "pivot": {
      const { radius, rotation, start, end } = line;
      const on = (heading: number): Point => beside(line.points[0], heading, radius);
      const ends = end === undefined ? [on(start)] : [on(start), on(end)];
      const options = end === undefined && rotation === "clockwise" ? "full-circle" : rotation;
      return { kind: "pivot", options, radius, points: [centre(first!), ...typed(places(ends))] };
    }
    case "spiral":
      return { kind: "spiral", options: line.rotation, points: [centre(first!), ...typed(places(spiralTrace(line)))] };
  }
}

/** Points along a line: A, points between, B. */
function typed(positions: readonly GeographicPosition[]): TaskPoint[] {
  return positions.map(({ latitude, longitude }, i) => {
    let type: TaskPointType = "guidance-point";
    if (i === 0) type = "guidance-reference-a";
    else if (i === positions.length - 1) type = "guidance-reference-b";
    return { type, latitude, longitude };
  });
}

const centre = ({ latitude, longitude }: GeographicPosition): TaskPoint => ({
  type: "guidance-reference-centre",
  latitude,
  longitude,
});

/** A place in a direction from another. */
function beside([x, y]: Point, heading: number, distance: number): Point {
  return [x + distance * Math.sin(heading * RADIANS), y + distance * Math.cos(heading * RADIANS)];
}

function isPatternId(text: string): boolean {
  return /^GPN-?\d{1,10}$/.test(text);
}
