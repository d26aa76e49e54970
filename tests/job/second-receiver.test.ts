import { describe, expect, it } from "vitest";
import { FieldJob, RecordedJob } from "../../src/job/index.js";
import { memoryStorage } from "../../src/journal/index.js";
import type { Fix } from "../../src/receiver/index.js";
import { definition, northward } from "./drive.js";

/** metres north of a fix, on this field */
function moved(fix: Fix, north: number): Fix {
  return { ...fix, latitude: fix.latitude + north / 111_180 };
}

describe("a second receiver", () => {
  it("switches sections off where the two are far apart, and lets them on again where they agree", () => {
    const storage = memoryStorage();
    const recorded = RecordedJob.create(storage, definition());
    const job = new FieldJob(definition());
    let off = 0;
    for (const fix of northward({ to: 90 })) {
      const apart = fix.time >= 1010 && fix.time < 1015 ? 8 : 0.2;
      for (const one of [job, recorded]) {
        one.updateSecond(moved(fix, apart));
        one.update(fix);
      }
      const { sections } = job.state;
      if (fix.time > 1010.5 && fix.time < 1014.5) {
        expect(sections.ordered.some(Boolean)).toBe(false);
        expect(job.state.fix.reason).toBe("sources");
        off++;
      }
      expect(recorded.state.sections.ordered).toEqual(sections.ordered);
    }
    expect(off).toBeGreaterThan(30);
    expect(job.state.sections.ordered.every(Boolean)).toBe(true);
    recorded.close();
    // what the second one said is in the record as well
    const again = RecordedJob.open(storage);
    expect(again.coverage.snapshot()).toEqual(recorded.coverage.snapshot());
    // opening orders all eight sections off
    const { switches } = recorded.state.totals;
    expect(again.state.totals).toEqual({ ...recorded.state.totals, switches: switches + 8 });
  });

  it("may say anything", () => {
    const recorded = RecordedJob.create(memoryStorage(), definition());
    const job = new FieldJob(definition());
    for (const odd of [null, undefined, 5, "x", {}, { time: 5n, latitude: "a" }, [], { time: Number.NaN }]) {
      expect(() => job.updateSecond(odd as never)).not.toThrow();
      expect(() => recorded.updateSecond(odd as never)).not.toThrow();
    }
  });
});
