import type { Point, Polygon } from "../../src/geometry/types.js";
import { lineKinds, polygonKinds } from "./shapes.js";

/** More shapes that offsets fail on, beside those of shapes.ts: at limits of rounding, or of many alike parts. */

type Random = () => number;

const between = (next: Random, low: number, high: number): number => low + (high - low) * next();
const whole = (next: Random, low: number, high: number): number => Math.floor(between(next, low, high + 1));

/** Some units in the last place of numbers about 100. */
const ulps = (next: Random, most: number): number => whole(next, -most, most) * 2 ** -46;

export type HardLineKind =
  | "growing spiral"
  | "arcs that meet nearly in tangents"
  | "parallels an ulp apart"
  | "drive far off"
  | "hairpins of any narrowness"
  | "steps from a tenth of a micrometre to ten metres";

export const hardLineKinds: Readonly<Record<HardLineKind, (next: Random) => Point[]>> = {
  "growing spiral": (next) => {
    const n = whole(next, 50, 250);
    const growth = between(next, 0.05, 0.4);
    return Array.from({ length: n }, (_, i): Point => {
      const angle = (20 * i) / n;
      const radius = 0.5 * Math.exp(growth * angle);
      return [radius * Math.cos(angle), radius * Math.sin(angle)];
    });
  },
  "arcs that meet nearly in tangents": (next) => {
    const out: Point[] = [];
    let x = 0;
    let y = 0;
    let heading = 0;
    for (let arcs = whole(next, 2, 5); arcs > 0; arcs--) {
      const radius = between(next, 3, 30);
      const sign = next() < 0.5 ? -1 : 1;
      const sweep = between(next, 0.5, 5);
      const chords = whole(next, 5, 60);
      const half = (sign * sweep) / chords / 2;
      heading += (next() - 0.5) * 1e-9;
      for (let i = 0; i < chords; i++) {
        out.push([x, y]);
        heading += half;
        x += ((radius * sweep) / chords) * Math.cos(heading);
        y += ((radius * sweep) / chords) * Math.sin(heading);
        heading += half;
      }
    }
    return out;
  },
  "parallels an ulp apart": (next) => {
    const l = between(next, 20, 80);
    const w = between(next, 2, 20);
    const e = (): number => ulps(next, 2);
    return [
      [0, e()],
      [l / 2, e()],
      [l, e()],
      [l + e(), w],
      [l / 3, w + e()],
      [0, w + e()],
      [e(), 2 * w],
      [l, 2 * w + e()],
    ];
  },
  "drive far off": (next) => lineKinds["drive with 2 cm noise"](next).map(([x, y]): Point => [x + 6e6 + 0.1, y + 5e6]),
  "hairpins of any narrowness": (next) => {
    const l = between(next, 10, 80);
    const gap = between(next, 1e-9, 3);
    return Array.from({ length: whole(next, 3, 14) }, (_, i): Point => [(i % 2) * l + between(next, -1, 1), i * gap]);
  },
  "steps from a tenth of a micrometre to ten metres": (next) => {
    const out: Point[] = [];
    let x = 0;
    let y = 0;
    let heading = 0;
    for (let n = whole(next, 30, 200); n > 0; n--) {
      out.push([x, y]);
      heading += 2 * (next() - 0.5);
      const step = 10 ** between(next, -7, 1);
      x += step * Math.cos(heading);
      y += step * Math.sin(heading);
    }
    return out;
  },
};

export type HardPolygonKind =
  | "sharp star"
  | "hole that touches the exterior in a vertex"
  | "two holes that touch in a vertex"
  | "rectangle with edges moved by ulps"
  | "field far off"
  | "lens"
  | "ring about another middle"
  | "stadium";

const arc = (n: number, x: number, y: number, radius: number, from: number, to: number): Point[] =>
  Array.from({ length: n }, (_, i): Point => {
    const angle = from + ((to - from) * i) / n;
    return [x + radius * Math.cos(angle), y + radius * Math.sin(angle)];
  });

