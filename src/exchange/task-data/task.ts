import type { TaskPolygon } from "./task-shapes.js";
import type { TaskExtra } from "./task-element.js";
import type { TaskPositionStatus, TaskStatus, TaskTimeType, WordOrNumber } from "./task-words.js";

/** A position with what is known of it (PTN). */
export interface TaskPosition extends TaskExtra {
  /** degrees north, -90 to 90 (A); 9 decimals are written */
  readonly latitude: number;
  /** degrees east, -180 to 180 (B); 9 decimals are written */
  readonly longitude: number;
  /** metres up (C), 1 mm is written */
  readonly altitude?: number;
  /** how it came about (D) */
  readonly status?: WordOrNumber<TaskPositionStatus>;
  /** dilution of precision of the position (E) */
  readonly pdop?: number;
  /** horizontal dilution of precision (F) */
  readonly hdop?: number;
  /** satellites (G) */
  readonly satellites?: number;
  /** s since midnight UTC, 1 ms is written (H) */
  readonly utcTimeOfDay?: number;
  /** days since 1980-01-01 UTC (I) */
  readonly utcDay?: number;
}

/** A value that was logged or asked for (DLV). */
export interface TaskLogValue extends TaskExtra {
  /** data dictionary identifier of ISO 11783-11 (A), hexadecimal in the file */
  readonly ddi: number;
  /** raw value, a whole number in the unit of its DDI (B) */
  readonly value: number;
  /** id of the device element (C) */
  readonly deviceElement: string;
}

/** A stretch of time: when something was allocated (ASP). */
export interface TaskStamp extends TaskExtra {
  /** date and time as text (A): without a zone behind it the clock of the cab */
  readonly start: string;
  /** likewise (B) */
  readonly stop?: string;
  /** s, whole ones are written (C) */
  readonly duration?: number;
  /** what it was (D) */
  readonly type: WordOrNumber<TaskTimeType>;
  /** where it began, and where it ended */
  readonly positions: readonly TaskPosition[];
}

/** A stretch of time of a task (TIM). */
export interface TaskTime extends TaskStamp {
  /** totals and other values of it */
  readonly values: readonly TaskLogValue[];
}

/** A move of patterns (GST). */
export interface GuidanceShiftData extends TaskExtra {
  /** id of the group that is moved (A) */
  readonly group?: string;
  /** id of the one pattern that is moved (B) */
  readonly pattern?: string;
  /** metres, 1 mm is written (C): the whole pattern, as against drift */
  readonly east?: number;
  /** metres, 1 mm is written (D) */
  readonly north?: number;
  /** metres, right of the pattern positive, 1 mm is written (E): curves are made anew at this distance */
  readonly propagationOffset?: number;
  /** when it was in force */
  readonly stamps: readonly TaskStamp[];
}

/** Which guidance group a task has, and how it was moved (GAN). */
export interface GuidanceAllocation extends TaskExtra {
  /** id of the group (A) */
  readonly group: string;
  /** when */
  readonly stamps: readonly TaskStamp[];
  /** moves, in the order of the file */
  readonly shifts: readonly GuidanceShiftData[];
}

/** Which device a task has (DAN). */
export interface DeviceAllocation extends TaskExtra {
  /** NAME of ISO 11783-5 that the device must have, 16 hexadecimal digits (A) */
  readonly name: string;
  /** bits of the NAME that count, 16 hexadecimal digits (B); absent means all */
  readonly mask?: string;
  /** id of the device (C) */
  readonly device?: string;
  /** when */
  readonly stamps: readonly TaskStamp[];
}

/** A time log in a file of its own (TLG). */
export interface TimeLogReference extends TaskExtra {
  /** name without its ending: `TLG00001` (A); the header is in the file with `.XML`, the records in that with `.BIN` */
  readonly file: string;
  /** length of the records, bytes (B) */
  readonly length?: number;
  /** 1: binary records (C) */
  readonly type: number;
}

/** What is to be logged (DLT). */
export interface DataLogTrigger extends TaskExtra {
  /** data dictionary identifier of ISO 11783-11 (A), hexadecimal in the file */
  readonly ddi: number;
  /** bits (B): 1 by time, 2 by distance, 4 by threshold, 8 on change, 16 a total */
  readonly method: number;
  /** id of the device element (H) */
  readonly deviceElement?: string;
}

/** A zone of a task, with what is to be applied there (TZN). */
export interface TreatmentZone extends TaskExtra {
  /** number of the zone in its task, 0 to 254 (A) */
  readonly code: number;
  /** name (B) */
  readonly designator?: string;
  /** number of its colour, 0 to 254 (C) */
  readonly colour?: number;
  /** where it is; none for a zone by default */
  readonly polygons: readonly TaskPolygon[];
}

/** Work to be done, or done (TSK). */
export interface Task extends TaskExtra {
  /** `TSK1`, `TSK-1` (A); always there in what was read, a new one is given in writing where it is absent */
  readonly id?: string;
  /** name (B) */
  readonly designator?: string;
  /** id of the customer (C) */
  readonly customer?: string;
  /** id of the farm (D) */
  readonly farm?: string;
  /** id of the field (E) */
  readonly partfield?: string;
  /** id of the worker in charge (F) */
  readonly worker?: string;
  /** how far it has come (G) */
  readonly status: WordOrNumber<TaskStatus>;
  /** code of the zone where there is no other (H) */
  readonly defaultZone?: number;
  /** code of the zone while the position is lost (I) */
  readonly positionLostZone?: number;
  /** code of the zone out of the field (J) */
  readonly outOfFieldZone?: number;
  /** its zones */
  readonly treatmentZones: readonly TreatmentZone[];
  /** when work was done */
  readonly times: readonly TaskTime[];
  /** its devices */
  readonly deviceAllocations: readonly DeviceAllocation[];
  /** its guidance, with moves */
  readonly guidanceAllocations: readonly GuidanceAllocation[];
  /** what is to be logged */
  readonly dataLogTriggers: readonly DataLogTrigger[];
  /** logs in files of their own */
  readonly timeLogs: readonly TimeLogReference[];
}
