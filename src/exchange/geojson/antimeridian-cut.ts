import { pointInPolygon } from "../../geometry/point-in-polygon.js";

/** Longitude, latitude and, where known, altitude, as GeoJSON writes them; longitude in -180 to 180. */
export type Coordinate = number[];

/**
 * A vertex on the unrolled Earth: longitude `lon + 360 turn`. Kept apart, as the sum would lose digits.
 *
 * Seam m is the meridian `180 + 360 m`, between turn m and turn m + 1.
 */
interface Vertex {
  readonly at: Coordinate;
  readonly turn: number;
}

/**
 * Cut a line where it crosses 180 degrees of longitude (RFC 7946 3.1.9). Neighbours are joined by the short way, straight in
 * degrees (3.1.1), which is where the cut lies.
 *
 * @returns the line in parts, none of which crosses; each ends and begins at 180 or -180, on its own side
 */
export function cutLine(line: readonly Coordinate[]): Coordinate[][] {
  const vertices = unroll(line, false)!;
  const parts: Coordinate[][] = [];
  let part: Vertex[] = [vertices[0]!];
  let window: number | undefined;
  for (let i = 1; i < vertices.length; i++) {
    const a = vertices[i - 1]!;
    const b = vertices[i]!;
    const from = seamOf(a) === undefined ? a.turn : seamOf(b) === undefined ? b.turn : window;
    if (from !== window) {
      if (window !== undefined) {
        parts.push(rolled(part, window));
        part = [a];
      }
      window = from;
    }
    if (seamOf(a) === undefined && seamOf(b) === undefined && a.turn !== b.turn) {
      const crossing = crossingOf(a, b);
      parts.push(rolled([...part, crossing], a.turn));
      part = [crossing];
      window = b.turn;
    }
    part.push(b);
  }
  parts.push(rolled(part, window));
  return parts;
}

/**
 * Cut a polygon where it crosses 180 degrees of longitude (RFC 7946 3.1.9), with its holes.
 *
 * @param rings - closed; the exterior, counter-clockwise, then the holes, clockwise
 * @returns polygons, none of which crosses; the polygon whole, as it is, where it goes round a pole, which no cut makes
 * two parts of, or where its rings cross each other or have spikes there
 */
export function cutPolygon(rings: readonly Coordinate[][]): Coordinate[][][] {
  if (!rings.some((ring) => reachesSeam(ring))) return [rings as Coordinate[][]];
  const exterior = unroll(rings[0]!, true);
  if (exterior === undefined) return [rings as Coordinate[][]];
  const [least, most] = turnsOf(exterior);
  const polygon: Vertex[][] = [exterior];
  for (const hole of rings.slice(1)) {
    const unrolled = unroll(hole, true);
    if (unrolled === undefined) return [rings as Coordinate[][]];
    polygon.push(moved(unrolled, exterior));
  }
  let parts: Vertex[][][] = [polygon];
  for (let seam = least; seam < most; seam++) {
    const next: Vertex[][][] = [];
    for (const part of parts) {
      const [low, high] = turnsOf(part[0]!);
      if (low > seam || high <= seam) {
        next.push(part);
        continue;
      }
      const halves = split(part, seam);
      if (halves === undefined) return [rings as Coordinate[][]];
      next.push(...halves);
    }
    parts = next;
  }
  // the part that holds the first vertex comes first and starts there, so that what is joined again does too
  const first = exterior[0]!;
  const leading = parts.findIndex((part) => part[0]!.includes(first));
  if (leading > 0) parts.unshift(...parts.splice(leading, 1));
  const start = parts[0]![0]!.indexOf(first);
  if (start > 0) parts[0]![0] = [...parts[0]![0]!.slice(start), ...parts[0]![0]!.slice(0, start)];
  return parts.map((part) => {
    const [window] = turnsOf(part[0]!);
    return part.map((ring) => {
      const closed = rolled(ring, window);
      closed.push(closed[0]!);
      return closed;
    });
  });
}

/** Whether a ring has a vertex at 180 degrees or a side across. */
function reachesSeam(ring: readonly Coordinate[]): boolean {
  for (let i = 0; i < ring.length; i++) {
    const longitude = ring[i]![0]!;
    if (longitude === 180 || longitude === -180) return true;
    if (i > 0 && Math.abs(longitude - ring[i - 1]![0]!) > 180) return true;
  }
  return false;
}

