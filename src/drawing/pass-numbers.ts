import { pathLength } from "../geometry/index.js";
import type { Line, Point } from "../geometry/types.js";
import type { DrawnPass, DrawnRound } from "./content.js";
import { onSheet } from "./paths.js";
import type { Sheet } from "./sheet.js";
import { LETTERING } from "./styles.js";
import { textWidth } from "./text.js";

/** A short text on the map, around its middle, millimetres. */
export interface Label {
  readonly text: string;
  readonly x: number;
  readonly y: number;
  readonly halfWidth: number;
  readonly halfHeight: number;
}

const GAP = 0.5; // mm between two labels, and between a label and the end of its line
const CLOSEST = 0.7; // mm between two passes that are both drawn
const STEPS = [1, 2, 5] as const;

/**
 * Numbers of the passes, each ahead of the start of its line. Where they do not all have room, every second, fifth,
 * tenth, ... number is left: those that 2, 5, 10, ... divide, so that 0 stays.
 */
export function passNumbers(passes: readonly DrawnPass[], sheet: Sheet): Label[] {
  const labels: { pass: number; label: Label }[] = [];
  for (const pass of passes) {
    const line = pass.lines.find((candidate) => firstDirection(candidate) !== undefined);
    if (line !== undefined) labels.push({ pass: pass.pass, label: labelBefore(line, String(pass.pass + 0), sheet) });
  }
  // by 1e15 no two whole numbers are left to drop, and one label always has room
  for (let power = 1; power < 1e15; power *= 10) {
    for (const step of STEPS) {
      const kept = labels.filter(({ pass }) => pass % (step * power) === 0).map(({ label }) => label);
      if (kept.length === 0) return labels.slice(0, 1).map(({ label }) => label);
      if (!anyTwoMeet(kept)) return kept;
    }
  }
  return [];
}

/**
 * The passes that can be told apart on paper: all of them, or where they lie too close every second, fifth, tenth, ...
 * as with the numbers.
 */
export function thinPasses(passes: readonly DrawnPass[], sheet: Sheet): readonly DrawnPass[] {
  const spacing = spacingOf(passes) * sheet.perMetre;
  if (!(spacing > 0) || spacing >= CLOSEST) return passes;
  for (let power = 1; power < 1e15; power *= 10) {
    for (const step of STEPS) {
      if (spacing * step * power < CLOSEST) continue;
      const kept = passes.filter(({ pass }) => pass % (step * power) === 0);
      return kept.length > 0 ? kept : passes.slice(0, 1);
    }
  }
  return passes;
}

/** Distance between a pass and the next, metres: the middle value over the neighbours in number; NaN where there are none. */
function spacingOf(passes: readonly DrawnPass[]): number {
  const starts = passes
    .map(({ pass, lines }) => ({ pass, line: lines.find((line) => firstDirection(line) !== undefined) }))
    .filter((start): start is { pass: number; line: Line } => start.line !== undefined)
    .sort((a, b) => a.pass - b.pass);
  const spacings: number[] = [];
  for (let i = 1; i < starts.length; i++) {
    const [a, b] = [starts[i - 1]!, starts[i]!];
    if (a.pass === b.pass) continue;
    const [dx, dy] = firstDirection(a.line)!;
    const [ax, ay] = a.line[0]!;
    const [bx, by] = b.line[0]!;
    spacings.push(Math.abs((bx - ax) * dy - (by - ay) * dx) / (b.pass - a.pass));
  }
  return spacings.sort((a, b) => a - b)[Math.floor(spacings.length / 2)] ?? Number.NaN;
}

/** How many places along a round its number may be written at. */
const ROUND_PLACES = 48;

/**
 * Numbers of headland rounds, each on its own line: at the first of evenly spaced places from the start that is clear of the
 * labels that are there. A round without a clear place, or shorter than its number, has none.
 */
