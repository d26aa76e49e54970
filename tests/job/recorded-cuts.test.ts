import { describe, expect, it } from "vitest";
import { crc32 } from "../../src/coverage/crc32.js";
import { FieldJob, RecordedJob, type RecordOptions } from "../../src/job/index.js";
import { type JournalStorage, memoryStorage } from "../../src/journal/index.js";
import { journalName } from "../../src/journal/file-names.js";
import { random } from "../helpers/random.js";
import { expectCode } from "../helpers/within.js";
import { type Failure, faultyStorage } from "../journal/faulty-storage.js";
import { delayed, hashOf, steps, truth } from "./recorded-drive.js";

const LONG = process.env["FEERING_LONG"] === "1";
const list = steps();
const real = truth(list);
/** fix times step by 0.1 s, and a tick is between two of them: most records in a second, acts of the operator with them */
const IN_A_SECOND = 10 + 1 + 2;

function copyOf(storage: JournalStorage, change: (name: string, bytes: Uint8Array) => Uint8Array): JournalStorage {
  return memoryStorage(storage.list().map((name) => [name, change(name, storage.read(name)!)] as const));
}

/** A recorded drive up to a step, all of it safe. */
function driven(count: number, options: RecordOptions = {}): { storage: JournalStorage; name: string } {
  const storage = memoryStorage();
  const job = RecordedJob.create(storage, delayed(), { syncInterval: 0, snapshotInterval: 15, ...options });
  for (const step of list.slice(0, count)) step(job);
  const names = storage.list().filter((name) => name.startsWith("journal"));
  return { storage, name: names.sort().at(-1)! };
}

/** The job that is found is one that was, and says what it is without. */
function check(storage: JournalStorage, count: number, where: string): RecordedJob {
  const job = RecordedJob.open(storage);
  const { records, dropped, lostAtMost, time } = job.recovery!;
  expect(hashOf(job.snapshot()), where).toBe(real.cut[records]);
  expect(records, where).toBeLessThanOrEqual(count);
  expect(lostAtMost, where).toBeGreaterThanOrEqual(0);
  if (dropped !== null) {
    expect(dropped.bytes, where).toBeGreaterThan(0);
    expect(records, where).toBeLessThan(count);
  }
  expect(time).toBe(job.state.time);
  return job;
}

