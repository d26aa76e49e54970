import { describe, expect, it } from "vitest";
import { type Fix, NmeaReader } from "../../src/receiver/index.js";
import { hasData, readData } from "../helpers/data.js";
import { expectWithin } from "../helpers/within.js";
import { slowRead } from "./slow-reader.js";

// streams of the gpsd project's regression logs (test/daemon, BSD-2-Clause); counts by a separate program, in their README
interface Log {
  readonly name: string;
  readonly qualities?: Record<number, number>;
  readonly valid?: number;
  readonly invalid?: number;
  readonly headings?: number;
  readonly first?: readonly [number, number];
  readonly last?: readonly [number, number];
  readonly leading?: readonly string[];
}

const LOGS: readonly Log[] = [
  {
    name: "01",
    qualities: { 2: 104, 4: 18 },
    first: [41.5749659098, -93.7505719013],
    last: [41.575030061, -93.750597789],
  },
  { name: "02", qualities: { 0: 194, 1: 21 }, valid: 753, invalid: 0, headings: 4, leading: ["HDT"] },
  { name: "03", qualities: { 2: 95 }, valid: 1005, invalid: 1 },
  { name: "06", qualities: { 2: 10, 4: 4 } },
  { name: "07", qualities: { 2: 45 }, valid: 1033, invalid: 1 },
  { name: "08", qualities: { 0: 3, 1: 2 } },
  { name: "09", qualities: { 2: 16 } },
  { name: "11", qualities: { 1: 19 }, valid: 106, invalid: 1 },
];

function readAll(bytes: Uint8Array, size = bytes.length): { fixes: Fix[]; reader: NmeaReader } {
  const reader = new NmeaReader();
  const fixes: Fix[] = [];
  for (let i = 0; i < bytes.length; i += size) fixes.push(...reader.push(bytes.subarray(i, i + size)));
  fixes.push(...reader.flush());
  return { fixes, reader };
}

describe("recorded streams", () => {
  for (const log of LOGS) {
    const path = `receiver-logs/log-${log.name}.nmea`;
    it.skipIf(!hasData(path))(`log-${log.name} gives its counts and positions`, () => {
      const { fixes, reader } = readAll(readData(path));
      const qualities: Record<number, number> = {};
      for (const fix of fixes) qualities[fix.quality] = (qualities[fix.quality] ?? 0) + 1;
      // every GGA has its own epoch in these streams, so fixes count like GGA sentences
      expect(qualities).toEqual(log.qualities);
      expect(reader.counts.types.GGA).toBe(fixes.length);
      expect(reader.counts.late).toBe(0);
      if (log.valid !== undefined) expect(reader.counts.valid).toBe(log.valid);
      if (log.invalid !== undefined) expect(reader.counts.sentences - reader.counts.valid).toBe(log.invalid);
      if (log.headings !== undefined) {
        expect(fixes.filter((fix) => fix.heading !== undefined)).toHaveLength(log.headings);
      }
      const DEGREES = 5e-11; // half a unit of the last digit written down
      for (const [fix, place] of [
        [fixes[0]!, log.first],
        [fixes.at(-1)!, log.last],
      ] as const) {
        if (place === undefined) continue;
        expectWithin(fix.latitude, place[0], DEGREES * 1.01, "latitude");
        expectWithin(fix.longitude, place[1], DEGREES * 1.01, "longitude");
      }
    });

    it.skipIf(!hasData(path))(`log-${log.name} reads as the slow reader reads it`, () => {
      const bytes = readData(path);
      const { fixes } = readAll(bytes);
      const slow = slowRead(Buffer.from(bytes).toString("latin1"), log.leading);
      expect(fixes).toHaveLength(slow.length);
      fixes.forEach((fix, i) => {
        const other = slow[i]!;
        if (!Number.isNaN(other.timeOfDay)) expectWithin(fix.time % 86_400, other.timeOfDay, 1e-6, `time ${i}`);
        for (const key of [
          "latitude",
          "longitude",
          "altitude",
          "satellites",
          "hdop",
          "correctionAge",
          "speed",
          "course",
          "heading",
          "horizontalAccuracy",
        ] as const) {
          const value = fix[key];
          if (Number.isNaN(other[key])) expect(Number.isFinite(value), `${key} of fix ${i}: ${value}`).toBe(false);
          else expectWithin(value!, other[key], 1e-12 * Math.max(1, Math.abs(other[key])), `${key} of fix ${i}`);
        }
        expect(fix.quality).toBe(other.quality);
      });
    });

    it.skipIf(!hasData(path))(`log-${log.name} gives the same fixes in pieces of 1, 7 and 64 bytes`, () => {
      const bytes = readData(path);
      const whole = readAll(bytes);
      for (const size of [1, 7, 64]) {
        const pieces = readAll(bytes, size);
        expect(pieces.fixes).toEqual(whole.fixes);
        expect(pieces.reader.counts).toEqual(whole.reader.counts);
      }
    });
  }

  it.skipIf(!hasData("receiver-logs/log-12.nmea"))("log-12 gives three RMC, one with a malformed date", () => {
    const { fixes, reader } = readAll(readData("receiver-logs/log-12.nmea"));
    expect(reader.counts.types.RMC).toBe(3);
    expect(reader.counts.badDates).toBe(1);
    expect(fixes.map((fix) => fix.quality)).toEqual([0, 1, 1]);
    expect(fixes.map((fix) => fix.dated)).toEqual([false, false, true]);
    expectWithin(fixes[1]!.time, 151.099, 1e-9);
    expectWithin(fixes[2]!.time, Date.UTC(1999, 7, 22, 0, 2, 31, 420) / 1000, 1e-6);
  });

  it.skipIf(!hasData("receiver-logs/log-02.nmea"))("log-02: a heading before its position belongs to it", () => {
    const { fixes } = readAll(readData("receiver-logs/log-02.nmea"));
    const headings = fixes.filter((fix) => fix.heading !== undefined);
    // the sentences of the file: HDT 274.07 stands right before GGA 194058.50, and so on
    expect(headings.map((fix) => [fix.heading, (fix.time % 86_400) - 70_860])).toEqual([
      [274.07, -1.5],
      [274.04, -1],
      [274.12, -0.5],
      [274.11, 0],
    ]);
  });
});
