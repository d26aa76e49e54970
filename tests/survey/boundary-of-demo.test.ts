import { describe, expect, test } from "vitest";
import { offsetPolygon } from "../../src/offset/index.js";
import { jobDefinition } from "../../examples/demo/plan.js";
import { difference, polygonArea } from "../../src/geometry/index.js";
import type { Polygon } from "../../src/geometry/types.js";
import { FieldJob } from "../../src/job/index.js";
import { boundaryFromCoverage } from "../../src/survey/index.js";
import { expectWithin } from "../helpers/within.js";
import { demoBytes, demoPlan, demoTaps, fixesOf } from "../job/drive.js";
import { expectSound, hausdorff } from "./worked.js";

describe("the demo's drive", () => {
  const plan = demoPlan();
  const field: Polygon = plan.field[0]!;
  // poor quality is taken here, so that the dropout alone leaves a gap
  const job = new FieldJob({ ...jobDefinition(plan), fixes: { qualities: [4, 5] } });
  const taps = demoTaps(plan);
  for (const fix of fixesOf(demoBytes())) {
    taps.upTo(fix.time, job);
    job.update(fix);
  }

  // what was to be worked: no swath reaches the corners outside the first round, nothing goes into the buffer zone
  const corners = plan.made.uncovered.filter(({ round }) => round === 1).map(({ outline }) => outline);
  // uncovered places end up to a millimetre short of the boundary: the slivers beside them go
  const [ground] = offsetPolygon(offsetPolygon(difference([field], [...plan.closed, ...corners]), -0.01), 0.01);

  test("with gaps of 1 m closed the dropout of four seconds is a hole, and so are the pond and the corners between rounds", () => {
    const { polygons } = boundaryFromCoverage(job.coverage);
    expect(polygons).toHaveLength(1);
    const sizes = polygons[0]!.holes.map((hole) => polygonArea({ exterior: hole, holes: [] })).sort((p, q) => q - p);
    const between = plan.made.uncovered.filter(({ round, area }) => round === 2 && area > 50).map(({ area }) => area);
    expect(sizes).toHaveLength(2 + between.length);
    // 4 s at 4.5 m/s and the way to being trusted again, 24 m wide
    expectWithin(sizes[1]!, 24 * 4.5 * 4.3, 60, "the dropout, m²");
    // their thin ends are closed
    between.forEach((area, i) => expectWithin(sizes[2 + i]!, area, 10, "corner between the rounds, m²"));
  });

  test("with gaps of 20 m closed it gives the ground worked round: 0.1 % of the area, 0.3 m at the worst place, pond and zone a hole", () => {
    const boundary = boundaryFromCoverage(job.coverage, { closing: 20 });
    const [found] = boundary.polygons;
    expect(boundary.polygons).toHaveLength(1);
    expect(found!.holes).toHaveLength(1);
    const area = polygonArea(ground!);
    expectWithin(boundary.area, area, 0.001 * area, "area, m²");
    // a tenth of a section may lie outside, or be left; about the pond the round's end meets its start by half sections
    expect(hausdorff([found!.exterior], [ground!.exterior])).toBeLessThan(0.3);
    expect(hausdorff(found!.holes, ground!.holes)).toBeLessThan(1);
    const pond = polygonArea({ exterior: ground!.holes[0]!, holes: [] });
    expectWithin(polygonArea({ exterior: found!.holes[0]!, holes: [] }), pond, 0.02 * pond, "pond and zone, m²");
    expectSound(boundary, 0.15);
  });

  test("within a tolerance of 1 m it takes some thirty points: four round corners and a curved side", () => {
    const boundary = boundaryFromCoverage(job.coverage, { closing: 20, tolerance: 1 });
    expect(boundary.polygons[0]!.exterior.length).toBeLessThanOrEqual(32);
    expect(hausdorff([boundary.polygons[0]!.exterior], [ground!.exterior])).toBeLessThan(1.3);
    expectSound(boundary, 1);
  });
});
