/** Makers of shapefiles, byte by byte after the white paper, for what the writer would never write. */
export type Xy = readonly (readonly number[])[];

export function bytesOf(size: number, fill: (view: DataView) => void): Uint8Array {
  const bytes = new Uint8Array(size);
  fill(new DataView(bytes.buffer));
  return bytes;
}

export function joined(parts: readonly Uint8Array[]): Uint8Array {
  const bytes = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    bytes.set(part, at);
    at += part.length;
  }
  return bytes;
}

/** A main file of records that hold these contents. */
export function shpOf(type: number, contents: readonly Uint8Array[], numbers?: readonly number[]): Uint8Array {
  const records = contents.map((content, i) =>
    joined([
      bytesOf(8, (view) => {
        view.setInt32(0, numbers?.[i] ?? i + 1);
        view.setInt32(4, content.length / 2);
      }),
      content,
    ]),
  );
  const size = 100 + records.reduce((sum, record) => sum + record.length, 0);
  const header = bytesOf(100, (view) => {
    view.setInt32(0, 9994);
    view.setInt32(24, size / 2);
    view.setInt32(28, 1000, true);
    view.setInt32(32, type, true);
  });
  return joined([header, ...records]);
}

const int = (value: number): Uint8Array => bytesOf(4, (view) => view.setInt32(0, value, true));
const doubles = (values: readonly number[]): Uint8Array =>
  bytesOf(8 * values.length, (view) => values.forEach((value, i) => view.setFloat64(8 * i, value, true)));

export const nullShape: Uint8Array = int(0);

/** A point: x, y and whatever else its kind has. */
export function pointOf(type: number, values: readonly number[]): Uint8Array {
  return joined([int(type), doubles(values)]);
}

/** A polyline, polygon or multipoint (no parts then), with z and measures where given. */
export function partsOf(type: number, parts: readonly Xy[], z?: readonly number[], m?: readonly number[]): Uint8Array {
  const points = parts.flat();
  const starts = parts.map((_, i) => parts.slice(0, i).reduce((sum, part) => sum + part.length, 0));
  const multi = type % 10 === 8;
  return joined([
    int(type),
    doubles([0, 0, 0, 0]),
    ...(multi ? [] : [int(parts.length)]),
    int(points.length),
    ...(multi ? [] : starts.map(int)),
    doubles(points.flatMap(([x, y]) => [x!, y!])),
    ...(z === undefined ? [] : [doubles([0, 0, ...z])]),
    ...(m === undefined ? [] : [doubles([0, 0, ...m])]),
  ]);
}

export interface DbfColumn {
  readonly name: string | Uint8Array;
  readonly type: string;
  readonly length: number;
  readonly decimals?: number;
}

/** A table; cells as texts of bytes 0 to 255 or as bytes, rows marked `*` are deleted. */
export function dbfOf(
  columns: readonly DbfColumn[],
  rows: readonly (readonly (string | Uint8Array)[])[],
  more: { driver?: number; version?: number; deleted?: readonly number[]; end?: string } = {},
): Uint8Array {
  const latin = (text: string): Uint8Array => Uint8Array.from(text, (c) => c.charCodeAt(0));
  const length = columns.reduce((sum, column) => sum + column.length, 1);
  const start = 33 + 32 * columns.length;
  const bytes = new Uint8Array(start + rows.length * length).fill(0x20, start);
  const view = new DataView(bytes.buffer);
  bytes.set([more.version ?? 3, 126, 5, 1]);
  view.setUint32(4, rows.length, true);
  view.setUint16(8, start, true);
  view.setUint16(10, length, true);
  bytes[29] = more.driver ?? 0;
  columns.forEach((column, i) => {
    const at = 32 + 32 * i;
    bytes.set(typeof column.name === "string" ? latin(column.name) : column.name, at);
    bytes[at + 11] = column.type.charCodeAt(0);
    bytes[at + 16] = column.length % 256;
    bytes[at + 17] = column.decimals ?? Math.floor(column.length / 256);
  });
  bytes[start - 1] = 0x0d;
  rows.forEach((row, i) => {
    let at = start + i * length;
    if (more.deleted?.includes(i)) bytes[at] = 0x2a;
    at++;
    columns.forEach((column, j) => {
      const cell = row[j] ?? "";
      bytes.set(typeof cell === "string" ? latin(cell) : cell, at);
      at += column.length;
    });
  });
  return joined([bytes, latin(more.end ?? "\x1a")]);
}

/** A square, clockwise as the white paper winds exteriors. */
export function square(x: number, y: number, side: number): number[][] {
  return [
    [x, y],
    [x, y + side],
    [x + side, y + side],
    [x + side, y],
    [x, y],
  ];
}
