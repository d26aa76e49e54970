import { difference, type Polygon, polygonArea } from "../geometry/index.js";
import { offsetPolygon, offsetPolygonFamily, type OffsetOptions } from "../offset/index.js";
import type { CheckedOptions } from "./check-options.js";
import { offsetAgain } from "./offset-again.js";

/** The ground inside one round, and the same after the turning radius has been allowed for. */
export interface Level {
  /** number of the round */
  readonly round: number;
  /** distance of its line from the boundary and from the obstacles, metres; where they differ, two fronts meet */
  readonly fromBoundary: number;
  readonly fromObstacles: number;
  /** whether the boundary, and the obstacles, have a round of this number */
  readonly ofBoundary: boolean;
  readonly ofObstacles: boolean;
  /** the ground farther in than the line */
  readonly sharp: readonly Polygon[];
  /** centres of all discs of the turning radius that lie on that ground; the ground itself for no radius */
  readonly centres: readonly Polygon[];
  /** the ground that those discs reach: its rings are the lines to drive */
  readonly driven: readonly Polygon[];
}

/** All rounds of one polygon, and the ground inside them. */
export interface Levels {
  readonly levels: readonly Level[];
  readonly mainfield: readonly Polygon[];
}

/**
 * The ground inside each round of a polygon, from its own boundary every time.
 *
 * Rounds of boundary and obstacles of the same number are one level set of the distance to both. Where one of the two
 * has fewer rounds, its front stays at its last round (at half a swath for none), so that the other's rounds go round it
 * without a gap.
 *
 * @internal
 */
export function levelsOf(polygon: Polygon, rounds: number, obstacleRounds: number, options: CheckedOptions): Levels {
  const { width, radius, join, tolerance } = options;
  const shape: OffsetOptions = { join, tolerance };
  const obstacles = polygon.holes.length > 0 ? obstacleRounds : rounds;
  const most = Math.max(rounds, obstacles);
  const both = Math.min(rounds, obstacles);
  // one sweep: the lines and, farther in by the radius, the centres of turning circles
  const wanted: number[] = [];
  for (let i = 1; i <= most; i++) {
    if (i <= Math.max(1, both)) wanted.push(-(i - 0.5) * width, -((i - 0.5) * width + radius));
  }
  wanted.push(-rounds * width);
  const family = offsetPolygonFamily(polygon, wanted, shape);
  const fronts = new Fronts(polygon, shape);
  const levels: Level[] = [];
  for (let i = 1; i <= most; i++) {
    const fromBoundary = (Math.max(1, Math.min(i, rounds)) - 0.5) * width;
    const fromObstacles = (Math.max(1, Math.min(i, obstacles)) - 0.5) * width;
    const joint = fromBoundary === fromObstacles;
    const sharp = joint ? family[2 * i - 2]! : fronts.between(fromBoundary, fromObstacles);
    let centres = sharp;
    let driven = sharp;
    if (radius > 0) {
      centres = joint ? family[2 * i - 1]! : offsetAgain(sharp, -radius, { tolerance });
      driven = offsetAgain(centres, radius, { tolerance });
    }
    levels.push({
      round: i,
      fromBoundary,
      fromObstacles,
      ofBoundary: i <= rounds,
      ofObstacles: i <= obstacles && polygon.holes.length > 0,
      sharp,
      centres,
      driven,
    });
    if (sharp.length === 0) break;
  }
  const mainfield =
    rounds === obstacles ? family[family.length - 1]! : fronts.between(rounds * width, obstacles * width);
  return { levels, mainfield: mainfield.filter((part) => polygonArea(part) > 0) };
}

// ground at least as far from the exterior as one distance, and from the holes as another
class Fronts {
  private readonly exterior: Polygon;
  private readonly holes: readonly Polygon[];
  private readonly shape: OffsetOptions;

  constructor(polygon: Polygon, shape: OffsetOptions) {
    this.exterior = { exterior: polygon.exterior, holes: [] };
    this.holes = polygon.holes.map((hole) => ({ exterior: hole, holes: [] }));
    this.shape = shape;
  }

  between(fromBoundary: number, fromObstacles: number): Polygon[] {
    const inside = offsetPolygon(this.exterior, -fromBoundary, this.shape);
    if (inside.length === 0) return [];
    return difference(inside, offsetPolygon(this.holes, fromObstacles, this.shape));
  }
}
