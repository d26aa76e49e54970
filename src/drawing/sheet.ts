import { type Bounds, boundsOf } from "../geometry/index.js";
import type { Point } from "../geometry/types.js";
import type { DrawingContent, DrawingOptions } from "./content.js";
import { roundScaleAbove } from "./round-length.js";

/** A rectangle on the sheet, millimetres from its upper left corner. */
export interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** Where things lie on the sheet, and how metres become millimetres. */
export interface Sheet {
  readonly width: number;
  readonly height: number;
  /** frame of the map */
  readonly map: Box;
  /** frame of title, legend and scale: under the map on an upright sheet, right of it on a lying one */
  readonly block: Box;
  readonly upright: boolean;
  /** one to so many */
  readonly scale: number;
  /** millimetres a metre */
  readonly perMetre: number;
  /** place of metre (0, 0): x to the right, y downwards, millimetres */
  readonly originX: number;
  readonly originY: number;
}

const MARGIN = 9; // mm round the frames: room for the coordinates
const PADDING = 8; // mm between the drawn shapes and the map's frame: room for the pass numbers
const SIDE_BLOCK = 58; // mm, width of the block on a lying sheet
const A4 = [210, 297] as const; // mm, ISO 216

/**
 * Choose the sheet and the scale: of the two ways to lay A4 the one that draws the field larger, upright when they do
 * not differ, and the largest round scale at which all fits.
 *
 * @param underBlock - height that the block needs under the map of an upright sheet of a width, millimetres both
 */
export function laySheet(
  content: DrawingContent,
  paper: DrawingOptions["paper"],
  underBlock: (sheetWidth: number) => number,
): Sheet {
  const bounds = extentOf(content);
  if (paper !== undefined) return fit(bounds, paper.width, paper.height, underBlock);
  const upright = fit(bounds, A4[0], A4[1], underBlock);
  const lying = fit(bounds, A4[1], A4[0], underBlock);
  return lying.scale < upright.scale ? lying : upright;
}

function fit(bounds: Bounds, width: number, height: number, underBlock: (sheetWidth: number) => number): Sheet {
  const upright = height >= width;
  const innerWidth = width - 2 * MARGIN;
  const innerHeight = height - 2 * MARGIN;
  const map: Box = upright
    ? { x: MARGIN, y: MARGIN, width: innerWidth, height: innerHeight - underBlock(width) }
    : { x: MARGIN, y: MARGIN, width: innerWidth - SIDE_BLOCK, height: innerHeight };
  const block: Box = upright
    ? { x: MARGIN, y: MARGIN + map.height, width: innerWidth, height: underBlock(width) }
    : { x: MARGIN + map.width, y: MARGIN, width: SIDE_BLOCK, height: innerHeight };
  const scale = roundScaleAbove(
    1000 *
      Math.max(
        (bounds.maxX - bounds.minX) / (map.width - 2 * PADDING),
        (bounds.maxY - bounds.minY) / (map.height - 2 * PADDING),
      ),
  );
  const perMetre = 1000 / scale;
  return {
    width,
    height,
    map,
    block,
    upright,
    scale,
    perMetre,
    originX: map.x + map.width / 2 - ((bounds.minX + bounds.maxX) / 2) * perMetre,
    originY: map.y + map.height / 2 + ((bounds.minY + bounds.maxY) / 2) * perMetre,
  };
}

/**
 * What the map has to show. The field rules: other shapes widen the map by a quarter of the field's longer side at
 * most, so that one stray position does not shrink the field to a dot. Without a field all shapes count.
 */
function extentOf(content: DrawingContent): Bounds {
  const field = (content.field ?? []).flatMap((polygon) => boxCorners(polygon.exterior));
  const surfaces = [content.mainfield, content.closed, content.worked, content.overlap, content.missed].flatMap(
    (list) => list ?? [],
  );
  const lines = [
    ...(content.passes ?? []).flatMap((pass) => pass.lines),
    ...(content.rounds ?? []).map((round) => round.line),
    ...(content.track ?? []),
    ...(content.gaps ?? []),
    content.referenceLine ?? [],
    (content.switchings ?? []).map((switching) => switching.at),
  ];
  const others = [...surfaces.map((polygon) => polygon.exterior), ...lines].flatMap(boxCorners);
  if (field.length === 0) return others.length === 0 ? { minX: 0, minY: 0, maxX: 0, maxY: 0 } : boundsOf(others);
  const core = boundsOf(field);
  const room = Math.max(core.maxX - core.minX, core.maxY - core.minY) / 4;
  const all = boundsOf([...field, ...others]);
  return {
    minX: Math.max(all.minX, core.minX - room),
    minY: Math.max(all.minY, core.minY - room),
    maxX: Math.min(all.maxX, core.maxX + room),
    maxY: Math.min(all.maxY, core.maxY + room),
  };
}

function boxCorners(points: readonly Point[]): Point[] {
  if (points.length === 0) return [];
  const box = boundsOf(points);
  return [
    [box.minX, box.minY],
    [box.maxX, box.maxY],
  ];
}
