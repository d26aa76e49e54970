import type { GeographicPosition } from "../../frames/position.js";
import type { GeographicPolygon } from "../../survey/positions.js";
import { across, turn } from "../rings.js";

/**
 * Lines of one feature joined again where they were cut at 180 degrees of longitude: where one ends at 180 and the next begins
 * at -180 at the same latitude, or the other way round.
 */
export function joinLines(lines: readonly GeographicPosition[][]): GeographicPosition[][] {
  const joined: GeographicPosition[][] = [];
  for (const line of lines) {
    const before = joined.at(-1);
    const end = before?.at(-1);
    const start = line[0]!;
    const meets =
      before !== undefined &&
      end !== undefined &&
      onSeam(end) &&
      end.longitude === -start.longitude &&
      end.latitude === start.latitude;
    if (!meets) {
      joined.push([...line]);
      continue;
    }
    if (isCut(before.at(-2)!, end, line[1]!)) before.pop();
    for (let i = 1; i < line.length; i++) before.push(line[i]!);
  }
  return joined.map((line) => settled(line, false));
}

/**
 * Polygons of one feature joined again where they were cut at 180 degrees of longitude: where a side of one along 180 and a side
 * of another along -180 lie on each other.
 *
 * @param polygons - rings closed, exteriors counter-clockwise, holes clockwise
 * @returns polygons in the order of their first parts; the same where nothing fits
 */
export function joinPolygons(polygons: readonly GeographicPolygon[]): GeographicPolygon[] {
  const settledPolygons = polygons.map(({ exterior, holes }) => ({
    exterior: settled(exterior, true),
    holes: holes.map((hole) => settled(hole, true)),
  }));
  if (polygons.length < 2) return settledPolygons;
  const edges = seamEdges(settledPolygons);
  const groups = edges === undefined ? undefined : matched(edges, polygons.length);
  if (groups === undefined) return settledPolygons;
  const result: GeographicPolygon[] = [];
  groups.forEach((members, first) => {
    if (members.length === 1) result.push(settledPolygons[first]!);
    else if (members[0] === first) {
      const whole = trace(members.map((i) => edges![i]!));
      if (whole === undefined) result.push(...members.map((i) => settledPolygons[i]!));
      else {
        const holes = members.flatMap((i) => settledPolygons[i]!.holes);
        result.push({ exterior: whole.exterior, holes: [...holes, ...whole.holes] });
      }
    }
  });
  return result;
}

/** A side of an exterior, from its place to that of the next. */
interface Edge {
  readonly from: GeographicPosition;
  /** put in where another part has a vertex: no vertex of the document */
  readonly added: boolean;
  next: Edge;
  /** the side of another part that lies on this one */
  twin?: Edge;
  readonly polygon: number;
  seen: boolean;
}

const onSeam = ({ longitude }: GeographicPosition): boolean => longitude === 180 || longitude === -180;

/**
 * A vertex at 180 degrees told as 180 or -180, whichever side the vertex before it lies on (or after it, where there is none
 * before), so that the same line is the same however it was written.
 */
function settled(line: readonly GeographicPosition[], closed: boolean): GeographicPosition[] {
  const result = [...line];
  if (!result.some(onSeam)) return result;
  const inside = (position: GeographicPosition): boolean => !onSeam(position) && position.longitude !== 0;
  const last = closed ? [...result].reverse().find(inside) : result.find(inside);
  let side = last === undefined ? 0 : Math.sign(last.longitude);
  if (side === 0) return result;
  result.forEach((position, i) => {
    if (inside(position)) side = Math.sign(position.longitude);
    else if (onSeam(position) && position.longitude !== 180 * side) result[i] = { ...position, longitude: 180 * side };
  });
  if (closed) result[result.length - 1] = result[0]!;
  return result;
}

/** The exteriors as linked sides, sides along the seam split where any part has a vertex; undefined where none could fit. */
function seamEdges(polygons: readonly GeographicPolygon[]): Edge[] | undefined {
  const alongEast = (a: GeographicPosition, b: GeographicPosition): boolean =>
    a.longitude === 180 && b.longitude === 180 && a.latitude < b.latitude;
  const alongWest = (a: GeographicPosition, b: GeographicPosition): boolean =>
    a.longitude === -180 && b.longitude === -180 && a.latitude > b.latitude;
  const latitudes = new Set<number>();
  let easts = false;
  let wests = false;
  for (const { exterior } of polygons) {
    for (let i = 1; i < exterior.length; i++) {
      if (onSeam(exterior[i]!)) latitudes.add(exterior[i]!.latitude);
      easts ||= alongEast(exterior[i - 1]!, exterior[i]!);
      wests ||= alongWest(exterior[i - 1]!, exterior[i]!);
    }
  }
  if (!easts || !wests) return undefined;
  const stops = [...latitudes].sort((a, b) => a - b);
  return polygons.map(({ exterior }, polygon) => {
    const edges: Edge[] = [];
    const add = (from: GeographicPosition, added: boolean): void => {
      const edge = { from, added, polygon, seen: false } as Edge;
      edge.next = edge;
      edges.push(edge);
    };
    for (let i = 1; i < exterior.length; i++) {
      const a = exterior[i - 1]!;
      const b = exterior[i]!;
      add(a, false);
      if (!alongEast(a, b) && !alongWest(a, b)) continue;
      const low = Math.min(a.latitude, b.latitude);
      const high = Math.max(a.latitude, b.latitude);
      const between = stops.slice(after(stops, low), after(stops, high) - 1);
      if (a.latitude > b.latitude) between.reverse();
      for (const latitude of between) add({ latitude, longitude: a.longitude }, true);
    }
    edges.forEach((edge, i) => {
      edge.next = edges[(i + 1) % edges.length]!;
    });
    return edges[0]!;
  });
}

