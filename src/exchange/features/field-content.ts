import type { Line, Polygon } from "../../geometry/index.js";
import { type GuidancePattern, passesOfField, passLine, type ReferenceLine } from "../../guidance/index.js";
import type { HeadlandRound } from "../../headland/index.js";
import type { JobReport, PassedLine, SwitchEvent } from "../../job/index.js";

/** A pass, or a piece of one, as a line. */
export interface FieldPass {
  /** its number in the pattern */
  readonly pass: number;
  /** which line it belongs to, by the labels of that line; default none */
  readonly line?: PassedLine;
  /** metres in the frame, in the line's own direction */
  readonly points: Line;
}

/** What is kept of a round of a headland. */
export type FieldRound = Pick<
  HeadlandRound,
  "line" | "closed" | "source" | "index" | "obstacles" | "number" | "distance" | "drivable" | "reason"
>;

/** What is kept of a job's report. */
export type FieldReport = Pick<JobReport, "labels" | "startTime" | "endTime" | "totals" | "workedTwiceArea" | "passes">;

/**
 * What a field holds, in metres of one local frame. What `headland` gives fits in: `{ field, ...headland(field, options) }`.
 */
export interface FieldContent {
  /** name of the field */
  readonly name?: string;
  /** the field, obstacles as holes; default none */
  readonly field?: readonly Polygon[];
  /** ground of the headland; default none */
  readonly headland?: readonly Polygon[];
  /** ground left for passes; default none */
  readonly mainfield?: readonly Polygon[];
  /** rounds of the headland; default none */
  readonly rounds?: readonly FieldRound[];
  /** lines without a pattern; default none */
  readonly lines?: readonly ReferenceLine[];
  /** patterns, with their lines; default none */
  readonly patterns?: readonly GuidancePattern[];
  /** passes, from {@link fieldPassLines}, say; default none */
  readonly passes?: readonly FieldPass[];
  /** ground worked, as `CoverageRecord.outline` gives it; default none */
  readonly worked?: readonly Polygon[];
  /** ground worked twice, likewise; default none */
  readonly workedTwice?: readonly Polygon[];
  /** orders to sections, as `FieldJob.onSwitch` tells them; default none */
  readonly switchings?: readonly SwitchEvent[];
  /** what was done, as `FieldJob.report` tells it; default none */
  readonly report?: FieldReport;
}

/**
 * All passes of a pattern on a field, as lines inside it.
 *
 * @param pattern - from `guidancePattern`
 * @param field - metres in the pattern's frame; one polygon at the least
 * @returns lines by rising pass number, several for a pass that leaves the field in between; none for a narrow outer pass whose
 * line lies outside
 * @throws `FeeringError` as `passesOfField` and `passLine`
 */
export function fieldPassLines(pattern: GuidancePattern, field: readonly Polygon[]): FieldPass[] {
  const { first, last } = passesOfField(pattern, field);
  const { id, name } = pattern.line;
  const line: PassedLine = { ...(id === undefined ? {} : { id }), ...(name === undefined ? {} : { name }) };
  const passes: FieldPass[] = [];
  for (let pass = first; pass <= last; pass++) {
    for (const points of passLine(pattern, pass, { within: field })) passes.push({ pass, line, points });
  }
  return passes;
}
