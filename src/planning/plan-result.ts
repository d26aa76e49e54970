import type { Line, Point, Polygon } from "../geometry/index.js";
import type { HeadlandRound } from "../headland/index.js";
import type { HeadlandTurnKind } from "./headland-turn.js";

/** A swath of a plan: straight. */
export interface PlanSwath {
  /** number of its block */
  readonly block: number;
  /** number of its strip in its block's direction, from 0; swaths of one strip lie on one line */
  readonly pass: number;
  /** line of the machine's middle, in the block's heading, metres */
  readonly line: readonly [from: Point, to: Point];
  /** metres */
  readonly length: number;
  /** ground worked to the left of the line, metres; negative where sections leave off before it */
  readonly left: number;
  /** ground worked to the right of the line, metres */
  readonly right: number;
}

/** Ground worked in one direction, strip beside strip without a gap. */
export interface PlanBlock {
  /** number of its mainfield */
  readonly mainfield: number;
  /** of its swaths' lines, degrees */
  readonly heading: number;
  /** its swaths from left to right, seen along the heading */
  readonly swaths: readonly PlanSwath[];
}

/**
 * Why a drive can't be driven as it is drawn.
 *
 * | reason | meaning |
 * |---|---|
 * | `no-room` | the machine would leave the field or run into an obstacle |
 * | `no-way` | no way within the field leads there |
 * | `tight-turn` | a round bends more tightly than the machine turns |
 * | `too-narrow` | a round's ground holds no turning circle |
 */
export type DriveReason = "no-room" | "no-way" | "tight-turn" | "too-narrow";

/** One piece of the way over the field. */
export interface PlanDrive {
  /** `round` and `swath` work, `turn` leads from swath to swath of a block, `connection` all other ways */
  readonly kind: "round" | "swath" | "turn" | "connection";
  /** points in driving order, metres */
  readonly line: Line;
  /** metres */
  readonly length: number;
  /** whether the tool works */
  readonly working: boolean;
  /** stretches driven backwards, as first and last index into `line` */
  readonly reversing: readonly (readonly [first: number, last: number])[];
  /** number of the block of a swath, or of the swaths that a turn joins; null for others */
  readonly block: number | null;
  /** number of the swath's strip; of a round its number from the edge; null for others */
  readonly pass: number | null;
  /** which turn it is; null for others and for a turn driven by another way */
  readonly turn: HeadlandTurnKind | null;
  /** seconds, stops included */
  readonly time: number;
  /** whether the machine can drive it within the field */
  readonly drivable: boolean;
  /** why not, where it can't */
  readonly reason?: DriveReason;
}

/** What a plan comes to. */
export interface PlanTotals {
  /** metres worked */
  readonly workingDistance: number;
  /** metres of turns and connections */
  readonly nonWorkingDistance: number;
  /** how many turns of each kind */
  readonly turns: Readonly<Record<HeadlandTurnKind, number>>;
  /** ways between blocks, rounds and gates, and turns for which another way was taken */
  readonly connections: number;
  /** drives that can't be driven as drawn */
  readonly notDrivable: number;
  /** changes between forward and back */
  readonly reversals: number;
  /** seconds, all together */
  readonly time: number;
  /** seconds with the tool at work */
  readonly workingTime: number;
  /** seconds in turns and connections, stops apart */
  readonly turningTime: number;
  /** seconds for stops to reverse */
  readonly stopTime: number;
  /** m² of the field, obstacles left out */
  readonly fieldArea: number;
  /** m² of the mainfield */
  readonly mainfieldArea: number;
  /** m² worked at least once, as planned */
  readonly workedArea: number;
  /** m² worked again: each time after the first counts */
  readonly overlap: number;
  /** m² of the field left: corners of rounds, a headland not driven, ends of swaths where nothing beside them may be worked */
  readonly missed: number;
  /** worked area against what the whole time would give at working speed and full width, 0 to 1 */
  readonly fieldEfficiency: number;
}

/**
 * Why a plan, or a part of it, is empty.
 *
 * | reason | meaning |
 * |---|---|
 * | `headland-fills-field` | no ground is left inside the headland |
 * | `no-swath` | ground is left, but no swath fits on it |
 * | `no-direction` | rules forbid every direction |
 */
export type PlanReason = "headland-fills-field" | "no-swath" | "no-direction";

/** A plan, or a mainfield of it, that holds nothing. */
export interface PlanGap {
  /** why */
  readonly reason: PlanReason;
  /** number of the mainfield; null: the whole plan */
  readonly mainfield: number | null;
}

/** A field's plan: plain data, the same for the same input. */
export interface FieldPlan {
  /** width of a swath, metres */
  readonly swathWidth: number;
  /** rounds of the headland, driven or not */
  readonly rounds: readonly HeadlandRound[];
  /** ground inside the headland */
  readonly mainfield: readonly Polygon[];
  /** ground by direction */
  readonly blocks: readonly PlanBlock[];
  /** the way over the field, from where the first drive begins to where the last one ends */
  readonly drives: readonly PlanDrive[];
  /** what it comes to */
  readonly totals: PlanTotals;
  /** seconds that the plan is chosen by: mainfield's swaths, turns and connections, an allowance of 60 s for each that can't be driven, penalties of rules */
  readonly cost: number;
  /** the same cost of the best plan in one direction a mainfield and passes in sequence, of those weighed */
  readonly plainCost: number;
  /** why it holds nothing, where it does; empty otherwise */
  readonly reasons: readonly PlanGap[];
}
