import { FeeringError } from "../errors/index.js";
import type { GeodeticPosition } from "../frames/position.js";
import { crc32 } from "./crc32.js";
import { popcount } from "./popcount.js";
import { CELL_LIMIT } from "./sample.js";
import { type Block, EMPTY, FULL, TILE_CELLS, TILE_WORDS, type TileStore } from "./tile-store.js";

/*
 * Little-endian. Header of 80 bytes: "FCOV", version u16, 0 u16, cell size f64, maximum extent f64, marked cells f64,
 * refused marks f64, revision f64, tiles u32, length of all u32, origin's latitude, longitude and altitude f64, NaN where
 * the record has none. Then the tiles that have a worked cell, by row and
 * column: column i32, row i32, kinds u8 (low half: plane "worked", high half: "twice"; 0 empty, 1 full, 2 packed), the
 * packed planes. Last, CRC-32 u32 of everything before it.
 *
 * A packed plane is its 128 words, each as the exclusive or with the one before: a byte below 128 stands for one more
 * than that many words of zero, a byte of 128 or more has in its low four bits which of the word's bytes follow.
 */
const MAGIC = 0x564f4346;
const VERSION = 2;
const HEADER = 80;
const TILE_HEADER = 9;
const PACKED_MOST = 5 * TILE_WORDS;
const PACKED = 2;

/** What a snapshot holds besides the bitmap. */
export interface SnapshotTotals {
  /** side of a cell, metres */
  cellSize: number;
  /** longest side of a quad that is taken, metres */
  maximumExtent: number;
  /** sum of all marks, cells */
  markedCells: number;
  /** marks refused */
  refused: number;
  /** origin of the frame */
  origin?: GeodeticPosition;
}

/** Bytes of a whole record: ground and totals give the same bytes in whatever order they came, but for the revision. */
export function encodeSnapshot(store: TileStore, totals: SnapshotTotals): Uint8Array {
  const tiles = sortedTiles(store);
  let planes = 0;
  for (const { block, tile } of tiles) {
    if (block.worked[tile]! > FULL) planes++;
    if (block.twice[tile]! > FULL) planes++;
  }
  const out = new Uint8Array(HEADER + tiles.length * TILE_HEADER + planes * PACKED_MOST + 4);
  const view = new DataView(out.buffer);
  let at = HEADER;
  for (const { block, tile } of tiles) {
    view.setInt32(at, columnOf(block, tile), true);
    view.setInt32(at + 4, rowOf(block, tile), true);
    const worked = block.worked[tile]!;
    const twice = block.twice[tile]!;
    out[at + 8] = kindOf(worked) | (kindOf(twice) << 4);
    at += TILE_HEADER;
    if (worked > FULL) at = pack(store.words(worked), store.offset(worked), out, at);
    if (twice > FULL) at = pack(store.words(twice), store.offset(twice), out, at);
  }
  view.setUint32(0, MAGIC, true);
  view.setUint16(4, VERSION, true);
  view.setFloat64(8, totals.cellSize, true);
  view.setFloat64(16, totals.maximumExtent, true);
  view.setFloat64(24, totals.markedCells, true);
  view.setFloat64(32, totals.refused, true);
  view.setFloat64(40, store.revision, true);
  view.setUint32(48, tiles.length, true);
  view.setUint32(52, at + 4, true);
  view.setFloat64(56, totals.origin?.latitude ?? Number.NaN, true);
  view.setFloat64(64, totals.origin?.longitude ?? Number.NaN, true);
  view.setFloat64(72, totals.origin?.altitude ?? Number.NaN, true);
  view.setUint32(at, crc32(out, 0, at), true);
  return out.slice(0, at + 4);
}

/** Checksum of what a snapshot says about the ground: bitmap, cell size and marked cells, not revision, refusals or origin. */
export function hashSnapshot(bytes: Uint8Array): number {
  const copy = bytes.slice(0, bytes.length - 4);
  copy.fill(0, 16, 24);
  copy.fill(0, 32, 48);
  copy.fill(0, 56, HEADER);
  return crc32(copy, 0, copy.length);
}

/** Read the header, after the checksum. */
export function decodeTotals(bytes: Uint8Array): SnapshotTotals {
  if (!(bytes instanceof Uint8Array)) fail("is no Uint8Array");
  if (bytes.length < HEADER + 4) fail(`has ${bytes.length} bytes, a snapshot has at least ${HEADER + 4}`);
  const view = viewOf(bytes);
  if (view.getUint32(0, true) !== MAGIC) fail("does not begin as a coverage snapshot");
  const version = view.getUint16(4, true);
  if (version !== VERSION) fail(`is of version ${version}, this release reads ${VERSION}`);
  const length = view.getUint32(52, true);
  if (length !== bytes.length) fail(`has ${bytes.length} bytes, its header says ${length}`);
  if (view.getUint32(length - 4, true) !== crc32(bytes, 0, length - 4)) fail("is damaged: its checksum is wrong");
  const latitude = view.getFloat64(56, true);
  const longitude = view.getFloat64(64, true);
  const altitude = view.getFloat64(72, true);
  const named = !(Number.isNaN(latitude) && Number.isNaN(longitude) && Number.isNaN(altitude));
  return {
    cellSize: view.getFloat64(8, true),
    maximumExtent: view.getFloat64(16, true),
    markedCells: requireCount(view.getFloat64(24, true), "marked cells"),
    refused: requireCount(view.getFloat64(32, true), "refused marks"),
    ...(named ? { origin: { latitude, longitude, altitude } } : {}),
  };
}

