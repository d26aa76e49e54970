import {
  FeeringError,
  requireList,
  requireNumber,
  requireObject,
  requirePoint,
  requirePoints,
} from "../errors/index.js";
import type { Point, Polygon } from "../geometry/types.js";
import type { DrawingContent, DrawingOptions } from "./content.js";

/** Farthest coordinate, metres: beyond any projected coordinate on the Earth. */
const FARTHEST = 1e8;

/**
 * Check all that is to be drawn: lists where lists are asked for, finite coordinates, a sheet of a size that has room.
 *
 * Lines and rings with too few points and empty lists pass: they are ordinary, and are left out of the drawing.
 *
 * @throws FeeringError `not-finite`, `too-few-points` for what is no list at all, `out-of-range` for the sheet, `bad-format` for text
 * that is no string
 */
export function checkContent(content: DrawingContent, options: DrawingOptions): void {
  requireObject(content, "content");
  requireObject(options, "options");
  polygons(content.field, "content.field");
  polygons(content.mainfield, "content.mainfield");
  polygons(content.closed, "content.closed");
  polygons(content.worked, "content.worked");
  polygons(content.overlap, "content.overlap");
  polygons(content.missed, "content.missed");
  list(content.passes, "content.passes").forEach((pass, i) => {
    requireObject(pass, `content.passes[${i}]`);
    requireNumber(pass.pass, `content.passes[${i}].pass`);
    lines(pass.lines, `content.passes[${i}].lines`);
  });
  list(content.rounds, "content.rounds").forEach((round, i) => {
    requireObject(round, `content.rounds[${i}]`);
    requireNumber(round.round, `content.rounds[${i}].round`);
    points(round.line, `content.rounds[${i}].line`);
  });
  if (content.referenceLine !== undefined) points(content.referenceLine, "content.referenceLine");
  lines(content.track, "content.track");
  lines(content.gaps, "content.gaps");
  list(content.switchings, "content.switchings").forEach((switching, i) => {
    requireObject(switching, `content.switchings[${i}]`);
    near(requirePoint(switching.at, `content.switchings[${i}].at`), `content.switchings[${i}].at`);
  });

  if (options.title !== undefined) text(options.title, "options.title");
  list(options.lines, "options.lines").forEach((line, i) => text(line, `options.lines[${i}]`));
  for (const [name, label] of Object.entries(options.labels ?? {})) text(label, `options.labels.${name}`);
  if (options.paper !== undefined) {
    requireObject(options.paper, "options.paper");
    requireNumber(options.paper.width, "options.paper.width", { min: 140, max: 2000 });
    requireNumber(options.paper.height, "options.paper.height", { min: 140, max: 2000 });
  }
}

function list<T>(value: readonly T[] | undefined, argument: string): readonly T[] {
  if (value === undefined) return [];
  if (!Array.isArray(value)) {
    throw new FeeringError("too-few-points", `${argument} is ${typeof value}, needs a list`, { argument, value });
  }
  return value as readonly T[];
}

function lines(value: DrawingContent["track"], argument: string): void {
  list(value, argument).forEach((line, i) => points(line, `${argument}[${i}]`));
}

function polygons(value: readonly Polygon[] | undefined, argument: string): void {
  list(value, argument).forEach((polygon, i) => {
    requireObject(polygon, `${argument}[${i}]`);
    points(polygon.exterior, `${argument}[${i}].exterior`);
    requireList(polygon.holes, `${argument}[${i}].holes`);
    polygon.holes.forEach((hole, j) => points(hole, `${argument}[${i}].holes[${j}]`));
  });
}

function points(value: readonly Point[], argument: string): void {
  requirePoints(value, argument, 0).forEach((point, i) => near(point, argument, i));
}

function near(point: Point, argument: string, index?: number): void {
  if (Math.abs(point[0]) <= FARTHEST && Math.abs(point[1]) <= FARTHEST) return;
  const at = index === undefined ? argument : `${argument}[${index}]`;
  throw new FeeringError(
    "out-of-range",
    `${at} is [${point[0]}, ${point[1]}], needs coordinates within ${FARTHEST} m`,
    {
      argument,
      value: point,
      ...(index === undefined ? {} : { index }),
    },
  );
}

function text(value: unknown, argument: string): void {
  if (typeof value !== "string") {
    throw new FeeringError("bad-format", `${argument} is ${typeof value}, needs text`, { argument, value });
  }
}
