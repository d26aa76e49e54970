import type { GuidanceGroupData } from "./guidance-data.js";
import type { TaskExtra } from "./task-element.js";
import type { TaskLineString, TaskPoint, TaskPolygon } from "./task-shapes.js";

/** A field, or a part of one (PFD). */
export interface Partfield extends TaskExtra {
  /** `PFD1`, `PFD-1` (A); always there in what was read, a new one is given in writing where it is absent */
  readonly id?: string;
  /** code of its owner's (B) */
  readonly code?: string;
  /** name (C) */
  readonly designator: string;
  /** square metres, whole ones are written (D) */
  readonly area: number;
  /** id of its customer (E) */
  readonly customer?: string;
  /** id of its farm (F) */
  readonly farm?: string;
  /** id of its crop type (G) */
  readonly cropType?: string;
  /** id of its crop variety (H) */
  readonly cropVariety?: string;
  /** id of the field that this is a part of (I) */
  readonly parent?: string;
  /** boundary, obstacles, headland and other surfaces */
  readonly polygons: readonly TaskPolygon[];
  /** fences, drains, tramlines and other lines */
  readonly lineStrings: readonly TaskLineString[];
  /** gates, flags, obstacles and other places */
  readonly points: readonly TaskPoint[];
  /** guidance patterns in their groups; of version 4 */
  readonly guidanceGroups: readonly GuidanceGroupData[];
}
