import { FeeringError } from "../errors/feering-error.js";
import { requireNumber, requireObject } from "../errors/require.js";
import { headingBetween, RADIANS, wrapHeading } from "../geometry/angle.js";
import type { Point } from "../geometry/types.js";
import { checkLine } from "./check-line.js";
import { headingLine } from "./heading-line.js";
import type { LineLabels, ReferenceLine } from "./reference-line.js";
import { LONGEST_LINE, SHORTEST_LINE, straightLine } from "./straight-line.js";

/**
 * What became of a point or heading that was marked.
 *
 * | outcome | meaning |
 * |---|---|
 * | `marked` | taken |
 * | `no-a` | there is no point A yet |
 * | `too-near` | B is nearer to A than the marker's minimum length |
 * | `not-finite` | no numbers, as without a fix |
 * | `out-of-range` | B is farther from A than any line may be |
 */
export type MarkOutcome = "marked" | "no-a" | "too-near" | "not-finite" | "out-of-range";

/** What became of a mark: the outcome, and the line once there is one. */
export interface MarkResult {
  /** taken, or why not */
  readonly outcome: MarkOutcome;
  /** the line that the marks make; null while there is none. A refused mark leaves the line as it was */
  readonly line: ReferenceLine | null;
  /** metres from A to the point marked; 0 where there is no A or no point */
  readonly distance: number;
}

/** The line that would be, from A to the machine; owned by its marker and overwritten by its next call. */
export interface LinePreview {
  /** `"empty"`: no A yet; `"a-marked"`: A stands, B is awaited; `"line"`: the line is there */
  readonly stage: "empty" | "a-marked" | "line";
  /** true when the machine is far enough from A for B to be taken */
  readonly ready: boolean;
  /** A, metres east; 0 before there is one */
  readonly ax: number;
  /** A, metres north */
  readonly ay: number;
  /** where the line leads: B once it is marked, else the machine, metres east */
  readonly bx: number;
  /** the same point, metres north */
  readonly by: number;
  /** metres from A to there; for an A+ line 0 */
  readonly length: number;
  /** degrees from A to there, or of the A+ line, 0 included to 360 excluded; 0 while they coincide */
  readonly heading: number;
}

/** Settings of {@link LineMarker}. */
export interface MarkerOptions {
  /** how far from A point B must lie, metres, 1 mm at least; default 5 (common practice, no source). A receiver error e at B turns a line of length L by e/L: 2 cm on 5 m are 0.23 degrees */
  readonly minimumLength?: number;
}

/** What a {@link LineMarker} remembers: a plain object that survives JSON. */
export interface MarkerSnapshot {
  /** version of this shape */
  readonly version: 1;
  /** point A, metres; null before it is marked */
  readonly a: Point | null;
  /** the line; null before it is complete */
  readonly line: ReferenceLine | null;
}

/**
 * Marks a straight line live: A where the machine stands, B (or a heading) later.
 *
 * No call throws: a mark that cannot be taken is refused with its reason, and everything stays as it was. A second A begins
 * anew; a second B takes the place of the first.
 *
 * @example
 * ```ts
 * const marker = new LineMarker();
 * marker.markA([0, 0]);
 * marker.markB([0, 1]).outcome; // "too-near"
 * const { line } = marker.markB([0, 80]);
 * ```
 */
export class LineMarker {
  readonly #minimum: number;
  readonly #preview: { -readonly [K in keyof LinePreview]: LinePreview[K] };
  #a: Point | null = null;
  #line: ReferenceLine | null = null;

