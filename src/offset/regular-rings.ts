import { type FlatRing, nodeRings } from "./node-rings.js";
import { RingGraph } from "./ring-graph.js";

/**
 * Rings as the boundary of regular ground: no line of no width, no spike, no ring that crosses or runs along itself or
 * another; they may still meet in single vertices.
 *
 * Where rings meet they get vertices, and stretches walked both ways cancel. At each vertex what comes in goes on round the
 * ground between, so that grounds which share a single point come in two rings. What is left over of a crossing by a hair is
 * as thin as that and dropped.
 *
 * @param rings - ground on their left, metres
 * @param room - what is nearer than this counts as meeting, metres
 * @param necks - where lines of no width that lead from ground to ground stay, opened by less than the room: how near to
 * ground they must end, metres
 *
 * @internal
 */
export function regularRings(rings: readonly FlatRing[], room: number, necks: number | undefined): FlatRing[] {
  const graph = new RingGraph(nodeRings(rings, room));
  graph.cancel();
  graph.dropThin(2 * room);
  if (necks !== undefined) graph.openNecks(room / 2, necks);
  return graph.rings(room);
}
