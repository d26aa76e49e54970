import type { Point } from "../../src/geometry/types.js";

/** One output line or ring; a closed one repeats its first point at the end. */
export interface Chain {
  readonly points: readonly Point[];
  readonly closed: boolean;
  readonly stations?: readonly number[];
}

export interface JudgeOptions {
  /** sagitta that the arcs were flattened with, metres */
  readonly tolerance?: number;
  /** distance of alive samples along the elements, metres */
  readonly spacing?: number;
  /** alive pieces shorter than this may be left out, metres */
  readonly ignoreShorterThan?: number;
  /** samples inside each output segment */
  readonly interior?: number;
  /**
   * whether the source stands exactly at a limit (a neck of twice the distance, rings that touch): then the output may
   * touch itself, and what is a tie may be there or not
   */
  readonly ties?: boolean;
  /** neighbours nearer than this count as one point repeated, metres; default 1e-9 */
  readonly shortest?: number;
  /** whether the stations must rise along each line: not asked where the source crosses itself */
  readonly monotone?: boolean;
  /** deviation of a vertex that is let pass before flattening, metres; default 1e-9 */
  readonly exact?: number;
  /** size of the coordinates that the result went through, where larger than the source's own, metres */
  readonly coordinates?: number;
  /** how often the bound on vertices may be exceeded: collinear vertices are not output's fault */
  readonly budget?: number;
}

/** Figures of one judgement, and in words whatever is wrong: an empty list is a pass. */
export interface Judgement {
  readonly defects: string[];
  /** largest shortfall and excess of an output vertex against the asked distance, metres */
  readonly vertexNear: number;
  readonly vertexFar: number;
  /** the same for samples inside output segments */
  readonly interiorNear: number;
  readonly interiorFar: number;
  /** longest alive piece that the output leaves out, metres */
  readonly missing: number;
  readonly length: number;
  readonly expectedLength: number;
  readonly vertices: number;
}

/** Deviation of an output vertex before flattening, metres. */
export const EXACT = 1e-9;

/** Coordinates of this size cannot be nearer to what was meant than this, metres. */
export function coordinateNoise(largest: number): number {
  return 4 * largest * 2 ** -52;
}

/** Signed area of a ring, square metres, counter-clockwise positive. */
export function area(ring: readonly Point[]): number {
  let twice = 0;
  const first = ring[0];
  if (first === undefined) return 0;
  for (let i = 0; i < ring.length; i++) {
    const a = ring[i]!;
    const b = ring[(i + 1) % ring.length]!;
    twice += (a[0] - first[0]) * (b[1] - first[1]) - (b[0] - first[0]) * (a[1] - first[1]);
  }
  return twice / 2;
}
