import { FeeringError } from "../../errors/index.js";
import type { LocalFrame } from "../../frames/index.js";
import { headingBetween, type Point, RADIANS } from "../../geometry/index.js";
import { closedLine, type ReferenceLine } from "../../guidance/index.js";
import { toLocalLine } from "../local.js";
import { samePlace } from "../rings.js";
import type { GuidancePatternData, TaskPoint, TaskPointType } from "../task-data/index.js";
import { spiralThrough } from "./spiral-trace.js";

/**
 * The line of a pattern, not checked yet.
 *
 * @throws `FeeringError` `bad-format` with the path for what is missing
 */
export function readLine(frame: LocalFrame, data: GuidancePatternData): ReferenceLine {
  const { points } = data.line;
  const labels = {
    ...(data.id === undefined ? {} : { id: data.id }),
    ...(data.designator === undefined ? {} : { name: data.designator }),
  };
  const local = (list: readonly TaskPoint[]): Point[] => toLocalLine(frame, list);
  const one = (type: TaskPointType): TaskPoint | undefined => points.find((point) => point.type === type);
  const a = one("guidance-reference-a") ?? points[0];
  if (a === undefined) throw missing("data.line.points", "has no point");
  switch (data.kind) {
    case "ab": {
      const b = one("guidance-reference-b") ?? (points.length > 1 ? points[points.length - 1] : undefined);
      if (b === undefined) throw missing("data.line.points", "has no point B");
      const [from, to] = local([a, b]);
      return { kind: "ab", points: [from!, to!], ...labels };
    }
    case "a-plus": {
      if (data.heading === undefined) throw missing("data.heading", "is missing: an A+ line has no other direction");
      return { kind: "a-plus", points: [local([a])[0]!], heading: localHeading(frame, data.heading, a), ...labels };
    }
    case "curve":
      return curve(local(points), points, labels);
    case "pivot":
      return pivot(frame, data, one, labels);
    case "spiral": {
      const middle = one("guidance-reference-centre");
      const along = points.filter((point) => point !== middle);
      const found = middle === undefined ? undefined : spiralThrough(local([middle])[0]!, local(along));
      if (middle === undefined || found === undefined) return curve(local(along), along, labels);
      const { start, ...spiral } = found;
      return { kind: "spiral", points: [local([middle])[0]!], ...spiral, start: clean(start / RADIANS), ...labels };
    }
    default:
      throw missing("data.kind", `is ${String(data.kind)}, no kind of pattern that has a meaning here`);
  }
}

type Labels = Pick<ReferenceLine, "id" | "name">;

function curve(line: readonly Point[], points: readonly TaskPoint[], labels: Labels): ReferenceLine {
  if (points.length > 3 && samePlace(points[0]!, points[points.length - 1]!)) {
    try {
      return closedLine(line, labels);
    } catch {
      // a curve may cross itself, a closed line may not
    }
  }
  return { kind: "curve", points: line, departure: 0, ...labels };
}

function pivot(
  frame: LocalFrame,
  { options, radius, line: { points } }: GuidancePatternData,
  one: (type: TaskPointType) => TaskPoint | undefined,
  labels: Labels,
): ReferenceLine {
  const middle = one("guidance-reference-centre") ?? points[0]!;
  const [centre] = toLocalLine(frame, [middle]);
  const on = (type: TaskPointType): Point | undefined => {
    const found = one(type);
    return found === undefined || found === middle ? undefined : toLocalLine(frame, [found])[0];
  };
  const a = on("guidance-reference-a");
  const b = on("guidance-reference-b");
  const size = radius ?? (a === undefined ? undefined : Math.hypot(a[0] - centre![0], a[1] - centre![1]));
  if (size === undefined) throw missing("data.radius", "is missing, and there is no point A to tell it");
  const direction = (to: Point): number => clean(headingBetween(centre!, to));
  const arc = options === "clockwise" || options === "counter-clockwise";
  const start = a === undefined ? 0 : direction(a);
  const end = arc && a !== undefined && b !== undefined ? direction(b) : start;
  return {
    kind: "pivot",
    points: [centre!],
    radius: size,
    rotation: options === "counter-clockwise" ? options : "clockwise",
    start,
    ...(end === start ? {} : { end }),
    ...labels,
  };
}

/** A true heading at a place in the frame. */
function localHeading(frame: LocalFrame, heading: number, at: TaskPoint): number {
  return clean(frame.headingToLocal(heading, at));
}

/** To 1e-9 degrees, as files have them: so 0 does not become 359.9999999999. */
function clean(heading: number): number {
  return ((Number(heading.toFixed(9)) % 360) + 360) % 360;
}

function missing(argument: string, problem: string): FeeringError {
  return new FeeringError("bad-format", `${argument} ${problem}`, { argument });
}
