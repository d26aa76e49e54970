import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { type Fix, NmeaReader } from "../../src/receiver/index.js";
import { expectCode, expectWithin } from "../helpers/within.js";
import { angleText, bytesOf, epoch, sentence } from "./sentences.js";

const GGA = "GNGGA,001043.00,4404.14036,N,12118.85961,W,4,12,0.98,1113.0,M,-21.3,M,1.5,0001";

function readText(text: string): { fixes: Fix[]; counts: NmeaReader["counts"] } {
  const reader = new NmeaReader();
  const fixes = reader.push(bytesOf(text));
  fixes.push(...reader.flush());
  return { fixes, counts: reader.counts };
}

describe("NmeaReader: sentences among noise", () => {
  it("counts wrong, missing and broken checksums, and uses none of them", () => {
    const good = sentence(GGA);
    for (const [text, count] of [
      [good.replace(/\*..\r/, "*00\r"), "badChecksum"],
      [good.replace(/\*..\r/, "\r"), "noChecksum"],
      [good.replace(/\*(.)./, "*$1"), "badChecksum"],
      [good.replace(/\*../, "*G0"), "badChecksum"],
      [good.replace("\r\n", "7\r\n"), "badChecksum"],
      [good.slice(0, 30), "incomplete"],
      [good.slice(0, 30) + good, "incomplete"],
      [good.slice(0, -3), "incomplete"],
      [`$GNTXT,${"x".repeat(2000)}*00\r\n`, "overlong"],
    ] as const) {
      const { fixes, counts } = readText(text);
      expect(counts[count], text.slice(0, 90)).toBe(1);
      expect(fixes).toHaveLength(text.endsWith(good) ? 1 : 0);
    }
  });

  it("takes small letters in a checksum, and ends of line as CR, LF or the next $", () => {
    const body = "GNGGA,001043.00,4404.14037,N,12118.85961,W,4,12,0.98,1113.0,M,-21.3,M,1.5,000C";
    const line = sentence(body).trim();
    for (const text of [
      `${line}\r`,
      `${line}\n`,
      `${line}$`,
      line,
      `${line.slice(0, -2)}${line.slice(-2).toLowerCase()}\r\n`,
    ]) {
      expect(readText(text).fixes, JSON.stringify(text)).toHaveLength(1);
    }
  });

  it("finds the sentences in noise and binary, several in one read", () => {
    const noise = "\u0000\u00ffb5b\u0024\u0003\u00d3#*4,\n";
    const { fixes, counts } = readText(
      noise + epoch({ at: 100, types: ["GGA", "RMC"] }) + noise + epoch({ at: 110, types: ["GGA", "RMC"] }) + noise,
    );
    expect(fixes).toHaveLength(2);
    expect(counts.accepted).toBe(4);
    expect(counts.noiseBytes).toBeGreaterThan(10);
  });

  it("takes sentences longer than the standard's 82 characters", () => {
    const long = `GNGGA,001043.00,4404.140360000000000000000,N,12118.859610000000000000000,W,4,12,0.98,1113.000000000,M,-21.300000000,M,1.5,0001`;
    const { fixes } = readText(sentence(long));
    expectWithin(fixes[0]!.latitude, 44.069006, 1e-12);
    expectWithin(fixes[0]!.altitude!, 1091.7, 1e-9);
  });

  it("takes 1024 characters and no more", () => {
    const body = (n: number): string => `GNTXT,${"x".repeat(n - 6)}`;
    expect(readText(sentence(body(1024))).counts).toMatchObject({ ignored: 1, overlong: 0 });
    expect(readText(sentence(body(1025)) + sentence(GGA)).counts).toMatchObject({
      ignored: 0,
      overlong: 1,
      accepted: 1,
    });
  });

  it("sorts every sentence into one count", () => {
    const text = [
      sentence(GGA),
      sentence("GPGSV,1,1,01,36,19,156,51"),
      sentence("PASHR,085335.000,224.19,T,-01.26,+00.83,+00.00,0.101,0.113,0.267,1,0"),
      sentence("GNGGA,001043.00"),
      sentence(GGA.replace("4404", "9959")),
      "$GNGGA,1\r\n",
      "$GNGGA*00\r\n",
      "$GNG",
    ].join("");
    const { counts } = readText(text);
    expect(counts).toMatchObject({
      sentences: 8,
      valid: 5,
      accepted: 1,
      ignored: 2,
      malformed: 1,
      outOfRange: 1,
      noChecksum: 1,
      badChecksum: 1,
      incomplete: 1,
    });
    expect(counts.valid).toBe(counts.accepted + counts.ignored + counts.malformed + counts.outOfRange);
    expect(counts.sentences).toBe(
      counts.valid + counts.badChecksum + counts.noChecksum + counts.incomplete + counts.overlong,
    );
  });
});

