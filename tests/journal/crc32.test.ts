import { expect, it } from "vitest";
import { crc32 } from "../../src/coverage/crc32.js";
import { random } from "../helpers/random.js";

it("the checksum is that of its definition, bit by bit, at every start and length", () => {
  const chance = random(1);
  const bytes = Uint8Array.from({ length: 70 }, () => Math.floor(chance() * 256));
  for (let start = 0; start < 9; start++) {
    for (let end = start; end <= bytes.length; end++) expect(crc32(bytes, start, end)).toBe(plain(bytes, start, end));
  }
  // check value of the catalogue of parametrised CRC algorithms (CRC-32/ISO-HDLC), from memory
  const digits = Uint8Array.from("123456789", (c) => c.charCodeAt(0));
  expect(crc32(digits, 0, 9)).toBe(0xcbf43926);
});

/** ITU-T V.42 (2002), 8.1.1.6.2, reflected: one bit after the other. */
function plain(bytes: Uint8Array, start: number, end: number): number {
  let crc = 0xffffffff;
  for (let i = start; i < end; i++) {
    for (let bit = 0; bit < 8; bit++) {
      const out = (crc ^ (bytes[i]! >> bit)) & 1;
      crc = (crc >>> 1) ^ (out === 1 ? 0xedb88320 : 0);
    }
  }
  return (crc ^ 0xffffffff) >>> 0;
}