/**
 * Read the tiles into an empty store; call {@link decodeTotals} first.
 *
 * @returns cells worked at least once and at least twice
 */
export function decodeTiles(bytes: Uint8Array, store: TileStore): { workedCells: number; twiceCells: number } {
  const view = viewOf(bytes);
  const end = bytes.length - 4;
  store.rebase(requireCount(view.getFloat64(40, true), "revision"));
  const reader: Reader = { bytes, at: HEADER, end };
  const worked = new Int32Array(TILE_WORDS);
  const twice = new Int32Array(TILE_WORDS);
  let workedCells = 0;
  let twiceCells = 0;
  let lastColumn = 0;
  let lastRow = -Infinity;
  for (let i = view.getUint32(48, true); i > 0; i--) {
    if (reader.at + TILE_HEADER > end) fail("ends within a tile");
    const column = view.getInt32(reader.at, true);
    const row = view.getInt32(reader.at + 4, true);
    const kinds = bytes[reader.at + 8]!;
    if (row < lastRow || (row === lastRow && column <= lastColumn)) fail("has tiles out of order");
    if (Math.max(Math.abs(column), Math.abs(row)) > CELL_LIMIT / 64) fail(`has a tile at ${column}, ${row}`);
    lastColumn = column;
    lastRow = row;
    reader.at += TILE_HEADER;
    const inWorked = unpack(reader, kinds & 15, worked);
    const inTwice = unpack(reader, kinds >> 4, twice);
    if (inWorked === 0) fail("has a tile without worked ground");
    for (let w = 0; w < TILE_WORDS; w++)
      if ((twice[w]! & ~worked[w]!) !== 0) fail("has ground worked twice but not once");
    const block = store.make(column >> 4, row >> 4);
    const tile = ((row & 15) << 4) | (column & 15);
    store.put(block, "worked", tile, worked, inWorked);
    store.put(block, "twice", tile, twice, inTwice);
    workedCells += inWorked;
    twiceCells += inTwice;
  }
  if (reader.at !== end) fail(`has ${end - reader.at} bytes after its last tile`);
  return { workedCells, twiceCells };
}

/** Throw the error of a snapshot that can't be read. */
export function fail(what: string, cause?: unknown): never {
  throw new FeeringError("bad-snapshot", `bytes ${what}`, {
    argument: "bytes",
    ...(cause === undefined ? {} : { cause }),
  });
}

interface Reader {
  readonly bytes: Uint8Array;
  at: number;
  readonly end: number;
}

function sortedTiles(store: TileStore): { block: Block; tile: number }[] {
  const tiles: { block: Block; tile: number }[] = [];
  for (const block of store.blocks) {
    for (let tile = 0; tile < block.worked.length; tile++)
      if (block.worked[tile] !== EMPTY) tiles.push({ block, tile });
  }
  return tiles.sort(
    (a, b) => rowOf(a.block, a.tile) - rowOf(b.block, b.tile) || columnOf(a.block, a.tile) - columnOf(b.block, b.tile),
  );
}

function columnOf(block: Block, tile: number): number {
  return (block.column << 4) + (tile & 15);
}

function rowOf(block: Block, tile: number): number {
  return (block.row << 4) + (tile >> 4);
}

function kindOf(slot: number): number {
  return slot > FULL ? PACKED : slot;
}

function pack(words: Int32Array, offset: number, out: Uint8Array, start: number): number {
  let at = start;
  let before = 0;
  let zeros = 0;
  for (let w = 0; w < TILE_WORDS; w++) {
    const word = words[offset + w]!;
    const change = word ^ before;
    before = word;
    if (change === 0) {
      zeros++;
      continue;
    }
    if (zeros > 0) out[at++] = zeros - 1;
    zeros = 0;
    const control = at++;
    let which = 0;
    for (let b = 0; b < 4; b++) {
      const byte = (change >>> (8 * b)) & 0xff;
      if (byte === 0) continue;
      which |= 1 << b;
      out[at++] = byte;
    }
    out[control] = 0x80 | which;
  }
  if (zeros > 0) out[at++] = zeros - 1;
  return at;
}

/** Read one plane of a tile; gives the number of its cells. */
function unpack(reader: Reader, kind: number, into: Int32Array): number {
  if (kind === EMPTY || kind === FULL) {
    into.fill(kind === FULL ? -1 : 0);
    return kind === FULL ? TILE_CELLS : 0;
  }
  if (kind !== PACKED) fail(`has a plane of unknown kind ${kind}`);
  const bytes = reader.bytes;
  let before = 0;
  let cells = 0;
  for (let w = 0; w < TILE_WORDS; ) {
    if (reader.at >= reader.end) fail("ends within a tile");
    const control = bytes[reader.at++]!;
    if (control < 0x80) {
      if (w + control + 1 > TILE_WORDS) fail("has a tile of too many words");
      cells += (control + 1) * popcount(before);
      into.fill(before, w, w + control + 1);
      w += control + 1;
      continue;
    }
    let change = 0;
    for (let b = 0; b < 4; b++) {
      if ((control & (1 << b)) === 0) continue;
      if (reader.at >= reader.end) fail("ends within a tile");
      change |= bytes[reader.at++]! << (8 * b);
    }
    before ^= change;
    cells += popcount(before);
    into[w++] = before;
  }
  if (cells === 0 || cells === TILE_CELLS) fail("has a packed plane that is empty or full");
  return cells;
}

function requireCount(value: number, what: string): number {
  if (!Number.isSafeInteger(value) || value < 0) fail(`gives ${what} as ${value}`);
  return value;
}

function viewOf(bytes: Uint8Array): DataView {
  return new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
}
