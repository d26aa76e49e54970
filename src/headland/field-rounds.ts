import { type Line, type Point, pathLength, pointInPolygon, type Polygon, type Ring } from "../geometry/index.js";
import type { CheckedOptions } from "./check-options.js";
import { cornersOf } from "./corners.js";
import { Follow, type Followed } from "./follow.js";
import type { DroppedRound, HeadlandRound, RoundReason } from "./headland-result.js";
import { type Level, levelsOf } from "./levels.js";
import { offsetAgain } from "./offset-again.js";
import { pointInside } from "./point-inside.js";
import { stretchesOf } from "./stretches.js";
import { tightTurn } from "./tight-turn.js";
import { tubesOf } from "./tube.js";
import { insideAny, SWATH_LAP, SWATH_TOLERANCE } from "./uncovered.js";

/** The rounds of one polygon of a field. */
export interface FieldRounds {
  readonly rounds: readonly HeadlandRound[];
  readonly levels: readonly Level[];
  readonly mainfield: readonly Polygon[];
  /** ground that each round driven treats */
  readonly swaths: readonly (readonly Polygon[])[];
  readonly dropped: readonly DroppedRound[];
  /** whether a point lies in the polygon */
  readonly holds: (p: Point) => boolean;
}

/**
 * Rounds inside one polygon, and about its holes.
 *
 * @param index - number of the polygon
 * @param firstObstacle - number of its first hole among the obstacles
 *
 * @internal
 */
export function fieldRounds(
  polygon: Polygon,
  index: number,
  firstObstacle: number,
  rounds: number,
  obstacleRounds: number,
  options: CheckedOptions,
): FieldRounds {
  const { levels, mainfield } = levelsOf(polygon, rounds, obstacleRounds, options);
  const follow = new Follow(polygon, options.tolerance);
  const out: HeadlandRound[] = [];
  const swaths: Polygon[][] = [];
  for (const level of levels) {
    const followed = (ring: Ring): Followed | undefined => {
      const what = follow.of(ring, level.fromBoundary, level.fromObstacles);
      const wanted = (what.boundary && level.ofBoundary) || (what.holes.length > 0 && level.ofObstacles);
      return wanted ? what : undefined;
    };
    const add = (line: Line, what: Followed, reason: RoundReason | undefined, at: Point | undefined): void => {
      const first = line[0]!;
      const last = line[line.length - 1]!;
      // no round of the boundary's own: it only gives way to it
      const ofBoundary = what.boundary && level.ofBoundary;
      out.push({
        line,
        closed: first[0] === last[0] && first[1] === last[1],
        source: ofBoundary ? "boundary" : "obstacle",
        index: ofBoundary ? index : firstObstacle + what.holes[0]!,
        obstacles: what.holes.map((hole) => firstObstacle + hole),
        number: level.round,
        distance: (level.round - 0.5) * options.width,
        length: pathLength(line),
        drivable: reason === undefined,
        ...(reason === undefined ? {} : { reason }),
        ...(at === undefined ? {} : { reasonAt: at }),
        corners: [],
      });
    };
    for (const part of level.driven) {
      for (const ring of ringsOf(part)) {
        const what = followed(ring);
        if (what === undefined) continue;
        const around = ring !== part.exterior;
        const at = options.radius > 0 ? tightTurn(ring, around, options.radius, options.tolerance) : undefined;
        // where the boundary has no such round, only what runs about the obstacles is driven
        const aside = what.boundary && !level.ofBoundary;
        const lines = aside ? stretchesOf(ring, (x, y) => follow.besideHole(x, y, level.fromObstacles)) : [ring];
        for (const line of lines) {
          const tight = at !== undefined && (!aside || nearLine(line, at, options.radius)) ? at : undefined;
          add(line, what, tight === undefined ? undefined : "tight-turn", tight);
        }
        if (!aside) swaths.push(swathOf(ring, options));
        else if (lines.length > 0) swaths.push(swathOfLines(lines, options));
      }
    }
    if (options.radius > 0) {
      for (const part of level.sharp) {
        if (level.centres.some((other) => partOf(other, part))) continue;
        for (const ring of ringsOf(part)) {
          const what = followed(ring);
          if (what !== undefined) add(ring, what, "too-narrow", pointInside(part));
        }
      }
    }
  }
  const dropped = droppedOf(polygon, index, firstObstacle, levels);
  const holds = (p: Point): boolean => insideAny([polygon], p);
  return { rounds: withCorners(out, levels), levels, mainfield, swaths, dropped, holds };
}

