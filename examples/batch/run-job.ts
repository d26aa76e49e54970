import { readGeoJson, toLocalPolygon } from "../../src/exchange/index.js";
import { type GeographicPosition, localFrame } from "../../src/frames/index.js";

import { FeeringError } from "../../src/errors/index.js";
import type { Polygon } from "../../src/geometry/index.js";
import { checkPlan, type FieldPlan, planField } from "../../src/planning/index.js";
import { evenSections } from "../../src/sections/index.js";
import { accuracyReport, simulate } from "../../src/simulation/index.js";
import type { BatchSettings, DriveResult, Job, JobResult } from "./job.js";

/**
 * Plan a field, and drive the plan where that is asked for. Pure: no clock, no chance but the seed, the same job gives the same bytes on
 * one engine; and total: whatever is wrong with a job is its result.
 */
export function runJob(job: Job): JobResult {
  try {
    return planned(job);
  } catch (error) {
    if (error instanceof FeeringError) {
      return { status: "error", error: { code: error.code, message: error.message, argument: error.argument } };
    }
    const message = error instanceof Error ? error.message : String(error);
    return { status: "error", error: { code: "unexpected", message, argument: null } };
  }
}

function planned({ field, settings, seed, simulate: drive }: Job): JobResult {
  // a text is read too: whatever is no JSON says so with its code
  const [feature] = readGeoJson(field.geometry as object).fields;
  if (feature === undefined) {
    const error = { code: "no-field", message: "the feature holds no polygon", argument: "field.geometry" };
    return { status: "error", error };
  }
  const origin = feature.polygons[0]!.exterior[0]!;
  const frame = localFrame(origin);
  const polygons = feature.polygons.map((polygon) => toLocalPolygon(frame, polygon));
  const plan = planField(polygons, settings.plan);
  return {
    status: "done",
    area: plan.totals.fieldArea,
    rounds: plan.rounds.length,
    blocks: plan.blocks.map(({ mainfield, heading, swaths }) => ({ mainfield, heading, swaths: swaths.length })),
    totals: plan.totals,
    cost: plan.cost,
    plainCost: plan.plainCost,
    reasons: plan.reasons,
    check: checkPlan(plan, polygons),
    simulation: drive && plan.drives.length > 0 ? driven(plan, polygons, origin, settings, seed) : null,
  };
}

function driven(
  plan: FieldPlan,
  field: readonly Polygon[],
  origin: GeographicPosition,
  { plan: machine, drive = {} }: BatchSettings,
  seed: number,
): DriveResult {
  const { swathWidth, workingSpeed = 2.5, turningSpeed = 1.5 } = machine;
  const result = simulate({
    drives: plan.drives.map(({ line, working, reversing, kind }) => ({ line, working, reversing, kind })),
    job: {
      origin,
      field,
      machine: { antenna: { x: 1, y: 0, z: -3 } },
      boom: { sections: evenSections(swathWidth, drive.sections ?? 8), x: 0, turnOnTime: 0.4, turnOffTime: 0.25 },
      sections: { overlapTolerance: 0.5, outsideTolerance: 0.1 },
    },
    vehicle: drive.vehicle ?? { model: "bicycle", wheelbase: 2.8, maximumAngle: 40, maximumRate: 25, delay: 0.1 },
    ...(drive.controller === undefined ? {} : { controller: drive.controller }),
    gnss: drive.gnss ?? { noise: 0.01, drift: 0.01 },
    speed: workingSpeed,
    turnSpeed: turningSpeed,
    seed,
  });
  const { totals, field: ground } = result.report;
  const lines = plan.drives.filter(({ working }) => working).map(({ line }) => line);
  const accuracy = accuracyReport(result.drive, lines, { compare: "neighbours" });
  return {
    status: result.status,
    time: result.time,
    distance: totals.distance,
    workedArea: totals.workedArea,
    overlapArea: totals.overlapArea,
    missedArea: ground!.missed,
    outsideArea: ground!.outside,
    mean: finite(accuracy.mean),
    rms: finite(accuracy.rms),
    percentile95: finite(accuracy.percentile95),
    passToPass95: finite(accuracy.passToPass.percentile95),
  };
}

function finite(value: number): number | null {
  return Number.isFinite(value) ? value : null;
}
