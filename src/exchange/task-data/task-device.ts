import type { TaskExtra } from "./task-element.js";
import type { TaskElementType, WordOrNumber } from "./task-words.js";

/** A reference of a device element to process data or a property of its device (DOR). */
export interface TaskObjectReference extends TaskExtra {
  /** object id of the process data or property (A) */
  readonly object: number;
}

/** A part of a device (DET): the machine itself, its boom, a section of it. */
export interface TaskDeviceElement extends TaskExtra {
  /** `DET1`, `DET-1` (A); always there in what was read, a new one is given in writing where it is absent */
  readonly id?: string;
  /** number of the object inside of the device, 1 to 65 534 (B) */
  readonly objectId: number;
  /** what it is (C) */
  readonly type: WordOrNumber<TaskElementType>;
  /** name (D) */
  readonly designator?: string;
  /** number of the element, 0 to 4095 (E) */
  readonly number: number;
  /** object id of the element that it is a part of (F); 0 is the device */
  readonly parent: number;
  /** its process data and properties */
  readonly objects: readonly TaskObjectReference[];
}

/** A value that a device tells or takes (DPD). */
export interface TaskProcessData extends TaskExtra {
  /** number of the object inside of the device, 1 to 65 534 (A) */
  readonly objectId: number;
  /** data dictionary identifier of ISO 11783-11 (B), hexadecimal in the file */
  readonly ddi: number;
  /** bits (C): 1 in the default set, 2 can be set, 4 source of control */
  readonly properties: number;
  /** bits (D): 1 by time, 2 by distance, 4 by threshold, 8 on change, 16 a total */
  readonly triggers: number;
  /** name (E) */
  readonly designator?: string;
  /** object id of how it is shown (F) */
  readonly presentation?: number;
}

/** A value of a device that stays (DPT): a width, an offset. */
export interface TaskDeviceProperty extends TaskExtra {
  /** number of the object inside of the device, 1 to 65 534 (A) */
  readonly objectId: number;
  /** data dictionary identifier of ISO 11783-11 (B), hexadecimal in the file */
  readonly ddi: number;
  /** raw value, a whole number in the unit of its DDI (C) */
  readonly value: number;
  /** name (D) */
  readonly designator?: string;
  /** object id of how it is shown (E) */
  readonly presentation?: number;
}

/** How a value is shown (DVP): (raw + offset) times scale. */
export interface TaskValuePresentation extends TaskExtra {
  /** number of the object inside of the device, 1 to 65 534 (A) */
  readonly objectId: number;
  /** added to the raw value, a whole number (B) */
  readonly offset: number;
  /** multiplies the sum, 9 decimals are written (C) */
  readonly scale: number;
  /** decimals to show (D) */
  readonly decimals: number;
  /** sign of the unit to show (E) */
  readonly unit?: string;
}

/** A device: a machine or an implement, as it describes itself (DVC). */
export interface TaskDevice extends TaskExtra {
  /** `DVC1`, `DVC-1` (A); always there in what was read, a new one is given in writing where it is absent */
  readonly id?: string;
  /** name (B) */
  readonly designator?: string;
  /** version of its software (C) */
  readonly softwareVersion?: string;
  /** its NAME of ISO 11783-5, 16 hexadecimal digits (D) */
  readonly name: string;
  /** serial number (E) */
  readonly serialNumber?: string;
  /** label of its structure, hexadecimal digits (F) */
  readonly structureLabel: string;
  /** label of its language and units, hexadecimal digits (G) */
  readonly localizationLabel: string;
  /** its parts */
  readonly elements: readonly TaskDeviceElement[];
  /** values that it tells or takes */
  readonly processData: readonly TaskProcessData[];
  /** values that stay */
  readonly properties: readonly TaskDeviceProperty[];
  /** how values are shown */
  readonly presentations: readonly TaskValuePresentation[];
}
