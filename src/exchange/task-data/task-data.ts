import type { Partfield } from "./partfield.js";
import type { Task } from "./task.js";
import type { TaskDevice } from "./task-device.js";
import type { TaskExtra } from "./task-element.js";
import type { TaskDataOrigin, WordOrNumber } from "./task-words.js";

/** A customer, farm, worker, product or crop type: its id and name; all the rest of it is in `other`. */
export interface TaskReference extends TaskExtra {
  /** `CTR1`, `FRM-2` and so on (A); always there in what was read, a new one is given in writing where it is absent */
  readonly id?: string;
  /** name (B); of customers and workers the last name */
  readonly designator: string;
}

/** A part of the document in a file of its own (XFR). */
export interface ExternalFile extends TaskExtra {
  /** name without its ending: `PFD00001` (A) */
  readonly file: string;
  /** 1: XML (B) */
  readonly type: number;
}

/** Version of a document. */
export interface TaskDataVersion {
  /** VersionMajor */
  readonly major: number;
  /** VersionMinor */
  readonly minor: number;
}

/** Task data of ISO 11783-10: what TASKDATA.XML holds. */
export interface TaskData extends TaskExtra {
  /** version that was read; version 4 is written, whatever stands here */
  readonly version: TaskDataVersion;
  /** where it comes from */
  readonly origin: WordOrNumber<TaskDataOrigin>;
  /** maker of the office's software */
  readonly managementSoftwareManufacturer?: string;
  /** version of the office's software */
  readonly managementSoftwareVersion?: string;
  /** maker of the task controller */
  readonly taskControllerManufacturer?: string;
  /** version of the task controller */
  readonly taskControllerVersion?: string;
  /** customers (CTR) */
  readonly customers: readonly TaskReference[];
  /** farms (FRM) */
  readonly farms: readonly TaskReference[];
  /** workers (WKR) */
  readonly workers: readonly TaskReference[];
  /** products (PDT) */
  readonly products: readonly TaskReference[];
  /** crop types (CTP); their varieties are in `other` */
  readonly cropTypes: readonly TaskReference[];
  /** fields (PFD) */
  readonly partfields: readonly Partfield[];
  /** machines (DVC) */
  readonly devices: readonly TaskDevice[];
  /** tasks (TSK) */
  readonly tasks: readonly Task[];
  /** parts of it that stand in other files and were not handed in (XFR) */
  readonly externalFiles: readonly ExternalFile[];
}
