// a thread that plans and does not check: what planning.bench.ts counts
import { inThread, type ThreadTask } from "../examples/batch/thread.js";
import { planField } from "../src/planning/index.js";
import type { Parcel } from "./planning-parcels.js";

export default (task: ThreadTask): { cost: number } =>
  inThread(task, ({ field, settings }) => ({ cost: planField(field.geometry as Parcel["field"], settings.plan).cost }));
