import { describe, expect, it } from "vitest";
import { type Fix, NmeaReader } from "../../src/receiver/index.js";
import { expectWithin } from "../helpers/within.js";
import { bytesOf, sentence } from "./sentences.js";

// sentences as printed in gpsd's www/NMEA.adoc (2020-01-30, BSD-2-Clause) and its regression logs, checksums as printed
function read(...lines: string[]): Fix[] {
  const reader = new NmeaReader();
  const fixes = reader.push(bytesOf(lines.map((line) => `${line}\r\n`).join("")));
  fixes.push(...reader.flush());
  expect(reader.counts.accepted).toBe(lines.length);
  return fixes;
}

const GGA = "$GNGGA,001043.00,4404.14036,N,12118.85961,W,1,12,0.98,1113.0,M,-21.3,M,,*47";

describe("published sentences", () => {
  it("GGA: position, height above the ellipsoid, quality", () => {
    const [fix] = read(GGA);
    expectWithin(fix!.latitude, 44.069006, 1e-12, "latitude");
    expectWithin(fix!.longitude, -(121 + 18.85961 / 60), 1e-12, "longitude");
    expectWithin(fix!.altitude!, 1091.7, 1e-9, "altitude");
    expect(fix).toMatchObject({ time: 643, dated: false, quality: 1, satellites: 12, hdop: 0.98 });
    expect(fix!.correctionAge).toBeUndefined();
  });

  it("GGA in the south and east", () => {
    const [fix] = read("$GNGGA,003956.00,4552.65403,S,17030.00668,E,1,12,0.64,14.2,M,1.8,M,,*56");
    expectWithin(fix!.latitude, -(45 + 52.65403 / 60), 1e-12, "latitude");
    expectWithin(fix!.longitude, 170 + 30.00668 / 60, 1e-12, "longitude");
    expectWithin(fix!.altitude!, 16, 1e-9, "altitude");
  });

  it("GLL: position, quality by the mode", () => {
    const [fix] = read("$GNGLL,4404.14012,N,12118.85993,W,001037.00,A,A*67");
    expectWithin(fix!.latitude, 44.069002, 1e-12, "latitude");
    expect(fix).toMatchObject({ time: 637, quality: 1 });
  });

  it("RMC: date, speed in knots, no course at standstill", () => {
    const [fix] = read("$GNRMC,001031.00,A,4404.13993,N,12118.86023,W,0.146,,100117,,,A*7B");
    expect(fix).toMatchObject({ time: Date.UTC(2017, 0, 10, 0, 10, 31) / 1000, dated: true, quality: 1 });
    expectWithin(fix!.speed!, (0.146 * 1852) / 3600, 1e-15, "speed");
    expect(fix!.course).toBeUndefined();
  });

  it("VTG and HDT join the position before them", () => {
    const [fix] = read(GGA, "$GPVTG,220.86,T,,M,2.550,N,4.724,K,A*34", "$GPHDT,274.07,T*03");
    expectWithin(fix!.speed!, (2.55 * 1852) / 3600, 1e-15, "speed");
    expect(fix).toMatchObject({ course: 220.86, heading: 274.07 });
  });

  it("GST: accuracy is the root of the summed variances north and east", () => {
    const [fix] = read(
      sentence("GNGGA,182141.00,4404.14036,N,12118.85961,W,1,12,0.98,1113.0,M,-21.3,M,,").trim(),
      "$GPGST,182141.000,15.5,15.3,7.2,21.8,0.9,0.5,0.8*54",
    );
    expectWithin(fix!.horizontalAccuracy!, Math.hypot(0.9, 0.5), 1e-15, "accuracy");
  });

  it("GST without north and east: the axes of the ellipse have the same sum", () => {
    const [fix] = read(
      sentence("GNGGA,182141.00,4404.14036,N,12118.85961,W,1,12,0.98,1113.0,M,-21.3,M,,").trim(),
      sentence("GPGST,182141.000,15.5,4.0,3.0,21.8,,,0.8").trim(),
    );
    expect(fix!.horizontalAccuracy).toBe(5);
  });

  it("ZDA: the date of the fix at its time", () => {
    const [fix] = read(
      "$GPZDA,160012.71,11,03,2004,-1,00*7D",
      sentence("GNGGA,160012.71,4404.14036,N,12118.85961,W,1,12,0.98,1113.0,M,-21.3,M,,").trim(),
    );
    expectWithin(fix!.time, Date.UTC(2004, 2, 11, 16, 0, 12, 710) / 1000, 1e-6, "time");
    expect(fix!.dated).toBe(true);
  });

  // gpsd NMEA.adoc, "FAA mode indicator", against GGA's quality; the letters R and F came with NMEA 4.00
  it.for([
    ["A", 1],
    ["D", 2],
    ["P", 3],
    ["R", 4],
    ["F", 5],
    ["E", 6],
    ["M", 7],
    ["S", 8],
    ["N", 0],
    ["Z", 0],
  ] as const)("mode %s of RMC, GLL and GNS is quality %i", ([mode, quality]) => {
    for (const body of [
      `GNRMC,001031.00,A,4404.13993,N,12118.86023,W,0.146,,100117,,,${mode}`,
      `GNGLL,4404.13993,N,12118.86023,W,001031.00,A,${mode}`,
      `GNGNS,001031.00,4404.13993,N,12118.86023,W,${mode}N,07,1.2,153.8,8.3,,`,
    ]) {
      const [fix] = read(sentence(body).trim());
      expect(fix!.quality, body).toBe(quality);
      expect(Number.isNaN(fix!.latitude), body).toBe(quality === 0);
    }
  });

  it("GNS with several modes has the best of them", () => {
    for (const [modes, quality] of [
      ["ANNA", 1],
      ["NDD", 2],
      ["AR", 4],
      ["FD", 5],
      ["NNNN", 0],
    ] as const) {
      const body = `GNGNS,053232.438,3114.8789,N,12135.2442,E,${modes},07,1.2,153.8,8.3,,0000`;
      expect(read(sentence(body).trim())[0]!.quality, modes).toBe(quality);
    }
  });

  it("RMC and GLL from before the mode indicator are quality 1", () => {
    const [fix] = read(
      sentence("GPRMC,153347.000,A,3940.6986,N,07544.9356,W,0.12,87.21,230410,,").trim(),
      sentence("GPGLL,3940.6986,N,07544.9356,W,153347.000,A").trim(),
    );
    expect(fix!.quality).toBe(1);
  });

  it("THS gives a heading unless its mode is V", () => {
    expect(read(GGA, sentence("GPTHS,123.45,A").trim())[0]!.heading).toBe(123.45);
    expect(read(GGA, sentence("GPTHS,123.45,V").trim())[0]!.heading).toBeUndefined();
  });
});
