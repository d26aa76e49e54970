import { describe, expect, it } from "vitest";
import { shiftPattern } from "../../src/guidance/index.js";
import { FieldJob, RecordedJob, type RecordedInput, recordedInputs } from "../../src/job/index.js";
import { memoryStorage, readJournal } from "../../src/journal/index.js";
import type { Fix } from "../../src/receiver/index.js";
import { expectCode, expectWithin } from "../helpers/within.js";
import { faultyStorage } from "../journal/faulty-storage.js";
import { definition, northward } from "./drive.js";
import { delayed, hashOf, steps, truth } from "./recorded-drive.js";

describe("a recorded job", () => {
  it("is the job itself, and after a cut at every third step the job as it was, with the gap", () => {
    const list = steps();
    const { states, cut } = truth(list);
    const storage = memoryStorage();
    const job = RecordedJob.create(storage, delayed(), { snapshotInterval: 7, syncInterval: 0 });
    expect(hashOf(job.snapshot())).toBe(states[0]);
    list.forEach((step, i) => {
      step(job);
      expect(hashOf(job.snapshot()), `step ${i}`).toBe(states[i + 1]);
      if (i % 3 !== 0) return;
      const copy = memoryStorage(storage.list().map((name) => [name, storage.read(name)!] as const));
      const again = RecordedJob.open(copy);
      const { records } = again.recovery!;
      // switches are safe with the next fix, all else at once
      expect(i + 1 - records).toBe(job.storage.pending);
      expect(records).toBeGreaterThanOrEqual(i);
      expect(hashOf(again.snapshot()), `cut after step ${i}`).toBe(cut[records]);
    });
    expect(job.storage).toMatchObject({ status: "ok", pending: 0, failures: 0, records: list.length });
    expect(job.recovery).toBeNull();
  });

  it("goes on after a cut like a job that was never recorded, over two more cuts and a day", () => {
    const before = steps(150);
    const after = steps(240, 90_000).slice(150);
    const storage = memoryStorage();
    let job = RecordedJob.create(storage, delayed(), { syncInterval: 0 });
    for (const step of before) step(job);
    job.checkpoint();
    const { states } = truth(before);
    expect(hashOf(job.snapshot())).toBe(states[before.length]);
    const { pass } = job.state.guidance;
    const worked = job.report().totals.workedArea;
    job = RecordedJob.open(storage);
    expect(job.state.guidance.pass).toBe(pass);
    expect(job.report().totals.workedArea).toBe(worked);
    expect(job.state.sections.ordered.some(Boolean)).toBe(false);
    // the same cuts on the plain job
    const plain = FieldJob.restore(job.snapshot());
    after.forEach((step, i) => {
      step(job);
      step(plain);
      if (i === 30 || i === 60) {
        job = RecordedJob.open(storage);
        expect(job.recovery!.dropped).toBeNull();
      }
      if (i < 30) expect(hashOf(job.snapshot())).toBe(hashOf(plain.snapshot()));
    });
    // ground is a little less with two gaps, and never more
    expect(job.coverage.areas().worked).toBeLessThanOrEqual(plain.coverage.areas().worked);
    expect(job.report().passes.map((row) => row.pass)).toEqual(plain.report().passes.map((row) => row.pass));
  });

  it.each([1, 2, 10, 60])("paints nothing across a cut of %i fixes, nor what was in the air", (missed) => {
    const storage = memoryStorage();
    const fixes = [...northward({ from: -20, to: 95, rate: 10 })];
    // product lands 0.4 s late: 1.6 m of it are in the air
    const boom = { ...definition().boom, turnOnTime: 0.4, turnOffTime: 0.4 };
    let job = RecordedJob.create(storage, definition({ boom, fixes: { recoverAfter: 1, recoverTime: 0 } }));
    const cutAt = 200;
    for (const fix of fixes.slice(0, cutAt)) job.update(fix);
    expect(job.state.sections.working.every(Boolean)).toBe(true);
    job.close();
    const edge = -20 + (cutAt - 1) * 0.4;
    job = RecordedJob.open(storage);
    const { distance } = job.report().totals;
    const resumed = cutAt + missed;
    for (const fix of fixes.slice(resumed)) job.update(fix);
    const taken = -20 + resumed * 0.4;
    for (let x = -11; x < 12; x += 3) {
      expect(job.coverage.isCovered(x, edge - 0.3), `${x} before the cut`).toBe(true);
      for (let y = edge + 0.1; y < taken; y += 0.2) expect(job.coverage.isCovered(x, y), `${x}, ${y}`).toBe(false);
      // sections come on again, and the order takes its time to land
      expect(job.coverage.isCovered(x, taken + 0.4 * 4 + 2)).toBe(true);
    }
    // nor is the way counted
    expectWithin(job.report().totals.distance - distance, 95 - taken, 1.5, "way after the cut, m");
  });

  it("taken up another day with a shifted pattern keeps its ground, and numbers passes by the shifted line", () => {
    const storage = memoryStorage();
    let job = RecordedJob.create(storage, definition());
    for (const fix of northward({ from: -5, to: 60 })) job.update(fix);
    expect(job.close()).toBe(true);
    const ground = job.coverage.hash();
    job = RecordedJob.open(storage);
    expect(job.recovery).toMatchObject({ closed: true, lostAtMost: 0, dropped: null, refused: [] });
    expect(job.settingsVersion).toBe(0);
    job.usePattern(shiftPattern(job.pattern!, { east: 14, north: 0 }));
    expect(job.settingsVersion).toBe(1);
    expect(job.coverage.hash()).toBe(ground);
    const [fix] = [...northward({ from: 0, to: 0, east: 24 })];
    const state = job.update({ ...fix!, time: 100_000 });
    // 24 m east is pass 1 of the line as it was; 10 m right of pass 0 of the line 14 m farther east
    expect(state.guidance.pass).toBe(0);
    expectWithin(state.guidance.crossTrackError, 10, 1e-6, "beside the shifted pass, m");
    job = RecordedJob.open(storage);
    expect(job.pattern!.shift).toEqual({ east: 14, north: 0 });
    expect(job.settingsVersion).toBe(1);
    expect(job.recovery!.closed).toBe(false);
    expect(job.state.guidance.pass).toBe(0);
  });

  it("keeps acts that were refused, and refuses them again", () => {
    const storage = memoryStorage();
    const job = RecordedJob.create(storage, definition(), { syncInterval: 0 });
    expectCode(() => job.setOverride(99, "off"), "out-of-range");
    expectCode(() => job.setOverride(0, "off", 3), "out-of-range");
    expectCode(() => job.setHeadlandRule("none" as never), "out-of-range");
    expect(() => job.usePattern({ nonsense: 1 } as never)).toThrow();
    const round: Record<string, unknown> = {};
    round["self"] = round;
    expectCode(() => job.usePattern(round as never), "bad-format");
    expect(job.settingsVersion).toBe(0);
    job.tick(1);
    const again = RecordedJob.open(storage);
    expect(again.recovery!.records).toBe(5);
    expect(again.settingsVersion).toBe(0);
  });

  it("takes what is no fix, and does the same with it again", () => {
    const storage = memoryStorage();
    const job = RecordedJob.create(storage, definition(), { syncInterval: 0 });
    const plain = FieldJob.restore(job.snapshot());
    const [fix] = [...northward()];
    const looped: Record<string, unknown> = { ...fix! };
    looped["self"] = looped;
    looped["latitude"] = "47";
    const thrower = {
      get time(): number {
        throw new Error("looked at");
      },
    };
    const odd: unknown[] = [null, undefined, 5, "text", {}, [], { ...fix!, time: "5" }, { ...fix!, quality: null }];
    for (const one of odd) {
      job.update(one as Fix);
      plain.update(one as Fix);
      expect(hashOf(job.snapshot())).toBe(hashOf(plain.snapshot()));
    }
    for (const one of [looped, thrower]) job.update(one as unknown as Fix);
    job.tick("now" as never);
    job.update(fix!, "yes" as never);
    const hash = hashOf(job.snapshot());
    const storage2 = memoryStorage(storage.list().map((name) => [name, storage.read(name)!] as const));
    const again = RecordedJob.open(storage2);
    expect(again.recovery!.records).toBe(odd.length + 4);
    expect(again.recovery!.dropped).toBeNull();
    expect(again.report().fixes["no-fix"]).toBe(job.report().fixes["no-fix"]);
    expect(hashOf(job.snapshot())).toBe(hash);
  });

  it("is a new one only where there is none, with a sound definition and sound options", () => {
    const storage = memoryStorage();
    RecordedJob.create(storage, definition());
    expectCode(() => RecordedJob.create(storage, definition()), "wrong-state");
    const empty = memoryStorage();
    for (const [code, options] of [
      ["not-finite", null],
      ["not-finite", { syncInterval: "1" }],
      ["out-of-range", { syncInterval: -1 }],
      ["out-of-range", { syncInterval: 61 }],
      ["out-of-range", { snapshotInterval: 0 }],
      ["out-of-range", { software: 5 }],
      ["out-of-range", { software: "x".repeat(10_001) }],
      ["out-of-range", { bufferSize: 1 }],
    ] as const) {
      expectCode(() => RecordedJob.create(empty, definition(), options as never), code);
    }
    expectCode(() => RecordedJob.open(storage, { syncInterval: -1 }), "out-of-range");
    expect(() => RecordedJob.create(empty, { ...definition(), origin: null as never })).toThrow();
    expectCode(() => RecordedJob.create(empty, { ...definition(), labels: { big: 5n } } as never), "out-of-range");
    const odd = { ...definition(), extra: 5n };
    expectCode(() => RecordedJob.create(empty, odd), "bad-format");
    expect(empty.list()).toEqual([]);
  });

  it("passes on everything else, and tells orders, though not those done again", () => {
    const storage = memoryStorage();
    let job = RecordedJob.create(storage, definition());
    let told = 0;
    job.onSwitch = () => told++;
    expect(job.onSwitch).not.toBeNull();
    for (const fix of northward({ to: 20 })) job.update(fix);
    expect(told).toBe(8);
    const plain = FieldJob.restore(job.snapshot());
    expect(job.report()).toEqual(plain.report());
    expect(job.definition).toEqual(plain.definition);
    expect(job.coverages).toHaveLength(1);
    expect(job.previewLine()).toEqual(plain.previewLine());
    expect(job.frame.toLocal({ latitude: 47.25, longitude: 20.75 })).toEqual([0, 0]);
    expect(job.markA().outcome).toBe("marked");
    expect(job.markB().outcome).toBe("too-near");
    expect(job.settingsVersion).toBe(0);
    expect(job.markHeading(90, { name: "east" }).outcome).toBe("marked");
    expect(job.settingsVersion).toBe(1);
    job.setHeadlandRule("headland");
    job.skipPass();
    expect(job.state.guidance.pass).toBe(1);
    job = RecordedJob.open(storage);
    expect(job.onSwitch).toBeNull();
    expect(told).toBe(8);
    expect(job.settingsVersion).toBe(2);
    expect(job.pattern!.line.name).toBe("east");
    expect(job.state.guidance.pass).toBe(1);
    expect(job.snapshot().sections.headlandRule).toBe("headland");
  });

  it("syncs by the fixes' clock: once a second at any rate, and without a clock after 256 records", () => {
    const storage = faultyStorage();
    const job = RecordedJob.create(storage, definition(), { snapshotInterval: 1e6 });
    const [fix] = [...northward()];
    const syncs = (): number => storage.log.filter((line) => line.startsWith("sync journal")).length;
    for (let i = 0; i <= 200; i++) job.update({ ...fix!, time: 1.7e9 + i / 20 });
    expect(syncs()).toBe(10);
    for (let i = 0; i < 256; i++) job.tick(Number.NaN);
    expect(syncs()).toBe(11);
    // a clock that is set back or jumps far on is none the worse
    job.update({ ...fix!, time: 5 });
    job.update({ ...fix!, time: 1.7e9 + 100 });
    expect(syncs()).toBe(12);
    expect(job.storage.pending).toBe(0);
  });

  it("takes a snapshot by the fixes' clock, not with every jump of it", () => {
    const storage = faultyStorage();
    const job = RecordedJob.create(storage, definition(), { snapshotInterval: 10 });
    const [fix] = [...northward()];
    const snapshots = (): number => storage.log.filter((line) => line.startsWith("rename")).length;
    const first = snapshots();
    for (let i = 0; i <= 300; i++) job.update({ ...fix!, time: 1000 + i / 10 });
    expect(snapshots() - first).toBe(3);
    for (let i = 0; i < 9; i++) job.update({ ...fix!, time: i % 2 === 0 ? 1e6 : 1000 });
    expect(snapshots() - first).toBe(3);
  });
});

