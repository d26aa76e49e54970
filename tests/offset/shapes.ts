import fc from "fast-check";
import { random } from "../helpers/random.js";
import type { Point, Polygon } from "../../src/geometry/types.js";

/** Shapes that offsets fail on: each is a function of a seed, so that a failure is told by two numbers. */

type Random = () => number;

export type LineKind =
  | "few points anywhere"
  | "drive with 2 cm noise"
  | "drive with 2 cm noise, 10 cm apart"
  | "smooth drive"
  | "zigzag"
  | "spiral"
  | "serpentine"
  | "loop crossing itself"
  | "reversal within a degree";

export type PolygonKind =
  | "star-shaped"
  | "star-shaped with holes"
  | "noisy circle"
  | "comb"
  | "spiral corridor"
  | "two fields and a neck";

function gauss(next: Random): number {
  let u = 0;
  while (u === 0) u = next();
  return Math.sqrt(-2 * Math.log(u)) * Math.cos(2 * Math.PI * next());
}

const between = (next: Random, low: number, high: number): number => low + (high - low) * next();
const whole = (next: Random, low: number, high: number): number => Math.floor(between(next, low, high + 1));

/** A drive: points about `spacing` apart, heading in waves, each with noise. */
function drive(next: Random, spacing: number, noise: number): Point[] {
  const n = whole(next, 20, 160);
  const amplitude = between(next, 0.2, 2.2);
  const period = between(next, 30, 120);
  const out: Point[] = [];
  let x = 0;
  let y = 0;
  for (let i = 0; i < n; i++) {
    out.push([x + noise * gauss(next), y + noise * gauss(next)]);
    const heading = amplitude * Math.sin((2 * Math.PI * i * spacing) / period) + i * spacing * 0.002;
    x += spacing * Math.cos(heading);
    y += spacing * Math.sin(heading);
  }
  return out;
}

export const lineKinds: Readonly<Record<LineKind, (next: Random) => Point[]>> = {
  "few points anywhere": (next: Random): Point[] =>
    Array.from({ length: whole(next, 2, 12) }, (): Point => [between(next, -60, 60), between(next, -60, 60)]),
  "drive with 2 cm noise": (next: Random): Point[] => drive(next, 1, 0.02),
  "drive with 2 cm noise, 10 cm apart": (next: Random): Point[] => drive(next, 0.1, 0.02),
  "smooth drive": (next: Random): Point[] => drive(next, between(next, 0.3, 2), 0),
  zigzag: (next: Random): Point[] => {
    const step = between(next, 1, 20);
    const height = between(next, 2, 60);
    return Array.from(
      { length: whole(next, 3, 14) },
      (_, i): Point => [i * step + between(next, -0.3, 0.3) * step, (i % 2) * height + between(next, -2, 2)],
    );
  },
  spiral: (next: Random): Point[] => {
    const pitch = between(next, 4, 30);
    return Array.from({ length: whole(next, 40, 140) }, (_, i): Point => {
      const a = i * 0.17;
      return [(pitch * a * Math.cos(a)) / 6.3, (pitch * a * Math.sin(a)) / 6.3];
    });
  },
  serpentine: (next: Random): Point[] => {
    const spacing = between(next, 5, 26);
    const length = between(next, 30, 90);
    const out: Point[] = [];
    for (let row = 0; row < whole(next, 2, 5); row++) {
      const x = row * spacing;
      const back = row % 2 === 1;
      for (let k = 0; k <= 6; k++) out.push([x + between(next, -0.1, 0.1), (length * (back ? 6 - k : k)) / 6]);
    }
    return out;
  },
  "loop crossing itself": (next: Random): Point[] => {
    const r = between(next, 5, 30);
    const pull = between(next, 0.05, 0.5);
    const steps = whole(next, 20, 80);
    return Array.from({ length: steps }, (_, i): Point => {
      const a = (i * 4 * Math.PI) / steps;
      return [r * Math.cos(a) + pull * r * a, r * Math.sin(a * (1 + pull / 4))];
    });
  },
  "reversal within a degree": (next: Random): Point[] => {
    const a = Math.PI + between(next, -0.017, 0.017);
    const back = between(next, 20, 90);
    return [
      [0, 0],
      [60, 0],
      [60 + back * Math.cos(a), back * Math.sin(a)],
      [60 + back * Math.cos(a) + between(next, -30, 30), between(next, 5, 40)],
    ];
  },
};

