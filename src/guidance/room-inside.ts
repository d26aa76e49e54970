import { signedArea } from "../geometry/area.js";
import type { ReferenceLine } from "./reference-line.js";

/** The inside of a loop: on which side of it, and how deep it is. */
export interface RoomInside {
  /** whether the inside is to the right of the line */
  readonly right: boolean;
  /** largest distance inside, metres */
  readonly distance: number;
}

/** A pass less than this from the innermost point of a loop has vanished, metres: above the accuracy of the inradius. */
export const VANISHED = 1e-6;

/** The inside of a line that is a loop; undefined for one that has ends. */
export function roomInside(line: ReferenceLine): RoomInside | undefined {
  if (line.kind === "closed") return { right: signedArea(line.points) < 0, distance: line.inradius };
  // an arc's passes vanish inside as a circle's do, at its centre
  if (line.kind === "pivot") return { right: line.rotation === "clockwise", distance: line.radius };
  return undefined;
}
