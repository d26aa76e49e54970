// npm run demo -- --plan: plan the demo's field, drive the plan in simulation, and hold what was driven against what was planned
import { mkdirSync, writeFileSync } from "node:fs";
import { drawField } from "../../src/drawing/index.js";
import type { Polygon } from "../../src/geometry/index.js";
import { difference, simplifyLine, simplifyRing } from "../../src/geometry/index.js";
import { checkPlan, planField } from "../../src/planning/index.js";
import { accuracyReport, simulate } from "../../src/simulation/index.js";
import { hectares } from "../../src/units/index.js";
import { type FieldPlan, jobDefinition, SWATH, titleOf, TURNING_RADIUS } from "./plan.js";

/** m/s */
const WORKING = 4;
const TURNING = 2.5;

/** Plan, drive, compare; the process fails where the plan does not hold. */
export function planAndDrive(plan: FieldPlan, out: URL): void {
  const { field, closed, labels } = plan;
  const made = planField(field, {
    swathWidth: SWATH,
    minimumRadius: TURNING_RADIUS,
    rounds: 2,
    obstacleRounds: 1,
    workingSpeed: WORKING,
    turningSpeed: TURNING,
    outline: { left: 1.5, right: 1.5, front: 3, rear: 2 },
  });
  const check = checkPlan(made, field);
  const { totals, blocks } = made;
  const headings = blocks.map(({ heading, swaths }) => `${swaths.length} swaths at ${heading.toFixed(1)}°`).join(", ");
  console.log(`${titleOf(labels)}: ${made.rounds.length} rounds, ${headings}`);
  const turns = Object.entries(totals.turns).filter(([, count]) => count > 0);
  console.log(
    `  turns: ${turns.map(([kind, count]) => `${count} ${kind}`).join(", ")}; ${totals.connections} other ways`,
  );
  const share = (100 * check.covered).toFixed(3);
  const savings = (100 * (1 - made.cost / made.plainCost)).toFixed(1);
  console.log(`  swept: ${share} % of the mainfield; ${savings} % cheaper than one direction in sequence\n`);

  const { pattern: _, ...job } = jobDefinition(plan);
  const driven = simulate({
    drives: made.drives.map(({ line, working, reversing, kind }) => ({ line, working, reversing, kind })),
    job: { ...job, headland: plan.made.headland },
    vehicle: { model: "bicycle", wheelbase: 2.8, maximumAngle: 35, maximumRate: 25, delay: 0.1 },
    speed: WORKING,
    turnSpeed: TURNING,
    gnss: { noise: 0.006, drift: 0.01 },
    seed: 7,
  });
  const { report, drive } = driven;
  const ground = report.field!;
  const accuracy = accuracyReport(
    drive,
    made.drives.filter(({ working }) => working).map(({ line }) => line),
  );
  const row = (name: string, planned: string, really: string): void =>
    console.log(`  ${name.padEnd(26)} ${planned.padStart(12)} ${really.padStart(12)}`);
  console.log("                                  planned       driven");
  row("worked, ha", hectares(totals.workedArea).toFixed(3), hectares(ground.worked).toFixed(3));
  row("missed, ha", hectares(totals.missed).toFixed(3), hectares(ground.missed).toFixed(3));
  row("worked again, ha", hectares(totals.overlap).toFixed(3), hectares(report.totals.overlapArea).toFixed(3));
  const way = totals.workingDistance + totals.nonWorkingDistance;
  row("distance, m", way.toFixed(0), report.totals.distance.toFixed(0));
  row("working of it, m", totals.workingDistance.toFixed(0), report.totals.distanceWorked.toFixed(0));
  row("time, min", (totals.time / 60).toFixed(1), (driven.time / 60).toFixed(1));
  row("field efficiency, %", (100 * totals.fieldEfficiency).toFixed(1), "");
  console.log(`  steered within ${(100 * accuracy.percentile95).toFixed(1)} cm for 95 % of the way (${driven.status})`);

  mkdirSync(out, { recursive: true });
  const smooth = (polygon: Polygon): Polygon => ({
    exterior: simplifyRing(polygon.exterior, driven.coverage.cellSize),
    holes: polygon.holes.map((hole) => simplifyRing(hole, driven.coverage.cellSize)),
  });
  const track = Array.from(drive.x, (x, i) => [x, drive.y[i]!] as const).filter((_, i) => i % 10 === 0);
  const svg = drawField(
    {
      field,
      mainfield: made.mainfield,
      closed,
      worked: driven.coverage.outline().map(smooth),
      missed: driven.coverage.missed(difference(field, closed)).outline.map(smooth),
      passes: blocks.flatMap(({ swaths }) => swaths.map(({ pass, line }) => ({ pass, lines: [line] }))),
      track: [simplifyLine(track, 0.1)],
    },
    {
      title: `${titleOf(labels)}`,
      lines: [
        `Planned and driven in simulation: ${headings}`,
        `Worked ${hectares(ground.worked).toFixed(2)} ha, again ${hectares(report.totals.overlapArea).toFixed(2)} ha, missed ${hectares(ground.missed).toFixed(2)} ha`,
      ],
    },
  );
  writeFileSync(new URL("plan.svg", out), svg);
  writeFileSync(new URL("plan.json", out), `${JSON.stringify(made, null, 1)}\n`);
  console.log("\nwrote plan.svg, plan.json to out/");
  if (!check.sound || driven.status !== "finished") process.exitCode = 1;
}
