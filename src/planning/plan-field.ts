import { type Point, type Polygon, PolygonIndex } from "../geometry/index.js";
import { type Headland, headland, type HeadlandRound } from "../headland/index.js";
import { driveOrder } from "../headland/drive-order.js";
import { edgeDirections } from "./direction-candidates.js";
import { chooseLayout } from "./plan-choice.js";
import type { ConnectGround } from "./plan-connect.js";
import { type DrivenLayout, endPose, layoutDrives, roundDrives, startPose, wayBetween } from "./plan-drives.js";
import { planGround } from "./plan-ground.js";
import { type PlanOptions, planSettings, type PlanSettings } from "./plan-options.js";
import { cheapestEdge, type EdgeLayout } from "./plan-edges.js";
import { type Distance, type LayoutBlock, type LayoutOrder, layoutOrders, rowEnd } from "./plan-order.js";
import type { FieldPlan, PlanBlock, PlanDrive } from "./plan-result.js";
import { PlanRoom } from "./plan-room.js";
import { planTotals } from "./plan-totals.js";
import { PlanWays } from "./plan-ways.js";

/**
 * A whole plan of a field for a machine: rounds of the headland, mainfields in their best directions, all drives in order with their
 * turns and connections, and what it comes to.
 *
 * Directions of all edges and a sweep are weighed for each mainfield, and divisions into parts with directions of their own where the
 * ground has inward corners or obstacles. Layouts are driven out, cheapest estimate first, until no estimate is below the best cost found: so the plan costs
 * no more than any of the single directions with passes in sequence. Swaths cover the mainfield to its last corner and, with at least one round, lie
 * within the field. Ways and turns keep the machine's outline within the field; one that can't is marked and says why.
 *
 * What is computed here knows the field's edge and obstacles only. People, animals, poles and slopes are the driver's to see to.
 *
 * @param field - its polygons, obstacles as holes, metres
 * @param options - machine, headland, order
 * @returns the plan; empty, with reasons, where there is nothing to drive
 * @throws `FeeringError` as `headland` for a field that is none; `not-finite`, `out-of-range` with the option's name
 *
 * @example
 * ```ts
 * const field = [{ exterior: [[0, 0], [200, 0], [200, 100], [0, 100]], holes: [] }] as const;
 * const plan = planField(field, { swathWidth: 6, minimumRadius: 6 });
 * plan.blocks[0].swaths.length; // 13
 * plan.totals.missed; // corners that rounds of 6 m radius leave, m²
 * ```
 */
export function planField(field: readonly Polygon[], options: PlanOptions): FieldPlan {
  const settings = planSettings(options);
  const { machine, rounds, obstacleRounds } = settings;
  const made = headland(field, {
    swathWidth: machine.swathWidth,
    rounds,
    obstacleRounds,
    minimumRadius: machine.minimumRadius,
    order: settings.headland === "last" ? "inside-out" : "outside-in",
    ...(settings.entry === null ? {} : { gate: settings.entry }),
  });
  const half = Math.max(machine.outline.left, machine.outline.right);
  let ways: PlanWays | null = null;
  const waysOf = (): PlanWays => {
    ways ??= new PlanWays(field, made.mainfield, made.rounds, half);
    return ways;
  };
  const ground: ConnectGround = {
    machine,
    room: new PlanRoom(field, machine.outline),
    ways: waysOf,
    mainfield: new PolygonIndex(made.mainfield),
    known: new Map(),
  };
  const distance: Distance = (from, to) => waysOf().distance(from, to);
  const whole = rounds === 0 || (obstacleRounds === 0 && field.some(({ holes }) => holes.length > 0));
  const fieldEdges = edgeDirections(planGround(field));
  const choices = made.mainfield.map((polygon, i) =>
    chooseLayout(polygon, i, fieldEdges, settings, whole, ground, distance),
  );
  const before = settings.headland === "first" ? roundDrives(made.rounds, ground) : [];
  const start = before.length > 0 ? endOf(before) : settings.entry;
  const best = cheapest(
    choices.flatMap((choice) => choice.best),
    choices.flatMap((choice) => choice.plain),
    settings,
    ground,
    distance,
    start,
    (cost, end) => {
      if (settings.heading !== null) return null;
      const edges = edgeDirections(planGround(field), 0);
      return cheapestEdge(made.mainfield, edges, settings, whole, ground, distance, start, end, cost);
    },
  );
  const drives = withGates(before, best.driven.drives, made, settings, ground);
  const blocks = best.blocks.map((block, i) => planBlock(block, i, settings));
  const reasons = choices.flatMap(({ reason }, mainfield) => (reason === null ? [] : [{ reason, mainfield }]));
  return {
    swathWidth: machine.swathWidth,
    rounds: made.rounds,
    mainfield: made.mainfield,
    blocks,
    drives,
    totals: planTotals(drives, blocks, made, settings),
    cost: best.driven.cost,
    plainCost: best.plainCost,
    reasons: [...(made.reason === undefined ? [] : [{ reason: made.reason, mainfield: null }]), ...reasons],
  };
}

