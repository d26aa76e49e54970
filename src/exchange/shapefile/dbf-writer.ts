import { FeeringError } from "../../errors/index.js";
import { type Attributed, columnsOf, type WrittenShapefileColumn } from "./dbf-columns.js";

/** A table of properties: its bytes and its columns. */
export function writeTable(
  rows: readonly Attributed[],
  path: string,
  day: readonly [year: number, month: number, day: number],
): { dbf: Uint8Array; columns: WrittenShapefileColumn[] } {
  const columns = columnsOf(rows, path);
  let length = 1;
  for (const { column } of columns) length += column.length;
  const start = 33 + 32 * columns.length;
  const size = start + rows.length * length + 1;
  if (length > 65_535 || size > 0x7fffffff) {
    const problem =
      length > 65_535 ? `rows of ${length} bytes, at most 65535 fit` : `${size} bytes of table, at most 2^31 fit`;
    throw new FeeringError("too-large", `${path} would have ${problem}`, { argument: path, value: size });
  }
  const bytes = new Uint8Array(size).fill(0x20, start);
  const view = new DataView(bytes.buffer);
  bytes[0] = 0x03;
  bytes[1] = day[0] - 1900;
  bytes[2] = day[1];
  bytes[3] = day[2];
  view.setUint32(4, rows.length, true);
  view.setUint16(8, start, true);
  view.setUint16(10, length, true);
  const encoder = new TextEncoder();
  let offset = 1;
  columns.forEach(({ column, cells }, i) => {
    const at = 32 + 32 * i;
    encoder.encodeInto(column.name, bytes.subarray(at, at + 10));
    bytes[at + 11] = column.type.charCodeAt(0);
    bytes[at + 16] = column.length;
    bytes[at + 17] = column.decimals;
    const right = column.type === "N" || column.type === "F";
    for (let row = 0; row < rows.length; row++) {
      const cell = cells[row]!;
      if (cell === "") continue;
      // numbers stand at the right, and are ASCII
      const from = start + row * length + offset + (right ? column.length - cell.length : 0);
      encoder.encodeInto(cell, bytes.subarray(from));
    }
    offset += column.length;
  });
  bytes[start - 1] = 0x0d;
  bytes[size - 1] = 0x1a;
  return { dbf: bytes, columns: columns.map(({ column }) => column) };
}
