import { FeeringError, requireList, requireObject } from "../../errors/index.js";
import { boom, type BoomDefinition, type SectionDefinition } from "../../sections/index.js";
import type { TaskDevice, TaskDeviceElement } from "../task-data/index.js";
import { DDI } from "./ddi.js";
import type { AntennaPlace } from "./to-task-device.js";

/** A boom of a device, and where its sections stand in logs. */
export interface DeviceBoom {
  /** id of its element, `DET-2` */
  readonly element: string;
  /** name of its element */
  readonly name?: string;
  /** sections from left to right, with places and times, measured from the reference point of the device */
  readonly boom: BoomDefinition;
  /** id of each section's element, from left to right; of a boom without sections its own */
  readonly sectionElements: readonly string[];
  /** place of each section in condensed work states, from left to right: the order of their numbers */
  readonly places: readonly number[];
}

/** An element that looks like a boom. */
export interface RefusedBoom {
  /** id of the element */
  readonly element: string;
  /** why it can't be made one */
  readonly reason: string;
}

/** What {@link fromTaskDevice} finds. */
export interface DeviceFound {
  /** name of the device */
  readonly name?: string;
  /** where the antenna is; absent where the device does not tell */
  readonly antenna?: AntennaPlace;
  /** elements that have sections, or a working width of their own and none */
  readonly booms: readonly DeviceBoom[];
  /** elements that look like a boom and can't be made one of, with the reason */
  readonly refused: readonly RefusedBoom[];
}

/**
 * The way back from {@link toTaskDevice}, and from devices of other makers. The geometry decides, not the numbering: sections are sorted from left to
 * right. A width is DDI 67, else 70, else 68, as a public summary of the standard has it (secondary).
 *
 * @param device - from `readTaskData`
 * @returns its booms; what is damaged is told in `refused`
 * @throws `FeeringError` `not-finite` or `too-few-points` for what is no device
 * @example
 * ```ts
 * const [sprayer] = fromTaskDevice(data.devices[0]).booms;
 * const made = boom(sprayer.boom);
 * ```
 */
export function fromTaskDevice(device: TaskDevice): DeviceFound {
  requireObject(device, "device");
  for (const name of ["elements", "properties", "processData"] as const) requireList(device[name], `device.${name}`);
  const values = new Map(device.properties.map(({ objectId, ddi, value }) => [objectId, { ddi, value }]));
  const valueOf = ({ objects }: TaskDeviceElement, ddi: number): number | undefined => {
    for (const { object } of objects) {
      const found = values.get(object);
      if (found?.ddi === ddi) return found.value / 1000;
    }
    return undefined;
  };
  const children = new Map<number, TaskDeviceElement[]>();
  for (const element of device.elements) {
    if (element.type !== "section") continue;
    const list = children.get(element.parent);
    if (list === undefined) children.set(element.parent, [element]);
    else list.push(element);
  }
  const booms: DeviceBoom[] = [];
  const refused: RefusedBoom[] = [];
  for (const element of device.elements) {
    const sections = [...(children.get(element.objectId) ?? [])].sort((a, b) => a.number - b.number);
    const alone = element.type === "function" && sections.length === 0 && widthOf(element, valueOf) !== undefined;
    if (sections.length === 0 && !alone) continue;
    try {
      booms.push(readBoom(element, alone ? [element] : sections, valueOf));
    } catch (error) {
      if (!(error instanceof FeeringError)) throw error;
      refused.push({ element: element.id ?? "", reason: error.message });
    }
  }
  const receiver = device.elements.find(({ type }) => type === "navigation-reference");
  const x = receiver === undefined ? undefined : valueOf(receiver, DDI.offsetX);
  return {
    ...(device.designator === undefined ? {} : { name: device.designator }),
    ...(receiver === undefined || x === undefined ? {} : { antenna: { x, y: valueOf(receiver, DDI.offsetY) ?? 0 } }),
    booms,
    refused,
  };
}

type ValueOf = (element: TaskDeviceElement, ddi: number) => number | undefined;

function widthOf(element: TaskDeviceElement, valueOf: ValueOf): number | undefined {
  return valueOf(element, DDI.width) ?? valueOf(element, DDI.largestWidth) ?? valueOf(element, DDI.usualWidth);
}

function readBoom(element: TaskDeviceElement, sections: readonly TaskDeviceElement[], valueOf: ValueOf): DeviceBoom {
  const x = valueOf(element, DDI.offsetX) ?? 0;
  const turnOnTime = valueOf(element, DDI.turnOnTime) ?? 0;
  const turnOffTime = valueOf(element, DDI.turnOffTime) ?? 0;
  const read = sections.map((section, place) => {
    const width = widthOf(section, valueOf);
    if (width === undefined) {
      throw new FeeringError("bad-format", `section ${section.number} has no width`, { argument: "device.elements" });
    }
    const y = valueOf(section, DDI.offsetY) ?? 0;
    const definition: SectionDefinition = {
      left: y - width / 2,
      right: y + width / 2,
      x: valueOf(section, DDI.offsetX) ?? x,
      turnOnTime: valueOf(section, DDI.turnOnTime) ?? turnOnTime,
      turnOffTime: valueOf(section, DDI.turnOffTime) ?? turnOffTime,
    };
    return { place, id: section.id ?? "", definition };
  });
  read.sort((a, b) => a.definition.left - b.definition.left);
  const definition: BoomDefinition = {
    sections: read.map((section) => section.definition),
    x,
    turnOnTime,
    turnOffTime,
    allowGaps: true,
  };
  boom(definition);
  return {
    element: element.id ?? "",
    ...(element.designator === undefined ? {} : { name: element.designator }),
    boom: definition,
    sectionElements: read.map(({ id }) => id),
    places: read.map(({ place }) => place),
  };
}