export const hardPolygonKinds: Readonly<Record<HardPolygonKind, (next: Random) => Polygon>> = {
  "sharp star": (next) => {
    const points = whole(next, 3, 60);
    const inner = between(next, 2, 30);
    const outer = between(next, 40, 120);
    const exterior = Array.from({ length: 2 * points }, (_, i): Point => {
      const radius = (i % 2 === 0 ? outer : inner) * between(next, 0.8, 1.2);
      return [radius * Math.cos((Math.PI * i) / points), radius * Math.sin((Math.PI * i) / points)];
    });
    return { exterior, holes: [] };
  },
  "hole that touches the exterior in a vertex": (next) => {
    const x = between(next, 20, 80);
    const a = between(next, 5, 15);
    const hole: Point[] = [
      [x, 0],
      [x + a, a * between(next, 0.5, 3)],
      [x, 4 * a],
      [x - a, a * between(next, 0.5, 3)],
    ];
    const exterior: Point[] = [
      [0, 0],
      [x, 0],
      [100, 0],
      [100, 100],
      [0, 100],
    ];
    return { exterior, holes: [hole] };
  },
  "two holes that touch in a vertex": (next) => {
    const x = between(next, 30, 70);
    const y = between(next, 30, 70);
    const a = between(next, 3, 20);
    const triangle = (sign: number, rise: number, fall: number): Point[] => [
      [x, y],
      [x + sign * a, y - sign * a * rise],
      [x + sign * a, y + sign * a * fall],
    ];
    const exterior: Point[] = [
      [0, 0],
      [100, 0],
      [100, 100],
      [0, 100],
    ];
    return { exterior, holes: [triangle(1, 1, 0.7), triangle(-1, 1, 0.9)] };
  },
  "rectangle with edges moved by ulps": (next) => {
    const l = between(next, 30, 90);
    const w = between(next, 10, 60);
    const n = whole(next, 1, 12);
    const e = (): number => ulps(next, 3);
    const share = Array.from({ length: n }, (_, i) => i / n);
    const exterior = [
      ...share.map((s): Point => [l * s, e()]),
      ...share.map((s): Point => [l + e(), w * s]),
      ...share.map((s): Point => [l * (1 - s), w + e()]),
      ...share.map((s): Point => [e(), w * (1 - s)]),
    ];
    return { exterior, holes: [] };
  },
  "field far off": (next) => {
    const { exterior, holes } = polygonKinds["star-shaped"](next);
    const moved = (ring: readonly Point[]): Point[] =>
      ring.map(([x, y]): Point => [x + 6e6 + 1 / 3, y + 5.5e6 + 1 / 7]);
    return { exterior: moved(exterior), holes: holes.map(moved) };
  },
  lens: (next) => {
    const radius = between(next, 20, 60);
    const n = whole(next, 10, 120);
    const half = between(next, 0.05, 1.4);
    const away = radius * Math.cos(half);
    const exterior = [
      ...arc(n, 0, away, radius, -Math.PI / 2 - half, -Math.PI / 2 + half),
      ...arc(n, 0, -away, radius, Math.PI / 2 - half, Math.PI / 2 + half),
    ];
    return { exterior, holes: [] };
  },
  "ring about another middle": (next) => {
    const radius = between(next, 20, 60);
    const inner = 0.7 * (radius - between(next, 1, 15));
    const aside = 0.5 * between(next, 0, radius - inner);
    const n = whole(next, 8, 200);
    return { exterior: arc(n, 0, 0, radius, 0, 2 * Math.PI), holes: [arc(n, aside, 0, inner, 0, -2 * Math.PI)] };
  },
  stadium: (next) => {
    const l = between(next, 5, 80);
    const radius = between(next, 3, 20);
    const n = whole(next, 4, 80);
    const exterior = [
      ...arc(n, l, 0, radius, -Math.PI / 2, Math.PI / 2),
      [l, radius] as Point,
      ...arc(n, 0, 0, radius, Math.PI / 2, 1.5 * Math.PI),
      [0, -radius] as Point,
    ];
    return { exterior, holes: [] };
  },
};