describe("the record as evidence", () => {
  it("holds every fix, tick, act and cut in order, under which settings, from the beginning", () => {
    const storage = memoryStorage();
    const options = { keepJournals: true, fileSize: 3000, snapshotInterval: 4, software: "cab 1.2" };
    let job = RecordedJob.create(storage, delayed(), options);
    const list = steps();
    for (const step of list.slice(0, 150)) step(job);
    job.checkpoint();
    job = RecordedJob.open(storage, options);
    for (const step of list.slice(150)) step(job);
    job.close();
    const entries = [...recordedInputs(storage)];
    expect(entries.filter((entry) => entry.kind === "break")).toEqual([]);
    expect(entries.map((entry) => entry.sequence)).toEqual(entries.map((_, i) => i + 1));
    const of = <K extends RecordedInput["kind"]>(kind: K): Extract<RecordedInput, { kind: K }>[] =>
      entries.filter((entry) => entry.kind === kind) as Extract<RecordedInput, { kind: K }>[];
    expect(of("fix").length + of("tick").length + of("verb").length).toBe(list.length);
    expect(of("fix")[0]).toMatchObject({ fix: { time: 1000, quality: 4, correctionAge: 0.8 }, reversing: false });
    expect(of("verb")[0]).toMatchObject({ verb: "setOverride", values: [3, "off", 0], settingsVersion: 0 });
    expect(of("verb").find((entry) => entry.verb === "setMaster")!.settingsVersion).toBe(1);
    expect(of("gap")).toHaveLength(1);
    expect(of("close")).toHaveLength(1);
    const settings = of("settings");
    expect(settings.length).toBeGreaterThan(3);
    expect(settings[0]).toMatchObject({ sequence: 1, software: "cab 1.2", settingsVersion: 0 });
    expect(settings[0]!.definition).toEqual(new FieldJob(delayed()).definition);
    expect(settings.at(-1)!.settingsVersion).toBe(1);
    // each file is led by its settings
    const files = storage.list().filter((name) => name.startsWith("journal"));
    expect(files.length).toBe(settings.length);
    // done again from the beginning it is the same job
    const again = new FieldJob(settings[0]!.definition);
    for (const entry of entries) {
      if (entry.kind === "fix") again.update(entry.fix, entry.reversing);
    }
    expect(again.state.totals.fixes).toBeGreaterThan(200);
  });

  it("says where it is broken, and goes on behind it", () => {
    const storage = memoryStorage();
    const job = RecordedJob.create(storage, delayed(), { keepJournals: true, fileSize: 2000, snapshotInterval: 3 });
    for (const step of steps()) step(job);
    job.close();
    const names = storage
      .list()
      .filter((name) => name.startsWith("journal"))
      .sort();
    const spoilt = storage.read(names[1]!)!;
    const { records } = readJournal(spoilt);
    spoilt[records[5]!.start]! ^= 1;
    storage.write(names[1]!, spoilt);
    storage.remove(names[3]!);
    const entries = [...recordedInputs(storage)];
    const breaks = entries.filter((entry) => entry.kind === "break");
    expect(breaks).toMatchObject([
      { name: names[1], reason: "damaged", sequence: records[5]!.sequence },
      { name: names[2], reason: "missing" },
      { name: names[4], reason: "missing" },
    ]);
    expect(entries.at(-1)!.kind).toBe("close");
    expect([...recordedInputs(memoryStorage())]).toEqual([]);
  });
});
