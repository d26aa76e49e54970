import type { Point } from "../geometry/index.js";
import type { PlanSettings } from "./plan-options.js";
import { type PlanRow, rowPoint } from "./plan-rows.js";
import { type OrderedPass, passOrder } from "./pass-order.js";
import { visitBlocks } from "./plan-visits.js";
import { NO_ROOM_TIME } from "./turn-cost.js";

/** Ground with its rows, before it has an order. @internal */
export interface LayoutBlock {
  readonly mainfield: number;
  /** degrees */
  readonly heading: number;
  readonly rows: readonly PlanRow[];
  /** share that rules add to its cost */
  readonly penalty: number;
}

/** A block's rows in some order. @internal */
export interface BlockOrder {
  readonly order: readonly OrderedPass[];
  /** of the turns between, seconds */
  readonly seconds: number;
  readonly entry: Point;
  readonly exit: Point;
}

/** Blocks in driving order, each with its rows in order. @internal */
export type LayoutOrder = readonly { readonly block: number; readonly order: readonly OrderedPass[] }[];

/** How far it is from place to place, metres. @internal */
export type Distance = (from: Point, to: Point) => number;

/** Most rows that an order is searched for; with more it is the best of plain sequences. */
const MOST_ROWS = 400;

/**
 * Orders of all blocks: rows one beside the other, and as the search has them; blocks so that ways between are short.
 *
 * @internal
 */
export function layoutOrders(
  blocks: readonly LayoutBlock[],
  settings: PlanSettings,
  distance: Distance,
  start: Point | null,
  end: Point | null,
): { plain: LayoutOrder; found: LayoutOrder } {
  const speed = settings.machine.turningSpeed;
  const sequences = blocks.map((block) => sequenceOrders(block, settings));
  // where no way leads it is driven all the same, with the allowance that such a way is counted with
  const way = (from: Point, to: Point): number => {
    const metres = distance(from, to);
    if (Number.isFinite(metres)) return metres / speed;
    return Math.hypot(to[0] - from[0], to[1] - from[1]) / speed + NO_ROOM_TIME;
  };
  const visit = (variants: readonly (readonly BlockOrder[])[]): LayoutOrder =>
    visitBlocks(variants, way, start, end).map(({ block, variant }) => ({
      block,
      order: variants[block]![variant]!.order,
    }));
  const plain = visit(sequences);
  if (!settings.optimise) return { plain, found: plain };
  const alone = blocks.length === 1;
  const found = blocks.map((block, i) => [
    ...sequences[i]!,
    ...searchedOrders(block, settings, alone ? start : null, alone ? end : null),
  ]);
  return { plain, found: visit(found) };
}

/** One beside the other, from either side, first out or first back. */
function sequenceOrders(block: LayoutBlock, settings: PlanSettings): BlockOrder[] {
  const count = block.rows.length;
  const out: BlockOrder[] = [];
  for (const fromLeft of [true, false]) {
    for (const first of [false, true]) {
      const order = Array.from({ length: count }, (_, i) => ({
        pass: fromLeft ? i : count - 1 - i,
        reversed: (i % 2 === 1) !== first,
      }));
      out.push(blockOrder(block, order, settings));
    }
  }
  return out;
}

function searchedOrders(
  block: LayoutBlock,
  settings: PlanSettings,
  start: Point | null,
  end: Point | null,
): BlockOrder[] {
  const { rows } = block;
  const count = rows.length;
  if (count < 3 || count > MOST_ROWS) return [];
  const speed = settings.machine.turningSpeed;
  const way = (to: Point | null, pass: number, at: 0 | 1): number => {
    if (to === null) return 0;
    const [x, y] = rowEnd(block, pass, at === 1);
    return Math.hypot(x - to[0], y - to[1]) / speed;
  };
  const { order } = passOrder(
    {
      count,
      cost: (a, aEnd, b, bEnd) => (aEnd === bEnd ? turnSeconds(rows[a]!, rows[b]!, aEnd === 1, settings) : Infinity),
      startCost: (pass, at) => way(start, pass, at),
      endCost: (pass, at) => way(end, pass, at),
    },
    { exactUpTo: 9 },
  );
  const back = [...order].reverse().map(({ pass, reversed }) => ({ pass, reversed: !reversed }));
  return [blockOrder(block, order, settings), blockOrder(block, back, settings)];
}

function blockOrder(block: LayoutBlock, order: readonly OrderedPass[], settings: PlanSettings): BlockOrder {
  let seconds = 0;
  for (let i = 1; i < order.length; i++) {
    const last = order[i - 1]!;
    seconds += turnSeconds(block.rows[last.pass]!, block.rows[order[i]!.pass]!, !last.reversed, settings);
  }
  const first = order[0]!;
  const last = order[order.length - 1]!;
  return {
    order,
    seconds,
    entry: rowEnd(block, first.pass, first.reversed),
    exit: rowEnd(block, last.pass, !last.reversed),
  };
}

function turnSeconds(a: PlanRow, b: PlanRow, far: boolean, { machine }: PlanSettings): number {
  return machine.turns.withRoom(b.middle - a.middle, far ? b.to - a.to : a.from - b.from).seconds;
}

/** Where a row ends: along its heading, or at its beginning. */
export function rowEnd({ rows, heading }: LayoutBlock, row: number, far: boolean): Point {
  const { from, to, middle } = rows[row]!;
  return rowPoint(far ? to : from, middle, heading);
}