  /**
   * @param options - how long a line must be
   * @throws `FeeringError` `not-finite` or `out-of-range` for a bad minimum length
   */
  constructor(options: MarkerOptions = {}) {
    requireObject(options, "options");
    this.#minimum = requireNumber(options.minimumLength ?? 5, "options.minimumLength", {
      min: SHORTEST_LINE,
      max: 1e6,
    });
    const n = Number.NaN;
    this.#preview = { stage: "empty", ready: false, ax: n, ay: n, bx: n, by: n, length: n, heading: n };
    this.#show();
  }

  /** The line, null while there is none. */
  get line(): ReferenceLine | null {
    return this.#line;
  }

  /**
   * Mark A; what was marked before is forgotten.
   *
   * @param point - where the machine is, metres
   * @returns `marked`, or `not-finite`
   */
  markA(point: Point): MarkResult {
    if (!isPoint(point)) return this.#result("not-finite", 0);
    this.#a = [point[0] + 0, point[1] + 0];
    this.#line = null;
    this.#show();
    return this.#result("marked", 0);
  }

  /**
   * Mark B: the line runs from A through it.
   *
   * @param point - where the machine is, metres
   * @param labels - name, id and note of the line
   * @returns `marked` with the line, or why not
   */
  markB(point: Point, labels: LineLabels = {}): MarkResult {
    const a = this.#a;
    if (a === null) return this.#result("no-a", 0);
    if (!isPoint(point)) return this.#result("not-finite", 0);
    const distance = Math.hypot(point[0] - a[0], point[1] - a[1]);
    if (distance < this.#minimum) return this.#result("too-near", distance);
    if (!(distance <= LONGEST_LINE)) return this.#result("out-of-range", distance);
    this.#line = straightLine(a, point, isObject(labels) ? labels : {});
    this.#show();
    return this.#result("marked", distance);
  }

  /**
   * Make an A+ line: from A in a heading.
   *
   * @param heading - degrees clockwise from the frame's north
   * @param labels - name, id and note of the line
   * @returns `marked` with the line, or why not
   */
  markHeading(heading: number, labels: LineLabels = {}): MarkResult {
    const a = this.#a;
    if (a === null) return this.#result("no-a", 0);
    if (!Number.isFinite(heading)) return this.#result("not-finite", 0);
    this.#line = headingLine(a, heading, isObject(labels) ? labels : {});
    this.#show();
    return this.#result("marked", 0);
  }

  /** Forget A, B and the line. */
  reset(): void {
    this.#a = null;
    this.#line = null;
    this.#show();
  }

  /**
   * The line that B marked here would make. Allocates nothing.
   *
   * @param x - where the machine is, metres east; no number leaves the preview as it was
   * @param y - metres north
   * @returns the marker's own preview
   */
  update(x: number, y: number): LinePreview {
    const preview = this.#preview;
    if (preview.stage !== "a-marked" || !Number.isFinite(x) || !Number.isFinite(y)) return preview;
    const dx = x - preview.ax;
    const dy = y - preview.ay;
    const length = Math.sqrt(dx * dx + dy * dy);
    preview.bx = x + 0;
    preview.by = y + 0;
    preview.length = length;
    preview.heading = wrapHeading(Math.atan2(dx, dy) / RADIANS);
    preview.ready = length >= this.#minimum && length <= LONGEST_LINE;
    return preview;
  }

  /**
   * What the marker remembers, to be put away.
   *
   * @returns a plain object
   */
  snapshot(): MarkerSnapshot {
    return { version: 1, a: this.#a, line: this.#line };
  }

  /**
   * A marker that goes on where another left off.
   *
   * @param snapshot - from {@link LineMarker.snapshot}, straight or by way of JSON
   * @param options - as for the constructor
   * @returns a new marker
   * @throws `FeeringError` `bad-snapshot` for a damaged one, else as the constructor
   */
  static restore(snapshot: MarkerSnapshot, options: MarkerOptions = {}): LineMarker {
    const marker = new LineMarker(options);
    const given = snapshot as Partial<MarkerSnapshot> | null | undefined;
    const bad = (cause?: unknown): FeeringError =>
      new FeeringError("bad-snapshot", "snapshot is no marker snapshot of version 1", {
        argument: "snapshot",
        value: snapshot,
        cause,
      });
    if (given?.version !== 1 || given.a === undefined || given.line === undefined) throw bad();
    if (given.a === null) {
      if (given.line !== null) throw bad();
      return marker;
    }
    if (!isPoint(given.a)) throw bad();
    marker.markA(given.a);
    if (given.line !== null) {
      try {
        marker.#line = checkLine(given.line, "snapshot.line");
      } catch (error) {
        throw bad(error);
      }
    }
    marker.#show();
    return marker;
  }

  #result(outcome: MarkOutcome, distance: number): MarkResult {
    return { outcome, line: this.#line, distance };
  }

  // bring the preview in step with what is marked
  #show(): void {
    const preview = this.#preview;
    const line = this.#line;
    const a = this.#a;
    const b = line?.kind === "ab" ? line.points[1] : a;
    preview.stage = a === null ? "empty" : line === null ? "a-marked" : "line";
    preview.ready = false;
    preview.ax = a?.[0] ?? 0;
    preview.ay = a?.[1] ?? 0;
    preview.bx = b?.[0] ?? 0;
    preview.by = b?.[1] ?? 0;
    preview.length = Math.hypot(preview.bx - preview.ax, preview.by - preview.ay);
    preview.heading =
      line?.kind === "a-plus" ? line.heading : headingBetween([preview.ax, preview.ay], [preview.bx, preview.by]);
  }
}

function isPoint(point: unknown): point is Point {
  return Array.isArray(point) && Number.isFinite(point[0]) && Number.isFinite(point[1]);
}

// labels from code without types must not make a live call throw
function isObject(labels: unknown): boolean {
  return typeof labels === "object" && labels !== null;
}
