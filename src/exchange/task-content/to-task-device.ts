import { FeeringError, requireList, requireNumber, requireObject } from "../../errors/index.js";
import { type Boom, boom, type BoomDefinition, type Section } from "../../sections/index.js";
import type {
  TaskDevice,
  TaskDeviceElement,
  TaskDeviceProperty,
  TaskObjectReference,
  TaskProcessData,
} from "../task-data/index.js";
import { DDI, WORD_SECTIONS } from "./ddi.js";
import { within } from "./within.js";

/** Where an antenna is. */
export interface AntennaPlace {
  /** metres ahead of the reference point */
  readonly x: number;
  /** metres to the right of it */
  readonly y: number;
}

/** What {@link toTaskDevice} makes a DVC of. */
export interface DeviceContent {
  /** name, 32 characters at most */
  readonly name: string;
  /** booms of the machine */
  readonly booms: readonly BoomDefinition[];
  /** where the receiver's antenna is; default not told: at the reference point */
  readonly antenna?: AntennaPlace;
  /** NAME of ISO 11783-5, 16 hexadecimal digits; default zeros: a machine that is on no bus */
  readonly isoName?: string;
  /** serial number */
  readonly serialNumber?: string;
  /** version of its software */
  readonly softwareVersion?: string;
}

/** Ids of {@link toTaskDevice}, where others are to refer to what it makes. */
export interface DeviceIds {
  /** of the device: `DVC1` */
  readonly device?: string;
  /** of an element by its number in the device, from 0: `DET1` and so on; default `writeTaskData` gives some */
  readonly element?: (number: number) => string;
}

/**
 * A machine with its booms as DVC of ISO 11783-10: a device element, one for the antenna, one for each boom and each section, with offsets (DDI 134, 135), widths (67),
 * turn-on and turn-off times (205, 206; of the boom, and of sections that have others), and process data for what a log of the work tells of a boom.
 *
 * @param content - name, booms, antenna
 * @param ids - ids that others refer to
 * @returns plain data, lengths and times to 1 mm and 1 ms; edges of sections are rounded to that, so neighbours stay edge to edge
 * @throws `FeeringError` what `boom` throws, with the boom's path; `too-large` for more sections than there are numbers, 4095
 */
export function toTaskDevice(content: DeviceContent, ids: DeviceIds = {}): TaskDevice {
  requireObject(content, "content");
  requireObject(ids, "ids");
  requireList(content.booms, "content.booms");
  const { antenna } = content;
  const parts = new DeviceParts(ids.element);
  const machine = parts.element("device", 0, content.name, []);
  if (antenna !== undefined) {
    const x = millimetres(requireNumber(antenna.x, "content.antenna.x", NEAR));
    const y = millimetres(requireNumber(antenna.y, "content.antenna.y", NEAR));
    parts.element("navigation-reference", machine, "antenna", [
      [DDI.offsetX, x],
      [DDI.offsetY, y],
    ]);
  }
  content.booms.forEach((given, i) => {
    addBoom(
      parts,
      machine,
      within(`content.booms[${i}]`, () => boom({ ...given, allowGaps: true })),
      i,
    );
  });
  const { isoName = "0".repeat(16), serialNumber, softwareVersion } = content;
  return {
    ...(ids.device === undefined ? {} : { id: ids.device }),
    designator: content.name,
    ...(softwareVersion === undefined ? {} : { softwareVersion }),
    name: isoName,
    ...(serialNumber === undefined ? {} : { serialNumber }),
    structureLabel: STRUCTURE,
    localizationLabel: LOCALIZATION,
    elements: parts.elements,
    processData: parts.processData,
    properties: parts.properties,
    presentations: [],
  };
}

const NEAR = { min: -100, max: 100 };
/** Any label that does not change as long as the structure does not. */
const STRUCTURE = "00000000000001";
/** English, decimal point, metric units (ISO 11783-7 language command, from memory). */
const LOCALIZATION = "FF000000006E65";
/** Most elements: numbers 0 to 4095. */
const MOST = 4096;

const millimetres = (metres: number): number => Math.round(metres * 1000) + 0;

