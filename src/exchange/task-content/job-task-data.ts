import { requireList, requireNumber, requireObject } from "../../errors/index.js";
import type { FieldJob, JobDefinition } from "../../job/index.js";
import { logTimeText, requireUtcOffset } from "../time-log/log-time.js";
import type {
  Task,
  TaskData,
  TaskDataInput,
  TaskDevice,
  TaskElement,
  TaskReference,
  TaskStatus,
} from "../task-data/index.js";
import { DDI } from "./ddi.js";
import { type DeviceBoom, fromTaskDevice } from "./from-task-device.js";
import { toPartfield } from "./partfield-content.js";
import { toShiftData } from "./shift-data.js";
import { toTaskDevice } from "./to-task-device.js";
import type { WorkLogSummary } from "./work-log.js";

/** The machine of a job as a device, and its booms in the order of the definition. */
export interface JobDevice {
  /** the device, for the document */
  readonly device: TaskDevice;
  /** each boom, the first one at 0: for {@link WorkLog} and `coverageFromTimeLog` */
  readonly booms: readonly DeviceBoom[];
}

/**
 * The machine of a job as {@link jobTaskData} writes it. Its antenna is not told, as logs of `WorkLog` have the places of the reference point itself; of a job with a towed
 * implement booms are measured from that of the implement.
 *
 * @param definition - of the job
 * @returns device and booms
 * @throws `FeeringError` what `toTaskDevice` throws
 */
export function jobDevice(definition: JobDefinition): JobDevice {
  requireObject(definition, "definition");
  const { boom, furtherBooms = [] } = definition;
  const device = toTaskDevice(
    { name: "machine", booms: [boom, ...furtherBooms.map((further) => further.boom)] },
    { device: "DVC-1", element: (number) => `DET-${number + 1}` },
  );
  return { device, booms: fromTaskDevice(device).booms };
}

/** A log of a job's work. */
export interface JobLog {
  /** name of its files without ending: `TLG00001` */
  readonly file: string;
  /** from `WorkLog.end` */
  readonly summary: WorkLogSummary;
}

/** Settings of {@link jobTaskData}. */
export interface JobTaskOptions {
  /** logs of its booms; default none */
  readonly logs?: readonly JobLog[];
  /** how far the work has come; default `completed` */
  readonly status?: TaskStatus;
  /** s that the clock of the cab is ahead of UTC, whole minutes; default 0 */
  readonly utcOffset?: number;
  /** Unix time, s, that time 0 of the fixes stands for, where they have no date; default 0 */
  readonly timeZero?: number;
}

/**
 * A job's record as task data of ISO 11783-10: field with headland, closed zones and pattern, machine, and a task with its time, totals, guidance and logs. Names of farm,
 * operator, crop and product become references, names longer than 32 characters are cut.
 *
 * Totals stand in the task's time, of the first boom's element: area worked (DDI 116, m²), ways worked and not (117, 118, mm), times worked and not (119, 120, s).
 *
 * @param job - a `FieldJob` or `RecordedJob`
 * @param options - logs, status, clock
 * @returns what `writeTaskData` takes; ids are those of the cab, negative
 * @throws `FeeringError` what {@link jobDevice}, `toPartfield` and `toPatternData` throw; `out-of-range` or `not-finite` for an option
 * @example
 * ```ts
 * const files = {
 *   "TASKDATA.XML": writeTaskData(jobTaskData(job, { logs: [{ file: "TLG00001", summary: log.end() }] })),
 *   "TLG00001.XML": writeTimeLogHeader(log.header),
 * };
 * ```
 */
