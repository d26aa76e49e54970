import { describe, expect, it } from "vitest";
import { Journal, memoryStorage } from "../../src/journal/index.js";
import { expectCode } from "../helpers/within.js";
import { random } from "../helpers/random.js";
import { Chain, chainStates } from "./chain.js";
import { type Failure, type FaultyStorage, faultyStorage } from "./faulty-storage.js";

const LONG = process.env["FEERING_LONG"] === "1";
const states = chainStates(4000);

/** What is safe, as the program was told: inputs taken before the last call that said so. */
function run(storage: FaultyStorage, chain: Chain, inputs: number, chance: () => number): number {
  let safe = chain.count;
  for (let i = 0; i < inputs; i++) {
    chain.take(chain.count + 1, 8 + Math.floor(chance() * 60));
    if (i % 5 === 4 && chain.journal.sync()) safe = chain.count;
    if (i % 17 === 16 || chain.journal.needsSnapshot) if (chain.checkpoint()) safe = chain.count;
    if (chain.journal.state.pending === 0) safe = chain.count;
  }
  expect(storage.log.length).toBeGreaterThan(0);
  return safe;
}

describe("a journal", () => {
  it("gives back the state at the last sync, whenever it is cut", () => {
    const storage = faultyStorage();
    const chain = Chain.start(storage, { fileSize: 500 });
    for (let i = 1; i <= 200; i++) {
      chain.take(i);
      if (i % 7 === 0) expect(chain.journal.sync()).toBe(true);
      if (i % 31 === 0) expect(chain.checkpoint()).toBe(true);
      const { chain: again, tail } = Chain.recover(faultyStorage(contents(storage)))!;
      const safe = Math.max(i - (i % 7), i - (i % 31));
      expect(again.count).toBe(safe);
      expect(again.value).toBe(states[safe]);
      expect(tail.dropped).toBeNull();
      expect(chain.journal.state.pending).toBe(i - safe);
      expect(chain.journal.state.records).toBe(i);
    }
    // what neither snapshot needs is gone
    expect(storage.list().filter((name) => name.startsWith("journal")).length).toBeLessThanOrEqual(3);
  });

  it("keeps every file where it is asked to", () => {
    const storage = memoryStorage();
    const chain = Chain.start(storage, { fileSize: 100, keepJournals: true });
    for (let i = 1; i <= 100; i++) {
      chain.take(i);
      if (i % 10 === 0) chain.checkpoint();
    }
    expect(storage.list().filter((name) => name.startsWith("journal"))).toHaveLength(10);
  });

  const failures: readonly Failure[] = ["throw", "half", "done"];
  it.each(failures)(
    "goes on when the k-th call fails (%s), for every k, and when all after it do for a while",
    (how) => {
      for (const lasting of [1, 4, 40]) {
        for (let k = 1; k < 400; k++) {
          const storage = faultyStorage();
          const chance = random(k);
          storage.fail = (call) => (call >= k && call < k + lasting ? how : undefined);
          const chain = Chain.start(storage, { fileSize: 300 });
          const safe = run(storage, chain, 60, chance);
          const failed = storage.log.length > k;
          storage.fail = undefined;
          const where = `call ${k} of ${lasting}: ${storage.log[k] ?? "none"}`;
          expect(chain.journal.sync() || chain.checkpoint(), where).toBe(true);
          // the call that failed may have left no more than a file too many
          if (chain.journal.needsSnapshot) expect(chain.checkpoint(), where).toBe(true);
          expect(chain.journal.state.status, where).toBe("ok");
          const after = Chain.recover(storage)!;
          expect(after.chain.count, where).toBe(60);
          expect(after.chain.value, where).toBe(states[60]);
          expect(safe).toBeLessThanOrEqual(60);
          if (!failed) break;
          if (k === 399) expect.fail("never ran without a failure");
        }
      }
    },
  );

  it("loses nothing that it said was safe, whatever a power cut leaves, twice over, with failures in between", () => {
    const rounds = LONG ? 20_000 : 600;
    for (let seed = 1; seed <= rounds; seed++) {
      const chance = random(seed);
      let storage = faultyStorage();
      const options = { fileSize: 200 + Math.floor(chance() * 2000), bufferSize: chance() < 0.2 ? 1024 : 1 << 16 };
      let chain = Chain.start(storage, options);
      let started = chain.journal.state.failures === 0;
      let safe = 0;
      for (let cut = 0; cut < 3; cut++) {
        const rate = chance() < 0.5 ? 0 : chance() * 0.3;
        storage.fail = () => (chance() < rate ? failures[Math.floor(chance() * 3)] : undefined);
        const told = run(storage, chain, Math.floor(chance() * 80), chance);
        safe = Math.max(safe, told);
        started ||= told > 0;
        const last = chain.count;
        storage.fail = undefined;
        storage = storage.powerCut(chance);
        const recovered = Chain.recover(storage, options);
        if (recovered === undefined) {
          expect(started, `seed ${seed}: nothing found`).toBe(false);
          break;
        }
        chain = recovered.chain;
        const where = `seed ${seed}, cut ${cut}`;
        expect(chain.count, where).toBeGreaterThanOrEqual(safe);
        expect(chain.count, where).toBeLessThanOrEqual(last);
        expect(chain.value, where).toBe(states[chain.count]);
        safe = chain.count;
        // recovery itself may be cut short
        if (chance() < 0.3) {
          storage.fail = () => (chance() < 0.3 ? "half" : undefined);
          chain.checkpoint();
          storage.fail = undefined;
          storage = storage.powerCut(chance);
          chain = Chain.recover(storage, options)!.chain;
          expect(chain.count, where).toBe(safe);
          expect(chain.value, where).toBe(states[safe]);
        }
        chain.checkpoint();
      }
    }
  });

  it("needs neither snapshot in particular: one damaged costs nothing", () => {
    for (const damaged of ["snapshot-a", "snapshot-b"]) {
      const storage = memoryStorage();
      const chain = Chain.start(storage, { fileSize: 200 });
      for (let i = 1; i <= 100; i++) {
        chain.take(i);
        chain.journal.sync();
        if (i % 9 === 0) chain.checkpoint();
        const bytes = storage.read(damaged)!;
        bytes[bytes.length - 1]! ^= 4;
        const copy = memoryStorage(
          storage.list().map((name) => [name, name === damaged ? bytes : storage.read(name)!]),
        );
        const { chain: again } = Chain.recover(copy)!;
        expect(again.value).toBe(states[i]);
      }
    }
  });

  it("does not mix two courses of a job: where it went on from before a snapshot, that snapshot leads nowhere", () => {
    const storage = memoryStorage();
    const chain = Chain.start(storage, { keepJournals: true });
    for (let i = 1; i <= 20; i++) {
      chain.take(i);
      if (i === 10) chain.checkpoint();
    }
    chain.journal.sync();
    // the disk gives neither the newer snapshot nor the middle of the journal; and takes no other snapshot
    const newer = Chain.recover(storage)!.file.name;
    const hidden = storage.read(newer)!;
    const whole = storage.read("journal-0000001")!;
    const spoilt = whole.slice();
    spoilt[24 + 20 * 4 + 3]! ^= 1;
    const files = storage
      .list()
      .map((name) => [name, name === "journal-0000001" ? spoilt : storage.read(name)!] as const);
    const other = memoryStorage(files.filter(([name]) => name !== newer));
    const second = Chain.recover(other)!.chain;
    expect(second.count).toBe(4);
    for (let i = 0; i < 30; i++) second.take(1000 + i);
    second.journal.sync();
    const value = second.value;
    // now all can be read again
    other.write(newer, hidden);
    other.write("journal-0000001", whole);
    const third = Chain.recover(other)!;
    expect(third.file.name).not.toBe(newer);
    expect(third.chain.value).toBe(value);
    // with that snapshot alone there is a state that existed, and nothing after it
    other.remove(third.file.name);
    const fourth = Chain.recover(other)!;
    expect(fourth.tail.superseded).toBe(true);
    expect(fourth.chain.value).toBe(states[10]);
  });

  it("begins in no storage that holds a job, nor in one that can't say", () => {
    const storage = memoryStorage();
    storage.write("notes", Uint8Array.of(1));
    Chain.start(storage);
    expectCode(() => Chain.start(storage), "wrong-state");
    expectCode(
      () => Journal.start(memoryStorage([["journal-0000009", Uint8Array.of(1)]]), Uint8Array.of(1)),
      "wrong-state",
    );
    const dumb = faultyStorage();
    dumb.fail = () => "throw";
    expect(expectCode(() => Chain.start(dumb), "wrong-state").cause).toBeInstanceOf(Error);
    expect(storage.read("notes")).toEqual(Uint8Array.of(1));
  });
});

function contents(storage: FaultyStorage): [string, Uint8Array][] {
  return storage.list().map((name) => [name, storage.read(name)!]);
}
