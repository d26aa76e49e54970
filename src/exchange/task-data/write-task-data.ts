import { FeeringError, requireObject } from "../../errors/index.js";
import { describe } from "../json-value.js";
import { IdGiver } from "./id-giver.js";
import type { TaskData } from "./task-data.js";
import { ROOT_TABLE } from "./task-tables.js";
import { writeElement } from "./write-element.js";
import { XmlLines } from "./xml-lines.js";

/** What {@link writeTaskData} takes: where the document comes from, and whatever it has; a list that is absent is empty. */
export type TaskDataInput = Pick<TaskData, "origin"> & Partial<TaskData>;

/** Settings of {@link writeTaskData}. */
export interface WriteTaskDataOptions {
  /** whether a name longer than 32 characters is refused (default) or cut */
  readonly designators?: "refuse" | "cut";
}

/** Version that is written for a document that was not of version 4: 4.3, the latest schema. */
const MINOR = 3;

/**
 * Write task data of ISO 11783-10, TASKDATA.XML, as version 4 has it. The same data give the same text.
 *
 * Ids stay as they are. Where one is needed and absent a new one is given: the number behind the largest of its kind, negative where `origin` is
 * `task-controller`, as the standard asks. Rings are closed by their first point, also those of a document that was read as version 3.
 * What was kept in `other` is written back unchanged, behind what is known; an attribute that is known and given wins over one kept.
 *
 * Positions are rounded to 9 decimals of a degree (0.06 mm), lengths to 1 mm, areas to 1 m². References are not looked after.
 *
 * @param data - from `readTaskData`, or made by hand
 * @param options - what to do with long names
 * @returns text for a file in UTF-8, lines ended by a line feed
 * @throws `FeeringError` with the path in the data: `out-of-range` and `not-finite` for a value, `too-few-points` for a ring of fewer than three
 * places or what is no list, `too-large` for a long name, and nesting deeper than 64 levels, `bad-format` for a character or name that no XML
 * document can hold, and an id that stands twice
 * @example
 * ```ts
 * const text = writeTaskData({ ...readTaskData(bytes), origin: "task-controller" });
 * ```
 */
export function writeTaskData(data: TaskDataInput, options: WriteTaskDataOptions = {}): string {
  requireObject(data, "data");
  requireObject(options, "options");
  const { designators = "refuse" } = options;
  if (designators !== "refuse" && designators !== "cut") {
    throw new FeeringError("out-of-range", `options.designators is ${describe(designators)}, needs refuse or cut`, {
      argument: "options.designators",
      value: designators,
    });
  }
  const { version } = data;
  const ids = new IdGiver(data.origin === "task-controller" || data.origin === 2);
  ids.collect(data, ROOT_TABLE, "data");
  const lines = new XmlLines();
  const root = {
    ...data,
    versionMajor: 4,
    versionMinor: version !== undefined && version.major === 4 ? version.minor : MINOR,
  };
  writeElement(root, ROOT_TABLE, "data", 0, new Set(), { lines, ids, cutDesignators: designators === "cut" });
  return lines.text();
}
