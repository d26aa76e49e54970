// a thread that plans one parcel whole, and in the direction of each of its edges with passes in sequence
import { inThread, type ThreadTask } from "../examples/batch/thread.js";
import type { Polygon } from "../src/geometry/index.js";
import { type FieldPlan, planField } from "../src/planning/index.js";

/** What plans are compared by: seconds that they are chosen by, metres without work, seconds all together. */
export interface Measures {
  readonly cost: number;
  readonly nonWorking: number;
  readonly time: number;
}

/** One parcel: its plan, that of the edge with the least cost, and the least of each measure over all edges. */
export interface Savings {
  readonly area: number;
  readonly edges: number;
  readonly blocks: number;
  readonly plan: Measures;
  readonly best: Measures;
  readonly least: Measures;
}

function measures({ cost, totals }: FieldPlan): Measures {
  return { cost, nonWorking: totals.nonWorkingDistance, time: totals.time };
}

function edgeHeadings(field: readonly Polygon[]): Set<number> {
  const headings = new Set<number>();
  for (const { exterior, holes } of field) {
    for (const ring of [exterior, ...holes]) {
      ring.forEach((a, i) => {
        const b = ring[(i + 1) % ring.length]!;
        if (a[0] !== b[0] || a[1] !== b[1]) headings.add((Math.atan2(b[0] - a[0], b[1] - a[1]) * 180) / Math.PI);
      });
    }
  }
  return headings;
}

export default (task: ThreadTask): { found: Savings | null } =>
  inThread(task, ({ field, settings }) => {
    const polygons = field.geometry as readonly Polygon[];
    const plan = planField(polygons, settings.plan);
    const headings = plan.blocks.length === 0 ? [] : [...edgeHeadings(polygons)];
    const plain = headings.map((heading) =>
      measures(planField(polygons, { ...settings.plan, heading, order: "in-sequence", divide: false })),
    );
    const least = (of: (one: Measures) => number): number => Math.min(...plain.map(of));
    const found: Savings | null =
      plain.length === 0
        ? null
        : {
            area: plan.totals.fieldArea,
            edges: plain.length,
            blocks: plan.blocks.length,
            plan: measures(plan),
            best: plain.reduce((one, other) => (other.cost < one.cost ? other : one)),
            least: {
              cost: least(({ cost }) => cost),
              nonWorking: least(({ nonWorking }) => nonWorking),
              time: least(({ time }) => time),
            },
          };
    return { found };
  });
