import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { decodeExact, encodeExact } from "../../src/job/exact-json.js";
import { FIX_SIZE, FixWriter, readFix } from "../../src/job/fix-record.js";
import { readBody } from "../../src/job/record-body.js";
import type { Fix } from "../../src/receiver/index.js";

const number = fc.oneof(
  fc.double(),
  fc.constantFrom(-0, 0, 254, 255, 256, 1, Number.NaN, Number.POSITIVE_INFINITY, 5e-324, Number.MAX_VALUE),
);
const names = ["time", "latitude", "longitude", "altitude", "quality", "satellites", "hdop", "correctionAge"].concat([
  "speed",
  "course",
  "heading",
  "horizontalAccuracy",
  "roll",
  "pitch",
  "yawRate",
]);
const anyFix = fc.record(
  Object.fromEntries([
    ...names.map((name) => [name, fc.oneof(number, fc.constant(undefined))]),
    ["dated", fc.constantFrom(true, false, undefined)],
  ]),
  { requiredKeys: [] },
) as unknown as fc.Arbitrary<Fix>;

describe("a fix in the record", () => {
  it("comes back bit for bit: missing, undefined, NaN, -0 and all numbers told apart", () => {
    const writer = new FixWriter();
    const view = new DataView(new ArrayBuffer(FIX_SIZE + 10));
    fc.assert(
      fc.property(anyFix, fc.constantFrom(true, false, undefined), fc.nat(10), (fix, reversing, start) => {
        const size = writer.write(view, start, fix, reversing);
        expect(size).toBeGreaterThan(0);
        expect(size).toBeLessThanOrEqual(FIX_SIZE);
        const read = readFix(new Uint8Array(view.buffer), start, start + size)!;
        // a turn rate that is none is left out
        const { yawRate, ...rest } = fix;
        const kept = yawRate === undefined || Number.isNaN(yawRate) ? rest : fix;
        expect(Object.keys(read.fix).sort()).toEqual(Object.keys(kept).sort());
        for (const [name, value] of Object.entries(kept)) {
          expect(Object.is((read.fix as unknown as Record<string, unknown>)[name], value), name).toBe(true);
        }
        expect(read.reversing).toBe(reversing);
      }),
      { numRuns: 2000 },
    );
  });

  it("is small: a day's usual fix takes 71 bytes", () => {
    const view = new DataView(new ArrayBuffer(FIX_SIZE));
    const fix: Fix = {
      time: 1.5,
      dated: true,
      latitude: 1,
      longitude: 2,
      quality: 4,
      satellites: 12,
      speed: 3,
      course: 4,
    };
    // kind and mask 5, time and place 24, quality and satellites a byte each, speed and course 16
    expect(new FixWriter().write(view, 0, fix, undefined)).toBe(47);
    expect(new FixWriter().write(view, 0, { ...fix, altitude: 100, hdop: 0.7, correctionAge: 1 }, undefined)).toBe(71);
  });

  it("is none when something in it is no number", () => {
    const view = new DataView(new ArrayBuffer(FIX_SIZE));
    const fix = { time: 1, dated: true, latitude: 1, longitude: 2, quality: 4 };
    const writer = new FixWriter();
    for (const odd of [null, 5, "fix", undefined]) expect(writer.write(view, 0, odd as never, undefined)).toBe(0);
    for (const name of [...names, "dated"]) {
      expect(writer.write(view, 0, { ...fix, [name]: "4" }, undefined), name).toBe(0);
      expect(writer.write(view, 0, { ...fix, [name]: null }, undefined), name).toBe(0);
    }
    expect(writer.write(view, 0, fix, "yes" as never)).toBe(0);
    expect(writer.write(view, 0, fix, true)).toBeGreaterThan(0);
  });

  it("is refused, never thrown at, when its bytes are others", () => {
    const view = new DataView(new ArrayBuffer(FIX_SIZE));
    const plain = { time: 1, dated: true, latitude: 1, longitude: 2, quality: 4, satellites: 300, speed: 1 };
    for (const fix of [plain, { ...plain, yawRate: 3 }]) {
      const size = new FixWriter().write(view, 0, fix, undefined);
      const bytes = new Uint8Array(view.buffer, 0, size);
      for (let end = 0; end < size; end++) expect(readFix(bytes, 0, end), `${end} bytes`).toBeUndefined();
      expect(readFix(new Uint8Array([...bytes, 0]), 0, size + 1)).toBeUndefined();
    }
  });
});

describe("plain data in the record", () => {
  const leaf = fc.oneof(
    number,
    fc.string({ unit: "binary" }),
    fc.constantFrom("\u0001", "\u0001NaN", "\u0001\u0001x", "\ud800", "é\u2028", "__proto__"),
    fc.boolean(),
    fc.constant(null),
    fc.uint8Array({ maxLength: 20 }),
  );
  const data = fc.letrec((tie) => ({
    any: fc.oneof(
      { maxDepth: 4 },
      leaf,
      fc.array(fc.oneof(tie("any"), fc.constant(undefined)), { maxLength: 5 }),
      fc.dictionary(fc.string(), tie("any"), { maxKeys: 5 }),
    ),
  })).any;

  it("comes back the same, with what JSON can't say", () => {
    fc.assert(
      fc.property(data, (value) => {
        const bytes = encodeExact(value);
        const read = decodeExact(bytes);
        expect(read).toStrictEqual(normal(value));
        // toStrictEqual takes 0 and -0 for two
        expect(encodeExact(read)).toEqual(bytes);
      }),
      { numRuns: 1000 },
    );
  });

  it("takes a byte array for what it is, whatever its class, and gives copies", () => {
    const given = { a: Buffer.from([1, 2]), b: new Uint8Array([3]) };
    const bytes = encodeExact(given);
    const read = decodeExact(Buffer.from(bytes)) as { a: Uint8Array; b: Uint8Array };
    expect(read).toStrictEqual({ a: Uint8Array.of(1, 2), b: Uint8Array.of(3) });
    bytes.fill(0);
    expect(read.b[0]).toBe(3);
  });

  it("leaves out what is undefined, and takes nothing for null", () => {
    expect(decodeExact(encodeExact({ a: undefined, b: [undefined] }))).toStrictEqual({ b: [undefined] });
    expect(decodeExact(encodeExact(undefined))).toBeNull();
  });

  it("long text comes back whole", () => {
    const text = "α\u0001".repeat(50_000);
    expect(decodeExact(encodeExact({ text }))).toEqual({ text });
  });

  it("no body of any bytes throws", () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 60 }), fc.integer({ min: 0, max: 9 }), (tail, kind) => {
        const bytes = Uint8Array.of(kind, ...tail);
        expect(() => readBody({ sequence: 1, bytes, start: 0, end: bytes.length })).not.toThrow();
      }),
      { numRuns: 2000 },
    );
    const body = encodeExact({ verb: "restore", values: [] });
    const bytes = Uint8Array.of(3, ...body);
    expect(readBody({ sequence: 1, bytes, start: 0, end: bytes.length })).toBeUndefined();
  });
});

/** as JSON has it: no prototypes of null */
function normal(value: unknown): unknown {
  if (value instanceof Uint8Array) return new Uint8Array(value);
  if (Array.isArray(value)) return value.map(normal);
  if (typeof value !== "object" || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([key, part]) => [key, normal(part)]));
}
