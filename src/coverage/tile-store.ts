/** Words of one tile of 64 x 64 cells: the 64 rows of its western 32 columns, then those of its eastern ones. */
export const TILE_WORDS = 128;
/** Cells of one tile. */
export const TILE_CELLS = 4096;
/** Tiles of one block, the unit of the directory: 16 along each side. */
export const BLOCK_TILES = 256;
/** Slot of every tile with no bit set; its words are all zero and never written. */
export const EMPTY = 0;
/** Slot of every tile with all bits set; its words are all one and never written. */
export const FULL = 1;

/** Slots in one chunk of memory, as a shift: 64 slots, 32 kB. */
const CHUNK_SHIFT = 6;
const CHUNK_MASK = (1 << CHUNK_SHIFT) - 1;

/** The arrays of the plane "twice" of every block without ground worked twice; never written. */
const NO_SLOTS = new Int32Array(BLOCK_TILES);
const NO_CELLS = new Uint16Array(BLOCK_TILES);
/** Largest stamp that a tile can hold. */
const LAST_STAMP = 0xffffffff;

/** 16 x 16 tiles of the directory: for each tile the slots of its two planes, its counts and when it changed last. */
export class Block {
  /** column of the block: its first cell's column divided by 1024 */
  readonly column: number;
  /** row of the block */
  readonly row: number;
  /** slot of the plane "worked", by tile; index is `(row & 15) * 16 + (column & 15)` */
  readonly worked: Int32Array = new Int32Array(BLOCK_TILES);
  /** slot of the plane "worked at least twice", by tile */
  twice: Int32Array = NO_SLOTS;
  /** worked cells, by tile */
  readonly workedCells: Uint16Array = new Uint16Array(BLOCK_TILES);
  /** cells worked at least twice, by tile */
  twiceCells: Uint16Array = NO_CELLS;
  /** revision at the last change less {@link TileStore.base}, by tile; 0 for none since then */
  readonly stamps: Uint32Array = new Uint32Array(BLOCK_TILES);

  /** revision at the last change of any tile */
  latest = 0;
  /** the block that changed next after this one; undefined for the newest, and where nothing changed */
  newer: Block | undefined = undefined;
  /** the block that changed last before this one */
  older: Block | undefined = undefined;

  constructor(column: number, row: number) {
    this.column = column;
    this.row = row;
  }

  /** Make room for ground worked twice; call it before writing to that plane. */
  openTwice(): void {
    if (this.twice !== NO_SLOTS) return;
    this.twice = new Int32Array(BLOCK_TILES);
    this.twiceCells = new Uint16Array(BLOCK_TILES);
  }

  /** Bytes of its arrays. */
  get byteLength(): number {
    return BLOCK_TILES * (this.twice === NO_SLOTS ? 4 + 2 + 4 : 4 + 2 + 4 + 4 + 2);
  }
}

/**
 * Memory of a sparse bitmap of two planes: blocks of tiles found by hashing, and slots of 128 words in chunks that are
 * never moved, so that growing costs the same at any size.
 *
 * A tile with all bits set gives its words back and points at {@link FULL}: ground that is done costs no bitmap.
 */
export class TileStore {
  /** every block, in order of making */
  readonly blocks: Block[] = [];
  /** bumped by each change, 0 for a new store */
  revision = 0;
  /** revision that tiles' stamps count from: whatever changed before it counts as changed at it */
  base = 0;
  /** the block that changed last; `older` leads on to those before it */
  newest: Block | undefined = undefined;

  private table: Int32Array = new Int32Array(64);
  private readonly chunks: Int32Array[] = [];
  private slots = 0;
  private readonly free: number[] = [];
  private lastColumn = 0;
  private lastRow = 0;
  private last: Block | undefined = undefined;

  constructor() {
    this.newSlot(); // EMPTY
    this.words(this.newSlot()).fill(-1, TILE_WORDS, 2 * TILE_WORDS); // FULL
  }

  /** Block at a block column and row, or undefined where nothing was ever marked. */
  find(column: number, row: number): Block | undefined {
    if (this.last !== undefined && column === this.lastColumn && row === this.lastRow) return this.last;
    const table = this.table;
    const mask = table.length - 1;
    let at = hash(column, row) & mask;
    for (let index = table[at]!; index !== 0; index = table[at]!) {
      const block = this.blocks[index - 1]!;
      if (block.column === column && block.row === row) {
        this.lastColumn = column;
        this.lastRow = row;
        this.last = block;
        return block;
      }
      at = (at + 1) & mask;
    }
    return undefined;
  }