/** How many of a sorted list are at most a value. */
function after(sorted: readonly number[], value: number): number {
  let low = 0;
  let high = sorted.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (sorted[middle]! <= value) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** Find the sides that lie on each other: for each polygon all that hang together with it, itself included, rising. */
function matched(firsts: readonly Edge[], count: number): number[][] | undefined {
  const wests = new Map<string, Edge>();
  const easts: Edge[] = [];
  for (const first of firsts) {
    let edge = first;
    do {
      const a = edge.from;
      const b = edge.next.from;
      if (onSeam(a) && a.longitude === b.longitude && a.latitude !== b.latitude) {
        if (a.longitude === 180) easts.push(edge);
        else wests.set(`${b.latitude} ${a.latitude}`, edge);
      }
      edge = edge.next;
    } while (edge !== first);
  }
  const leader = Array.from({ length: count }, (_, i) => i);
  const leaderOf = (i: number): number => {
    let at = i;
    while (leader[at] !== at) at = leader[at] = leader[leader[at]!]!;
    return at;
  };
  let found = false;
  for (const edge of easts) {
    const twin = wests.get(`${edge.from.latitude} ${edge.next.from.latitude}`);
    if (twin === undefined || twin.twin !== undefined || twin.polygon === edge.polygon) continue;
    edge.twin = twin;
    twin.twin = edge;
    found = true;
    const [a, b] = [leaderOf(edge.polygon), leaderOf(twin.polygon)];
    leader[Math.max(a, b)] = Math.min(a, b);
  }
  if (!found) return undefined;
  const groups = new Map<number, number[]>();
  for (let i = 0; i < count; i++) {
    const of = leaderOf(i);
    const group = groups.get(of);
    if (group === undefined) groups.set(of, [i]);
    else group.push(i);
  }
  return leader.map((_, i) => groups.get(leaderOf(i))!);
}

/** The rings that are left without the sides that lie on each other; undefined where they are no one polygon. */
function trace(firsts: readonly Edge[]): GeographicPolygon | undefined {
  let exterior: GeographicPosition[] | undefined;
  const holes: GeographicPosition[][] = [];
  for (const first of firsts) {
    let start = first;
    do {
      if (!start.seen && start.twin === undefined) {
        const loop: Edge[] = [];
        for (let edge = start; !edge.seen; ) {
          edge.seen = true;
          loop.push(edge);
          edge = edge.next;
          while (edge.twin !== undefined) edge = edge.twin.next;
        }
        const ring = settled(closed(loop), true);
        if (round(ring) !== 0) return undefined;
        const sense = turn(ring);
        if (sense < 0) holes.push(ring);
        else if (sense > 0 && exterior === undefined) exterior = ring;
        else return undefined;
      }
      start = start.next;
    } while (start !== first);
  }
  return exterior === undefined ? undefined : { exterior, holes };
}

/** A closed ring of what a loop of sides leaves, without the vertices that the cut put in. */
function closed(loop: readonly Edge[]): GeographicPosition[] {
  const ring: GeographicPosition[] = [];
  loop.forEach(({ from, added }, i) => {
    const before = loop.at(i - 1)!.from;
    const next = loop[(i + 1) % loop.length]!.from;
    const straight = added && before.longitude === from.longitude && next.longitude === from.longitude;
    if (!straight && !(onSeam(from) && isCut(before, from, next))) ring.push(from);
  });
  ring.push(ring[0]!);
  return ring;
}

/** How often a closed ring goes round the Earth. */
function round(ring: readonly GeographicPosition[]): number {
  let sum = 0;
  for (let i = 1; i < ring.length; i++) sum += across(ring[i - 1]!.longitude, ring[i]!.longitude);
  return Math.round(sum / 360);
}

/** Whether a place at 180 degrees is one that a cut put in: its neighbours lie on either side and it is on their line. What others
 * cut and then rounded keeps its vertex. */
function isCut(before: GeographicPosition, at: GeographicPosition, next: GeographicPosition): boolean {
  if (onSeam(before) || onSeam(next) || Math.sign(before.longitude) === Math.sign(next.longitude)) return false;
  const a = 180 - Math.abs(before.longitude);
  const b = 180 - Math.abs(next.longitude);
  if (!(a + b <= 180)) return false;
  const straight = before.latitude + ((next.latitude - before.latitude) * a) / (a + b);
  return Math.abs(at.latitude - straight) <= ROUNDING;
}

/** Rounding of such a sum, degrees, with room: 0.1 µm. */
const ROUNDING = 1e-12;