describe("NmeaReader: values", () => {
  it.for([
    ["4404.14036,N", "9959.4,N", "outOfRange"],
    ["4404.14036,N", "9000.00001,N", "outOfRange"],
    ["4404.14036,N", "4460.0,N", "outOfRange"],
    ["12118.85961,W", "18000.0001,W", "outOfRange"],
    ["12118.85961,W", "12199.0,W", "outOfRange"],
    ["001043.00", "240000.00", "outOfRange"],
    ["001043.00", "006000.00", "outOfRange"],
    ["001043.00", "001061.00", "outOfRange"],
    [",4,12", ",9,12", "outOfRange"],
    ["0.98", "-0.98", "outOfRange"],
    ["1.5", "-1.5", "outOfRange"],
    ["001043.00", "1043.00", "malformed"],
    ["001043.00", "00104300", "malformed"],
    ["001043.00", "0010x3.00", "malformed"],
    ["001043.00", "001043.0x", "malformed"],
    ["001043.00", "001043:00", "malformed"],
    ["4404.14036,N", "4404.14x36,N", "malformed"],
    ["4404.14036,N", "4404x14036,N", "malformed"],
    ["4404.14036,N", "4404.14036,NN", "malformed"],
    ["12118.85961,W", "1234567.8,W", "malformed"],
    ["4404.14036,N", "4404.14036,", "malformed"],
    ["4404.14036,N", "4404.14036,Q", "malformed"],
    ["4404.14036,N", "4404.14.36,N", "malformed"],
    ["4404.14036,N", "-4404.14036,N", "malformed"],
    ["4404.14036,N", ".5,N", "malformed"],
    ["0.98", "0.9e1", "malformed"],
    ["0.98", "nan", "malformed"],
    ["0.98", ".", "malformed"],
    ["0.98", "-", "malformed"],
    ["1113.0", "-.", "malformed"],
    ["1113.0", "+.", "malformed"],
    ["1113.0", "--1", "malformed"],
    ["1113.0", "11.1.3", "malformed"],
    ["1113.0", "00000000000000000001.0.0", "malformed"],
    ["1113.0", "..................", "malformed"],
    ["1113.0", "123456789012345678901", "outOfRange"],
    ["1113.0", "100000.1", "outOfRange"],
    ["1113.0,M", "1113.0,f", "malformed"],
    [",4,12", ",RTK,12", "malformed"],
  ] as const)("GGA with %s as %s is refused as %s", ([from, to, count]) => {
    const body = GGA.replace(from, to);
    expect(body).not.toBe(GGA);
    const { fixes, counts } = readText(sentence(body));
    expect(fixes).toHaveLength(0);
    expect(counts[count]).toBe(1);
    expect(counts.accepted).toBe(0);
  });

  it("reads a decimal as Number does, signs and any length", () => {
    const digits = fc.string({ unit: fc.constantFrom(..."0123456789"), maxLength: 4 });
    const decimals = fc.string({ unit: fc.constantFrom(..."0123456789"), maxLength: 30 });
    fc.assert(
      fc.property(fc.constantFrom("", "-", "+"), digits, fc.boolean(), decimals, (sign, whole, point, fraction) => {
        fc.pre(whole !== "" || (point && fraction !== ""));
        const text = `${sign}${whole}${point ? `.${fraction}` : ""}`;
        const { fixes } = readText(sentence(GGA.replace("-21.3", "0").replace("1113.0", text)));
        const value = Number(text);
        // up to 15 characters it is the very double; beyond, the digits past the 15th are left out
        if (text.length <= 15) expect(fixes[0]!.altitude, text).toBe(value + 0);
        else expectWithin(fixes[0]!.altitude!, value, Math.abs(value) * 1e-14 + 1e-20, text);
      }),
      { numRuns: 1000 },
    );
  });

  it("takes the bounds themselves", () => {
    const at = (lat: string, lon: string): Fix =>
      readText(sentence(`GNGGA,001043.00,${lat},${lon},4,12,0.98,1.0,M,0.0,M,,`)).fixes[0]!;
    expect(at("9000.000,N", "17959.9999,E").latitude).toBe(90);
    expect(at("9000.000,S", "00000.0,W").latitude).toBe(-90);
    expect(at("0000.0,S", "18000.000,E").longitude).toBe(-180);
    expect(at("0000.0,N", "18000.000,W").longitude).toBe(-180);
  });

  it("takes second 60 of a leap second", () => {
    // 2016-12-31 was the last day with one (IERS Bulletin C 52)
    const { fixes } = readText(sentence("GNRMC,235960.50,A,4404.13993,N,12118.86023,W,0.146,,311216,,,A"));
    expectWithin(fixes[0]!.time, Date.UTC(2016, 11, 31, 23, 59, 59) / 1000 + 1.5, 1e-6);
  });

  it("has no position without quality, whatever the fields say", () => {
    for (const body of [
      "GNGGA,001043.00,4404.14036,N,12118.85961,W,0,12,0.98,1113.0,M,-21.3,M,,",
      "GNGGA,001043.00,,,,,4,12,0.98,1113.0,M,-21.3,M,,",
      "GNGGA,001043.00,0000.0,N,00000.0,E,0,00,,,M,,M,,",
      "GNRMC,001043.00,V,4404.14036,N,12118.85961,W,0.1,,100117,,,A",
      "GNRMC,001043.00,A,4404.14036,N,12118.85961,W,0.1,,100117,,,N",
      "GNGLL,4404.14012,N,12118.85993,W,001037.00,V,N",
    ]) {
      const { fixes } = readText(sentence(body));
      expect(fixes[0], body).toMatchObject({ quality: 0, latitude: Number.NaN, longitude: Number.NaN });
      expect(fixes[0]!.altitude).toBeUndefined();
    }
  });

  it("lets a warning in RMC or GLL refuse the position of GGA", () => {
    const rmc = sentence("GNRMC,001043.00,V,,,,,,,100117,,,N");
    const gll = sentence("GNGLL,,,,,001043.00,V,N");
    for (const text of [sentence(GGA) + rmc, rmc + sentence(GGA), sentence(GGA) + gll, gll + sentence(GGA)]) {
      const { fixes } = readText(text);
      expect(fixes).toHaveLength(1);
      expect(fixes[0]).toMatchObject({ quality: 0, latitude: Number.NaN });
    }
  });

  it("gives no height where the geoid separation is missing: above the sea is not above the ellipsoid", () => {
    const { fixes } = readText(sentence(GGA.replace("-21.3", "")));
    expect(fixes[0]!.quality).toBe(4);
    expect(fixes[0]!.altitude).toBeUndefined();
  });

  it("reads a position within 1e-12 degrees, every decimal", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 89 }),
        fc.integer({ min: 0, max: 5_999_999_999 }),
        fc.boolean(),
        (d, m, south) => {
          const minutes = String(m).padStart(10, "0");
          const text = `${String(d).padStart(2, "0")}${minutes.slice(0, 2)}.${minutes.slice(2)}`;
          const { fixes } = readText(sentence(GGA.replace("4404.14036,N", `${text},${south ? "S" : "N"}`)));
          // exact in integers: thousandths of 1e-12 degrees
          const exact = (BigInt(d) * 60n * 10n ** 8n + BigInt(m)) * 10n ** 15n;
          const value = Number(exact / (60n * 10n ** 8n)) / 1e15;
          expectWithin(fixes[0]!.latitude, south ? -value : value, 1e-14 + Math.abs(value) * 2.3e-16);
        },
      ),
      { numRuns: 500 },
    );
  });

  it("gives the position written, all over the Earth", () => {
    fc.assert(
      fc.property(
        fc.double({ min: -90, max: 90, noNaN: true }),
        fc.double({ min: -180, max: 179.99999, noNaN: true }),
        (latitude, longitude) => {
          const { fixes } = readText(epoch({ at: 100, types: ["GGA"], latitude, longitude }));
          // seven decimals of minutes: 8.4e-10 degrees half a step
          expectWithin(fixes[0]!.latitude, latitude, 8.5e-10);
          expectWithin(fixes[0]!.longitude, longitude, 8.5e-10);
          expect(angleText(Math.abs(latitude), 2)).toMatch(/^\d{4}\.\d{7}$/);
        },
      ),
      { numRuns: 300 },
    );
  });

  it("takes knots or km/h of VTG, and nothing of mode N", () => {
    const speed = (vtg: string): number | undefined => readText(sentence(GGA) + sentence(vtg)).fixes[0]!.speed;
    expectWithin(speed("GPVTG,90.0,T,,M,10.0,N,,K,A")!, (10 * 1852) / 3600, 1e-12);
    expectWithin(speed("GPVTG,90.0,T,,M,,N,18.0,K,A")!, 5, 1e-12);
    expectWithin(speed("GPVTG,90.0,T,,M,10.0,N,18.52,K")!, (10 * 1852) / 3600, 1e-12);
    expect(speed("GPVTG,90.0,T,,M,10.0,N,18.52,K,N")).toBeUndefined();
  });

  it("writes a course of 360 as 0", () => {
    expect(readText(sentence(GGA) + sentence("GPVTG,360.00,T,,M,10.0,N,,K,A")).fixes[0]!.course).toBe(0);
  });
});

