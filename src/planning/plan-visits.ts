import type { Point } from "../geometry/index.js";
import type { BlockOrder } from "./plan-order.js";

/** A block in its place, driven in one of its orders. @internal */
export interface Visit {
  readonly block: number;
  readonly variant: number;
}

/** Up to so many blocks the best order is found. */
const EXACT = 7;

/**
 * Blocks in the order that costs least with the ways between: the best of all for few (dynamic programming over sets, Held and Karp
 * 1962); for many the nearest next, then one moved at a time as long as that helps.
 *
 * @param variants - orders that each block may be driven in
 * @param way - seconds from place to place, finite: an order that can't be driven is an order without some of its blocks
 * @internal
 */
export function visitBlocks(
  variants: readonly (readonly BlockOrder[])[],
  way: (from: Point, to: Point) => number,
  start: Point | null,
  end: Point | null,
): Visit[] {
  const nodes = variants.flatMap((list, block) => list.map((order, variant) => ({ block, variant, order })));
  const n = nodes.length;
  const first = nodes.map(({ order }) => order.seconds + (start === null ? 0 : way(start, order.entry)));
  const last = nodes.map(({ order }) => (end === null ? 0 : way(order.exit, end)));
  const link = new Float64Array(n * n);
  for (let a = 0; a < n; a++) {
    for (let b = 0; b < n; b++) {
      const [from, to] = [nodes[a]!, nodes[b]!];
      if (from.block !== to.block) link[a * n + b] = way(from.order.exit, to.order.entry) + to.order.seconds;
    }
  }
  const ofBlock = variants.map((): number[] => []);
  nodes.forEach(({ block }, node) => ofBlock[block]!.push(node));
  const blockOf = nodes.map(({ block }) => block);
  const costs: VisitCosts = { n, blocks: variants.length, blockOf, ofBlock, first, last, link };
  const chosen = variants.length <= EXACT ? exact(costs) : improved(costs, nearestNext(costs));
  return chosen.map((node) => ({ block: nodes[node]!.block, variant: nodes[node]!.variant }));
}

interface VisitCosts {
  readonly n: number;
  readonly blocks: number;
  readonly blockOf: readonly number[];
  readonly ofBlock: readonly (readonly number[])[];
  readonly first: readonly number[];
  readonly last: readonly number[];
  readonly link: Float64Array;
}

function exact({ n, blocks, blockOf, first, last, link }: VisitCosts): number[] {
  const sets = 1 << blocks;
  const cost = new Float64Array(sets * n).fill(Number.POSITIVE_INFINITY);
  const before = new Int32Array(sets * n).fill(-1);
  for (let a = 0; a < n; a++) cost[(1 << blockOf[a]!) * n + a] = first[a]!;
  for (let set = 1; set < sets; set++) {
    for (let a = 0; a < n; a++) {
      const reached = cost[set * n + a]!;
      if (reached === Number.POSITIVE_INFINITY) continue;
      for (let b = 0; b < n; b++) {
        const bit = 1 << blockOf[b]!;
        if ((set & bit) !== 0) continue;
        const at = (set | bit) * n + b;
        if (reached + link[a * n + b]! >= cost[at]!) continue;
        cost[at] = reached + link[a * n + b]!;
        before[at] = set * n + a;
      }
    }
  }
  let best = 0;
  const all = (sets - 1) * n;
  for (let a = 1; a < n; a++) if (cost[all + a]! + last[a]! < cost[all + best]! + last[best]!) best = a;
  const out: number[] = [];
  for (let at = all + best; at >= 0; at = before[at]!) out.push(at % n);
  return out.reverse();
}

function nearestNext({ n, blocks, blockOf, first, link }: VisitCosts): number[] {
  const done = new Set<number>();
  const order: number[] = [];
  while (order.length < blocks) {
    let best = -1;
    let least = Number.POSITIVE_INFINITY;
    const here = order[order.length - 1];
    for (let b = 0; b < n; b++) {
      if (done.has(blockOf[b]!)) continue;
      const cost = here === undefined ? first[b]! : link[here * n + b]!;
      if (best < 0 || cost < least) [best, least] = [b, cost];
    }
    order.push(best);
    done.add(blockOf[best]!);
  }
  return order;
}

function improved(costs: VisitCosts, start: number[]): number[] {
  let blocks = start.map((node) => costs.blockOf[node]!);
  let best = bestVariants(costs, blocks);
  for (let better = true; better; ) {
    better = false;
    for (let i = 0; i < blocks.length; i++) {
      for (let k = 0; k < blocks.length; k++) {
        if (i === k) continue;
        const moved = [...blocks];
        moved.splice(k, 0, ...moved.splice(i, 1));
        const made = bestVariants(costs, moved);
        if (made.cost >= best.cost - 1e-9) continue;
        [blocks, best, better] = [moved, made, true];
      }
    }
  }
  return best.nodes;
}

/** The best variants of blocks whose order is fixed. */
function bestVariants(
  { n, ofBlock, first, last, link }: VisitCosts,
  blocks: readonly number[],
): { nodes: number[]; cost: number } {
  // hot: once for each move that is tried
  const cost = new Float64Array(n);
  const before = new Int32Array(n).fill(-1);
  let here = ofBlock[blocks[0]!]!;
  for (const node of here) cost[node] = first[node]!;
  for (let i = 1; i < blocks.length; i++) {
    const next = ofBlock[blocks[i]!]!;
    for (const node of next) {
      let best = here[0]!;
      let least = cost[best]! + link[best * n + node]!;
      for (let k = 1; k < here.length; k++) {
        const from = here[k]!;
        const reached = cost[from]! + link[from * n + node]!;
        if (reached < least) {
          least = reached;
          best = from;
        }
      }
      cost[node] = least;
      before[node] = best;
    }
    here = next;
  }
  let end = here[0]!;
  for (const node of here) if (cost[node]! + last[node]! < cost[end]! + last[end]!) end = node;
  const nodes: number[] = [];
  for (let node = end; node >= 0; node = before[node]!) nodes.push(node);
  return { nodes: nodes.reverse(), cost: cost[end]! + last[end]! };
}
