/** four tables: what a byte does to the sum when 0, 1, 2 or 3 bytes follow it */
const TABLE: Int32Array = /* @__PURE__ */ makeTable();

/**
 * CRC-32 of some bytes.
 *
 * @param bytes - the bytes
 * @param start - index of the first byte
 * @param end - index after the last
 * @returns 0 to 2^32 - 1; 0xcbf43926 for the ASCII digits 1 to 9
 * @see ITU-T V.42 (2002), 8.1.1.6.2; polynomial 0x04c11db7, reflected
 */
export function crc32(bytes: Uint8Array, start: number, end: number): number {
  // hot: four bytes at a time
  const table = TABLE;
  let crc = -1;
  let i = start;
  for (const last = end - 3; i < last; i += 4) {
    crc ^= bytes[i]! | (bytes[i + 1]! << 8) | (bytes[i + 2]! << 16) | (bytes[i + 3]! << 24);
    crc =
      table[768 + (crc & 0xff)]! ^
      table[512 + ((crc >>> 8) & 0xff)]! ^
      table[256 + ((crc >>> 16) & 0xff)]! ^
      table[crc >>> 24]!;
  }
  for (; i < end; i++) crc = table[(crc ^ bytes[i]!) & 0xff]! ^ (crc >>> 8);
  return ~crc >>> 0;
}

function makeTable(): Int32Array {
  const table = new Int32Array(4 * 256);
  for (let i = 0; i < 256; i++) {
    let c = i;
    for (let bit = 0; bit < 8; bit++) c = (c & 1) === 1 ? (c >>> 1) ^ 0xedb88320 : c >>> 1;
    table[i] = c;
  }
  for (let i = 256; i < table.length; i++) {
    const c = table[i - 256]!;
    table[i] = table[c & 0xff]! ^ (c >>> 8);
  }
  return table;
}
