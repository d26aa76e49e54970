import { requireNumber, requireObject } from "../errors/index.js";
import { type Point, type Polygon, polygonArea } from "../geometry/index.js";
import { CoverageRecord } from "../coverage/index.js";
import type { FieldPlan } from "./plan-result.js";

/** How a plan is checked. */
export interface CheckPlanOptions {
  /** side of a cell, metres, 0.01 to 1; default 0.1 */
  readonly cellSize?: number;
}

/** What a sweep over a plan found. */
export interface PlanCheck {
  /** share of the mainfield that its swaths cover, 0 to 1; 1 where there is none */
  readonly covered: number;
  /** m² of the mainfield that they miss */
  readonly missed: number;
  /** m² that swaths work outside of the field */
  readonly outside: number;
  /** m² that rounds and swaths work outside of the field */
  readonly outsideWithRounds: number;
  /** m² of the field that nothing works */
  readonly fieldMissed: number;
  /** whether swaths cover at least 99.99 % of the mainfield, and leave the field by no more than 0.01 % of it */
  readonly sound: boolean;
}

/** Shares that a plan is held to. */
const COVERED = 0.9999;
const OUTSIDE = 1e-4;
/** Ground is marked in stretches of this, metres. */
const STRETCH = 50;

/**
 * Sweep a plan's swaths and rounds over a bitmap, as the machine would work: an oracle that knows nothing of how the plan was made.
 *
 * Cells along edges fall to one side or the other: areas are off by up to the perimeter times a cell, without bias.
 *
 * @param plan - from `planField`
 * @param field - the field that it was made for, metres
 * @param options - cell size
 * @returns what is covered, missed, left
 * @throws `FeeringError` `not-finite`, `out-of-range`
 */
export function checkPlan(plan: FieldPlan, field: readonly Polygon[], options: CheckPlanOptions = {}): PlanCheck {
  requireObject(plan, "plan");
  requireObject(options, "options");
  const cellSize = requireNumber(options.cellSize ?? 0.1, "options.cellSize", { min: 0.01, max: 1 });
  const box = { cellSize, maximumExtent: 20_000 * cellSize };
  // near an origin of its own the bitmap is not at the mercy of far coordinates
  const [ox, oy] = field[0]!.exterior[0]!;
  const swathRecord = new CoverageRecord(box);
  const driven = new Set(plan.drives.filter(({ kind }) => kind === "swath").map(({ line }) => endsOf(line)));
  for (const { swaths } of plan.blocks) {
    for (const { line, left, right } of swaths) {
      // one that no drive works is none
      if (driven.has(endsOf(line))) markLine(swathRecord, line, left, right, ox, oy);
    }
  }
  const near = (polygons: readonly Polygon[]): Polygon[] => polygons.map((polygon) => moved(polygon, ox, oy));
  const ownField = near(field);
  const mainfield = near(plan.mainfield);
  const onMainfield = swathRecord.areasWithin(mainfield);
  const outside = swathRecord.areasWithin(ownField).outside;
  for (const drive of plan.drives) {
    if (drive.kind === "round") markLine(swathRecord, drive.line, plan.swathWidth / 2, plan.swathWidth / 2, ox, oy);
  }
  const all = swathRecord.areasWithin(ownField);
  const covered = onMainfield.field > 0 ? onMainfield.worked / onMainfield.field : 1;
  const area = field.reduce((sum, polygon) => sum + polygonArea(polygon), 0);
  return {
    covered,
    missed: onMainfield.missed,
    outside,
    outsideWithRounds: all.outside,
    fieldMissed: all.missed,
    sound: covered >= COVERED && outside <= OUTSIDE * area,
  };
}

/** Both ends of a line, whichever way it is driven. */
function endsOf(line: readonly Point[]): string {
  const ends = [line[0]!, line[line.length - 1]!].map(([x, y]) => `${x} ${y}`);
  return ends.sort().join(" ");
}

function moved({ exterior, holes }: Polygon, ox: number, oy: number): Polygon {
  const move = (ring: readonly Point[]): Point[] => ring.map(([x, y]): Point => [x - ox, y - oy]);
  return { exterior: move(exterior), holes: holes.map(move) };
}

function markLine(
  record: CoverageRecord,
  line: readonly Point[],
  left: number,
  right: number,
  ox: number,
  oy: number,
): void {
  for (let i = 1; i < line.length; i++) {
    const [ax, ay] = line[i - 1]!;
    const [bx, by] = line[i]!;
    const length = Math.hypot(bx - ax, by - ay);
    if (length === 0) continue;
    // to the right of the line
    const rx = (by - ay) / length;
    const ry = -(bx - ax) / length;
    const count = Math.ceil(length / STRETCH);
    for (let k = 0; k < count; k++) {
      const x0 = ax - ox + ((bx - ax) * k) / count;
      const y0 = ay - oy + ((by - ay) * k) / count;
      const x1 = ax - ox + ((bx - ax) * (k + 1)) / count;
      const y1 = ay - oy + ((by - ay) * (k + 1)) / count;
      record.mark(
        x0 - left * rx,
        y0 - left * ry,
        x0 + right * rx,
        y0 + right * ry,
        x1 + right * rx,
        y1 + right * ry,
        x1 - left * rx,
        y1 - left * ry,
      );
    }
  }
}
