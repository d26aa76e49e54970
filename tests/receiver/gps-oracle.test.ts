import GPS from "gps";
import { describe, expect, it } from "vitest";
import { type Fix, NmeaReader } from "../../src/receiver/index.js";
import { hasData, readData } from "../helpers/data.js";
import { expectWithin } from "../helpers/within.js";
import { random } from "../helpers/random.js";
import { bytesOf, epoch, sentence } from "./sentences.js";

// the npm package gps (MIT, Robert Eisele) as a second opinion on single sentences
interface Parsed {
  type: string;
  valid: boolean;
  lat?: number | null;
  lon?: number | null;
  alt?: number | null;
  geoidal?: number | null;
  sep?: number | null;
  quality?: string | null;
  satellites?: number | null;
  hdop?: number | null;
  age?: number | null;
  speed?: number | null;
  track?: number | null;
  heading?: number | null;
  latitudeError?: number | null;
  longitudeError?: number | null;
  status?: string | null;
}

const parse = (line: string): Parsed | false => GPS.Parse(line) as unknown as Parsed | false;

// its words for quality
const QUALITY: Record<string, number> = {
  fix: 1,
  "dgps-fix": 2,
  "pps-fix": 3,
  rtk: 4,
  "rtk-float": 5,
  estimated: 6,
  manual: 7,
  simulated: 8,
};

function same(ours: number | undefined, theirs: number | null | undefined, tolerance: number, what: string): void {
  if (theirs === null || theirs === undefined)
    expect(ours === undefined || Number.isNaN(ours), `${what}: ${ours}`).toBe(true);
  else expectWithin(ours!, theirs, tolerance, what);
}

function compareLine(line: string): boolean {
  const theirs = parse(line);
  const reader = new NmeaReader();
  const fixes: Fix[] = reader.push(bytesOf(`${line}\r\n`));
  fixes.push(...reader.flush());
  if (theirs === false) return false;
  expect(reader.counts.valid, line).toBe(theirs.valid ? 1 : 0);
  const fix = fixes[0];
  if (fix === undefined || fix.quality === 0) return false;
  const DEGREES = 1e-12;
  same(fix.latitude, theirs.lat, DEGREES, `latitude of ${line}`);
  same(fix.longitude, theirs.lon, DEGREES, `longitude of ${line}`);
  if (theirs.type === "GGA") {
    expect(fix.quality, line).toBe(QUALITY[theirs.quality!] ?? -1);
    same(fix.satellites, theirs.satellites, 0, `satellites of ${line}`);
    same(fix.hdop, theirs.hdop, 0, `hdop of ${line}`);
    same(fix.correctionAge, theirs.age, 0, `age of ${line}`);
    const height = theirs.geoidal === null || theirs.alt === null ? null : theirs.alt! + theirs.geoidal!;
    same(fix.altitude, height, 1e-9, `altitude of ${line}`);
  }
  if (theirs.type === "RMC") {
    // it gives km/h by the rounded factor 1.852
    same(fix.speed === undefined ? undefined : fix.speed * 3.6, theirs.speed, 1e-9, `speed of ${line}`);
    same(fix.course, theirs.track, 0, `course of ${line}`);
  }
  return true;
}

describe("gps on the same sentences", () => {
  for (const name of ["01", "02", "03", "06", "07", "08", "09", "11"]) {
    const path = `receiver-logs/log-${name}.nmea`;
    it.skipIf(!hasData(path))(`agrees on the position sentences of log-${name}`, () => {
      const lines = Buffer.from(readData(path)).toString("latin1").split(/\r?\n/);
      let compared = 0;
      for (const line of lines) if (/^\$..(GGA|RMC|GLL|GNS),.*\*..$/.test(line) && compareLine(line)) compared++;
      expect(compared).toBeGreaterThan(name === "08" ? 5 : 15);
    });
  }

  it("agrees on made sentences", () => {
    const next = random(11);
    let compared = 0;
    for (let i = 0; i < 500; i++) {
      const text = epoch({
        at: Math.floor(next() * 8_640_000),
        types: ["GGA", "RMC", "GLL"],
        latitude: next() * 180 - 90,
        longitude: next() * 360 - 180,
        quality: [1, 2, 4, 5][Math.floor(next() * 4)]!,
        knots: Math.round(next() * 2000) / 100,
        course: Math.round(next() * 35_900) / 100,
      });
      for (const line of text.trim().split("\r\n")) if (compareLine(line)) compared++;
    }
    expect(compared).toBe(1500);
  });

  // where the two differ, ours is the stricter
  it("differs: gps takes latitude 99.99 and minutes of 75, and gives coordinates under a wrong checksum", () => {
    for (const body of [
      "GNGGA,001043.00,9959.40000,N,12118.85961,W,4,12,0.98,1113.0,M,-21.3,M,,",
      "GNGGA,001043.00,4475.00000,N,12118.85961,W,4,12,0.98,1113.0,M,-21.3,M,,",
    ]) {
      const theirs = parse(sentence(body).trim());
      expect(theirs !== false && Number.isFinite(theirs.lat), body).toBe(true);
      const reader = new NmeaReader();
      reader.push(bytesOf(sentence(body)));
      expect(reader.flush(), body).toEqual([]);
      expect(reader.counts.outOfRange).toBe(1);
    }
    const wrong = "$GNGGA,001043.00,4404.14036,N,12118.85961,W,1,12,0.98,1113.0,M,-21.3,M,,*48";
    const theirs = parse(wrong);
    expect(theirs !== false && !theirs.valid && Number.isFinite(theirs.lat)).toBe(true);
    const reader = new NmeaReader();
    reader.push(bytesOf(`${wrong}\r\n`));
    expect(reader.flush()).toEqual([]);
  });
});
