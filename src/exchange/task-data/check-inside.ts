import type { RawElement } from "./raw-element.js";
import type { ReadContext } from "./read-context.js";
import type { Task } from "./task.js";
import type { TaskDevice } from "./task-device.js";

/** Tell of object ids of a device that stand twice or nowhere. */
export function checkObjects(device: TaskDevice, raw: RawElement, context: ReadContext): void {
  const elements = new Set<number>();
  const presentations = new Set<number>();
  const values = new Set<number>();
  const all = new Set<number>();
  const take = (set: Set<number>, { objectId }: { readonly objectId: number }): void => {
    if (all.has(objectId)) context.problem(raw, `the object id ${objectId} stands twice in DVC ${device.id}`);
    all.add(objectId);
    set.add(objectId);
  };
  for (const element of device.elements) take(elements, element);
  for (const value of [...device.processData, ...device.properties]) take(values, value);
  for (const presentation of device.presentations) take(presentations, presentation);
  const nowhere = (what: string, id: number): void =>
    context.problem(raw, `${what} is ${id}, which is nowhere in DVC ${device.id}`);
  for (const { id, parent, objects } of device.elements) {
    // 0 is the device itself
    if (parent !== 0 && !elements.has(parent)) nowhere(`attribute F (parent) of ${id}`, parent);
    for (const { object } of objects) if (!values.has(object)) nowhere(`a DOR of ${id}`, object);
  }
  for (const { objectId, presentation } of [...device.processData, ...device.properties]) {
    if (presentation !== undefined && !presentations.has(presentation)) {
      nowhere(`the presentation of object ${objectId}`, presentation);
    }
  }
}

/** Tell of codes of treatment zones that a task has not. */
export function checkZones(task: Task, raw: RawElement, context: ReadContext): void {
  const codes = new Set(task.treatmentZones.map(({ code }) => code));
  for (const name of ["defaultZone", "positionLostZone", "outOfFieldZone"] as const) {
    const code = task[name];
    if (code !== undefined && !codes.has(code)) {
      context.problem(raw, `${name} of TSK ${task.id} is ${code}, a treatment zone that it has not`);
    }
  }
}
