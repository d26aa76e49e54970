import { type CoverageRecord, type RowRuns } from "../coverage/index.js";
import { groupRings } from "../coverage/outline.js";
import { countCells } from "../coverage/row-runs.js";
import { simplifyRings } from "../coverage/simplify.js";
import { type TracedRing, traceRuns } from "../coverage/trace.js";
import { FeeringError, requireNumber, requireObject } from "../errors/index.js";
import { checkPolygon, polygonArea } from "../geometry/index.js";
import type { Polygon } from "../geometry/types.js";
import { closeRuns } from "./close-runs.js";
import { sortRings } from "./worked-rings.js";

/** Options of {@link boundaryFromCoverage}. */
export interface WorkedBoundaryOptions {
  /**
   * widest gap between worked ground that counts as field, metres, 0 to 4000 cells; default 1. Skips between passes,
   * the ground of a dropout; 0 closes none
   */
  readonly closing?: number;
  /** holes of at least this area stay, as obstacles; smaller ones are filled; m², default 50 */
  readonly smallestHole?: number;
  /** parts of at least this area, their holes included, stay; smaller ones are left out; m², default 50 */
  readonly smallestPart?: number;
  /**
   * how far the outline along the cells' edges may lie from the boundary, metres; default one and a half cells, which
   * makes straight lines of the steps along a slanted edge; 0 keeps the steps
   */
  readonly tolerance?: number;
}

/** What {@link boundaryFromCoverage} gives. */
export interface WorkedBoundary {
  /** the field's parts, the largest first: rings closed, exteriors counter-clockwise, holes clockwise, checked */
  readonly polygons: Polygon[];
  /** why there are none: nothing is worked, or no part is large enough; "ok" where there are some */
  readonly reason: "ok" | "nothing-worked" | "parts-too-small";
  /**
   * area of the polygons, m²: `worked + report.closed + report.filled - report.dropped + report.simplified`, up to
   * rounding
   */
  readonly area: number;
  /** ground worked, m² */
  readonly worked: number;
  /** what was done to the worked ground */
  readonly report: WorkedBoundaryReport;
}

/** What {@link boundaryFromCoverage} added and took away. */
export interface WorkedBoundaryReport {
  /** ground added by closing gaps, m² */
  readonly closed: number;
  /** ground added by filling holes, m² */
  readonly filled: number;
  /** how many holes were filled */
  readonly filledHoles: number;
  /** ground in parts left out, m² */
  readonly dropped: number;
  /** how many parts were left out */
  readonly droppedParts: number;
  /** change of area by simplifying, m², negative where ground was lost */
  readonly simplified: number;
  /** farthest that a corner of the outline along the cells' edges lies from what stands for it, metres */
  readonly departure: number;
}

/** Widest gap that can be closed, cells: bounds the time of one call. */
const WIDEST_CLOSING = 4000;

/**
 * Added to half the gap's width, cells: cells stand for their centres, and within the square root of two of any place
 * at a straight edge there is one of a cell inside.
 */
const CLOSING_MARGIN = Math.SQRT2;

/**
 * A field's boundary from the ground worked so far, as where no boundary was ever driven or drawn.
 *
 * In order: gaps up to `closing` wide are closed; holes below `smallestHole` are filled; parts below `smallestPart` are
 * left out; the outline along the cells' edges is simplified within `tolerance`. No ring crosses itself or another,
 * whatever the tolerance: where it would, less is simplified. Parts that meet only corner to corner stay apart.
 *
 * Closing fills what no disc as wide as the gap reaches into. A gap between straight edges that are longer than it is wide
 * is closed for certain up to `closing`, and stays for certain four cells above it. Outward corners stay. Inward ones are
 * filled up to the disc's arc, a right angle 0.21 of the width deep; so are the corners of a hole, and a gap's open end,
 * which the disc enters by as much as it fits in: ground missing at the field's edge, or between strips narrower than the
 * gap, asks for a width above the gap's.
 *
 * Accuracy: every corner of the cells' outline lies within `tolerance` of the boundary, and the boundary within
 * `tolerance` of that outline; the outline within a cell's diagonal of the ground marked, where nothing was closed,
 * filled or dropped (tests/survey/boundary-from-coverage.test.ts).
 *
 * @param record - the ground worked; stays as it is
 * @param options - gap, sizes, tolerance
 * @returns polygons, and what was added and taken away; none with a reason where nothing is worked
 * @throws `FeeringError` `not-finite` or `out-of-range` for an option, `not-finite` for what is no record
 * @example
 * ```ts
 * const record = new CoverageRecord();
 * record.mark(0, 0, 12, 0, 12, 100, 0, 100);
 * record.mark(12.5, 0, 24.5, 0, 24.5, 100, 12.5, 100); // half a metre left out between the two passes
 * const boundary = boundaryFromCoverage(record);
 * boundary.polygons.length; // 1
 * boundary.area; // 2450 m², less two shallow arcs at the ends of the gap
 * ```
 */