export function jobTaskData(
  job: Pick<FieldJob, "frame" | "definition" | "report">,
  options: JobTaskOptions = {},
): TaskDataInput {
  requireObject(job, "job");
  requireObject(options, "options");
  const { logs = [], status = "completed" } = options;
  requireList(logs, "options.logs");
  const utcOffset = requireUtcOffset(options.utcOffset ?? 0, "options.utcOffset");
  const timeZero = requireNumber(options.timeZero ?? 0, "options.timeZero");
  const { frame, definition } = job;
  const report = job.report();
  const { labels, totals, pattern } = report;
  const { device, booms } = jobDevice(definition);
  const named = (element: string, name: string | undefined): TaskReference[] =>
    name === undefined ? [] : [{ id: `${element}-1`, designator: cut(name) }];
  const farms = named("FRM", labels.farm);
  const workers = named("WKR", labels.operator);
  const products = named("PDT", labels.product);
  const cropTypes = named("CTP", labels.crop);
  const { field, headland, closed } = definition;
  const partfields =
    field === undefined && pattern === null
      ? []
      : [
          {
            ...toPartfield(
              frame,
              {
                name: cut(labels.field ?? "field"),
                field: field ?? [],
                headland: headland ?? [],
                bufferZones: closed ?? [],
                patterns: pattern === null ? [] : [pattern],
              },
              { partfield: "PFD-1", group: "GGP-1", patterns: ["GPN-1"] },
            ),
            ...referTo("farm", farms),
            ...referTo("cropType", cropTypes),
          },
        ];
  const shift = pattern === null ? undefined : toShiftData(frame, pattern, { pattern: "GPN-1", group: "GGP-1" });
  const element = booms[0]!.element;
  const worked = (ddi: number, value: number): { ddi: number; value: number; deviceElement: string } => ({
    ddi,
    value: Math.round(value),
    deviceElement: element,
  });
  const text = (time: number): string => logTimeText(time + timeZero + utcOffset);
  const task: Task = {
    id: "TSK-1",
    ...(labels.operation === undefined ? {} : { designator: cut(labels.operation) }),
    ...referTo("farm", farms),
    ...referTo("partfield", partfields),
    ...referTo("worker", workers),
    status,
    treatmentZones: [],
    times:
      totals.fixes === 0
        ? []
        : [
            {
              start: text(report.startTime),
              stop: text(report.endTime),
              duration: report.endTime - report.startTime,
              type: "effective",
              positions: [],
              values: [
                worked(DDI.area, totals.workedArea),
                worked(DDI.workedDistance, totals.distanceWorked * 1000),
                worked(DDI.otherDistance, (totals.distance - totals.distanceWorked) * 1000),
                worked(DDI.workedTime, totals.timeWorked),
                worked(DDI.otherTime, totals.time - totals.timeWorked),
              ],
            },
          ],
    deviceAllocations: [{ name: device.name, device: "DVC-1", stamps: [] }],
    guidanceAllocations:
      pattern === null ? [] : [{ group: "GGP-1", stamps: [], shifts: shift === undefined ? [] : [shift] }],
    dataLogTriggers: [],
    timeLogs: logs.map(({ file, summary }) => ({ file, length: summary.length, type: 1 })),
    ...(products.length === 0 ? {} : { other: { children: [allocation] } }),
  };
  const data: Partial<TaskData> = { farms, workers, products, cropTypes, partfields, devices: [device], tasks: [task] };
  return { ...data, origin: "task-controller" };
}

/** That the product is put out: PAN has no meaning here beyond its reference. */
const allocation: TaskElement = { name: "PAN", attributes: [["A", "PDT-1"]], children: [] };

/** A reference to the only element of a list, where there is one. */
function referTo<Name extends string>(
  name: Name,
  list: readonly { readonly id?: string }[],
): Partial<Readonly<Record<Name, string>>> {
  const id = list[0]?.id;
  return id === undefined ? {} : ({ [name]: id } as Readonly<Record<Name, string>>);
}

/** The longest name of the format, characters. */
const LONGEST = 32;

function cut(name: string): string {
  const characters = [...name];
  return characters.length <= LONGEST ? name : characters.slice(0, LONGEST).join("");
}
