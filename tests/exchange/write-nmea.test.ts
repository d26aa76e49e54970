import fc from "fast-check";
import GPS from "gps";
import { describe, expect, it } from "vitest";
import { nmeaSentence, writeGga, writeHdt, writeRmc, writeVtg, writeXte, writeZda } from "../../src/exchange/index.js";
import { type Fix, NmeaReader } from "../../src/receiver/index.js";
import { expectCode, expectWithin } from "../helpers/within.js";

const fix: Fix = {
  time: Date.UTC(2025, 3, 16, 8, 15, 30, 250) / 1000,
  dated: true,
  latitude: 47.2512345678,
  longitude: -20.7587654321,
  altitude: 131.25,
  quality: 4,
  satellites: 14,
  hdop: 0.7,
  correctionAge: 1.2,
  speed: 4.5,
  course: 359.998,
};

function readBack(...sentences: string[]): Fix {
  const reader = new NmeaReader();
  const bytes = new TextEncoder().encode(sentences.join(""));
  const fixes = [...reader.push(bytes), ...reader.flush()];
  expect(fixes).toHaveLength(1);
  return fixes[0]!;
}

describe("sentences written", () => {
  it("are those of the standard's form", () => {
    expect(writeGga(fix, { geoidSeparation: 43.3, minuteDecimals: 4, talker: "GP" })).toMatch(
      /^\$GPGGA,081530\.25,4715\.0741,N,02045\.5259,W,4,14,0\.7,87\.950,M,43\.300,M,1\.2,\*[0-9A-F]{2}\r\n$/,
    );
    expect(writeVtg(fix)).toMatch(/^\$GNVTG,0\.00,T,,M,8\.747,N,16\.200,K,R\*[0-9A-F]{2}\r\n$/);
    expect(writeHdt(274.07, { talker: "GP" })).toBe("$GPHDT,274.07,T*03\r\n");
    expect(writeZda(fix.time)).toMatch(/^\$GNZDA,081530\.25,16,04,2025,00,00\*/);
    expect(writeXte({ steer: "left", steerDistance: 0.25 }, true)).toMatch(/^\$GNXTE,A,A,0\.000135,L,N,A\*/);
    expect(writeXte({ steer: "right", steerDistance: 1852 }, false)).toMatch(/^\$GNXTE,V,V,1\.000000,R,N,N\*/);
    // checksums of sentences printed in the receiver handbooks of tests/receiver/published-sentences.test.ts agree by the reader
    for (const sentence of [writeGga(fix), writeRmc(fix), writeVtg(fix), writeZda(fix.time)]) {
      expect(sentence.length).toBeLessThanOrEqual(82);
      expect(new GPS().update(sentence.trim())).toBe(true);
    }
  });

  it("are read back as the same fix, by the reader and by gps", () => {
    const arbitrary = fc.record({
      time: fc.double({ min: 1e9, max: 2e9, noNaN: true }),
      latitude: fc.double({ min: -89, max: 89, noNaN: true }),
      longitude: fc.double({ min: -180, max: 179.999, noNaN: true }),
      altitude: fc.double({ min: -300, max: 8000, noNaN: true }),
      quality: fc.constantFrom(1, 2, 4, 5),
      satellites: fc.integer({ min: 4, max: 40 }),
      speed: fc.double({ min: 0, max: 40, noNaN: true }),
      course: fc.double({ min: 0, max: 360, maxExcluded: true, noNaN: true }),
    });
    fc.assert(
      fc.property(arbitrary, (given) => {
        const sent = { ...given, dated: true };
        const back = readBack(writeRmc(sent), writeGga(sent, { geoidSeparation: 43 }));
        expectWithin(back.time, sent.time, 0.005001, "time, s");
        expect(back.dated).toBe(true);
        expectWithin(back.latitude, sent.latitude, 1e-9, "latitude, degrees");
        const turned = Math.abs(back.longitude - sent.longitude);
        expectWithin(Math.min(turned, 360 - turned), 0, 1e-9, "longitude, degrees");
        // five digits of metres leave room for one decimal
        expectWithin(back.altitude!, sent.altitude, 0.0501, "altitude, m");
        expect([back.quality, back.satellites]).toEqual([sent.quality, sent.satellites]);
        expectWithin(back.speed!, sent.speed, 3e-4, "speed, m/s");
        const aside = Math.abs(back.course! - sent.course);
        expectWithin(Math.min(aside, 360 - aside), 0, 0.00501, "course, degrees");
        const other = GPS.Parse(writeGga(sent).trim()) as unknown as { lat: number; lon: number };
        expectWithin(other.lat, sent.latitude, 1e-8, "latitude by gps, degrees");
      }),
    );
  });

  it("leave empty what is not known, and say so", () => {
    const lost: Fix = { time: 35_999.999, dated: false, latitude: Number.NaN, longitude: Number.NaN, quality: 0 };
    expect(writeGga(lost)).toMatch(/^\$GNGGA,100000\.00,,,,,0,,,,M,,M,,\*/);
    expect(writeRmc(lost)).toMatch(/^\$GNRMC,100000\.00,V,,,,,,,,,,N\*/);
    expect(writeVtg(lost)).toMatch(/^\$GNVTG,,T,,M,,N,,K,N\*/);
    expect(writeHdt(Number.NaN)).toMatch(/^\$GNHDT,,T\*/);
    // a minute is never 60, a day ends at its last second
    expect(writeGga({ ...fix, latitude: 12.9999999999999 })).toContain(",1300.0000000,N,");
    expect(writeZda(Date.UTC(2025, 11, 31, 23, 59, 59, 999) / 1000)).toContain(",000000.00,01,01,2026,");
  });

  it("refuse what can't be written", () => {
    expectCode(() => nmeaSentence("GP*"), "bad-format");
    expectCode(() => nmeaSentence("GPäHDT"), "bad-format");
    expectCode(() => nmeaSentence("GPTXT," + "x".repeat(80)), "too-large");
    expectCode(() => writeGga(fix, { talker: "gnss" }), "bad-format");
    expectCode(() => writeGga(fix, { minuteDecimals: 20 }), "out-of-range");
    expectCode(() => writeGga(fix, { timeDecimals: 1.5 }), "out-of-range");
    expectCode(() => writeZda(Number.NaN), "not-finite");
    expectCode(() => writeXte(null as never, true), "not-finite");
  });
});
