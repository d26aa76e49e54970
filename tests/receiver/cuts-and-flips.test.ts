import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { type Fix, NmeaReader } from "../../src/receiver/index.js";
import { random } from "../helpers/random.js";
import { bytesOf, epoch, sentence } from "./sentences.js";

function readPieces(pieces: readonly Uint8Array[]): { fixes: Fix[]; counts: NmeaReader["counts"] } {
  const reader = new NmeaReader();
  const fixes = pieces.flatMap((piece) => reader.push(piece));
  fixes.push(...reader.flush());
  return { fixes, counts: reader.counts };
}

const STREAM = [
  "\u00b5b\u0001$GN",
  ...Array.from({ length: 6 }, (_, i) =>
    epoch({
      at: 8_639_970 + 10 * i,
      types: i % 3 === 0 ? ["HDT", "GGA", "VTG", "RMC", "GST", "ZDA"] : ["HDT", "GGA", "VTG"],
      knots: i,
    }),
  ),
  sentence("GPGSV,1,1,01,36,19,156,51").replace("*", "x*"),
  epoch({ at: 30, types: ["GGA", "VTG"] }),
].join("");

// P35 of the properties: the fixes depend on the bytes alone, not on how they come in
describe("cuts of the stream", () => {
  it("change nothing, one cut at every place", () => {
    const bytes = bytesOf(STREAM);
    const whole = readPieces([bytes]);
    expect(whole.fixes).toHaveLength(7);
    for (let cut = 0; cut <= bytes.length; cut++) {
      expect(readPieces([bytes.subarray(0, cut), bytes.subarray(cut)]), `cut at ${cut}`).toEqual(whole);
    }
  });

  it("change nothing, any number of cuts", () => {
    const bytes = bytesOf(STREAM);
    const whole = readPieces([bytes]);
    expect(readPieces(Array.from(bytes, (byte) => Uint8Array.of(byte)))).toEqual(whole);
    fc.assert(
      fc.property(fc.array(fc.nat(bytes.length), { maxLength: 40 }), (cuts) => {
        const ends = [0, ...cuts.sort((a, b) => a - b), bytes.length];
        expect(readPieces(ends.slice(1).map((end, i) => bytes.subarray(ends[i], end)))).toEqual(whole);
      }),
      { numRuns: 300 },
    );
  });

  it("change no moment at which a fix goes out", () => {
    const bytes = bytesOf(STREAM);
    const moments = (size: number): number[] => {
      const reader = new NmeaReader();
      const out: number[] = [];
      for (let i = 0; i < bytes.length; i += size) {
        for (const fix of reader.push(bytes.subarray(i, i + size))) out.push(Math.ceil((i + size) / 16), fix.time);
      }
      return out;
    };
    expect(moments(16)).toEqual(
      moments(1).map((value, i) => (i % 2 === 0 ? Math.ceil(Math.ceil(value * 16) / 16) : value)),
    );
  });
});

// P34: a flip of one byte is refused or reads the same
describe("flips of one byte", () => {
  const BODIES = [
    "GNGGA,001043.00,4404.14036,N,12118.85961,W,4,12,0.98,1113.0,M,-21.3,M,1.5,0001",
    "GNRMC,001043.00,A,4404.13993,N,12118.86023,W,0.146,87.5,100117,11.5,E,R",
    "GNGNS,001043.00,3114.8789,N,12135.2442,E,RRNN,07,1.2,153.8,8.3,1.0,0000",
    "GNGLL,4404.14012,N,12118.85993,W,001043.00,A,R",
  ];

  it("are refused or read the same, every byte to every other", () => {
    for (const body of BODIES) {
      const line = bytesOf(sentence(body));
      const right = readPieces([line]).fixes;
      expect(right).toHaveLength(1);
      for (let i = 0; i < line.length; i++) {
        for (let value = 0; value < 256; value++) {
          const flipped = line.slice();
          flipped[i] = value;
          const { fixes } = readPieces([flipped]);
          if (fixes.length > 0) expect(fixes, `byte ${i} to ${value} in ${body}`).toEqual(right);
        }
      }
    }
  });

  it("among joined sentences lose at most that sentence's share", () => {
    const text = epoch({ at: 100, types: ["GGA", "VTG", "HDT", "GST", "ZDA"] });
    const line = bytesOf(text);
    const right = readPieces([line]).fixes[0]! as unknown as Record<string, unknown>;
    const next = random(7);
    for (let i = 0; i < line.length; i++) {
      for (let n = 0; n < 12; n++) {
        const flipped = line.slice();
        flipped[i] = Math.floor(next() * 256);
        for (const fix of readPieces([flipped]).fixes) {
          for (const [key, value] of Object.entries(fix)) {
            if (key === "time" || key === "dated") continue;
            if (typeof value === "number") expect(value, `${key}, byte ${i} to ${flipped[i]}`).toBe(right[key]);
          }
        }
      }
    }
  });
});