export function boundaryFromCoverage(record: CoverageRecord, options: WorkedBoundaryOptions = {}): WorkedBoundary {
  requireRecord(record);
  requireObject(options, "options");
  const cell = record.cellSize;
  const closing = requireNumber(options.closing ?? 1, "options.closing", { min: 0, max: WIDEST_CLOSING * cell });
  const smallestHole = requireNumber(options.smallestHole ?? 50, "options.smallestHole", { min: 0 });
  const smallestPart = requireNumber(options.smallestPart ?? 50, "options.smallestPart", { min: 0 });
  const tolerance = requireNumber(options.tolerance ?? 1.5 * cell, "options.tolerance", { min: 0 });

  // 1 / 0.1 is exactly 10
  const scale = 1 / cell;
  const square = scale * scale;
  const worked = record.cellRuns();
  const closed = closing > 0 ? closeRuns(worked, (closing / 2) * scale + CLOSING_MARGIN) : worked;
  const sorted = sortRings(traceRuns(closed), smallestHole * square, smallestPart * square);
  const rings = simplifyRings(sorted.kept, tolerance * scale);
  const polygons = groupRings(rings, scale).map((polygon, i) => checkPolygon(polygon, `boundary[${i}]`));
  const sized = polygons.map((polygon) => ({ polygon, area: polygonArea(polygon) }));
  sized.sort((a, b) => b.area - a.area);
  const cells = countCells(worked);
  return {
    polygons: sized.map(({ polygon }) => polygon),
    reason: reasonOf(worked, polygons),
    area: sized.reduce((sum, { area }) => sum + area, 0),
    worked: cells / square,
    report: {
      closed: (countCells(closed) - cells) / square,
      filled: sorted.filled / square,
      filledHoles: sorted.filledHoles,
      dropped: sorted.dropped / square,
      droppedParts: sorted.droppedParts,
      simplified: (areaOf(rings) - areaOf(sorted.kept)) / square,
      departure: departureOf(sorted.kept, rings) / scale,
    },
  };
}

// not by class: two copies of the package have two
function requireRecord(record: CoverageRecord): void {
  requireObject(record, "record");
  if (typeof record.cellRuns === "function") return;
  throw new FeeringError("not-finite", "record is no CoverageRecord", { argument: "record", value: record });
}

function reasonOf(worked: RowRuns, polygons: readonly Polygon[]): WorkedBoundary["reason"] {
  if (polygons.length > 0) return "ok";
  return worked.rows.length === 0 ? "nothing-worked" : "parts-too-small";
}

function areaOf(rings: readonly TracedRing[]): number {
  let twice = 0;
  for (const ring of rings) twice += ring.twiceArea;
  return twice / 2;
}

/** Farthest that a corner left out lies from the segment that took its place, cells. */
function departureOf(before: readonly TracedRing[], after: readonly TracedRing[]): number {
  let most = 0;
  for (let r = 0; r < before.length; r++) {
    const c = before[r]!.corners;
    const kept = after[r]!.corners;
    if (kept.length === c.length) continue;
    // no ring passes a corner twice, so those kept are found again in order
    let at = 0;
    while (c[at] !== kept[0] || c[at + 1] !== kept[1]) at += 2;
    for (let k = 0; k < kept.length; k += 2) {
      const ax = kept[k]!;
      const ay = kept[k + 1]!;
      const bx = kept[(k + 2) % kept.length]!;
      const by = kept[(k + 3) % kept.length]!;
      for (at = (at + 2) % c.length; c[at] !== bx || c[at + 1] !== by; at = (at + 2) % c.length) {
        most = Math.max(most, squaredDistance(c[at]! - ax, c[at + 1]! - ay, bx - ax, by - ay));
      }
    }
  }
  return Math.sqrt(most);
}

/** From a point to the segment from the origin to (dx, dy), squared. */
function squaredDistance(x: number, y: number, dx: number, dy: number): number {
  const t = Math.min(1, Math.max(0, (x * dx + y * dy) / (dx * dx + dy * dy)));
  return (x - t * dx) ** 2 + (y - t * dy) ** 2;
}
