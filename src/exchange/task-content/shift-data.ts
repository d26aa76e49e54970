import { requireObject } from "../../errors/index.js";
import { type LocalFrame } from "../../frames/index.js";
import { type GuidancePattern, guidancePattern, type PatternShift } from "../../guidance/index.js";
import { toGeographicLine } from "../local.js";
import type { GuidancePatternData, GuidanceShiftData, TaskPoint } from "../task-data/index.js";

/**
 * What a pattern was moved by, as GST of ISO 11783-10: east and north against drift, and the distance of its first pass from its line.
 *
 * @param frame - the frame of the pattern
 * @param pattern - checked as `guidancePattern` does
 * @param ids - of the pattern and of its group in the document
 * @returns plain data, 1 mm when written; undefined where it was not moved
 * @throws `FeeringError` what `guidancePattern` throws
 */
export function toShiftData(
  frame: LocalFrame,
  pattern: GuidancePattern,
  ids: { readonly pattern: string; readonly group: string },
): GuidanceShiftData | undefined {
  requireObject(frame, "frame");
  requireObject(pattern, "pattern");
  requireObject(ids, "ids");
  const { line, shift, firstPassOffset } = guidancePattern(pattern.line, pattern);
  if (shift.east === 0 && shift.north === 0 && firstPassOffset === 0) return undefined;
  const [at] = toGeographicLine(frame, [line.points[0]]);
  const { east, north } = turned(shift, frame.headingToTrue(0, at!));
  return {
    group: ids.group,
    pattern: ids.pattern,
    east,
    north,
    propagationOffset: firstPassOffset,
    stamps: [],
  };
}

/** What a GST does to a pattern. */
export function shiftOf(
  frame: LocalFrame,
  { line }: GuidancePatternData,
  { east = 0, north = 0, propagationOffset = 0 }: GuidanceShiftData,
): Pick<GuidancePattern, "shift" | "firstPassOffset"> {
  const at: TaskPoint = line.points[0]!;
  return { shift: turned({ east, north }, frame.headingToLocal(0, at)), firstPassOffset: propagationOffset };
}

/** A move turned clockwise, degrees: to 1 µm, so that what is not turned stays as it was. */
function turned({ east, north }: PatternShift, by: number): PatternShift {
  const angle = (by * Math.PI) / 180;
  const s = Math.sin(angle);
  const c = Math.cos(angle);
  const rounded = (value: number): number => Math.round(value * 1e6) / 1e6 + 0;
  return { east: rounded(east * c + north * s), north: rounded(north * c - east * s) };
}
