import { describe, expect, it } from "vitest";
import { FieldJob, type SwitchEvent } from "../../src/job/index.js";
import { evenSections } from "../../src/sections/index.js";
import { expectCode, expectWithin } from "../helpers/within.js";
import { definition, northward } from "./drive.js";

// a drill of 24 m, 3 m behind the reference point, and a spreader of 12 m on the front, 2 m ahead
const twoProducts = definition({
  boom: { sections: evenSections(24, 8), x: -3 },
  furtherBooms: [
    { boom: { sections: evenSections(12, 4), x: 2 }, product: "starter", sections: { overlapTolerance: 0.5 } },
  ],
});

describe("several booms on one machine", () => {
  it("switch each by its own tool, record and rule", () => {
    const job = new FieldJob(twoProducts);
    const events: SwitchEvent[] = [];
    job.onSwitch = (event) => events.push(event);
    for (const fix of northward({ to: 120 })) job.update(fix);
    const on = (boom: number): SwitchEvent[] => events.filter((event) => event.boom === boom && event.on);
    expect([on(0).length, on(1).length]).toEqual([8, 4]);
    // each at the field's edge at its own tool, within one fix interval of 0.4 m
    for (const event of events) expectWithin(event.y, event.on ? 0 : 100, 0.4 + 1e-6, "order at the edge, m north");
    const report = job.report();
    expectWithin(report.totals.workedArea, 24 * 100, 24 * 0.8, "ground of the drill, m²");
    expectWithin(report.furtherBooms[0]!.workedArea, 12 * 100, 12 * 0.8, "ground of the spreader, m²");
    expect(report.furtherBooms[0]!.product).toBe("starter");
    expect(report.furtherBooms[0]!.switches).toBe(8);
    expect(report.totals.switches).toBe(24);
    expect(report.furtherBooms[0]!.overlapArea).toBe(0);
    expectWithin(job.coverages[1]!.areas().worked, report.furtherBooms[0]!.workedArea, 1e-6, "its record, m²");
  });

  it("that put out the same share one record: the second leaves out what the first has worked", () => {
    const job = new FieldJob({
      ...twoProducts,
      furtherBooms: [{ ...twoProducts.furtherBooms![0]!, sameGround: true }],
    });
    for (const fix of northward({ to: 120 })) job.update(fix);
    const report = job.report();
    // the front one works the middle 12 m, the rear one the rest
    expectWithin(report.furtherBooms[0]!.workedArea, 12 * 100, 12 * 0.8, "front, m²");
    expectWithin(report.totals.workedArea, 12 * 100, 12 * 1.2, "rear, m²");
    expectWithin(job.coverage.areas().worked, 24 * 100, 24 * 0.8, "both, m²");
    expect(job.coverages[1]).toBe(job.coverage);
  });

  it("obey master, hand and pause alike", () => {
    const job = new FieldJob(twoProducts);
    for (const fix of northward({ to: 40 })) job.update(fix);
    const further = job.state.furtherSections[0]!;
    expect(further.ordered).toEqual([true, true, true, true]);
    job.setOverride(2, "off", 1);
    expect(further.ordered).toEqual([true, true, false, true]);
    expect(job.state.sections.ordered.every(Boolean)).toBe(true);
    job.setMaster(false);
    expect([...job.state.sections.ordered, ...further.ordered].some(Boolean)).toBe(false);
    expectCode(() => job.setOverride(0, "on", 2), "out-of-range");
  });

  it("go on from a snapshot bit for bit", () => {
    for (const sameGround of [false, true]) {
      const setUp = { ...twoProducts, furtherBooms: [{ ...twoProducts.furtherBooms![0]!, sameGround }] };
      const whole = new FieldJob(setUp);
      let second: FieldJob | null = null;
      let i = 0;
      for (const fix of northward({ to: 120 })) {
        whole.update(fix);
        if (second === null) {
          if (++i === 150) second = FieldJob.restore(whole.snapshot());
        } else second.update(fix);
      }
      expect(second!.snapshot()).toEqual(whole.snapshot());
      expect(second!.coverages[1] === second!.coverage).toBe(sameGround);
    }
  });

  it("are refused where their set-up is wrong", () => {
    const wrong =
      (furtherBooms: never): (() => unknown) =>
      () =>
        new FieldJob({ ...definition(), furtherBooms });
    expect(expectCode(wrong({} as never), "too-few-points").argument).toBe("definition.furtherBooms");
    expect(expectCode(wrong([null] as never), "not-finite").argument).toBe("definition.furtherBooms[0]");
    expectCode(wrong([{}] as never), "too-few-points");
    expectCode(wrong(new Array(8).fill(twoProducts.furtherBooms![0]) as never), "too-large");
    expectCode(wrong([{ ...twoProducts.furtherBooms![0], product: 3 }] as never), "out-of-range");
  });
});
