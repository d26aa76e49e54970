import { FeeringError } from "../errors/index.js";
import { LineIndex, pointInPolygon, ringCrossings, signedArea } from "../geometry/index.js";
import type { Line, Point } from "../geometry/types.js";
import { type Contact, contacts, type ContactLimits } from "./lap-contacts.js";
import { cutLoops } from "./lap-loops.js";

/** Of two ways to close a lap, the first counts if its area is at least this share of the larger. */
const FULL_LAP = 0.1;

/** Limits of {@link chooseClosure}. */
export interface ClosureLimits extends ContactLimits {
  /** longest loop about the closing place that does not count as a crossing, metres */
  readonly maximumLoop: number;
}

/**
 * The contact that closes the lap: the first that encloses ground worth the name. A way in that the lap merely passes
 * by gives way to a later contact with the lap itself.
 *
 * @param points - the cleaned track, metres
 * @param stations - metres along it at each point
 * @param limits - what counts as a contact
 * @returns the contact
 * @throws `FeeringError` `out-of-range` where the track does not come back, `degenerate` where it encloses nothing,
 * `self-crossing` where it goes on to enclose other ground: which of the two is the field?
 */
export function chooseClosure(points: Line, stations: readonly number[], limits: ClosureLimits): Contact {
  const found = contacts(points, stations, limits);
  const areas = found.map((contact) => signedArea(lapOf(points, contact)));
  const largest = Math.max(0, ...areas.map(Math.abs));
  let chosen = areas.findIndex((area) => area !== 0 && Math.abs(area) >= FULL_LAP * largest);
  if (chosen < 0) throw refuseOpen(points, limits, found.length > 0);
  for (let later = chosen + 1; later < found.length; later++) {
    if (Math.abs(areas[later]! - areas[chosen]!) < FULL_LAP * Math.abs(areas[chosen]!)) continue;
    if (!goesOutside(points, found[chosen]!, found[later]!, limits.maximumGap)) continue;
    // the first contact was with the way in, the later one is with the lap itself
    const onWayIn = found[later]!.start > found[chosen]!.start + limits.maximumGap;
    if (
      !onWayIn ||
      ringCrossings(closedLap(points, found[later]!, limits.maximumLoop)).some(({ kind }) => kind !== "touch")
    ) {
      throw refuseTwo(found[chosen]!, found[later]!);
    }
    chosen = later;
  }
  return found[chosen]!;
}

/** Whether a track, after it has closed, leaves the lap to the outside before it comes back once more. */
function goesOutside(points: Line, closure: Contact, later: Contact, maximumGap: number): boolean {
  const ring = lapOf(points, closure);
  const edge = new LineIndex(ring, { closed: true });
  for (let i = closure.late + 1; i <= later.late; i++) {
    const p = points[i]!;
    // a second lap, or a round farther in, is still the same field
    if (edge.nearest(p[0], p[1]).distance <= maximumGap) continue;
    if (pointInPolygon({ exterior: ring, holes: [] }, p) === "outside") return true;
  }
  return false;
}

function refuseTwo(first: Contact, second: Contact): FeeringError {
  const at = ({ from, end }: Contact): string =>
    `at (${from[0].toFixed(2)}, ${from[1].toFixed(2)}) after ${end.toFixed(1)} m`;
  return new FeeringError(
    "self-crossing",
    `track meets its start twice and encloses different ground: ${at(first)} and ${at(second)}`,
    { argument: "track", value: first.from },
  );
}

function refuseOpen(points: Line, limits: ContactLimits, flat: boolean): FeeringError {
  if (flat) return new FeeringError("degenerate", "track closes but encloses no area", { argument: "track" });
  const first = points[0]!;
  const last = points[points.length - 1]!;
  const gap = Math.hypot(last[0] - first[0], last[1] - first[1]);
  return new FeeringError(
    "out-of-range",
    `track is no closed lap: it ends ${gap.toFixed(2)} m from its start and comes back nowhere within ` +
      `${limits.maximumGap} m (options.maximumGap) of its first ${limits.maximumInRun} m (options.maximumInRun)`,
    { argument: "track", value: gap },
  );
}

/** The ring between two places of a track, open. */
function lapOf(points: Line, contact: Contact): Point[] {
  const ring: Point[] = [contact.from];
  const push = (p: Point): void => {
    const last = ring[ring.length - 1]!;
    if (last[0] !== p[0] || last[1] !== p[1]) ring.push(p);
  };
  for (let i = contact.early + 1; i <= contact.late; i++) push(points[i]!);
  push(contact.to);
  const last = ring[ring.length - 1]!;
  if (ring.length > 1 && last[0] === contact.from[0] && last[1] === contact.from[1]) ring.pop();
  return ring;
}

/**
 * The ring that a contact closes, without small loops about the place where it closes.
 *
 * @param points - the cleaned track, metres
 * @param contact - what closes it
 * @param maximumLoop - longest loop that is cut, metres
 * @returns the ring, closed
 */
export function closedLap(points: Line, contact: Contact, maximumLoop: number): Point[] {
  const ring = lapOf(points, contact);
  const half = ring.length >> 1;
  // turned half way round, the closing place is in the middle of the line
  return cutLoops([...ring.slice(half), ...ring.slice(0, half), ring[half]!], maximumLoop).points;
}
