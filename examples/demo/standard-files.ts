// The job as others read it: a folder TASKDATA with task, times and time log, and the field as a shapefile
import { mkdirSync, writeFileSync } from "node:fs";
import { writeShapefileZip } from "../../src/exchange/shapefile/index.js";
import {
  coverageFromTimeLog,
  jobDevice,
  jobTaskData,
  toPartfield,
  WorkLog,
} from "../../src/exchange/task-content/index.js";
import { type TaskPoint, writeTaskData } from "../../src/exchange/task-data/index.js";
import { writeTimeLogHeader } from "../../src/exchange/time-log/index.js";
import { toGeographicPolygon } from "../../src/exchange/index.js";
import type { FieldJob, JobDefinition } from "../../src/job/index.js";
import type { Fix } from "../../src/receiver/index.js";
import type { Plan } from "./plan.js";

type AnyJob = Pick<FieldJob, "frame" | "definition" | "report" | "coverage" | "onStep">;

/** Middle European time, in which the cab's clock runs, s. */
const UTC_OFFSET = 3600;

/** Logs a job's work while it is driven, and writes the files at its end. */
export class StandardFiles {
  /** the fix that the next step is made of */
  fix: Fix | undefined;
  private readonly log: WorkLog;
  private readonly pieces: Uint8Array[] = [];
  private readonly booms: ReturnType<typeof jobDevice>["booms"];

  constructor(
    private readonly job: AnyJob,
    definition: JobDefinition,
  ) {
    this.booms = jobDevice(definition).booms;
    const { element, places } = this.booms[0]!;
    const options = { element, sections: places.length, utcOffset: UTC_OFFSET };
    this.log = new WorkLog(job.frame, options, (bytes) => void this.pieces.push(bytes));
    job.onStep = (step) => this.log.step(step, this.fix);
  }

  /** Write the files; the process fails where what is read back from the log is not what was worked. */
  write(plan: Plan, out: URL): void {
    const { job, log, pieces } = this;
    const summary = log.end();
    const folder = new URL("TASKDATA/", out);
    mkdirSync(folder, { recursive: true });
    const made = jobTaskData(job, { logs: [{ file: "TLG00001", summary }], utcOffset: UTC_OFFSET });
    // all lines of the plan, not the one in force alone, and the gate
    const patterns = [...plan.rounds, plan.passes];
    const content = {
      name: plan.labels["name"]!,
      field: plan.field,
      headland: plan.made.headland,
      bufferZones: plan.closed,
    };
    const { guidanceGroups } = toPartfield(
      job.frame,
      { ...content, patterns },
      {
        group: "GGP-1",
        patterns: patterns.map((_, i) => `GPN-${patterns.length - i}`),
      },
    );
    const { gate } = plan;
    const points: TaskPoint[] = [];
    if (gate !== undefined) {
      const { latitude, longitude } = gate;
      points.push({ type: "field-access", designator: "gate", latitude, longitude });
    }
    const partfields = made.partfields!.map((partfield) => ({ ...partfield, guidanceGroups, points }));
    writeFileSync(new URL("TASKDATA.XML", folder), writeTaskData({ ...made, partfields }));
    writeFileSync(new URL("TLG00001.XML", folder), writeTimeLogHeader(log.header));
    writeFileSync(new URL("TLG00001.BIN", folder), Buffer.concat(pieces));

    const polygons = plan.field.map((polygon) => toGeographicPolygon(job.frame, polygon));
    writeFileSync(
      new URL("field.zip", out),
      writeShapefileZip({ fields: [{ polygons, properties: plan.labels }] }, { name: "field" }),
    );

    const worked = job.coverage.areas().worked;
    const back = coverageFromTimeLog(job.frame, writeTimeLogHeader(log.header), pieces, this.booms, {
      coverage: { cellSize: job.coverage.cellSize },
    }).coverage.areas().worked;
    console.log(
      `\n  time log: ${summary.records} records, ${(summary.length / 1e6).toFixed(2)} MB; worked by it ${(back / 1e4).toFixed(4)} ha, by the record ${(worked / 1e4).toFixed(4)} ha`,
    );
    if (Math.abs(back / worked - 1) > 1e-3) process.exitCode = 1;
  }
}