export function roundNumbers(rounds: readonly DrawnRound[], taken: readonly Label[], sheet: Sheet): Label[] {
  const placed: Label[] = [];
  for (const { round, line } of rounds) {
    const length = pathLength(line);
    const text = String(round + 0);
    if (length * sheet.perMetre < 4 * textWidth(text, LETTERING.small)) continue;
    for (let i = 0; i < ROUND_PLACES; i++) {
      const [x, y] = onSheet(pointAlong(line, ((i + 0.5) * length) / ROUND_PLACES), sheet);
      const label = around(text, x, y);
      if ([...taken, ...placed].some((other) => meet(label, other))) continue;
      placed.push(label);
      break;
    }
  }
  return placed;
}

function pointAlong(line: Line, station: number): Point {
  let left = station;
  for (let i = 1; i < line.length; i++) {
    const [ax, ay] = line[i - 1]!;
    const [bx, by] = line[i]!;
    const length = Math.hypot(bx - ax, by - ay);
    if (left <= length && length > 0) return [ax + (left / length) * (bx - ax), ay + (left / length) * (by - ay)];
    left -= length;
  }
  return line[line.length - 1]!;
}

/** Letters A and B at the ends of the reference line, beside it, clear of the labels that are there. */
export function endLetters(line: Line, taken: readonly Label[], sheet: Sheet): Label[] {
  const placed: Label[] = [];
  for (const [text, ends] of [
    ["A", line],
    ["B", [...line].reverse()],
  ] as const) {
    const along = firstDirection(ends);
    if (along === undefined) continue;
    const [x, y] = onSheet(ends[0]!, sheet);
    // left and right of the line a little way in, then left and right of its very end
    const places = [
      [3, 2],
      [3, -2],
      [0, 2.2],
      [0, -2.2],
    ].map(([ahead, left]) =>
      around(text, x + ahead! * along[0] - left! * along[1], y - ahead! * along[1] - left! * along[0]),
    );
    const free = places.find((place) => ![...taken, ...placed].some((other) => meet(place, other)));
    placed.push(free ?? places[0]!);
  }
  return placed;
}

/** Direction of the first piece that has a length, as a unit vector with y up; undefined where there is none. */
function firstDirection(line: Line): Point | undefined {
  for (let i = 1; i < line.length; i++) {
    const dx = line[i]![0] - line[0]![0];
    const dy = line[i]![1] - line[0]![1];
    const length = Math.hypot(dx, dy);
    if (length > 0) return [dx / length, dy / length];
  }
  return undefined;
}

function labelBefore(line: Line, text: string, sheet: Sheet): Label {
  const [dx, dy] = firstDirection(line)!;
  const [x, y] = onSheet(line[0]!, sheet);
  const label = around(text, 0, 0);
  const back = label.halfWidth * Math.abs(dx) + label.halfHeight * Math.abs(dy) + GAP;
  return around(text, x - back * dx, y + back * dy);
}

function around(text: string, x: number, y: number): Label {
  const size = LETTERING.small;
  return { text, x, y, halfWidth: textWidth(text, size) / 2, halfHeight: size / 2 };
}

function anyTwoMeet(labels: readonly Label[]): boolean {
  // from west to east, so that the search stops at the first label that begins beyond this one
  const sorted = [...labels].sort((a, b) => a.x - a.halfWidth - (b.x - b.halfWidth));
  for (let i = 0; i < sorted.length; i++) {
    const label = sorted[i]!;
    for (let j = i + 1; j < sorted.length; j++) {
      const other = sorted[j]!;
      if (other.x - other.halfWidth > label.x + label.halfWidth + GAP) break;
      if (meet(label, other)) return true;
    }
  }
  return false;
}

function meet(a: Label, b: Label): boolean {
  return (
    Math.abs(a.x - b.x) < a.halfWidth + b.halfWidth + GAP && Math.abs(a.y - b.y) < a.halfHeight + b.halfHeight + GAP
  );
}
