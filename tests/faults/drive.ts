import { CoverageRecord } from "../../src/coverage/index.js";
import type { GeographicPosition } from "../../src/frames/index.js";
import { type LocalFrame, localFrame } from "../../src/frames/index.js";
import type { Point } from "../../src/geometry/index.js";
import { curvedLine, guidancePattern } from "../../src/guidance/index.js";
import type { JobDefinition } from "../../src/job/index.js";
import type { Fix } from "../../src/receiver/index.js";
import { evenSections } from "../../src/sections/index.js";

/** Width of the boom and distance of the passes, m; the turns are half circles that join two passes. */
export const WIDTH = 24;
/** Driven everywhere, m/s. */
export const SPEED = 4;
/** How far a pass goes on past the field's ends, m. */
const RUN_OUT = 10;
/** How far the curved passes bend to the side, m: radius at least 1.2 times the square of the field's length by 10 m. */
const BEND = 5;
const STEP = 0.05;

/** Where the machine truly is: every 5 cm of its way x, y and heading in degrees. */
export interface Way {
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly heading: Float64Array;
  /** m of the field from south to north */
  readonly length: number;
  readonly passes: number;
}

/** A fix on its way to the job. */
export interface Item {
  /** when it comes in, s by a clock that nothing disturbs */
  readonly at: number;
  /** what it says */
  readonly fix: Fix;
  /** where the machine truly was, index into the way */
  readonly place: number;
  /** a fault has to do with it */
  readonly touched?: boolean;
  /** the position or its time is wrong or poor: sections must be off when it has come in */
  readonly unsure?: boolean;
}

/** Curved passes up and down, joined by half circles outside the field. */
export function makeWay(passes: number, length: number): Way {
  const points: Point[] = [];
  for (let k = 0; k < passes; k++) {
    const x0 = WIDTH * k;
    const up = k % 2 === 0;
    const n = Math.round((length + 2 * RUN_OUT) / STEP);
    for (let i = 0; i <= n; i++) {
      const y = up ? -RUN_OUT + i * STEP : length + RUN_OUT - i * STEP;
      points.push([x0 + bend(y, length), y]);
    }
    if (k === passes - 1) break;
    const r = WIDTH / 2;
    const steps = Math.round((Math.PI * r) / STEP);
    for (let i = 1; i < steps; i++) {
      const a = (Math.PI * i) / steps;
      const yEnd = up ? length + RUN_OUT : -RUN_OUT;
      points.push([x0 + r - r * Math.cos(a), yEnd + (up ? 1 : -1) * r * Math.sin(a)]);
    }
  }
  const x = Float64Array.from(points, (p) => p[0]);
  const y = Float64Array.from(points, (p) => p[1]);
  const heading = Float64Array.from(points, (_, i) => {
    const a = points[Math.max(0, i - 1)]!;
    const b = points[Math.min(points.length - 1, i + 1)]!;
    return ((Math.atan2(b[0] - a[0], b[1] - a[1]) * 180) / Math.PI + 360) % 360;
  });
  return { x, y, heading, length, passes };
}

function bend(y: number, length: number): number {
  if (y <= 0 || y >= length) return 0;
  return BEND * Math.sin((Math.PI * y) / length) ** 2;
}

/** Where the field lies when nothing else is said. */
export const ORIGIN: GeographicPosition = { latitude: 47.25, longitude: 20.75, altitude: 100 };

/** What a perfect receiver says of a place on a way. */
export function fixOf(
  way: Way,
  place: number,
  time: number,
  origin: GeographicPosition = ORIGIN,
  frame: LocalFrame = localFrame(origin),
): Fix {
  const { latitude, longitude } = frame.toGeodetic([way.x[place]!, way.y[place]!]);
  return {
    time,
    dated: true,
    latitude,
    longitude,
    altitude: 100,
    quality: 4,
    speed: SPEED,
    course: frame.headingToTrue(way.heading[place]!, { latitude, longitude }),
    correctionAge: 1,
    horizontalAccuracy: 0.02,
  };
}

/** The whole way at a rate, fixes as a perfect receiver gives them. */
export function driveAlong(way: Way, options: { rate?: number; origin?: GeographicPosition } = {}): Item[] {
  const { rate = 10, origin = ORIGIN } = options;
  const items: Item[] = [];
  const frame = localFrame(origin);
  for (let i = 0; ; i++) {
    const place = Math.round(((i / rate) * SPEED) / STEP);
    if (place >= way.x.length) return items;
    // 10:00 on 16 April 2025
    items.push({ at: i / rate, fix: fixOf(way, place, 1_744_797_600 + i / rate, origin, frame), place });
  }
}

/** A job on this way: field, 24 sections with delays, the curved pass, limits as they come but for the correction's age. */
export function jobOn(way: Way, change: Partial<JobDefinition> = {}): JobDefinition {
  const { length, passes } = way;
  const east = WIDTH * (passes - 0.5);
  const edge: Point[] = [];
  for (let y = 0; y <= length; y += 2) edge.push([bend(y, length) - WIDTH / 2, y]);
  for (let y = length; y >= 0; y -= 2) edge.push([bend(y, length) + east, y]);
  const line: Point[] = [];
  for (let y = 0; y <= length; y += 2) line.push([bend(y, length), y]);
  return {
    origin: ORIGIN,
    field: [{ exterior: edge, holes: [] }],
    machine: { antenna: { x: 0, y: 0, z: -3 } },
    boom: { sections: evenSections(WIDTH, 24), x: -1, turnOnTime: 0.3, turnOffTime: 0.2 },
    pattern: guidancePattern(curvedLine(line), { swathWidth: WIDTH }),
    fixes: { maximumCorrectionAge: 10 },
    // the outer sections run on the boundary itself
    sections: { overlapTolerance: 0.5, outsideTolerance: 0.5 },
    ...change,
  };
}

/** All ground that the boom truly passed over, wider by a margin on both sides: what can have been worked at most. */
export function sweptBy(way: Way, margin: number): CoverageRecord {
  const record = new CoverageRecord();
  const half = WIDTH / 2 + margin;
  const corners = (i: number): [number, number, number, number] => {
    const a = (way.heading[i]! * Math.PI) / 180;
    const mx = way.x[i]! - Math.sin(a);
    const my = way.y[i]! - Math.cos(a);
    return [mx - half * Math.cos(a), my + half * Math.sin(a), mx + half * Math.cos(a), my - half * Math.sin(a)];
  };
  let before = corners(0);
  for (let i = 4; i < way.x.length; i += 4) {
    const now = corners(i);
    record.mark(before[0], before[1], before[2], before[3], now[2], now[3], now[0], now[1]);
    before = now;
  }
  return record;
}

/** Ground in one record and not in another, m². */
export function areaBeyond(record: CoverageRecord, most: CoverageRecord): number {
  const both = CoverageRecord.restore(most.snapshot());
  return both.merge(CoverageRecord.restore(record.snapshot())).areas().worked - most.areas().worked;
}
