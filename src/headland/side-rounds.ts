import { intersection, type Line, LineIndex, pathLength, type Point, type Polygon, union } from "../geometry/index.js";
import { offsetLine, offsetPolygon } from "../offset/index.js";
import type { CheckedOptions } from "./check-options.js";
import { clipLine } from "./clip-line.js";
import { type Corner, cornersOf } from "./corners.js";
import type { DroppedRound, HeadlandRound } from "./headland-result.js";
import { type SideChain, runOn, sideChain } from "./side-chain.js";
import { strip } from "./strip.js";
import { tubesOf } from "./tube.js";
import { SWATH_LAP, SWATH_TOLERANCE } from "./uncovered.js";

/** how far a machine with a turning radius may leave a corner of its line, metres; see `tightTurn` */
const LEAST_DEPARTURE = 0.05;

/** boolean operations move an edge by less than this, metres */
const ON_EDGE = 1e-4;

/** Passes along chosen sides. */
export interface SideRounds {
  readonly rounds: readonly HeadlandRound[];
  /** headland of the sides */
  readonly ground: readonly Polygon[];
  readonly swaths: readonly (readonly Polygon[])[];
  readonly dropped: readonly DroppedRound[];
}

/**
 * Passes along the sides asked for.
 *
 * @param given - the field as the caller gave it: edges are numbered there
 * @param field - the same, checked
 * @param obstacles - headland about obstacles, at which passes end
 *
 * @internal
 */
export function sideRounds(
  given: readonly Polygon[],
  field: readonly Polygon[],
  obstacles: readonly Polygon[],
  options: CheckedOptions,
): SideRounds {
  const rounds: HeadlandRound[] = [];
  const swaths: Polygon[][] = [];
  const dropped: DroppedRound[] = [];
  let ground: Polygon[] = [];
  options.sides!.forEach((side, index) => {
    if (side.width === 0) return;
    const chain = sideChain(given, side);
    const own = nextTo(
      chain,
      intersection(field, strip(runOn(chain, side.width), chain.closed, side.width, options.tolerance)),
    );
    const taken = [...ground, ...obstacles];
    side.distances.forEach((distance, k) => {
      const pieces = parallels(chain, distance, options);
      // a headland narrower than half a swath has its pass beside it
      const room = distance <= side.width ? own : field;
      const parts = pieces.flatMap((piece) => clipLine(piece, room, taken));
      for (const line of parts) rounds.push(passOf(line, chain.closed, index, k + 1, distance, options));
      if (parts.length > 0) swaths.push(swathOf(pieces, options));
      else {
        const reason = pieces.length === 0 ? "vanished" : "covered";
        dropped.push({ round: k + 1, reason, source: "side", index, at: chain.line[0]! });
      }
    });
    ground = ground.length === 0 ? own : union([...ground, ...own]);
  });
  return { rounds, ground, swaths, dropped };
}

// ground that begins at the side, not what lies beyond a gap in the field
function nextTo(chain: SideChain, ground: readonly Polygon[]): Polygon[] {
  return ground.filter((part) => {
    const rings = [part.exterior, ...part.holes].map((ring) => new LineIndex(ring));
    for (let i = 0; i + 1 < chain.line.length; i++) {
      const [ax, ay] = chain.line[i]!;
      const [bx, by] = chain.line[i + 1]!;
      if (rings.some((ring) => ring.nearest((ax + bx) / 2, (ay + by) / 2).distance < ON_EDGE)) return true;
    }
    return false;
  });
}

// a pass and its swath, as far as the field may reach: the swath's inner edge reaches farthest
function parallels(chain: SideChain, distance: number, options: CheckedOptions): Line[] {
  const { join, tolerance, width } = options;
  const line = runOn(chain, distance + width / 2);
  return offsetLine(line, -distance, { join, tolerance, closed: chain.closed }).map((piece) => piece.points);
}

function passOf(
  line: readonly Point[],
  ring: boolean,
  index: number,
  number: number,
  distance: number,
  options: CheckedOptions,
): HeadlandRound {
  const first = line[0]!;
  const last = line[line.length - 1]!;
  const closed = ring && first[0] === last[0] && first[1] === last[1];
  const corners = cornersOf(line, closed);
  const tight = corners.find((corner) => departure(corner, options.radius) > LEAST_DEPARTURE);
  return {
    line,
    closed,
    source: "side",
    index,
    obstacles: [],
    number,
    distance,
    length: pathLength(line),
    drivable: tight === undefined,
    ...(tight === undefined ? {} : { reason: "tight-turn", reasonAt: tight.at }),
    corners: corners.map((corner) => ({ ...corner, uncoveredArea: 0 })),
  };
}

// gap between a corner and the arc that rounds it
function departure(corner: Corner, radius: number): number {
  return radius * (1 / Math.sin((corner.angle * Math.PI) / 360) - 1);
}

function swathOf(pieces: readonly Line[], options: CheckedOptions): Polygon[] {
  const half = options.width / 2 + SWATH_LAP;
  return offsetPolygon(pieces.flatMap(tubesOf), half, { tolerance: SWATH_TOLERANCE });
}