/** Walk on a grid of whole metres: right angles, coincident and opposite stretches, everything at a tie. */
export function gridWalk(seed: number): Point[] {
  const next = random(seed);
  let x = 0;
  let y = 0;
  const out: Point[] = [[0, 0]];
  for (let i = 0; i < 4 + 12 * next(); i++) {
    const length = 4 * (1 + Math.floor(6 * next()));
    const way = Math.floor(4 * next());
    x += [length, 0, -length, 0][way]!;
    y += [0, length, 0, -length][way]!;
    out.push([x, y]);
  }
  return out;
}

function ring(points: readonly Point[]): Point[] {
  return [...points, points[0]!];
}

function star(next: Random, cx: number, cy: number, r: number, n: number, depth: number): Point[] {
  const out: Point[] = [];
  for (let i = 0; i < n; i++) {
    const a = (2 * Math.PI * (i + 0.6 * next())) / n;
    const f = r * (1 - depth * next());
    out.push([cx + f * Math.cos(a), cy + f * Math.sin(a)]);
  }
  return out;
}

export const polygonKinds: Readonly<Record<PolygonKind, (next: Random) => Polygon>> = {
  "star-shaped": (next: Random): Polygon => ({
    exterior: ring(star(next, 0, 0, 80, whole(next, 5, 40), between(next, 0.1, 0.85))),
    holes: [],
  }),
  "star-shaped with holes": (next: Random): Polygon => ({
    exterior: ring(star(next, 0, 0, 120, whole(next, 12, 60), 0.3)),
    // the exterior never comes nearer to the middle than 120 * 0.7 * cos(pi / 12 * 1.6)
    holes: [
      ring(star(next, -28, 0, between(next, 5, 18), whole(next, 4, 12), 0.4)),
      ring(star(next, 25, between(next, -15, 15), between(next, 3, 20), whole(next, 4, 12), 0.4)),
      ring(star(next, 0, 40, between(next, 3, 12), whole(next, 4, 12), 0.4)),
    ],
  }),
  "noisy circle": (next: Random): Polygon => {
    const n = whole(next, 60, 300);
    const r = between(next, 20, 60);
    const points = Array.from({ length: n }, (_, i): Point => {
      const a = (2 * Math.PI * i) / n;
      return [r * Math.cos(a) + 0.02 * gauss(next), r * Math.sin(a) + 0.02 * gauss(next)];
    });
    return { exterior: ring(points), holes: [] };
  },
  comb: (next: Random): Polygon => {
    const points: Point[] = [
      [0, 0],
      [0, between(next, 10, 30)],
    ];
    let x = 0;
    for (let i = 0; i < whole(next, 2, 7); i++) {
      const tooth = between(next, 3, 30);
      const gap = between(next, 3, 30);
      const top = between(next, 40, 90);
      const floor = between(next, 8, 30);
      points.push([x, top], [x + tooth, top], [x + tooth, floor], [x + tooth + gap, floor]);
      x += tooth + gap;
    }
    points.push([x, 0]);
    // clockwise: the other winding
    return { exterior: ring(points), holes: [] };
  },
  "spiral corridor": (next: Random): Polygon => {
    const width = between(next, 6, 22);
    const pitch = width + between(next, 1, 20);
    const at = (r0: number, i: number): Point => {
      const a = i * 0.2;
      const r = r0 + (pitch * a) / (2 * Math.PI);
      return [r * Math.cos(a), r * Math.sin(a)];
    };
    const n = whole(next, 30, 90);
    const inner = Array.from({ length: n }, (_, i) => at(15, i));
    const outer = Array.from({ length: n }, (_, i) => at(15 + width, i));
    return { exterior: ring([...outer, ...inner.reverse()]), holes: [] };
  },
  "two fields and a neck": (next: Random): Polygon => {
    const half = between(next, 2, 14);
    const t = (): number => between(next, -1, 1);
    return {
      exterior: ring([
        [t(), t()],
        [60 + t(), t()],
        [60, 30 - half],
        [100, 30 - half + t()],
        [100 + t(), t()],
        [160 + t(), t()],
        [160 + t(), 60 + t()],
        [100 + t(), 60 + t()],
        [100, 30 + half + t()],
        [60, 30 + half],
        [60 + t(), 60 + t()],
        [t(), 60 + t()],
      ]),
      holes: [],
    };
  },
};

export interface Named<Shape> {
  readonly kind: string;
  readonly seed: number;
  readonly shape: Shape;
}