describe("any bytes", () => {
  it("throw nothing, are counted to the last, and leave a reader that works", () => {
    const next = random(20260101);
    const source = bytesOf(STREAM + STREAM);
    const reader = new NmeaReader();
    let fixes = 0;
    // some 1.2 million bytes: true sentences with bytes changed, left out, put in, and stretches of pure chance
    for (let round = 0; round < 700; round++) {
      const bytes = new Uint8Array(source.length + 200);
      let n = 0;
      for (let i = 0; i < source.length; i++) {
        const chance = next();
        if (chance < 0.002) bytes[n++] = Math.floor(next() * 256);
        else if (chance < 0.004) i += Math.floor(next() * 30);
        else bytes[n++] = source[i]!;
      }
      for (let i = 0; i < 100; i++) bytes[n++] = Math.floor(next() * 256);
      for (let i = 0; i < n; ) {
        const size = 1 + Math.floor(next() * 200);
        for (const fix of reader.push(bytes.subarray(i, Math.min(n, i + size)))) {
          fixes++;
          expect(Number.isNaN(fix.latitude)).toBe(fix.quality === 0);
          expect(Math.abs(fix.latitude) > 90 || Math.abs(fix.longitude) > 180).toBe(false);
        }
        i += size;
      }
    }
    fixes += reader.flush().length;
    const { counts } = reader;
    expect(fixes).toBe(counts.fixes);
    expect(fixes).toBeGreaterThan(2000);
    expect(counts.valid).toBe(counts.accepted + counts.ignored + counts.malformed + counts.outOfRange);
    expect(counts.sentences).toBe(
      counts.valid + counts.badChecksum + counts.noChecksum + counts.incomplete + counts.overlong,
    );
    expect(Object.values(counts.types).reduce((sum, n) => sum + n, 0)).toBe(counts.accepted);
    reader.push(bytesOf(epoch({ at: 5000, types: ["GGA"], latitude: 12 })));
    expect(reader.flush().at(-1)!.latitude).toBeCloseTo(12, 9);
  });

  it("throw nothing where the checksum is right and the fields are not", () => {
    const next = random(3);
    const alphabet = "0123456789.,-+NSEWAVMTK \u00e9";
    const types = ["GGA", "RMC", "VTG", "HDT", "THS", "GST", "ZDA", "GNS", "GLL"];
    const reader = new NmeaReader();
    for (let round = 0; round < 200_000; round++) {
      let body = `GP${types[round % types.length]},`;
      const length = Math.floor(next() * 40);
      for (let i = 0; i < length; i++) body += next() < 0.3 ? "," : alphabet[Math.floor(next() * alphabet.length)]!;
      reader.pushEach(bytesOf(sentence(body)), (fix) => {
        if (Number.isNaN(fix.latitude) !== (fix.quality === 0)) expect.fail(`${body}: ${JSON.stringify(fix)}`);
      });
    }
    expect(reader.counts.valid).toBe(200_000);
    expect(reader.counts.accepted).toBeGreaterThan(0);
  });
});
