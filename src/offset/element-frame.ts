import { arcAngle, type FlatSource } from "./flat-source.js";

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
  /** of an arc: sine and cosine of its low and of its high end, of the middle direction; sine of half its width */
  readonly cone: Float64Array;
}

/** @internal */
export function newFrame(): ElementFrame {
  return { index: 0, isArc: false, side: 0, axes: new Float64Array(6), cone: new Float64Array(7) };
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

/** Set the cone of an arc from its two ends. @internal */
export function setCone(source: FlatSource, frame: ElementFrame, low: number, high: number): void {
  // hot
  const cone = frame.cone;
  setDirection(source, frame, low, 0);
  setDirection(source, frame, high, 2);
  let mx = cone[0]! + cone[2]!;
  let my = cone[1]! + cone[3]!;
  const m = Math.sqrt(mx * mx + my * my);
  if (m > 1e-3) {
    mx /= m;
    my /= m;
  } else {
    // as good as half a turn: a quarter on from the low end
    mx = cone[1]!;
    my = -cone[0]!;
  }
  cone[4] = mx;
  cone[5] = my;
  const dx = cone[2]! - cone[0]!;
  const dy = cone[3]! - cone[1]!;
  cone[6] = Math.sqrt(dx * dx + dy * dy) / 2;
}

// ends of whole arcs need no sine and cosine: they are the normals of the segments
function setDirection(source: FlatSource, frame: ElementFrame, t: number, at: number): void {
  // hot
  const { cone, index } = frame;
  if (t === 0) {
    cone[at] = 0;
    cone[at + 1] = 1;
  } else if (t === arcAngle(source, index, frame.side)) {
    const before = source.previous[index]!;
    const ux = source.ux[before]!;
    const uy = source.uy[before]!;
    const cross = ux * source.uy[index]! - uy * source.ux[index]!;
    cone[at] = cross < 0 ? -cross : cross;
    cone[at + 1] = ux * source.ux[index]! + uy * source.uy[index]!;
  } else {
    cone[at] = Math.sin(t);
    cone[at + 1] = Math.cos(t);
  }
}
