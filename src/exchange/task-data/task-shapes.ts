import type { TaskExtra } from "./task-element.js";
import type { TaskLineStringType, TaskPointType, TaskPolygonType, WordOrNumber } from "./task-words.js";

/** A place (PNT). It is a position as everywhere here. */
export interface TaskPoint extends TaskExtra {
  /** what it is (A) */
  readonly type: WordOrNumber<TaskPointType>;
  /** degrees north, -90 to 90 (C); 9 decimals are written */
  readonly latitude: number;
  /** degrees east, -180 to 180 (D); 9 decimals are written */
  readonly longitude: number;
  /** metres up (E), 1 mm is written */
  readonly altitude?: number;
  /** name (B) */
  readonly designator?: string;
  /** number of its colour, 0 to 254 (F) */
  readonly colour?: number;
  /** `PNT1`, `PNT-1` (G) */
  readonly id?: string;
  /** horizontal accuracy, root mean square, metres (H) */
  readonly horizontalAccuracy?: number;
  /** vertical accuracy, root mean square, metres (I) */
  readonly verticalAccuracy?: number;
  /** file of points in binary form, without its ending (J); it is not read here */
  readonly file?: string;
  /** length of that file, bytes (K) */
  readonly fileLength?: number;
}

/** A line (LSG). */
export interface TaskLineString extends TaskExtra {
  /** what it is (A) */
  readonly type: WordOrNumber<TaskLineStringType>;
  /** name (B) */
  readonly designator?: string;
  /** metres, 1 mm is written (C); of the line of a guidance pattern the swath width */
  readonly width?: number;
  /** metres, 1 mm is written (D) */
  readonly length?: number;
  /** number of its colour, 0 to 254 (E) */
  readonly colour?: number;
  /** `LSG1`, `LSG-1` (F) */
  readonly id?: string;
  /** in order; of a ring the first is not repeated at the end */
  readonly points: readonly TaskPoint[];
}

/** A surface (PLN): one exterior and any number of interiors. */
export interface TaskPolygon extends TaskExtra {
  /** what it is (A) */
  readonly type: WordOrNumber<TaskPolygonType>;
  /** name (B) */
  readonly designator?: string;
  /** square metres, whole ones are written (C) */
  readonly area?: number;
  /** number of its colour, 0 to 254 (D) */
  readonly colour?: number;
  /** `PLN1`, `PLN-1` (E) */
  readonly id?: string;
  /** outer ring, of type `exterior`; in either winding, the first point not repeated */
  readonly exterior: TaskLineString;
  /** rings of what is left out, of type `interior` */
  readonly interiors: readonly TaskLineString[];
}
