import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { CoverageRecord } from "../../src/coverage/index.js";
import { crc32 } from "../../src/coverage/crc32.js";
import { expectCode } from "../helpers/within.js";
import { random } from "../helpers/random.js";

type Quad = Parameters<CoverageRecord["mark"]>;

const coordinate = fc.double({ min: -30, max: 30, noNaN: true });
const quad = fc.array(coordinate, { minLength: 8, maxLength: 8 }).map((q) => q as unknown as Quad);
const quads = fc.array(quad, { maxLength: 6 });

function recordOf(marks: readonly Quad[]): CoverageRecord {
  const record = new CoverageRecord({ cellSize: 0.5 });
  for (const mark of marks) record.mark(...mark);
  return record;
}

describe("order and repetition (P25, P28)", () => {
  test("the order of marks is irrelevant; worked area never falls; new and again add up to marked", () => {
    fc.assert(
      fc.property(quads, fc.integer(), (marks, seed) => {
        const record = new CoverageRecord({ cellSize: 0.5 });
        let sumNew = 0;
        let sumAll = 0;
        let before = 0;
        for (const mark of marks) {
          sumNew += record.mark(...mark);
          sumAll += record.lastNew + record.lastAgain;
          const areas = record.areas();
          expect(areas.worked).toBeGreaterThanOrEqual(before);
          expect(areas.workedTwice).toBeLessThanOrEqual(areas.marked - areas.worked);
          before = areas.worked;
        }
        expect(record.areas().worked).toBe(sumNew / 4);
        expect(record.areas().marked).toBe(sumAll / 4);
        const next = random(seed);
        const shuffled = marks.map((mark) => ({ mark, key: next() })).sort((a, b) => a.key - b.key);
        expect(recordOf(shuffled.map(({ mark }) => mark)).hash()).toBe(record.hash());
      }),
      { numRuns: 150, seed: 51 },
    );
  });
});

describe("snapshot and restore (P29)", () => {
  test("gives the record back, and both go on alike", () => {
    fc.assert(
      fc.property(quads, quads, (marks, more) => {
        const record = recordOf([...marks, [Number.NaN, 0, 0, 0, 0, 0, 0, 0]]);
        const bytes = record.snapshot();
        const back = CoverageRecord.restore(bytes);
        expect(back.snapshot()).toEqual(bytes);
        expect(back.hash()).toBe(record.hash());
        expect(back.areas()).toEqual(record.areas());
        expect([back.refused, back.cellSize, back.maximumExtent]).toEqual([1, 0.5, 200]);
        for (const mark of more) {
          expect(back.mark(...mark)).toBe(record.mark(...mark));
          expect(back.lastAgain).toBe(record.lastAgain);
        }
        expect(back.snapshot()).toEqual(record.snapshot());
      }),
      { numRuns: 100, seed: 52 },
    );
  });

  test("tiles worked whole, once and twice, far and near", () => {
    const record = new CoverageRecord({ cellSize: 1 });
    record.mark(0, 0, 150, 0, 150, 150, 0, 150);
    record.mark(-10, 0, 70, 0, 70, 70, -10, 70);
    record.mark(-5e4, 5e4, -5e4 + 9, 5e4, -5e4 + 9, 5e4 + 9, -5e4, 5e4 + 9);
    const back = CoverageRecord.restore(record.snapshot());
    expect(back.areas()).toEqual(record.areas());
    expect(back.byteLength).toBeLessThanOrEqual(record.byteLength);
    expect(back.outline()).toEqual(record.outline());
    expect(back.outline({ of: "twice" })).toEqual(record.outline({ of: "twice" }));
  });

  test("a part of a larger buffer is read from where it lies", () => {
    const bytes = recordOf([[0, 0, 9, 1, 8, 8, 0, 7]]).snapshot();
    const padded = new Uint8Array(bytes.length + 13);
    padded.set(bytes, 5);
    expect(CoverageRecord.restore(padded.subarray(5, 5 + bytes.length)).snapshot()).toEqual(bytes);
  });

  const record = recordOf([
    [0, 0, 20, 3, 18, 25, -3, 14],
    [5, 5, 40, 5, 40, 40, 5, 40],
  ]);

  test("any bit flipped is refused", () => {
    const bytes = record.snapshot();
    for (let bit = 0; bit < bytes.length * 8; bit++) {
      const damaged = bytes.slice();
      damaged[bit >> 3]! ^= 1 << (bit & 7);
      expectCode(() => CoverageRecord.restore(damaged), "bad-snapshot");
    }
  });

  test("cut at any length, lengthened, empty or no bytes at all is refused", () => {
    const bytes = record.snapshot();
    for (let length = 0; length < bytes.length; length++) {
      expectCode(() => CoverageRecord.restore(bytes.subarray(0, length)), "bad-snapshot");
    }
    expectCode(() => CoverageRecord.restore(Uint8Array.from([...bytes, 0])), "bad-snapshot");
    for (const bad of [undefined, null, "FCOV", [1, 2], new ArrayBuffer(80)]) {
      expectCode(() => CoverageRecord.restore(bad as never), "bad-snapshot");
    }
  });

  test("damage under a right checksum is refused or is a sound record", () => {
    const bytes = record.snapshot();
    const next = random(53);
    let refused = 0;
    for (let k = 0; k < 1500; k++) {
      const damaged = bytes.slice();
      const flips = 1 + Math.floor(next() * 3);
      for (let f = 0; f < flips; f++) damaged[Math.floor(next() * (bytes.length - 4))] = Math.floor(next() * 256);
      new DataView(damaged.buffer).setUint32(bytes.length - 4, crc32(damaged, 0, bytes.length - 4), true);
      try {
        const sound = CoverageRecord.restore(damaged);
        const { worked, workedTwice, marked } = sound.areas();
        expect(worked + workedTwice).toBeLessThanOrEqual(marked * (1 + 1e-12));
        expect(CoverageRecord.restore(sound.snapshot()).hash()).toBe(sound.hash());
      } catch (error) {
        expect((error as { code?: string }).code, String(error)).toBe("bad-snapshot");
        refused++;
      }
    }
    expect(refused).toBeGreaterThan(300);
  });

  test("CRC-32 of the digits 1 to 9 is 0xcbf43926 (the check value of the published catalogues, from memory)", () => {
    const digits = new TextEncoder().encode("123456789");
    expect(crc32(digits, 0, digits.length)).toBe(0xcbf43926);
  });
});
