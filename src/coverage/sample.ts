/**
 * Where in a cell its sample lies, cells from its south-west corner: the centre, moved by a hair east and by a smaller
 * one north.
 *
 * A boom's edges often run exactly through a row of centres (a section of 0.5 m on cells of 0.1 m), and then come out a
 * rounding error this side or that. The hair decides all of them alike, as a half-open cell would: a centre on a west or
 * south edge is in, on an east or north edge out. 2^-26 of a cell of 0.1 m is 1.5 nm; rounding at 50 km is 0.01 nm.
 */
export const SAMPLE_X: number = 0.5 + 2 ** -26;

/** See {@link SAMPLE_X}. */
export const SAMPLE_Y: number = 0.5 + 2 ** -29;

/** Columns and rows stay below this, so that they are 32-bit integers with room to spare: 1e8 m at cells of 0.1 m. */
export const CELL_LIMIT: number = 2 ** 30;

/**
 * First row whose sample is at or above a height: the half-open rule, the same for every edge that ends there.
 *
 * @param y - height, cells, within {@link CELL_LIMIT}
 */
export function firstRowAt(y: number): number {
  const row = Math.ceil(y - SAMPLE_Y);
  // the subtraction may have rounded across the sample; the sum is what crossings are computed from
  if (row + SAMPLE_Y < y) return row + 1;
  return row - 1 + SAMPLE_Y >= y ? row - 1 : row;
}

/** {@link firstRowAt} of a number in an array: handed over by itself it may be boxed. */
export function firstRowOf(heights: Float64Array, at: number): number {
  // hot
  const y = heights[at]!;
  const row = Math.ceil(y - SAMPLE_Y);
  // the subtraction may have rounded across the sample; the sum is what crossings are computed from
  if (row + SAMPLE_Y < y) return row + 1;
  return row - 1 + SAMPLE_Y >= y ? row - 1 : row;
}
