import { requireList, requireObject } from "../errors/index.js";
import type { Point } from "../geometry/index.js";
import type { Headland } from "./headland-result.js";

/** A round as a line to be guided along. */
export interface RoundLine {
  /** in driving direction, metres; a closed one repeats its first point at the end */
  readonly points: readonly Point[];
  /** whether it is a loop: make it a closed line, else a curve */
  readonly closed: boolean;
  /** such as `boundary 1, round 2` */
  readonly name: string;
}

/**
 * The rounds of a headland that can be driven, in driving order, as lines for guidance.
 *
 * @param made - what `headland` gave
 * @param options - whether to keep rounds that are marked as not drivable; default not
 * @returns one line a round; names count from 1
 * @throws `FeeringError` `not-finite` or `too-few-points` for what `headland` did not give
 */
export function roundLines(made: Headland, options: { readonly all?: boolean } = {}): RoundLine[] {
  requireObject(made, "made");
  requireList(made.rounds, "made.rounds");
  made.rounds.forEach((round, i) => requireObject(round, `made.rounds[${i}]`));
  requireObject(options, "options");
  return made.rounds
    .filter((round) => round.drivable || options.all === true)
    .map((round) => ({
      points: round.line,
      closed: round.closed,
      name: `${round.source} ${round.index + 1}, round ${round.number}`,
    }));
}