/** Vertices with their turns; a closed ring without its last, undefined where it does not come back to its turn. */
function unroll(line: readonly Coordinate[], closed: boolean): Vertex[] | undefined {
  const vertices: Vertex[] = [];
  let turn = 0;
  for (let i = 0; i < line.length; i++) {
    const at = line[i]!;
    if (i > 0) {
      const step = at[0]! - line[i - 1]![0]!;
      if (step > 180) turn--;
      else if (step < -180) turn++;
    }
    vertices.push({ at, turn });
  }
  if (!closed) return vertices;
  const last = vertices.pop()!;
  return east(last) === east(vertices[0]!) ? vertices : undefined;
}

function east(vertex: Vertex): number {
  return vertex.at[0]! + 360 * vertex.turn;
}

/** The seam that a vertex lies on. */
function seamOf({ at, turn }: Vertex): number | undefined {
  return at[0] === 180 ? turn : at[0] === -180 ? turn - 1 : undefined;
}

/** Lowest and highest turn that vertices lie strictly inside of; of vertices that are all on one seam the turn west of it. */
function turnsOf(ring: readonly Vertex[]): [least: number, most: number] {
  let least = Number.POSITIVE_INFINITY;
  let most = Number.NEGATIVE_INFINITY;
  for (const vertex of ring) {
    if (seamOf(vertex) !== undefined) continue;
    least = Math.min(least, vertex.turn);
    most = Math.max(most, vertex.turn);
  }
  return least <= most ? [least, most] : [seamOf(ring[0]!)!, seamOf(ring[0]!)!];
}

/** A hole moved by whole turns to where its exterior is. */
function moved(hole: Vertex[], exterior: readonly Vertex[]): Vertex[] {
  let least = Number.POSITIVE_INFINITY;
  let most = Number.NEGATIVE_INFINITY;
  for (const vertex of exterior) {
    least = Math.min(least, east(vertex));
    most = Math.max(most, east(vertex));
  }
  const by = Math.round(((least + most) / 2 - east(hole[0]!)) / 360);
  return by === 0 ? hole : hole.map(({ at, turn }) => ({ at, turn: turn + by }));
}

function crossingOf(a: Vertex, b: Vertex): Vertex {
  const eastward = b.turn > a.turn;
  const before = eastward ? 180 - a.at[0]! : a.at[0]! + 180;
  const after = eastward ? b.at[0]! + 180 : 180 - b.at[0]!;
  const share = before / (before + after);
  const between = (i: number): number => a.at[i]! + (b.at[i]! - a.at[i]!) * share;
  // not rounded, so that a reader can tell it from a vertex that was there
  const at = [180, between(1)];
  // as altitudes are written: 0.1 mm
  if (a.at.length > 2 && b.at.length > 2) at.push(Number(between(2).toFixed(4)) + 0);
  return { at, turn: Math.min(a.turn, b.turn) };
}

/**
 * Coordinates in a window of one turn: a vertex on its east seam is at 180, on its west seam at -180. Without a window all lie
 * on one seam, and on the side that the first is told on.
 */
function rolled(vertices: readonly Vertex[], window: number | undefined): Coordinate[] {
  return vertices.map((vertex) => {
    const seam = seamOf(vertex);
    if (seam === undefined) return vertex.at;
    const longitude = window === undefined ? vertices[0]!.at[0]! : seam === window ? 180 : -180;
    return longitude === vertex.at[0] ? vertex.at : [longitude, ...vertex.at.slice(1)];
  });
}

/** A place where a ring goes over the seam. */
interface Crossing {
  readonly vertex: Vertex;
  readonly outward: boolean;
  /** the chain that ends here */
  readonly ends: Chain;
  /** the chain that begins here */
  begins: Chain;
}

/** A stretch of a ring on one side of the seam. */
interface Chain {
  readonly vertices: Vertex[];
  readonly west: boolean;
  /** the chain that follows along the seam */
  next?: Chain;
}

/**
 * A polygon cut along one seam. A vertex on the seam counts as west of it, which makes every touch either none or a pair of
 * crossings; pieces of no width that come of it are left out.
 */
