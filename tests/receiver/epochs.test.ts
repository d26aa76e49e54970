import { describe, expect, it } from "vitest";
import { type Fix, NmeaReader } from "../../src/receiver/index.js";
import { bytesOf, epoch, sentence } from "./sentences.js";

/** Feed epoch texts one by one; gives the times at which each text completed a fix, in hundredths since midnight. */
function feed(reader: NmeaReader, texts: readonly string[]): { fixes: Fix[]; at: number[][] } {
  const fixes: Fix[] = [];
  const at = texts.map((text) => {
    const some = reader.push(bytesOf(text));
    fixes.push(...some);
    return some.map((fix) => Math.round((fix.time % 86_400) * 100));
  });
  return { fixes, at };
}

const range = (n: number): number[] => Array.from({ length: n }, (_, i) => i);

describe("joining sentences to fixes", () => {
  it("gives a fix out with the last sentence of its epoch once the order is known", () => {
    for (const types of [
      ["GGA"],
      ["GGA", "RMC"],
      ["RMC", "VTG", "GGA", "GSV", "GLL", "GST", "ZDA"],
      ["GGA", "VTG", "HDT"],
      ["GNS", "RMC"],
    ]) {
      const reader = new NmeaReader();
      // a first epoch must end with the next; from then on each fix comes with its own epoch's text
      const { at } = feed(
        reader,
        range(6).map((i) => epoch({ at: 100 + 10 * i, types })),
      );
      expect(at.slice(2), types.join()).toEqual([[120], [130], [140], [150]]);
      expect(at[0]!.concat(at[1]!)).toEqual(expect.arrayContaining([100]));
      expect(reader.counts.late).toBe(0);
    }
  });

  it("joins one instant written with other decimals in other sentences", () => {
    const reader = new NmeaReader();
    const text = [0.333, 0.667].map((fraction) => {
      const gga = `GNGGA,00100${(4 + fraction).toFixed(3)},4404.14036,N,12118.85961,W,4,12,0.98,1.0,M,0.0,M,,`;
      const rmc = `GNRMC,00100${(4 + fraction).toFixed(2)},A,4404.14036,N,12118.85961,W,10.0,90.0,100117,,,R`;
      return sentence(gga) + sentence(rmc);
    });
    const fixes = [...reader.push(bytesOf(text.join(""))), ...reader.flush()];
    expect(fixes.map((fix) => fix.course)).toEqual([90, 90]);
  });

  it("loses and doubles nothing when sentences are lost", () => {
    const reader = new NmeaReader();
    const types = ["GGA", "VTG", "RMC", "ZDA"];
    const lost: Record<number, string> = { 5: "ZDA", 8: "VTG", 11: "RMC", 14: "GGA", 15: "ZDA", 16: "ZDA" };
    const { fixes } = feed(
      reader,
      range(20).map((i) => epoch({ at: 1000 + 20 * i, types: types.filter((type) => lost[i] !== type), knots: i })),
    );
    fixes.push(...reader.flush());
    expect(fixes.map((fix) => Math.round((fix.time % 86_400) * 100))).toEqual(range(20).map((i) => 1000 + 20 * i));
    // speed is that of its own epoch each time
    fixes.forEach((fix, i) => expect(fix.speed).toBeCloseTo((i * 1852) / 3600, 9));
  });

  it("keeps 10 fixes a second whole when some sentences come once a second only", () => {
    const reader = new NmeaReader();
    const { fixes, at } = feed(
      reader,
      range(60).map((i) =>
        epoch({
          at: 100 + 10 * i,
          types: i % 10 === 0 ? ["GGA", "VTG", "RMC", "GST", "ZDA"] : ["GGA", "VTG"],
          knots: i,
        }),
      ),
    );
    expect(fixes.map((fix) => Math.round((fix.time % 86_400) * 100))).toEqual(range(60).map((i) => 100 + 10 * i));
    fixes.forEach((fix, i) => expect(fix.speed).toBeCloseTo((i * 1852) / 3600, 9));
    fixes.forEach((fix, i) => expect(fix.horizontalAccuracy !== undefined, `fix ${i}`).toBe(i % 10 === 0));
    // after the first second each comes with its own epoch, on the whole second with the last of the five
    at.slice(10).forEach((times, i) => expect(times).toEqual([200 + 10 * i]));
    expect(reader.counts.late).toBe(0);
  });

  it("has no speed where none came: GGA at 10 Hz, VTG at 1 Hz", () => {
    const reader = new NmeaReader();
    const { fixes } = feed(
      reader,
      range(40).map((i) => epoch({ at: 100 + 10 * i, types: i % 10 === 0 ? ["GGA", "VTG"] : ["GGA"], knots: 3 })),
    );
    fixes.forEach((fix, i) => expect(fix.speed !== undefined, `fix ${i}`).toBe(i % 10 === 0));
    expect(fixes).toHaveLength(40);
  });

  it("never joins a VTG to the next epoch, also when its own GGA was lost", () => {
    const reader = new NmeaReader();
    const { fixes } = feed(
      reader,
      range(12).map((i) =>
        epoch({ at: 100 + 10 * i, types: i === 6 ? ["VTG"] : i === 7 ? ["GGA"] : ["GGA", "VTG"], knots: i }),
      ),
    );
    fixes.push(...reader.flush());
    expect(fixes).toHaveLength(11);
    for (const fix of fixes) {
      const i = Math.round(((fix.time % 86_400) - 1) * 10);
      if (i === 7) expect(fix.speed).toBeUndefined();
      else expect(fix.speed).toBeCloseTo((i * 1852) / 3600, 9);
    }
    expect(reader.counts.late).toBe(1);
  });

  it("takes a heading that leads its epoch from the start of the stream", () => {
    const reader = new NmeaReader();
    const { fixes, at } = feed(
      reader,
      range(8).map((i) => epoch({ at: 100 + 10 * i, types: ["HDT", "GGA", "VTG"], heading: i })),
    );
    expect(fixes.map((fix) => fix.heading)).toEqual(range(8).slice(0, fixes.length));
    expect(at.slice(2)).toEqual(range(6).map((i) => [120 + 10 * i]));
  });

  it("sorts out a stream that begins in the middle of an epoch", () => {
    const reader = new NmeaReader();
    const { fixes } = feed(reader, [
      epoch({ at: 100, types: ["VTG"], knots: 0 }),
      ...range(8).map((i) => epoch({ at: 110 + 10 * i, types: ["RMC", "VTG", "GGA"], knots: i + 1 })),
    ]);
    fixes.push(...reader.flush());
    expect(fixes.map((fix) => Math.round((fix.time % 86_400) * 100))).toEqual(range(8).map((i) => 110 + 10 * i));
    fixes.slice(1).forEach((fix, i) => expect(fix.speed).toBeCloseTo(((i + 2) * 1852) / 3600, 9));
    expect(fixes.at(-1)!.altitude).toBeDefined();
  });

  it("follows a receiver whose order changes", () => {
    const reader = new NmeaReader();
    feed(
      reader,
      range(5).map((i) => epoch({ at: 100 + 20 * i, types: ["GGA", "RMC"] })),
    );
    const { at } = feed(
      reader,
      range(20).map((i) => epoch({ at: 200 + 20 * i, types: ["GGA", "RMC", "VTG"], knots: 4 })),
    );
    expect(at.flat()).toEqual(range(20).map((i) => 200 + 20 * i));
    const late = reader.counts.late;
    const { fixes } = feed(
      reader,
      range(5).map((i) => epoch({ at: 600 + 20 * i, types: ["GGA", "RMC", "VTG"] })),
    );
    expect(fixes).toHaveLength(5);
    expect(reader.counts.late).toBe(late);
  });

  it("drops what repeats an epoch that is out, and passes on what is out of order", () => {
    const reader = new NmeaReader();
    const text = range(5).map((i) => epoch({ at: 100 + 10 * i, types: ["GGA", "RMC"] }));
    const { at } = feed(reader, [...text, text[4]!, text[2]!, epoch({ at: 150, types: ["GGA", "RMC"] })]);
    expect(at.slice(2)).toEqual([[120], [130], [140], [], [120], [150]]);
    expect(reader.counts.late).toBe(2);
  });

  it("takes GGA's position before GNS's, RMC's and GLL's, whatever the order", () => {
    for (const types of [
      ["GLL", "RMC", "GNS", "GGA"],
      ["GGA", "GNS", "RMC", "GLL"],
    ]) {
      const text = types.map((type, i) =>
        epoch({ at: 100, types: [type], latitude: 40 + (type === "GGA" ? 5 : i), talker: "GP" }),
      );
      const reader = new NmeaReader();
      const fixes = [...reader.push(bytesOf(text.join(""))), ...reader.flush()];
      expect(fixes).toHaveLength(1);
      expect(fixes[0]!.latitude).toBeCloseTo(45, 9);
    }
  });

  it("keeps the first where two talkers say the same of one instant", () => {
    const reader = new NmeaReader();
    const types = ["GGA", "RMC"];
    const texts = range(6).map((i) =>
      [
        epoch({ at: 100 + 10 * i, types, talker: "GP" }),
        epoch({ at: 100 + 10 * i, types, talker: "GN", latitude: 12 }),
      ].join(""),
    );
    const { fixes } = feed(reader, texts);
    fixes.push(...reader.flush());
    expect(fixes.map((fix) => Math.round((fix.time % 86_400) * 100))).toEqual(range(6).map((i) => 100 + 10 * i));
    fixes.forEach((fix) => expect(fix.latitude).toBeCloseTo(47.25, 9));
    expect(reader.counts.late).toBe(12);
  });

  it("joins a position sentence without a time to the one beside it", () => {
    const reader = new NmeaReader();
    const rmc = sentence("GNRMC,,V,,,,,,,,,,N");
    const gga = (at: number): string => sentence(`GNGGA,0010${at}.00,,,,,0,00,,,M,,M,,`);
    const fixes = [...reader.push(bytesOf([rmc, gga(10), rmc, gga(11), rmc, gga(12)].join(""))), ...reader.flush()];
    expect(fixes.map((fix) => [fix.time, fix.quality])).toEqual([
      [610, 0],
      [611, 0],
      [612, 0],
    ]);
  });

  it("gives GNS and GLL that repeat an instant no second fix", () => {
    const reader = new NmeaReader();
    const { fixes } = feed(
      reader,
      range(4).map((i) => epoch({ at: 100 + 10 * i, types: ["GNS", "GLL", "GNS", "GLL"] })),
    );
    fixes.push(...reader.flush());
    expect(fixes).toHaveLength(4);
  });

  it("flushes once", () => {
    const reader = new NmeaReader();
    reader.push(bytesOf(epoch({ at: 100, types: ["GGA"] })));
    expect(reader.flush()).toHaveLength(1);
    expect(reader.flush()).toHaveLength(0);
    expect(reader.counts.fixes).toBe(1);
  });
});

