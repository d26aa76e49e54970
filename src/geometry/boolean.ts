import polygonClipping from "polygon-clipping";
import { FeeringError } from "../errors/index.js";
import { signedArea } from "./area.js";
import { boundsOf } from "./bounds.js";
import { ringLength } from "./length.js";
import { normalisePolygon } from "./normalise-polygon.js";
import { DUPLICATE_DISTANCE } from "./remove-duplicates.js";
import { requirePolygon } from "./require-polygon.js";
import { Snapper } from "./snapper.js";
import type { Point, Polygon, Ring } from "./types.js";
import { resultHolds } from "./verify-boolean.js";

/**
 * Which operation; see {@link booleanOperation}.
 *
 * @internal
 */
export type BooleanKind = "union" | "intersection" | "difference" | "symmetricDifference";

// most vertices of all polygons together: beyond it the engine's own queue gives up after minutes
const MOST_VERTICES = 200_000;

// grids to try in turn, metres: powers of two, so that snapping is exact. The first is a micrometre, far below any
// survey; the coarser ones merge what the engine stumbles over, up to a millimetre. A shift of half a cell rounds
// unlucky coordinates the other way; a turn, radians, takes edges out of the engine's sweep direction and moves whole
// numbers, which no grid moves
interface Attempt {
  readonly grid: number;
  readonly shift: number;
  readonly turn: number;
}
const ATTEMPTS: readonly Attempt[] = [
  { grid: 2 ** -20, shift: 0, turn: 0 },
  { grid: 2 ** -20, shift: 0.5, turn: 0 },
  { grid: 2 ** -20, shift: 0, turn: 0.3 },
  { grid: 2 ** -20, shift: 0, turn: 1.1 },
  { grid: 2 ** -17, shift: 0, turn: 0 },
  { grid: 2 ** -17, shift: 0, turn: 0.7 },
  { grid: 2 ** -14, shift: 0, turn: 0 },
  { grid: 2 ** -14, shift: 0.5, turn: 1.9 },
  { grid: 2 ** -10, shift: 0, turn: 0 },
  { grid: 2 ** -10, shift: 0, turn: 2.6 },
];

/**
 * One boolean operation: snap to a grid about a local origin, let the engine work, check the result by points whose
 * answer is known from the input alone; on an exception or a wrong result, the next grid.
 *
 * @internal
 */
export function booleanOperation(kind: BooleanKind, a: readonly Polygon[], b: readonly Polygon[]): Polygon[] {
  checkList(a, kind === "union" ? "polygons" : "a");
  checkList(b, "b");
  const rings = [...a, ...b].flatMap((polygon) => [polygon.exterior, ...polygon.holes]);
  const total = rings.reduce((sum, ring) => sum + ring.length, 0);
  if (total > MOST_VERTICES) {
    throw new FeeringError(
      "too-large",
      `polygons have ${total} vertices together, at most ${MOST_VERTICES} are taken`,
      {
        argument: kind === "union" ? "polygons" : "a",
        value: total,
      },
    );
  }
  if (total === 0) return [];
  const box = rings.map(boundsOf).reduce((p, q) => ({
    minX: Math.min(p.minX, q.minX),
    minY: Math.min(p.minY, q.minY),
    maxX: Math.max(p.maxX, q.maxX),
    maxY: Math.max(p.maxY, q.maxY),
  }));
  // whole metres, so that coordinates already on the grid stay on it
  const origin: Point = [Math.round((box.minX + box.maxX) / 2), Math.round((box.minY + box.maxY) / 2)];
  let cause: unknown;
  for (const attempt of ATTEMPTS) {
    const grid = attempt.grid * coarser(box.maxX - box.minX, box.maxY - box.minY);
    const snapper = new Snapper(origin, grid, attempt.shift * grid, attempt.turn);
    const one = a.flatMap((polygon) => snapper.snap(polygon));
    const two = b.flatMap((polygon) => snapper.snap(polygon));
    try {
      const result = run(kind, one, two);
      const polygons = result.flatMap((polygon) => tidy(polygon, grid));
      if (resultHolds(kind, one, two, polygons, 4 * grid)) {
        return polygons
          .flatMap((polygon) => withoutSlivers(polygon, DUPLICATE_DISTANCE))
          .map((polygon) => snapper.back(polygon));
      }
      cause = new Error(`the result of ${kind} contradicts its input at a grid of ${grid} m`);
    } catch (error) {
      cause = error;
    }
  }
  throw new FeeringError(
    "boolean-failed",
    `${kind} of ${a.length} and ${b.length} polygons failed on every grid tried`,
    {
      argument: kind === "union" ? "polygons" : "a",
      cause,
    },
  );
}

type EngineRing = [number, number][];

function run(kind: BooleanKind, one: readonly Polygon[], two: readonly Polygon[]): EngineRing[][] {
  const a = one.map(toEngine);
  const b = two.map(toEngine);
  switch (kind) {
    case "union":
      return a.length === 0 ? [] : polygonClipping.union(a);
    case "intersection":
      return a.length === 0 || b.length === 0 ? [] : polygonClipping.intersection(a, b);
    case "difference":
      if (a.length === 0) return [];
      return b.length === 0 ? polygonClipping.union(a) : polygonClipping.difference(a, b);
    case "symmetricDifference":
      if (a.length === 0) return b.length === 0 ? [] : polygonClipping.union(b);
      return b.length === 0 ? polygonClipping.union(a) : polygonClipping.xor(a, b);
  }
}

function toEngine(polygon: Polygon): EngineRing[] {
  return [polygon.exterior, ...polygon.holes].map((ring) => ring.map(([x, y]): [number, number] => [x, y]));
}

function checkList(polygons: readonly Polygon[], argument: string): void {
  if (!Array.isArray(polygons)) {
    throw new FeeringError("too-few-points", `${argument} is no list of polygons`, { argument, value: polygons });
  }
  const list: readonly Polygon[] = polygons;
  for (let i = 0; i < list.length; i++) requirePolygon(list[i]!, `${argument}[${i}]`);
}

// the engine's doubles hold 2^40 cells a side with room for its products
function coarser(width: number, height: number): number {
  const size = Math.max(width, height);
  let factor = 1;
  while (size / (ATTEMPTS[0]!.grid * factor) > 2 ** 40) factor *= 2;
  return factor;
}

function tidy(rings: EngineRing[], grid: number): Polygon[] {
  const [exterior, ...holes] = rings;
  // what is thinner than the grid is an artefact of snapping
  return exterior === undefined ? [] : withoutSlivers(normalisePolygon({ exterior, holes }), grid);
}

function withoutSlivers(polygon: Polygon, width: number): Polygon[] {
  if (isSliver(polygon.exterior, width)) return [];
  return [{ exterior: polygon.exterior, holes: polygon.holes.filter((hole) => !isSliver(hole, width)) }];
}

// twice the area over the perimeter is the width of a strip, and half the base of a thin triangle
function isSliver(ring: Ring, width: number): boolean {
  return ring.length < 4 || 2 * Math.abs(signedArea(ring)) <= width * ringLength(ring);
}