function addBoom(parts: DeviceParts, machine: number, made: Boom, index: number): void {
  const { sections } = made;
  const left = millimetres(sections[0]!.left);
  const right = millimetres(sections[sections.length - 1]!.right);
  const states = Array.from({ length: Math.ceil(sections.length / WORD_SECTIONS) }, (_, k) => DDI.condensedState + k);
  const own = parts.element(
    "function",
    machine,
    index === 0 ? "boom" : `boom ${index + 1}`,
    [
      [DDI.offsetX, millimetres(made.x)],
      [DDI.offsetY, middle(left, right)],
      [DDI.width, right - left],
      [DDI.turnOnTime, millimetres(made.turnOnTime)],
      [DDI.turnOffTime, millimetres(made.turnOffTime)],
    ],
    [
      [DDI.workState, ON_CHANGE],
      [DDI.yaw, BY_TIME],
      ...states.map((ddi) => [ddi, ON_CHANGE] as const),
      ...TOTALS.map((ddi) => [ddi, TOTAL] as const),
    ],
  );
  sections.forEach((section, i) => {
    parts.element("section", own, `section ${i + 1}`, sectionValues(section, made));
  });
}

function sectionValues(section: Section, { turnOnTime, turnOffTime }: Boom): (readonly [ddi: number, value: number])[] {
  const left = millimetres(section.left);
  const right = millimetres(section.right);
  return [
    [DDI.offsetX, millimetres(section.x)],
    [DDI.offsetY, middle(left, right)],
    [DDI.width, right - left],
    ...(section.turnOnTime === turnOnTime ? [] : [[DDI.turnOnTime, millimetres(section.turnOnTime)] as const]),
    ...(section.turnOffTime === turnOffTime ? [] : [[DDI.turnOffTime, millimetres(section.turnOffTime)] as const]),
  ];
}

/** The middle in whole millimetres. */
const middle = (left: number, right: number): number => Math.floor((left + right) / 2);

/** Triggers of process data. */
const ON_CHANGE = 8;
const BY_TIME = 1;
const TOTAL = 16;
const TOTALS = [DDI.area, DDI.workedDistance, DDI.otherDistance, DDI.workedTime, DDI.otherTime];

/** Elements, properties and process data with their object ids; a property that stands twice is one object. */
class DeviceParts {
  readonly elements: TaskDeviceElement[] = [];
  readonly properties: TaskDeviceProperty[] = [];
  readonly processData: TaskProcessData[] = [];
  readonly #byValue = new Map<string, number>();
  readonly #idOf: ((number: number) => string) | undefined;
  #objects = 0;

  constructor(idOf: ((number: number) => string) | undefined) {
    this.#idOf = idOf;
  }

  /** @returns the element's object id */
  element(
    type: "device" | "function" | "section" | "navigation-reference",
    parent: number,
    designator: string,
    values: readonly (readonly [ddi: number, value: number])[],
    data: readonly (readonly [ddi: number, triggers: number])[] = [],
  ): number {
    const number = this.elements.length;
    if (number >= MOST) {
      throw new FeeringError("too-large", `more than ${MOST} elements of a device`, { argument: "content.booms" });
    }
    const objectId = ++this.#objects;
    const objects: TaskObjectReference[] = [
      ...data.map(([ddi, triggers]) => this.#data(ddi, triggers)),
      ...values.map(([ddi, value]) => this.#property(ddi, value)),
    ].map((object) => ({ object }));
    const id = this.#idOf === undefined ? {} : { id: this.#idOf(number) };
    this.elements.push({ ...id, objectId, type, designator, number, parent, objects });
    return objectId;
  }

  #property(ddi: number, value: number): number {
    const key = `${ddi} ${value}`;
    const before = this.#byValue.get(key);
    if (before !== undefined) return before;
    const objectId = ++this.#objects;
    this.#byValue.set(key, objectId);
    this.properties.push({ objectId, ddi, value });
    return objectId;
  }

  #data(ddi: number, triggers: number): number {
    const objectId = ++this.#objects;
    // told by default, never set from outside
    this.processData.push({ objectId, ddi, properties: 1, triggers });
    return objectId;
  }
}
