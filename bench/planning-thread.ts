// a thread that plans and does not check: what planning.bench.ts counts
import type { JobResult } from "../examples/batch/job.js";
import { inThread, type ThreadTask } from "../examples/batch/thread.js";
import { planField } from "../src/planning/index.js";
import type { Parcel } from "./planning-parcels.js";

export default (task: ThreadTask): JobResult =>
  inThread(task, ({ field, settings }) => {
    const plan = planField(field.geometry as Parcel["field"], settings.plan);
    return { status: "error", error: { code: "planned", message: String(plan.cost), argument: null } };
  });
