import { type Point, type Ring, ringCrossings, signedArea } from "../geometry/index.js";

/** Rounds of uncrossing; each takes one crossing away. */
const MOST = 100;

/**
 * A ring without crossings: at each place where it crosses itself the loop between is walked the other way round, so that
 * the ring touches itself there. For spikes whose two arms cross over by a hair, which a check lets pass: their ground
 * keeps its outline.
 *
 * @param ring - open
 * @returns a ring wound as the one given, that ring itself where it does not cross; `undefined` where crossings do not come to an end
 *
 * @internal
 */
export function uncross(ring: Ring): Ring | undefined {
  let now = ring;
  for (let round = 0; round < MOST; round++) {
    const crossing = ringCrossings(now).find(({ kind }) => kind === "crossing");
    if (crossing === undefined) return signedArea(now) * signedArea(ring) < 0 ? [...now].reverse() : now;
    const [i, j] = crossing.segments;
    now = withoutRepeats([
      ...now.slice(0, i + 1),
      crossing.point,
      ...now.slice(i + 1, j + 1).reverse(),
      crossing.point,
      ...now.slice(j + 1),
    ]);
  }
  return undefined;
}

function withoutRepeats(points: readonly Point[]): Point[] {
  return points.filter((p, k) => {
    const before = points[k === 0 ? points.length - 1 : k - 1]!;
    return p[0] !== before[0] || p[1] !== before[1];
  });
}