function anyOf<Shape>(kinds: Readonly<Record<string, (next: Random) => Shape>>): fc.Arbitrary<Named<Shape>> {
  return fc
    .record({ kind: fc.constantFrom(...Object.keys(kinds)), seed: fc.integer({ min: 0, max: 2 ** 31 - 1 }) })
    .map(({ kind, seed }) => ({ kind, seed, shape: kinds[kind]!(random(seed)) }));
}

export const anyLine: fc.Arbitrary<Named<Point[]>> = anyOf(lineKinds);
export const anyPolygon: fc.Arbitrary<Named<Polygon>> = anyOf(polygonKinds);

/** Distances from a decimetre to what swallows most of the shapes, metres. */
export const anyDistance: fc.Arbitrary<number> = fc
  .double({ min: -1, max: 1.7, noNaN: true })
  .map((exponent) => 10 ** exponent);

/**
 * A field of whole squares of 4 m that hang together, with its holes: right angles, necks and gaps of whole multiples, and
 * with `dense` a vertex at each square. Squares that touch at a corner only are filled up, so that no ring touches itself.
 */
export function gridField(seed: number, dense: boolean): Polygon {
  const next = random(seed);
  const n = 12;
  const filled = new Uint8Array((n + 2) * (n + 2));
  const at = (i: number, j: number): number => j * (n + 2) + i;
  // strokes of squares from place to place
  let i = whole(next, 1, n);
  let j = whole(next, 1, n);
  for (let stroke = 0; stroke < 14; stroke++) {
    const toI = whole(next, 1, n);
    const toJ = whole(next, 1, n);
    const wide = next() < 0.5 ? 1 : 0;
    const fill = (): void => {
      for (let b = 0; b <= wide; b++)
        for (let a = 0; a <= wide; a++) filled[at(Math.min(n, i + a), Math.min(n, j + b))] = 1;
    };
    for (; i !== toI; i += Math.sign(toI - i)) fill();
    for (; j !== toJ; j += Math.sign(toJ - j)) fill();
    fill();
  }
  for (let changed = true; changed; ) {
    changed = false;
    for (let y = 1; y <= n; y++) {
      for (let x = 1; x <= n; x++) {
        const [a, b, c, d] = [
          filled[at(x, y)]!,
          filled[at(x + 1, y)]!,
          filled[at(x, y + 1)]!,
          filled[at(x + 1, y + 1)]!,
        ];
        if (a === d && b === c && a !== b) {
          for (const [u, v] of [
            [x, y],
            [x + 1, y],
            [x, y + 1],
            [x + 1, y + 1],
          ] as const) {
            if (u <= n && v <= n) filled[at(u, v)] = 1;
          }
          changed = true;
        }
      }
    }
  }
  // edges with the field on their left, chained from corner to corner
  const follow = new Map<number, number>();
  for (let y = 1; y <= n; y++) {
    for (let x = 1; x <= n; x++) {
      if (filled[at(x, y)] !== 1) continue;
      if (filled[at(x, y - 1)] !== 1) follow.set(at(x, y), at(x + 1, y));
      if (filled[at(x + 1, y)] !== 1) follow.set(at(x + 1, y), at(x + 1, y + 1));
      if (filled[at(x, y + 1)] !== 1) follow.set(at(x + 1, y + 1), at(x, y + 1));
      if (filled[at(x - 1, y)] !== 1) follow.set(at(x, y + 1), at(x, y));
    }
  }
  const rings: Point[][] = [];
  while (follow.size > 0) {
    const corners: Point[] = [];
    let corner = follow.keys().next().value!;
    for (let to = follow.get(corner); to !== undefined; to = follow.get(corner)) {
      follow.delete(corner);
      corners.push([4 * (corner % (n + 2)), 4 * Math.floor(corner / (n + 2))]);
      corner = to;
    }
    const turns = corners.filter((p, k) => {
      const before = corners[(k + corners.length - 1) % corners.length]!;
      const after = corners[(k + 1) % corners.length]!;
      return dense || (p[0] - before[0]) * (after[1] - p[1]) !== (p[1] - before[1]) * (after[0] - p[0]);
    });
    rings.push([...turns, turns[0]!]);
  }
  const twice = (points: readonly Point[]): number =>
    points.slice(1).reduce((sum, p, k) => sum + points[k]![0] * p[1] - p[0] * points[k]![1], 0);
  return { exterior: rings.find((points) => twice(points) > 0)!, holes: rings.filter((points) => twice(points) < 0) };
}
