import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { JournalWriter, readJournal } from "../../src/journal/index.js";
import { strandedRecords } from "../../src/journal/read-journal.js";
import { encodeHeader, JOURNAL_HEADER, RECORD_HEADER } from "../../src/journal/record-format.js";
import { random } from "../helpers/random.js";

/** A journal file of records with the given bodies, and where each record ends. */
function journal(bodies: readonly Uint8Array[], number = 1, first = 1): { bytes: Uint8Array; ends: number[] } {
  const { bytes: header, salt } = encodeHeader(77, number, first);
  const writer = new JournalWriter(first, salt, 16);
  const ends = [JOURNAL_HEADER];
  for (const body of bodies) {
    const at = writer.reserve(body.length);
    writer.bytes.set(body, at);
    writer.commit(body.length);
    ends.push(JOURNAL_HEADER + writer.length);
  }
  const bytes = new Uint8Array(header.length + writer.length);
  bytes.set(header);
  bytes.set(writer.framed(), header.length);
  return { bytes, ends };
}

function bodiesOf(count: number, seed = 1): Uint8Array[] {
  const chance = random(seed);
  return Array.from({ length: count }, () =>
    Uint8Array.from({ length: Math.floor(chance() * 90) }, () => Math.floor(chance() * 256)),
  );
}

/** Index of the last end that is not after a place. */
function lastUpTo(ends: readonly number[], place: number): number {
  return ends.filter((end) => end <= place).length - 1;
}

/** Bodies as one text, quick to compare. */
function textOf(bodies: readonly Uint8Array[]): string {
  return bodies.map((body) => body.join(" ")).join(" / ");
}

function read(bytes: Uint8Array): Uint8Array[] {
  return readJournal(bytes).records.map(({ bytes: all, start, end }) => all.slice(start, end));
}