describe("NmeaReader: the owned fix", () => {
  it("hands over the same values as push, NaN where push has undefined", () => {
    const text =
      epoch({ at: 100, types: ["GGA", "VTG"] }) +
      epoch({ at: 110, types: ["GGA"] }) +
      epoch({ at: 120, types: ["GLL", "HDT"] }) +
      epoch({ at: 130, types: ["GGA"] });
    const fresh = new NmeaReader().push(bytesOf(text));
    const seen: Fix[] = [];
    const objects = new Set<Fix>();
    new NmeaReader().pushEach(bytesOf(text), (fix) => {
      objects.add(fix);
      const known = Object.entries(fix).filter(([, value]) => typeof value !== "number" || !Number.isNaN(value));
      seen.push(Object.fromEntries(known) as unknown as Fix);
    });
    expect(seen).toEqual(JSON.parse(JSON.stringify(fresh)));
    expect(fresh).toHaveLength(3);
    expect(objects.size).toBe(1);
    expect(new Set(fresh).size).toBe(3);
  });
});

describe("NmeaReader: where nothing is", () => {
  it("gives 0, never -0, on the equator and at Greenwich", () => {
    const { fixes } = readText(sentence("GNGGA,120000.00,0000.0000,S,00000.0000,W,4,12,0.9,1.0,M,1.0,M,,"));
    expect(fixes).toHaveLength(1);
    expect(Object.is(fixes[0]!.latitude, 0)).toBe(true);
    expect(Object.is(fixes[0]!.longitude, 0)).toBe(true);
  });
});

describe("NmeaReader: options", () => {
  it("refuses a bad one", () => {
    expectCode(() => new NmeaReader({ earliestTime: Number.NaN }), "not-finite");
    expectCode(() => new NmeaReader({ earliestTime: -1 }), "out-of-range");
  });
});
