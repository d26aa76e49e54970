import { describe, expect, it } from "vitest";
import { RecordedJob } from "../../src/job/index.js";
import { memoryStorage } from "../../src/journal/index.js";
import { delayed, hashOf, steps, truth } from "./recorded-drive.js";

describe("a recorded job", () => {
  it("is the job itself, and after a cut at any step the job as it was, with the gap", () => {
    const list = steps();
    const { states, cut } = truth(list);
    const storage = memoryStorage();
    const job = RecordedJob.create(storage, delayed(), { snapshotInterval: 7, syncInterval: 0 });
    expect(hashOf(job.snapshot())).toBe(states[0]);
    list.forEach((step, i) => {
      step(job);
      expect(hashOf(job.snapshot()), `step ${i}`).toBe(states[i + 1]);
      const copy = memoryStorage(storage.list().map((name) => [name, storage.read(name)!] as const));
      const again = RecordedJob.open(copy);
      const { records } = again.recovery!;
      // switches are safe with the next fix, all else at once
      expect(i + 1 - records).toBe(job.storage.pending);
      expect(records).toBeGreaterThanOrEqual(i);
      expect(hashOf(again.snapshot()), `cut after step ${i}`).toBe(cut[records]);
    });
    expect(job.storage).toMatchObject({ status: "ok", pending: 0, failures: 0, records: list.length });
  });
});