describe("a recorded job, cut short", () => {
  it("at every byte of the last records is the job after the last whole one", () => {
    const { storage, name } = driven(200);
    const bytes = storage.read(name)!;
    for (let length = bytes.length; length > bytes.length - (LONG ? 30 : 2) * 90; length--) {
      const job = check(
        copyOf(storage, (file, all) => (file === name ? all.subarray(0, length) : all)),
        200,
        `cut at ${length}`,
      );
      // a whole record less is 40 bytes at least
      expect(200 - job.recovery!.records).toBeLessThanOrEqual((bytes.length - length) / 40 + 1);
      const { dropped } = job.recovery!;
      if (dropped !== null) expect(["cut", "zeroed"]).toContain(dropped.reason);
    }
  }, 60_000);

  it("with a bit flipped in a record, is the job before it, and says how much there was", () => {
    const { storage, name } = driven(200);
    const bytes = storage.read(name)!;
    const at = bytes.length - 600;
    for (let bit = 8 * at; bit < 8 * (at + 90); bit += LONG ? 1 : 7) {
      const spoilt = bytes.slice();
      spoilt[bit >> 3]! ^= 1 << (bit & 7);
      const job = check(
        copyOf(storage, (file, all) => (file === name ? spoilt : all)),
        200,
        `bit ${bit}`,
      );
      const { dropped, records, lostAtMost, time } = job.recovery!;
      // what was safe is damaged: the whole records after it tell how much is gone
      expect(dropped!.records).toBeGreaterThanOrEqual(200 - records - 1);
      expect(dropped!.records).toBeLessThanOrEqual(200 - records);
      expect(dropped!.lastTime).toBeGreaterThan(time);
      expect(lostAtMost).toBeGreaterThanOrEqual(dropped!.lastTime - time);
    }
  }, 60_000);

  it("with either snapshot damaged anywhere, is the same job", () => {
    const { storage } = driven(200);
    for (const name of ["snapshot-a", "snapshot-b"]) {
      const length = storage.read(name)!.length;
      const places = [
        ...Array.from({ length: 44 }, (_, i) => i),
        ...Array.from({ length: 20 }, (_, i) => 44 + ((i * 9973) % (length - 44))),
      ];
      for (const place of places) {
        const spoilt = copyOf(storage, (file, all) => {
          const bytes = all.slice();
          if (file === name) bytes[place]! ^= 1 << (place & 7);
          return bytes;
        });
        const job = check(spoilt, 200, `${name}, byte ${place}`);
        expect(job.recovery!.records).toBe(200);
        expect(job.recovery!.refused.map((file) => file.name)).toEqual([name]);
      }
    }
  }, 60_000);

  it("a snapshot whose bytes are whole but whose job is none gives way to the other", () => {
    const { storage } = driven(100);
    const job = RecordedJob.open(copyOf(storage, (_, bytes) => bytes));
    // written by a release that knows another shape: well framed, of no use
    const other = memoryStorage(storage.list().map((name) => [name, storage.read(name)!] as const));
    const newer = job.recovery!.snapshot;
    const bytes = other.read(newer)!;
    const text = new TextDecoder("latin1").decode(bytes);
    const place = text.indexOf('"format":1');
    bytes[place + 9] = "7".charCodeAt(0);
    reseal(bytes);
    other.write(newer, bytes);
    const opened = check(
      copyOf(other, (_, all) => all),
      100,
      "another format",
    );
    expect(opened.recovery).toMatchObject({
      records: 100,
      refused: [{ name: newer, reason: "is of version 7, this release reads 1" }],
    });
    other.write(newer, reseal(bytes.map((byte, i) => (i > 60 && i < 90 ? 0x7b : byte))));
    expect(check(other, 100, "no JSON").recovery!.refused[0]!.reason).toMatch(/^can't be restored: /);
  });

  it("throws for a storage without a job, and for one in which no snapshot can be used, and leaves it alone", () => {
    expectCode(() => RecordedJob.open(memoryStorage()), "wrong-state");
    const { storage } = driven(50);
    const spoilt = copyOf(storage, (name, bytes) => (name.startsWith("snapshot") ? bytes.slice(0, 30) : bytes));
    const before = spoilt.list().map((name) => [name, spoilt.read(name)!.length]);
    expect(expectCode(() => RecordedJob.open(spoilt), "bad-snapshot").message).toMatch(/snapshot-a has 30 bytes/);
    expect(spoilt.list().map((name) => [name, spoilt.read(name)!.length])).toEqual(before);
    const none = copyOf(storage, (_, bytes) => bytes);
    none.remove("snapshot-a");
    none.remove("snapshot-b");
    expect(expectCode(() => RecordedJob.open(none), "bad-snapshot").message).toMatch(/there is no snapshot/);
    const dumb = faultyStorage();
    dumb.fail = () => "throw";
    expectCode(() => RecordedJob.open(dumb), "wrong-state");
  });

  it("says when nothing bounds what is lost, and when a record is of another release", () => {
    const { storage, name } = driven(100);
    const opened = RecordedJob.open(copyOf(storage, (_, bytes) => bytes));
    const newer = opened.recovery!.snapshot;
    // the newer snapshot is gone, and the journal with it from its very beginning
    const poor = copyOf(storage, (file, bytes) =>
      file === newer ? bytes.subarray(0, 50) : file === name ? bytes.subarray(0, 80) : bytes,
    );
    const { recovery } = check(poor, 100, "little left");
    expect(recovery!.lostAtMost).toBe(Number.POSITIVE_INFINITY);
  });
});

describe("a recorded job on a failing storage", () => {
  const failures: readonly Failure[] = ["throw", "half", "done"];

  it("goes on as if nothing were, never throws, and is safe again afterwards, for every k-th call", () => {
    const few = list.slice(0, 70);
    for (let k = 1; k < 1000; k++) {
      const storage = faultyStorage();
      const how = failures[k % 3]!;
      const lasting = k % 4 === 0 ? 25 : 1;
      storage.fail = (call) => (call >= k && call < k + lasting ? how : undefined);
      const job = RecordedJob.create(storage, delayed(), { syncInterval: 0.3, snapshotInterval: 2, fileSize: 2000 });
      for (const step of few) step(job);
      const where = `call ${k}, ${how}`;
      expect(hashOf(job.snapshot()), where).toBe(real.states[few.length]);
      storage.fail = undefined;
      job.tick(2000);
      expect(job.storage, where).toMatchObject({ status: "ok", reason: "", pending: 0 });
      const again = RecordedJob.open(storage);
      expect(again.recovery!.records, where).toBe(few.length + 1);
      if (storage.log.length <= k) break;
    }
  }, 60_000);

  it("loses at most the interval of syncs to a power cut, whatever it leaves, and a second one; the rest is said", () => {
    for (let seed = 1; seed <= (LONG ? 2000 : 120); seed++) {
      const chance = random(seed);
      const disk = faultyStorage();
      const job = RecordedJob.create(disk, delayed(), {
        snapshotInterval: 3 + 10 * chance(),
        fileSize: 4000 * chance(),
      });
      const count = 1 + Math.floor(chance() * (list.length - 1));
      for (const step of list.slice(0, count)) step(job);
      const after = disk.powerCut(chance);
      // opening is cut short as well, at any call
      const stop = Math.floor(chance() * 30);
      after.fail = (call) => (call >= stop ? "half" : undefined);
      let opened: RecordedJob | undefined;
      try {
        opened = RecordedJob.open(after);
      } catch (error) {
        expect(["wrong-state", "bad-snapshot"]).toContain((error as { code?: string }).code);
      }
      after.fail = undefined;
      const where = `seed ${seed}`;
      if (opened !== undefined) expect(hashOf(opened.snapshot()), where).toBe(real.cut[opened.recovery!.records]);
      const last = RecordedJob.open(after.powerCut(chance));
      const { records, time, lostAtMost, dropped } = last.recovery!;
      // the gap of the opening before may or may not have become a record; where it could not read, it wrote nothing
      const unread = opened?.recovery!.refused.some((file) => file.reason.startsWith("can't be read")) ?? true;
      const gap = unread ? 0 : records - opened!.recovery!.records;
      expect([0, 1], where).toContain(gap);
      const found = records - gap;
      expect(count - found, where).toBeLessThanOrEqual(IN_A_SECOND);
      // the first fix is of 1000 s
      const lost = job.state.time - Math.max(time, Math.min(job.state.time, 1000));
      expect(lost, where).toBeLessThanOrEqual(1 + 1e-9);
      expect(lostAtMost, where).toBeGreaterThanOrEqual(lost - 1e-9);
      if (dropped !== null) expect(dropped.bytes, where).toBeGreaterThan(0);
      expect(last.coverage.areas().worked).toBeLessThanOrEqual(real.job.coverage.areas().worked);
      if (gap === 0) expect(hashOf(last.snapshot()), where).toBe(real.cut[found]);
      expect(last.coverage.hash()).toBe(coverageAfter(found));
    }
  }, 60_000);

  it("says why, how much is not safe, and keeps to memory what the buffer can't hold until a snapshot is taken", () => {
    const storage = faultyStorage();
    const job = RecordedJob.create(storage, delayed(), { bufferSize: 1024 });
    storage.fail = () => "throw";
    list.slice(0, 100).forEach((step) => step(job));
    expect(job.storage).toMatchObject({ status: "failing", records: 100, pending: 100 });
    expect(job.storage.reason).toMatch(/failed: throw/);
    expect(job.storage.failures).toBeGreaterThan(3);
    expect(job.checkpoint()).toBe(false);
    expect(job.close()).toBe(false);
    storage.fail = undefined;
    expect(job.close()).toBe(true);
    expect(job.storage).toMatchObject({ status: "ok", pending: 0 });
    expect(RecordedJob.open(storage).recovery).toMatchObject({ records: 102, dropped: null });
    expect(storage.list().filter((name) => name.startsWith("journal")).length).toBeGreaterThan(0);
    expect(journalName(1)).toBe("journal-0000001");
  });
});

const hashes = new Map<number, number>();
/** Hash of the ground worked after so many steps. */
function coverageAfter(count: number): number {
  let hash = hashes.get(count);
  if (hash === undefined) {
    const job = new FieldJob(delayed());
    for (const step of list.slice(0, count)) step(job);
    hash = job.coverage.hash();
    hashes.set(count, hash);
  }
  return hash;
}

/** Put the checksums of a snapshot's file right again. */
function reseal(bytes: Uint8Array): Uint8Array {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  view.setUint32(36, crc32(bytes, 44, bytes.length), true);
  view.setUint32(40, crc32(bytes, 0, 40), true);
  return bytes;
}