function endOf(drives: readonly PlanDrive[]): Point {
  const { line } = drives[drives.length - 1]!;
  return line[line.length - 1]!;
}

/** The best layout and the plain one, driven as one field, and that of an edge where it costs less than both; the cheapest is taken. */
function cheapest(
  best: readonly LayoutBlock[],
  plain: readonly LayoutBlock[],
  settings: PlanSettings,
  ground: ConnectGround,
  distance: Distance,
  start: Point | null,
  edge: (cost: number, end: Point | null) => EdgeLayout | null,
): { blocks: readonly LayoutBlock[]; driven: DrivenLayout; plainCost: number } {
  if (best.length === 0) return { blocks: [], driven: { drives: [], cost: 0 }, plainCost: 0 };
  const end = settings.headland === "last" ? null : settings.exit;
  const one = layoutOrders(best, settings, distance, start, end);
  const two = layoutOrders(plain, settings, distance, start, end);
  let plainCost = layoutDrives(plain, two.plain, ground, false).cost;
  let chosen: EdgeLayout = { blocks: plain, order: two.plain, cost: plainCost };
  const weigh = (blocks: readonly LayoutBlock[], order: LayoutOrder): void => {
    const { cost } = layoutDrives(blocks, order, ground, false);
    if (cost < chosen.cost - 1e-9) chosen = { blocks, order, cost };
  };
  weigh(best, one.found);
  weigh(best, one.plain);
  weigh(plain, two.found);
  const simple = edge(chosen.cost, end);
  if (simple !== null) {
    chosen = simple;
    plainCost = Math.min(plainCost, simple.cost);
    weigh(simple.blocks, layoutOrders(simple.blocks, settings, distance, start, end).found);
  }
  const driven = layoutDrives(chosen.blocks, chosen.order, ground, true);
  return { blocks: chosen.blocks, driven, plainCost };
}

/** All drives in order: from the entry over rounds and mainfield, or mainfield and rounds, to the exit. */
function withGates(
  before: readonly PlanDrive[],
  mainfield: readonly PlanDrive[],
  made: Headland,
  settings: PlanSettings,
  ground: ConnectGround,
): PlanDrive[] {
  const { entry, exit } = settings;
  const after = settings.headland === "last" ? roundDrives(roundsFrom(made.rounds, mainfield, entry), ground) : [];
  const drives: PlanDrive[] = [];
  for (const stretch of [before, mainfield, after]) {
    if (stretch.length === 0) continue;
    const to = startPose(stretch[0]!.line);
    if (drives.length > 0) drives.push(...wayBetween(endPose(drives[drives.length - 1]!.line), to, ground));
    else if (entry !== null && (entry[0] !== to.x || entry[1] !== to.y)) {
      drives.push(...wayBetween(startPose([entry, [to.x, to.y]]), to, ground));
    }
    drives.push(...stretch);
  }
  if (exit !== null && drives.length > 0) {
    const from = endPose(drives[drives.length - 1]!.line);
    if (from.x !== exit[0] || from.y !== exit[1]) {
      drives.push(...wayBetween(from, endPose([[from.x, from.y], exit]), ground));
    }
  }
  return drives;
}

/** Rounds begin near where the mainfield ends. */
function roundsFrom(
  rounds: readonly HeadlandRound[],
  mainfield: readonly PlanDrive[],
  entry: Point | null,
): readonly HeadlandRound[] {
  const gate = mainfield.length > 0 ? endOf(mainfield) : entry;
  return gate === null ? rounds : driveOrder(rounds, { insideOut: true, clockwise: true, gate });
}

function planBlock(layout: LayoutBlock, block: number, { narrow, machine, rounds }: PlanSettings): PlanBlock {
  const half = machine.swathWidth / 2;
  return {
    mainfield: layout.mainfield,
    heading: layout.heading,
    swaths: layout.rows.map(({ band, from, to, middle, low, high }, i) => {
      const limited = narrow === "narrow" || rounds === 0;
      return {
        block,
        pass: band,
        line: [rowEnd(layout, i, false), rowEnd(layout, i, true)],
        length: to - from,
        left: limited ? middle - low : half,
        right: limited ? high - middle : half,
      };
    }),
  };
}
