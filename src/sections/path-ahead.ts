/** Where the carrier of a boom will be: a `TowedImplement`, or a planned way. */
export interface PathAhead {
  /**
   * Writes the carrier's pose some time after the last fix: x and y of its reference point, metres east and north in the frame, and its heading,
   * degrees clockwise from the frame's north. Must not allocate; where it throws or gives what is not finite, sections go off.
   *
   * @param seconds - s after the last fix, 0 or more
   * @param out - takes x, y, heading at 0, 1, 2
   */
  poseAhead(seconds: number, out: Float64Array): void;
}