  /** Block at a block column and row, made where it was missing. */
  make(column: number, row: number): Block {
    const found = this.find(column, row);
    if (found !== undefined) return found;
    const block = new Block(column, row);
    this.blocks.push(block);
    if (this.blocks.length * 2 > this.table.length) this.grow();
    else this.enter(block, this.blocks.length);
    this.lastColumn = column;
    this.lastRow = row;
    this.last = block;
    return block;
  }

  /** Note that a tile changes with the revision to come; {@link TileStore.advance} closes the change. */
  touch(block: Block, tile: number): void {
    // hot: the block is nearly always the newest
    block.stamps[tile] = this.revision + 1 - this.base;
    block.latest = this.revision + 1;
    if (block === this.newest) return;
    if (block.newer !== undefined) {
      block.newer.older = block.older;
      if (block.older !== undefined) block.older.newer = block.newer;
    }
    block.newer = undefined;
    block.older = this.newest;
    if (this.newest !== undefined) this.newest.newer = block;
    this.newest = block;
  }

  /** Count a change. */
  advance(): void {
    this.revision++;
    if (this.revision - this.base >= LAST_STAMP) this.rebase(this.revision);
  }

  /** Let everything so far count as changed at a revision: after restoring, and when stamps run out. */
  rebase(revision: number): void {
    this.revision = revision;
    this.base = revision;
    for (let i = 0; i < this.blocks.length; i++) this.blocks[i]!.stamps.fill(0);
  }

  /** Slot of the plane "worked" of a tile, {@link EMPTY} where nothing was ever marked. */
  workedSlot(tileColumn: number, tileRow: number): number {
    const block = this.find(tileColumn >> 4, tileRow >> 4);
    return block === undefined ? EMPTY : block.worked[((tileRow & 15) << 4) | (tileColumn & 15)]!;
  }

  /** Chunk of words that holds a slot. */
  words(slot: number): Int32Array {
    return this.chunks[slot >> CHUNK_SHIFT]!;
  }

  /** Index of a slot's first word within its chunk. */
  offset(slot: number): number {
    return (slot & CHUNK_MASK) * TILE_WORDS;
  }

  /** A slot of zero words. */
  newSlot(): number {
    if (this.free.length > 0) return this.free.pop()!;
    const slot = this.slots++;
    if (slot >> CHUNK_SHIFT === this.chunks.length) this.chunks.push(new Int32Array(TILE_WORDS << CHUNK_SHIFT));
    return slot;
  }

  /** Give a slot back; its words are cleared for the next tile. */
  release(slot: number): void {
    const offset = this.offset(slot);
    this.words(slot).fill(0, offset, offset + TILE_WORDS);
    this.free.push(slot);
  }

  /**
   * Set one plane of a tile.
   *
   * @param block - the tile's block
   * @param plane - which plane
   * @param tile - index of the tile in its block
   * @param words - the 128 words, copied
   * @param cells - how many bits are set in them
   */
  put(block: Block, plane: "worked" | "twice", tile: number, words: Int32Array, cells: number): void {
    if (plane === "twice" && cells > 0) block.openTwice();
    const slots = block[plane];
    const counts = plane === "twice" ? block.twiceCells : block.workedCells;
    if (counts[tile] === 0 && cells === 0) return;
    let slot = slots[tile]!;
    if (cells === 0 || cells === TILE_CELLS) {
      if (slot > FULL) this.release(slot);
      slots[tile] = cells === 0 ? EMPTY : FULL;
    } else {
      if (slot <= FULL) slot = this.newSlot();
      slots[tile] = slot;
      this.words(slot).set(words, this.offset(slot));
    }
    counts[tile] = cells;
  }

  /** Bytes held: bitmaps, directory and free list, without the engine's own overhead for an object. */
  get byteLength(): number {
    const chunks = this.chunks.length * (TILE_WORDS << CHUNK_SHIFT) * 4;
    let directory = this.table.byteLength + this.free.length * 8;
    for (let i = 0; i < this.blocks.length; i++) directory += this.blocks[i]!.byteLength;
    return chunks + directory;
  }

  private grow(): void {
    this.table = new Int32Array(this.table.length * 2);
    for (let i = 0; i < this.blocks.length; i++) this.enter(this.blocks[i]!, i + 1);
  }

  private enter(block: Block, number: number): void {
    const mask = this.table.length - 1;
    let at = hash(block.column, block.row) & mask;
    while (this.table[at] !== 0) at = (at + 1) & mask;
    this.table[at] = number;
  }
}

function hash(column: number, row: number): number {
  const h = Math.imul(column, 0x9e3779b1) ^ Math.imul(row, 0x85ebca6b);
  return h ^ (h >>> 15);
}
