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
  let crc = -1;
  for (let i = start; i < end; i++) crc = TABLE[(crc ^ bytes[i]!) & 0xff]! ^ (crc >>> 8);
  return ~crc >>> 0;
}

function makeTable(): Int32Array {
  const table = new Int32Array(256);
  for (let i = 0; i < 256; i++) {
    let c = i;
    for (let bit = 0; bit < 8; bit++) c = (c & 1) === 1 ? (c >>> 1) ^ 0xedb88320 : c >>> 1;
    table[i] = c;
  }
  return table;
}
