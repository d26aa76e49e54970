import type { Point, Polygon, Ring } from "../../src/geometry/index.js";

export { random } from "../helpers/random.js";

/** Axis-parallel rectangle, open, counter-clockwise. */
export function rectangle(x: number, y: number, width: number, height: number): Point[] {
  return [
    [x, y],
    [x + width, y],
    [x + width, y + height],
    [x, y + height],
  ];
}

export function polygon(exterior: Ring, ...holes: Ring[]): Polygon {
  return { exterior, holes };
}

/** Star-shaped ring about the origin: simple by construction. */
export function starShaped(count: number, radius: (i: number) => number): Point[] {
  return Array.from({ length: count }, (_, i): Point => {
    const angle = (i / count) * 2 * Math.PI;
    const r = radius(i);
    return [r * Math.cos(angle), r * Math.sin(angle)];
  });
}

/** A comb that stands on the x axis: `teeth` teeth of the given height, 1 m apart. */
export function comb(teeth: number, height: number): Point[] {
  const ring: Point[] = [
    [0, -1],
    [teeth, -1],
  ];
  for (let i = teeth; i > 0; i--) ring.push([i, 0], [i - 0.5, height]);
  ring.push([0, 0]);
  return ring;
}

/** A strip wound into a spiral, half a metre wide where the windings are a metre apart. */
export function spiral(count: number, turns: number): Point[] {
  const at = (i: number, out: number): Point => {
    const angle = (i / count) * turns * 2 * Math.PI;
    const radius = 5 + angle / (2 * Math.PI) + out;
    return [radius * Math.cos(angle), radius * Math.sin(angle)];
  };
  const ring: Point[] = [];
  for (let i = 0; i < count; i++) ring.push(at(i, 0));
  for (let i = count - 1; i >= 0; i--) ring.push(at(i, 0.5));
  return ring;
}

/** Points turned by degrees (counter-clockwise) about the origin, then moved. */
export function placed(points: readonly Point[], degrees: number, east: number, north: number): Point[] {
  const c = Math.cos((degrees * Math.PI) / 180);
  const s = Math.sin((degrees * Math.PI) / 180);
  return points.map(([x, y]): Point => [c * x - s * y + east, s * x + c * y + north]);
}

/** Where fixtures are run: as they are, turned, and at the eastings of national grids. */
export const PLACES: readonly { name: string; degrees: number; east: number; north: number }[] = [
  { name: "at the origin", degrees: 0, east: 0, north: 0 },
  { name: "turned by 37 degrees", degrees: 37, east: 0, north: 0 },
  { name: "at a northing of 6e6 m", degrees: 0, east: 5e5, north: 6e6 },
  { name: "turned, at an easting of 3.2e7 m", degrees: 113, east: 3.2e7, north: 6e6 },
];
