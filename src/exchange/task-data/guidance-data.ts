import type { TaskLineString, TaskPolygon } from "./task-shapes.js";
import type { TaskExtra } from "./task-element.js";
import type { TaskExtension, TaskPatternKind, TaskPivotOption, TaskPropagation, WordOrNumber } from "./task-words.js";

/** A guidance pattern (GPN) as the file has it. */
export interface GuidancePatternData extends TaskExtra {
  /** `GPN1`, `GPN-1` (A); always there in what was read, a new one is given in writing where it is absent */
  readonly id?: string;
  /** name (B) */
  readonly designator?: string;
  /** kind of its line (C) */
  readonly kind: WordOrNumber<TaskPatternKind>;
  /** how a pivot goes round (D) */
  readonly options?: WordOrNumber<TaskPivotOption>;
  /** to which sides passes are made, looking from the first point to the second (E); absent means `both` */
  readonly propagation?: WordOrNumber<TaskPropagation>;
  /** at which ends passes run on (F); absent means `both` */
  readonly extension?: WordOrNumber<TaskExtension>;
  /** degrees clockwise from true north, 0 to 360 (G); an A+ line needs it */
  readonly heading?: number;
  /** metres, 1 mm is written (H) */
  readonly radius?: number;
  /** how its positions came about (I), the file's number */
  readonly method?: number;
  /** horizontal accuracy, metres (J) */
  readonly horizontalAccuracy?: number;
  /** vertical accuracy, metres (K) */
  readonly verticalAccuracy?: number;
  /** id of the base station (L) */
  readonly baseStation?: string;
  /** reference system of its origin (M); for information alone, coordinates are of WGS 84 */
  readonly originalSrid?: string;
  /** how many swaths there are to the left (N); absent means no limit */
  readonly swathsLeft?: number;
  /** how many swaths there are to the right (O); absent means no limit */
  readonly swathsRight?: number;
  /** its line, of type `guidance-pattern`; `width` is the swath width */
  readonly line: TaskLineString;
  /** PLN inside of it: where the pattern holds */
  readonly boundaries: readonly TaskPolygon[];
}

/** Guidance patterns that belong together (GGP): two of the headland and one of the mainfield, say. */
export interface GuidanceGroupData extends TaskExtra {
  /** `GGP1`, `GGP-1` (A); always there in what was read, a new one is given in writing where it is absent */
  readonly id?: string;
  /** name (B) */
  readonly designator?: string;
  /** in the order of the file */
  readonly patterns: readonly GuidancePatternData[];
  /** PLN: where the group holds */
  readonly boundaries: readonly TaskPolygon[];
}
