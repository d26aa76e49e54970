import type { FlatSource } from "./flat-source.js";

/**
 * Frame of an element: origin at the segment's start or the arc's vertex, x axis along travel (of the arriving segment for
 * an arc), y axis toward the element's side.
 *
 * @internal
 */
export interface ElementFrame {
  /** vertex of the arc, or segment */
  index: number;
  isArc: boolean;
  /** 0 left, 1 right */
  side: number;
  /** origin, unit x axis, unit y axis */
  readonly axes: Float64Array;
}

/** @internal */
export function newFrame(): ElementFrame {
  return { index: 0, isArc: false, side: 0, axes: new Float64Array(6) };
}

/** @internal */
export function frameOf(source: FlatSource, element: number, frame: ElementFrame): void {
  // hot
  const side = element >= 2 * source.size ? 1 : 0;
  const local = element - side * 2 * source.size;
  const index = local >> 1;
  frame.side = side;
  frame.index = index;
  frame.isArc = (local & 1) === 0;
  const along = frame.isArc ? source.previous[index]! : index;
  const ux = source.ux[along]!;
  const uy = source.uy[along]!;
  const axes = frame.axes;
  axes[0] = source.x[index]!;
  axes[1] = source.y[index]!;
  axes[2] = ux;
  axes[3] = uy;
  axes[4] = side === 0 ? -uy : uy;
  axes[5] = side === 0 ? ux : -ux;
}

/** Point of an element at parameter t and distance d, into `out`. @internal */
export function elementPoint(frame: ElementFrame, t: number, d: number, out: Float64Array): void {
  // hot
  const axes = frame.axes;
  let along = t;
  let across = d;
  if (frame.isArc) {
    along = d * Math.sin(t);
    across = d * Math.cos(t);
  }
  out[0] = axes[0]! + along * axes[2]! + across * axes[4]!;
  out[1] = axes[1]! + along * axes[3]! + across * axes[5]!;
}