function nearLine(line: Line, p: Point, within: number): boolean {
  return line.some((q) => Math.hypot(q[0] - p[0], q[1] - p[1]) <= within);
}

function ringsOf(part: Polygon): Ring[] {
  return [part.exterior, ...part.holes];
}

// half a swath on either side, and a hair more so that flattened arcs of two neighbours overlap
function swathOf(ring: Ring, options: CheckedOptions): Polygon[] {
  const half = options.width / 2 + SWATH_LAP;
  const tolerance = SWATH_TOLERANCE;
  const polygon = [{ exterior: ring, holes: [] }];
  const outer = offsetAgain(polygon, half, { tolerance });
  const inner = offsetAgain(polygon, -half, { tolerance });
  // the inner edge lies a swath inside the outer one: its rings are holes of the parts that hold them
  return outer.map((part) => ({
    exterior: part.exterior,
    holes: [...part.holes, ...inner.filter((hole) => partOf(hole, part)).map((hole) => hole.exterior)],
  }));
}

function swathOfLines(lines: readonly Line[], options: CheckedOptions): Polygon[] {
  return offsetAgain(lines.flatMap(tubesOf), options.width / 2 + SWATH_LAP, { tolerance: SWATH_TOLERANCE });
}

function partOf(inner: Polygon, outer: Polygon): boolean {
  return pointInPolygon(outer, inner.exterior[0]!) !== "outside";
}

// ground inside a round on which the next one has no place
function droppedOf(polygon: Polygon, index: number, firstObstacle: number, levels: readonly Level[]): DroppedRound[] {
  const dropped: DroppedRound[] = [];
  let before: readonly Polygon[] = [polygon];
  for (const { round, sharp, ofBoundary } of levels) {
    const within = sharp.map(pointInside);
    for (const part of before) {
      // by points within: where one front stays at its last round, the two share edges
      if (within.some((p) => insideAny([part], p))) continue;
      const whose = ofBoundary
        ? ({ source: "boundary", index } as const)
        : ({ source: "obstacle", index: firstObstacle } as const);
      dropped.push({ round, reason: "vanished", ...whose, at: pointInside(part) });
    }
    before = sharp;
  }
  return dropped;
}

function withCorners(rounds: readonly HeadlandRound[], levels: readonly Level[]): HeadlandRound[] {
  return rounds.map((round) => {
    const level = levels.find((one) => one.round === round.number)!;
    // the rings before rounding that this one came from: those on the same ground
    const corners = level.sharp
      .flatMap(ringsOf)
      .flatMap((ring) => cornersOf(ring, true))
      .filter(({ at }) => nearestRound(rounds, round.number, at) === round)
      .map((corner) => ({ ...corner, uncoveredArea: 0 }));
    return { ...round, corners };
  });
}

function nearestRound(rounds: readonly HeadlandRound[], number: number, at: Point): HeadlandRound | undefined {
  const same = rounds.filter((round) => round.number === number);
  if (same.length < 2) return same[0];
  let best: HeadlandRound | undefined;
  let least = Number.POSITIVE_INFINITY;
  for (const round of same) {
    for (const p of round.line) {
      const distance = Math.hypot(p[0] - at[0], p[1] - at[1]);
      if (distance < least) {
        least = distance;
        best = round;
      }
    }
  }
  return best;
}

/** Number of the round on whose outer side a point lies. */
export function roundAt(levels: readonly Level[], p: Point): number {
  for (const level of levels) {
    if (!insideAny(level.driven, p)) return level.round;
  }
  return levels.length;
}