describe("time of the fixes", () => {
  const DAY = 8_640_000;

  it("runs on over midnight without a date", () => {
    const reader = new NmeaReader();
    const { fixes } = feed(
      reader,
      range(30).map((i) => epoch({ at: (DAY - 100 + 10 * i) % DAY, types: ["GGA"] })),
    );
    fixes.push(...reader.flush());
    fixes.forEach((fix, i) => expect(fix.time).toBeCloseTo(86_400 - 1 + i / 10, 6));
    expect(fixes.every((fix) => !fix.dated)).toBe(true);
  });

  it("runs on over midnight with the date of RMC, also where the old date is sent a little longer", () => {
    const reader = new NmeaReader();
    const { fixes } = feed(
      reader,
      range(40).map((i) =>
        epoch({ at: (DAY - 100 + 10 * i) % DAY, types: ["GGA", "RMC"], date: i < 14 ? "310125" : "010225" }),
      ),
    );
    const midnight = Date.UTC(2025, 1, 1) / 1000;
    fixes.forEach((fix, i) => expect(fix.time).toBeCloseTo(midnight - 1 + i / 10, 5));
    expect(reader.counts.dateDisagreements).toBe(4);
  });

  it("carries the date of one ZDA through the night", () => {
    const reader = new NmeaReader();
    const { fixes } = feed(reader, [
      epoch({ at: DAY - 50, types: ["ZDA"], date: "311224" }),
      ...range(20).map((i) => epoch({ at: (DAY - 50 + 10 * i) % DAY, types: ["GGA"] })),
    ]);
    fixes.forEach((fix, i) => expect(fix.time).toBeCloseTo(Date.UTC(2025, 0, 1) / 1000 - 0.5 + i / 10, 5));
    expect(fixes.every((fix) => fix.dated)).toBe(true);
  });

  it("jumps to Unix time when a date becomes known, and says so", () => {
    const reader = new NmeaReader();
    const { fixes } = feed(reader, [
      epoch({ at: 100, types: ["GGA"] }),
      epoch({ at: 110, types: ["GGA"] }),
      epoch({ at: 120, types: ["RMC", "GGA"], date: "160425" }),
      epoch({ at: 130, types: ["GGA"] }),
    ]);
    fixes.push(...reader.flush());
    expect(fixes.map((fix) => fix.dated)).toEqual([false, false, true, true]);
    expect(fixes.at(-1)!.time).toBeCloseTo(Date.UTC(2025, 3, 16) / 1000 + 1.3, 5);
  });

  it("keeps the running date when the week number starts again, 1024 weeks back", () => {
    const reader = new NmeaReader();
    // 2026-04-16 minus 7168 days is 2006-08-31
    const { fixes } = feed(
      reader,
      range(60).map((i) => epoch({ at: 5000 + 10 * i, types: ["GGA", "RMC"], date: i < 20 ? "160426" : "310806" })),
    );
    fixes.forEach((fix, i) => expect(fix.time).toBeCloseTo(Date.UTC(2026, 3, 16) / 1000 + 50 + i / 10, 5));
    expect(reader.counts.weekRollovers).toBe(40);
  });

  it("moves a date before the earliest one on by 1024 weeks", () => {
    const reader = new NmeaReader({ earliestTime: Date.UTC(2025, 0, 1) / 1000 });
    reader.push(bytesOf(epoch({ at: 5000, types: ["GGA", "RMC"], date: "310806" })));
    const [fix] = reader.flush();
    expect(fix!.time).toBeCloseTo(Date.UTC(2026, 3, 16) / 1000 + 50, 5);
  });

  it("takes the first date that comes with a position, whatever was sent before it", () => {
    const reader = new NmeaReader();
    const types = ["RMC", "GGA"];
    const { fixes } = feed(reader, [
      ...range(3).map((i) => epoch({ at: 5000 + 10 * i, types, quality: 0, date: "060180" })),
      ...range(3).map((i) => epoch({ at: 5030 + 10 * i, types, quality: 4, date: "160426" })),
    ]);
    const day = (fix: Fix): string => new Date(fix.time * 1000).toISOString().slice(0, 10);
    expect(fixes.map(day)).toEqual([
      "1980-01-06",
      "1980-01-06",
      "1980-01-06",
      "2026-04-16",
      "2026-04-16",
      "2026-04-16",
    ]);
    expect(reader.counts.dateDisagreements).toBe(0);
  });

  it("takes another date after ten in a row", () => {
    const reader = new NmeaReader();
    const { fixes } = feed(
      reader,
      range(60).map((i) => epoch({ at: 5000 + 10 * i, types: ["GGA", "RMC"], date: i < 20 ? "220899" : "160426" })),
    );
    expect(fixes.at(-1)!.time).toBeCloseTo(Date.UTC(2026, 3, 16) / 1000 + 55.9, 5);
    expect(reader.counts.dateDisagreements).toBe(10);
  });

  it.for(["2208-1", "320124", "290225", "001024", "011324", "0101", "01012024"])(
    "uses the rest of an RMC whose date is %s",
    (date) => {
      const reader = new NmeaReader();
      reader.push(bytesOf(sentence(`GNRMC,001031.00,A,4404.13993,N,12118.86023,W,0.146,,${date},,,A`)));
      const [fix] = reader.flush();
      expect(fix).toMatchObject({ dated: false, time: 631, quality: 1 });
      expect(reader.counts).toMatchObject({ badDates: 1, accepted: 1 });
    },
  );

  it("has no time before the receiver has", () => {
    const reader = new NmeaReader();
    reader.push(bytesOf(sentence("GPGGA,,,,,,0,,,,M,,M,,")));
    expect(reader.flush()[0]).toMatchObject({ time: Number.NaN, quality: 0 });
  });

  it("counts the days of the Gregorian calendar as Date does", () => {
    const reader = new NmeaReader();
    for (let year = 1980; year < 2080; year++) {
      for (const [month, day] of [
        [1, 1],
        [2, 28],
        [2, year % 4 === 0 ? 29 : 28],
        [3, 1],
        [12, 31],
      ] as const) {
        const date = [day, month, year % 100].map((n) => String(n).padStart(2, "0")).join("");
        const fresh = new NmeaReader();
        fresh.push(bytesOf(sentence(`GNRMC,001031.00,A,4404.13993,N,12118.86023,W,0.146,,${date},,,A`)));
        expect(fresh.flush()[0]!.time, date).toBe(Date.UTC(year, month - 1, day) / 1000 + 631);
      }
    }
    expect(reader.counts.sentences).toBe(0);
  });
});
