import type { Line, Point, Polygon } from "../geometry/types.js";

/** One pass to draw: its number and its line, in pieces where an obstacle or the boundary cuts it. */
export interface DrawnPass {
  /** pass number, written at the start of its first piece; 0 on the reference line, right positive */
  readonly pass: number;
  /** pieces of the pass, metres; empty or of one point: not drawn */
  readonly lines: readonly Line[];
}

/** One round of a headland to draw. */
export interface DrawnRound {
  /** number of the round, written on its line: 1 at the edge */
  readonly round: number;
  /** the line driven, metres; a closed one repeats its first point at the end */
  readonly line: Line;
}

/** One place where a section was switched. */
export interface DrawnSwitching {
  /** where, metres: the middle of the section at the tool */
  readonly at: Point;
  /** true: a filled disc, "section on"; false: an open square, "section off" */
  readonly on: boolean;
}

/**
 * What {@link drawField} draws: planar shapes in one local frame, metres, y to the north. Every part may be left out or be
 * empty; what has fewer points than it needs to be seen (2 for a line, 3 for a ring) is left out of the drawing.
 */
export interface DrawingContent {
  /** the field: boundaries, and obstacles as their holes */
  readonly field?: readonly Polygon[];
  /** ground without its headland, its outline drawn dashed */
  readonly mainfield?: readonly Polygon[];
  /** ground never to be worked, as a buffer zone is: vertical ruling with a dashed outline */
  readonly closed?: readonly Polygon[];
  /** ground worked at least once, a pale tint */
  readonly worked?: readonly Polygon[];
  /** ground worked twice or more, hatched */
  readonly overlap?: readonly Polygon[];
  /** ground in the field that was not worked, dotted */
  readonly missed?: readonly Polygon[];
  /** passes, dash-dotted, with their numbers */
  readonly passes?: readonly DrawnPass[];
  /** rounds of the headland, short dashes, with their numbers */
  readonly rounds?: readonly DrawnRound[];
  /** the reference line from A to B, a heavier dash-dotted line with both ends lettered */
  readonly referenceLine?: Line;
  /** ways that the machine drove, thin lines; one piece wherever the position was lost */
  readonly track?: readonly Line[];
  /** ways along which the position was not good enough, like ladders; two points do for a gap */
  readonly gaps?: readonly Line[];
  /** places where sections were switched */
  readonly switchings?: readonly DrawnSwitching[];
}

/** Words of the drawing, for another language; each stands in the legend but the last two. */
export interface DrawingLabels {
  /** default `field boundary` */
  readonly boundary: string;
  /** default `obstacle` */
  readonly obstacle: string;
  /** default `mainfield` */
  readonly mainfield: string;
  /** default `closed zone` */
  readonly closed: string;
  /** default `worked` */
  readonly worked: string;
  /** default `worked twice` */
  readonly overlap: string;
  /** default `missed` */
  readonly missed: string;
  /** default `pass and its number` */
  readonly pass: string;
  /** default `headland round` */
  readonly round: string;
  /** default `reference line` */
  readonly referenceLine: string;
  /** default `driven` */
  readonly track: string;
  /** default `position not good` */
  readonly gap: string;
  /** default `section on` */
  readonly on: string;
  /** default `section off` */
  readonly off: string;
  /** letter over the north arrow, default `N` */
  readonly north: string;
  /** caption of the grid, default `grid: metres east and north of the origin` */
  readonly grid: string;
}

/** How {@link drawField} draws. */
export interface DrawingOptions {
  /** heading of the title block, plain text; default none */
  readonly title?: string;
  /** further lines of the title block, plain text, broken where they are too long; default none */
  readonly lines?: readonly string[];
  /** sheet, millimetres, 140 to 2000 each way; default A4 (210 by 297), upright or lying as the field needs it */
  readonly paper?: {
    /** millimetres */
    readonly width: number;
    /** millimetres */
    readonly height: number;
  };
  /** draw crosses at round coordinates, and the coordinates along the edge; default true */
  readonly grid?: boolean;
  /** words to use in place of the English ones; default none */
  readonly labels?: Partial<DrawingLabels>;
}

/** The English words. */
export const LABELS: DrawingLabels = {
  boundary: "field boundary",
  obstacle: "obstacle",
  mainfield: "mainfield",
  closed: "closed zone",
  worked: "worked",
  overlap: "worked twice",
  missed: "missed",
  pass: "pass and its number",
  round: "headland round",
  referenceLine: "reference line",
  track: "driven",
  gap: "position not good",
  on: "section on",
  off: "section off",
  north: "N",
  grid: "grid: metres east and north of the origin",
};