function split(rings: readonly Vertex[][], seam: number): Vertex[][][] | undefined {
  const isWest = (vertex: Vertex): boolean => (seamOf(vertex) ?? vertex.turn) <= seam;
  const whole: [Vertex[][], Vertex[][]] = [[], []];
  const chains: Chain[] = [];
  const crossings: Crossing[] = [];
  for (const ring of rings) {
    const start = ring.findIndex((vertex, i) => isWest(ring.at(i - 1)!) !== isWest(vertex));
    if (start < 0) {
      whole[isWest(ring[0]!) ? 0 : 1].push(ring);
      continue;
    }
    const first: Chain = { vertices: [], west: isWest(ring[start]!) };
    let chain = first;
    chains.push(chain);
    const begun: Crossing[] = [];
    for (let n = 0; n < ring.length; n++) {
      const a = ring[(start + n) % ring.length]!;
      const b = ring[(start + n + 1) % ring.length]!;
      chain.vertices.push(a);
      if (isWest(a) === isWest(b)) continue;
      const onSeam = seamOf(a) === seam ? a : seamOf(b) === seam ? b : undefined;
      const vertex = onSeam ?? crossingOf(a, b);
      const next: Chain = n === ring.length - 1 ? first : { vertices: [], west: isWest(b) };
      if (next !== first) chains.push(next);
      begun.push({ vertex, outward: isWest(a), ends: chain, begins: next });
      chain = next;
    }
    for (const crossing of begun) {
      crossing.ends.vertices.push(crossing.vertex);
      crossing.begins.vertices.unshift(crossing.vertex);
    }
    crossings.push(...begun);
  }
  if (!pair(crossings)) return undefined;
  const exteriors: [Vertex[][], Vertex[][]] = [[], []];
  const used = new Set<Chain>();
  for (const chain of chains) {
    if (used.has(chain)) continue;
    const loop: Vertex[] = [];
    for (let at = chain; !used.has(at); at = at.next!) {
      used.add(at);
      loop.push(...at.vertices);
    }
    const ring = loop.filter((vertex, i) => !samePlace(vertex, loop.at(i - 1)!));
    if (ring.every((vertex) => seamOf(vertex) === seam)) continue;
    // a spike over the seam, there and back: a part of it would be no ring
    if (new Set(ring.map((vertex) => `${east(vertex)} ${vertex.at[1]}`)).size < 3) return undefined;
    exteriors[chain.west ? 0 : 1].push(ring);
  }
  const parts: Vertex[][][] = [];
  for (const side of [0, 1] as const) {
    const polygons = exteriors[side].map((exterior) => [exterior]);
    for (const hole of whole[side]) {
      const home = polygons.length === 1 ? polygons[0] : polygons.find((polygon) => holds(polygon[0]!, hole, seam));
      // a hole outside of its polygon: no cut makes sense of that
      if (home === undefined) return undefined;
      home.push(hole);
    }
    parts.push(...polygons);
  }
  return parts;
}

/** Link chains along the seam: going north, ground lies between a crossing outward and the next one inward. */
function pair(crossings: Crossing[]): boolean {
  crossings.sort((a, b) => a.vertex.at[1]! - b.vertex.at[1]!);
  for (let i = 0; i < crossings.length; i++) {
    const outward = i % 2 === 0;
    const latitude = crossings[i]!.vertex.at[1];
    let j = i;
    while (j < crossings.length && crossings[j]!.outward !== outward) j++;
    // of several at one place the one that fits comes first
    if (j === crossings.length || crossings[j]!.vertex.at[1] !== latitude) return false;
    [crossings[i], crossings[j]] = [crossings[j]!, crossings[i]!];
  }
  for (let i = 0; i + 1 < crossings.length; i += 2) {
    const out = crossings[i]!;
    const back = crossings[i + 1]!;
    out.ends.next = back.begins;
    back.ends.next = out.begins;
  }
  return crossings.length % 2 === 0;
}

function samePlace(a: Vertex, b: Vertex): boolean {
  return a === b || (a.at[1] === b.at[1] && east(a) === east(b));
}

function holds(exterior: readonly Vertex[], hole: readonly Vertex[], seam: number): boolean {
  const plane = (vertex: Vertex): [number, number] => [vertex.at[0]! + 360 * (vertex.turn - seam), vertex.at[1]!];
  const polygon = { exterior: exterior.map(plane), holes: [] };
  for (const vertex of hole) {
    const where = pointInPolygon(polygon, plane(vertex));
    if (where !== "boundary") return where === "inside";
  }
  return true;
}