describe("reading a journal", () => {
  it("gives what was written, of any length, also none", () => {
    for (const count of [0, 1, 2, 300]) {
      const bodies = bodiesOf(count);
      const { bytes, ends } = journal(bodies);
      const content = readJournal(bytes);
      expect(read(bytes)).toEqual(bodies);
      expect(content).toMatchObject({
        damage: null,
        end: ends.at(-1),
        header: { identity: 77, number: 1, firstSequence: 1 },
      });
      expect(content.records.map((record) => record.sequence)).toEqual(bodies.map((_, i) => i + 1));
    }
  });

  it("gives exactly the whole records before a cut, at every byte", () => {
    const bodies = bodiesOf(12);
    const { bytes, ends } = journal(bodies);
    for (let length = 0; length <= bytes.length; length++) {
      const content = readJournal(bytes.subarray(0, length));
      const whole = lastUpTo(ends, length);
      if (length < JOURNAL_HEADER) expect(content).toEqual({ header: null, records: [], end: 0, damage: "header" });
      else {
        expect(textOf(read(bytes.subarray(0, length))), `cut at ${length}`).toBe(textOf(bodies.slice(0, whole)));
        expect(content.end).toBe(ends[whole]);
        expect(content.damage === null).toBe(ends[whole] === length);
        if (content.damage !== null) expect(["cut", "zeroed"]).toContain(content.damage);
      }
    }
  });

  it("sees every bit flipped, in a record or in the header", () => {
    const bodies = bodiesOf(6);
    const { bytes, ends } = journal(bodies);
    for (let bit = 0; bit < 8 * bytes.length; bit++) {
      const spoilt = bytes.slice();
      spoilt[bit >> 3]! ^= 1 << (bit & 7);
      const content = readJournal(spoilt);
      const at = bit >> 3;
      if (at < JOURNAL_HEADER) {
        expect(content.records, `bit ${bit}`).toEqual([]);
        expect(content.damage).toBe(at === 4 || at === 5 ? "version" : "header");
      } else {
        const before = lastUpTo(ends, at);
        expect(textOf(read(spoilt)), `bit ${bit}`).toBe(textOf(bodies.slice(0, before)));
        expect(["damaged", "cut"]).toContain(content.damage);
        expect(content.end).toBe(ends[before]);
      }
    }
  });

  it.each([512, 4096])("stops at a page of %i bytes that was zeroed, changed over, or is of an older file", (page) => {
    const bodies = bodiesOf((6 * page) / 50);
    const { bytes, ends } = journal(bodies);
    // the same place in a file of the day before, as a disk may show it again
    const old = journal(bodiesOf((6 * page) / 50, 9), 2).bytes;
    const pages = Math.floor(bytes.length / page);
    expect(pages).toBeGreaterThan(3);
    for (let k = 0; k < pages; k++) {
      const before = ends.filter((end) => end <= k * page).length - 1;
      const zeroed = bytes.slice();
      zeroed.fill(0, k * page, (k + 1) * page);
      const stale = bytes.slice();
      stale.set(old.subarray(k * page, (k + 1) * page), k * page);
      const swapped = bytes.slice();
      const other = (k + 1) % pages;
      swapped.set(bytes.subarray(other * page, (other + 1) * page), k * page);
      swapped.set(bytes.subarray(k * page, (k + 1) * page), other * page);
      for (const [what, spoilt] of Object.entries({ zeroed, stale, swapped })) {
        // an old header on its own is a good one: who knows the file's number refuses it (readTail)
        if (what === "stale" && k === 0) continue;
        const first = what === "swapped" ? Math.min(k, other) : k;
        const good = first === k ? before : ends.filter((end) => end <= first * page).length - 1;
        const kept = first === 0 ? [] : bodies.slice(0, good);
        expect(textOf(read(spoilt)), `${what} page ${k}`).toBe(textOf(kept));
        expect(readJournal(spoilt).damage).not.toBeNull();
      }
    }
  });

  it("takes no record twice, and none of another file in the same place", () => {
    const { bytes, ends } = journal(bodiesOf(3));
    const twice = new Uint8Array([...bytes, ...bytes.subarray(ends[1], ends[2])]);
    expect(readJournal(twice)).toMatchObject({ damage: "order", end: bytes.length });
    expect(readJournal(twice).records).toHaveLength(3);
    // same bodies, same sequences, another number of the file
    const other = journal(bodiesOf(3), 2).bytes;
    const mixed = new Uint8Array([...bytes.subarray(0, ends[1]), ...other.subarray(ends[1])]);
    expect(readJournal(mixed)).toMatchObject({ damage: "damaged", end: ends[1] });
  });

  it("tells zeros from a cut and from damage", () => {
    const { bytes } = journal(bodiesOf(2));
    expect(readJournal(new Uint8Array([...bytes, ...new Uint8Array(40)])).damage).toBe("zeroed");
    expect(readJournal(new Uint8Array([...bytes, 0, 0])).damage).toBe("zeroed");
    expect(readJournal(new Uint8Array([...bytes, 1, 0])).damage).toBe("cut");
    expect(readJournal(new Uint8Array([...bytes, ...new Uint8Array(RECORD_HEADER).fill(1)])).damage).toBe("damaged");
    expect(readJournal(bytes, bytes.length + 1).damage).toBe("cut");
  });

  it("never throws, whatever the bytes, nor after a real header", () => {
    const { bytes } = journal([]);
    const anything = fc.uint8Array({ maxLength: 300 });
    fc.assert(
      fc.property(anything, fc.nat(400), fc.nat(), (tail, from, sequence) => {
        expect(readJournal(tail).records).toEqual([]);
        const content = readJournal(new Uint8Array([...bytes, ...tail]), from, sequence);
        expect(content.end).toBeGreaterThanOrEqual(0);
        expect(strandedRecords(tail, content.header!, from, sequence).length).toBe(0);
      }),
      { numRuns: 500 },
    );
  });

  it("finds records beyond a damage, in time whatever the bytes", () => {
    const bodies = bodiesOf(40);
    const { bytes, ends } = journal(bodies);
    const spoilt = bytes.slice();
    spoilt[ends[10]! + 3]! ^= 1;
    const { header, end, records } = readJournal(spoilt);
    expect(records).toHaveLength(10);
    const beyond = strandedRecords(spoilt, header!, end, 10);
    expect(beyond.map((record) => record.sequence)).toEqual(Array.from({ length: 29 }, (_, i) => 12 + i));
    // each is the record that it is in the sound file
    const sound = readJournal(bytes).records;
    for (const record of beyond) {
      const { start, end: stop } = sound[record.sequence - 1]!;
      expect([record.start, record.end]).toEqual([start, stop]);
    }
    expect(strandedRecords(spoilt, header!, end, 20).map((record) => record.sequence)[0]).toBe(21);
    expect(strandedRecords(spoilt, header!, ends[39]!, 39).map((record) => record.sequence)).toEqual([40]);
    // more records than there are bytes can't be missing: such a sequence is chance
    const far = journal([Uint8Array.of(1)], 1, 1 << 20).bytes;
    expect(strandedRecords(far, readJournal(far).header!, JOURNAL_HEADER, 10)).toEqual([]);
    // marks everywhere, each of a record as long as the rest of the file
    const marks = new Uint8Array(1 << 18);
    const view = new DataView(marks.buffer);
    for (let at = 0; at + 12 <= marks.length; at += 12) {
      view.setUint32(at + 4, (0xa6000000 | (marks.length - at - 12)) >>> 0, true);
      view.setUint32(at + 8, 11, true);
    }
    expect(strandedRecords(marks, header!, 0, 10)).toEqual([]);
  });
});
