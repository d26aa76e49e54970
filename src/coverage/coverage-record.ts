import { FeeringError, requireNumber, requireObject } from "../errors/index.js";
import type { GeodeticPosition, GeographicPosition } from "../frames/position.js";
import type { Bounds, Polygon } from "../geometry/types.js";
import { bitmapRuns, cellWindow, requirePlane, tileRuns } from "./bitmap-runs.js";
import { changedTiles } from "./changed-tiles.js";
import { LiveBitmap } from "./live-bitmap.js";
import { mergeStores } from "./merge.js";
import { outlineOf } from "./outline.js";
import { polygonRuns } from "./polygon-runs.js";
import { combineRuns, countCells, type RowRuns } from "./row-runs.js";
import { requireSameGround } from "./same-ground.js";
import { decodeTiles, decodeTotals, encodeSnapshot, fail, hashSnapshot } from "./snapshot.js";
import { tileOfKey } from "./tile-key.js";
import type {
  CellRunsOptions,
  CoverageAreas,
  CoverageOptions,
  FieldCoverage,
  MissedGround,
  OutlineOptions,
  TileAreas,
  TileOutlineOptions,
} from "./types.js";

/** Most cells along a side of the box round a quad: bounds the time of one call. */
const EXTENT_CELLS = 20_000;

/**
 * The record of ground worked: a sparse bitmap of square cells in a local frame.
 *
 * Cell (i, j) covers `i·c <= x < (i + 1)·c`, `j·c <= y < (j + 1)·c` for cell size c, and is worked when its centre lies
 * inside a marked quad; a centre on a west or south edge is inside, on an east or north edge not. So quads that share
 * an edge leave no gap and share no cell, and the cost of a mark does not depend on what was marked before.
 *
 * `mark`, `coveredShare`, `coveredAlong` and `isCovered` are made for the live loop: they never throw, and allocate
 * nothing but bitmap for ground that is new.
 *
 * Accuracy: the area of a shape is off by at most its perimeter times the cell size, without bias, so that the errors
 * of many passes cancel; 0.1 % for a boom pass at the default cell size (tests/coverage/accuracy.test.ts).
 *
 * @example
 * ```ts
 * const record = new CoverageRecord({ cellSize: 0.1 });
 * record.mark(0, 0, 3, 0, 3, 0.5, 0, 0.5);
 * record.areas().worked; // 1.5 m²
 * record.coveredShare(0, 0, 6, 0, 6, 0.5, 0, 0.5); // 0.5
 * ```
 */
export class CoverageRecord {
  /** side of a cell, metres */
  readonly cellSize: number;
  /** longest side of the box round a quad that is taken, metres */
  readonly maximumExtent: number;
  /** new cells of the last mark */
  lastNew = 0;
  /** cells of the last mark that were worked before */
  lastAgain = 0;
  /** marks refused since the start: not finite, too large or too far out */
  refused = 0;

  private readonly scale: number;
  private readonly live: LiveBitmap;
  private namedOrigin: GeodeticPosition | undefined;
  private workedCells = 0;
  private twiceCells = 0;
  /** sum of all marks, cells */
  private markedCells = 0;

  /**
   * @param options - cell size and largest extent of a quad
   * @throws FeeringError `not-finite` or `out-of-range`
   */
  constructor(options: CoverageOptions = {}) {
    requireObject(options, "options");
    this.cellSize = requireNumber(options.cellSize ?? 0.1, "options.cellSize", { min: 0.01, max: 10 });
    this.maximumExtent = requireNumber(options.maximumExtent ?? 200, "options.maximumExtent", {
      above: 0,
      max: EXTENT_CELLS * this.cellSize,
    });
    this.namedOrigin = options.origin === undefined ? undefined : requireOrigin(options.origin);
    // 1 / 0.1 is exactly 10: decimal coordinates stay on their cells
    this.scale = 1 / this.cellSize;
    this.live = new LiveBitmap(this.scale, this.maximumExtent * this.scale);
  }

  /**
   * Mark the ground that a section worked between two fixes.
   *
   * Corners in order round the quad, either way. It may be concave, or a bow-tie, which is its two triangles, as where
   * a boom turns on the spot; a quad of no area marks nothing. A quad with a corner that is not finite, or larger than
   * `maximumExtent`, is refused whole and counted in `refused`.
   *
   * @param x0 - first corner, metres
   * @param y0 - first corner, metres
   * @param x1 - second corner, metres
   * @param y1 - second corner, metres
   * @param x2 - third corner, metres
   * @param y2 - third corner, metres
   * @param x3 - fourth corner, metres
   * @param y3 - fourth corner, metres
   * @returns number of cells that are new; see also `lastNew` and `lastAgain`
   */
  mark(x0: number, y0: number, x1: number, y1: number, x2: number, y2: number, x3: number, y3: number): number {
    const c = this.live.corners;
    try {
      c[0] = x0;
      c[1] = y0;
      c[2] = x1;
      c[3] = y1;
      c[4] = x2;
      c[5] = y2;
      c[6] = x3;
      c[7] = y3;
    } catch {
      c[0] = Number.NaN; // a bigint or a symbol
    }
    return this.markCorners();
  }

  /**
   * Share of a quad's cells that are worked: what a section would find ahead.
   *
   * A quad too thin to hold the centre of any cell is read along the longer of its two middle lines, as
   * {@link CoverageRecord.coveredAlong}.
   *
   * @param x0 - first corner, metres; corners as for {@link CoverageRecord.mark}
   * @param y0 - first corner, metres
   * @param x1 - second corner, metres
   * @param y1 - second corner, metres
   * @param x2 - third corner, metres
   * @param y2 - third corner, metres
   * @param x3 - fourth corner, metres
   * @param y3 - fourth corner, metres
   * @returns 0..1; NaN where the quad would be refused
   */
  coveredShare(x0: number, y0: number, x1: number, y1: number, x2: number, y2: number, x3: number, y3: number): number {
    const c = this.live.corners;
    try {
      c[0] = x0;
      c[1] = y0;
      c[2] = x1;
      c[3] = y1;
      c[4] = x2;
      c[5] = y2;
      c[6] = x3;
      c[7] = y3;
    } catch {
      c[0] = Number.NaN; // a bigint or a symbol
    }
    this.live.count();
    return this.live.share[0]!;
  }

  /**
   * {@link CoverageRecord.mark} with the corners in an array: for loops that must leave no garbage, where numbers handed
   * over one by one may be boxed by the engine.
   *
   * @param corners - x0, y0, ..., x3, y3 of one or more quads, metres
   * @param start - index of the quad's x0; default 0. Beyond the array the quad is refused
   * @returns number of cells that are new
   */
  markFrom(corners: Float64Array, start = 0): number {
    takeCorners(this.live.corners, corners, start);
    return this.markCorners();
  }

  /**
   * {@link CoverageRecord.coveredShare} of many quads, without garbage.
   *
   * @param corners - eight numbers a quad, metres
   * @param shares - takes the share of each quad; NaN for one that would be refused
   * @param count - how many quads, at most as many as `shares` has room for; default that
   */
  coveredShares(corners: Float64Array, shares: Float64Array, count?: number): void {
    const c = this.live.corners;
    const room = shares instanceof Float64Array ? shares.length : 0;
    const quads = typeof count !== "number" || count > room ? room : count;
    for (let k = 0; k < quads; k++) {
      takeCorners(c, corners, 8 * k);
      this.live.count();
      shares[k] = this.live.share[0]!;
    }
  }

  /**
   * Share of a segment's length that lies on worked cells, exact up to rounding (1e-12).
   *
   * @param ax - start, metres
   * @param ay - start, metres
   * @param bx - end, metres
   * @param by - end, metres
   * @returns 0..1, exactly 0 or 1 where nothing or all is worked; 0 or 1 for a segment of no length; NaN where it is not
   * finite or longer than `maximumExtent` along an axis
   */
  coveredAlong(ax: number, ay: number, bx: number, by: number): number {
    const s = this.live.segment;
    try {
      s[0] = ax;
      s[1] = ay;
      s[2] = bx;
      s[3] = by;
    } catch {
      s[0] = Number.NaN;
    }
    this.live.walk();
    return this.live.share[0]!;
  }

  /**
   * {@link CoverageRecord.coveredAlong} of many pieces of one segment in one walk: the sections of a boom.
   *
   * @param ends - start and end of the segment, x0, y0, x1, y1, metres
   * @param pieces - fractions of the segment at which each piece begins and ends, 0 to 1, rising, none over another
   * @param shares - takes for each piece how much of the whole segment is worked in it, 0 to 1; NaN where the segment would be refused
   * @returns the share of the whole segment, as `coveredAlong`
   */
  coveredPieces(ends: Float64Array, pieces: Float64Array, shares: Float64Array): number {
    const s = this.live.segment;
    for (let i = 0; i < 4; i++) s[i] = ends[i]!;
    this.live.walkPieces(pieces, shares);
    return this.live.share[0]!;
  }

  /**
   * Whether the cell at a point is worked.
   *
   * @param x - metres
   * @param y - metres
   * @returns false also for a point that is not finite
   */
  isCovered(x: number, y: number): boolean {
    return this.coveredAlong(x, y, x, y) === 1;
  }

  /** Totals so far, exact multiples of a cell's area. */
  areas(): CoverageAreas {
    return {
      worked: this.area(this.workedCells),
      workedTwice: this.area(this.twiceCells),
      marked: this.area(this.markedCells),
    };
  }

  /**
   * How much of a field is worked, and how much was worked outside of it.
   *
   * @param field - polygons with holes, metres; rings open or closed, in either winding; they may overlap
   * @returns areas, m², exact multiples of a cell's area
   * @throws FeeringError `too-few-points`, `not-finite`, or `too-large` for a polygon whose box holds over 1e10 cells
   */
  areasWithin(field: readonly Polygon[]): FieldCoverage {
    const inField = polygonRuns(field, "field", this.scale);
    const fieldCells = countCells(inField);
    const worked = countCells(combineRuns(inField, bitmapRuns(this.live.store, "worked"), "both"));
    const twice = countCells(combineRuns(inField, bitmapRuns(this.live.store, "twice"), "both"));
    return {
      field: this.area(fieldCells),
      worked: this.area(worked),
      workedTwice: this.area(twice),
      missed: this.area(fieldCells - worked),
      outside: this.area(this.workedCells - worked),
    };
  }

  /**
   * Ground of a field that was not worked: its cells whose centre lies in the field and that no mark covered.
   *
   * @param field - polygons with holes, metres; rings open or closed, in either winding; they may overlap
   * @returns area and outline, both empty where all is worked
   * @throws FeeringError `too-few-points`, `not-finite`, or `too-large` for a polygon whose box holds over 1e10 cells
   */
  missed(field: readonly Polygon[]): MissedGround {
    const left = combineRuns(
      polygonRuns(field, "field", this.scale),
      bitmapRuns(this.live.store, "worked"),
      "first-alone",
    );
    return { area: this.area(countCells(left)), outline: outlineOf(left, this.scale) };
  }

  /**
   * Outline of the worked ground along the cells' edges, one polygon for each connected part.
   *
   * Parts that meet only corner to corner stay apart. Rings are closed, exteriors counter-clockwise and holes
   * clockwise, none passes a point twice or crosses another; a hole may touch its exterior or another hole in a point.
   * The areas add up to those of {@link CoverageRecord.areas}. With a tolerance corners are dropped, but the outline
   * stays as valid: where rings would cross, less is dropped.
   *
   * @param options - which ground, how exactly, where
   * @returns polygons, metres; none where nothing is worked
   * @throws FeeringError `not-finite` or `out-of-range` for a tolerance, an area or a box that is none
   */
  outline(options: OutlineOptions = {}): Polygon[] {
    requireObject(options, "options");
    const tolerance = requireNumber(options.tolerance ?? 0, "options.tolerance", { min: 0 });
    const leastArea = requireNumber(options.leastArea ?? 0, "options.leastArea", { min: 0 });
    const window = options.within === undefined ? undefined : cellWindow(options.within, this.scale);
    const runs = bitmapRuns(this.live.store, requirePlane(options.of), window);
    return outlineOf(runs, this.scale, {
      tolerance: tolerance * this.scale,
      leastArea: leastArea * this.scale * this.scale,
    });
  }

  /**
   * The worked cells themselves, row by row as runs of columns: what outlines and areas are made from.
   *
   * Cell (i, j) covers x from `i·c` to `(i + 1)·c` and y from `j·c` to `(j + 1)·c` for cell size c, metres.
   *
   * @param options - which ground, where
   * @returns fresh arrays, empty where nothing is worked
   * @throws FeeringError `not-finite` for a box that is none, `out-of-range` for ground that is none
   */
  cellRuns(options: CellRunsOptions = {}): RowRuns {
    requireObject(options, "options");
    const window = options.within === undefined ? undefined : cellWindow(options.within, this.scale);
    return bitmapRuns(this.live.store, requirePlane(options.of), window);
  }

  /**
   * Add the ground of another record of the same field, as of a second machine: what either worked is worked, what either
   * worked twice is worked twice. Commutative, associative and idempotent, so that records may be exchanged in any order
   * and more than once.
   *
   * Ground that each worked once is not worked twice for it, as a copy of the same work could not be told from a second
   * machine's: `sharedArea` gives it, before merging. For the same reason `marked` becomes the largest of the two and of
   * `worked + workedTwice`, the least that the ground itself tells; and `refused` stays that of this record. A record
   * without an origin takes the other's.
   *
   * @param other - stays as it is
   * @returns this record
   * @throws FeeringError `out-of-range` for what is no record, another cell size or another frame; nothing is changed then
   */
  merge(other: CoverageRecord): this {
    if (!(other instanceof CoverageRecord)) {
      throw new FeeringError("out-of-range", "other is no coverage record", { argument: "other", value: other });
    }
    requireSameGround(this, other, "other");
    const added = mergeStores(this.live.store, other.live.store);
    this.workedCells += added.fresh;
    this.twiceCells += added.twice;
    this.markedCells = Math.max(this.markedCells, other.markedCells, this.workedCells + this.twiceCells);
    this.namedOrigin ??= other.namedOrigin;
    return this;
  }

  /** Counts the changes so far: a mark or a merge that changed any cell adds 1. See {@link CoverageRecord.changedTiles}. */
  get revision(): number {
    return this.live.store.revision;
  }

  /** Origin of the record's frame, where it was named. */
  get origin(): GeodeticPosition | undefined {
    return this.namedOrigin;
  }

  /**
   * Tiles, squares of 64 x 64 cells, that changed after a revision: what a display has to paint again. The cost grows
   * with what changed, not with the field.
   *
   * A restored record has the revision of its snapshot and no memory of what came before: asked for less, it gives every
   * tile with ground. So it does for a revision that it has not reached, which must be another record's. Ground never
   * goes away, save that a display may have painted what a restored record has lost: after restoring clear the display and
   * ask with 0.
   *
   * @param since - value of `revision` when the display was painted last; 0 for every tile with ground
   * @returns keys of the tiles, ascending; the same ground has the same key in every record of one cell size
   * @throws FeeringError `not-finite` or `out-of-range` for what is no revision
   * @example
   * ```ts
   * const record = new CoverageRecord();
   * const painted = record.revision;
   * record.mark(0, 0, 3, 0, 3, 0.5, 0, 0.5);
   * for (const key of record.changedTiles(painted)) console.log(record.tileBounds(key), record.tileOutline(key));
   * ```
   */
  changedTiles(since: number): number[] {
    return changedTiles(this.live.store, requireNumber(since, "since", { min: 0 }));
  }

  /**
   * Outline of a tile's ground, by the rules of {@link CoverageRecord.outline} without tolerance. Neighbours fit: where
   * ground goes on in the next tile both have the same edge, with corners that are the same numbers.
   *
   * @param key - from {@link CoverageRecord.changedTiles}
   * @param options - which ground
   * @returns polygons, metres; none where the tile has no such ground
   * @throws FeeringError `not-finite` or `out-of-range` for what is no key, `out-of-range` for ground that is none
   */
  tileOutline(key: number, options: TileOutlineOptions = {}): Polygon[] {
    requireObject(options, "options");
    const plane = requirePlane(options.of);
    const { column, row } = tileOfKey(key);
    const block = this.live.store.find(column >> 4, row >> 4);
    if (block === undefined) return [];
    return outlineOf(tileRuns(this.live.store, block, plane, ((row & 15) << 4) | (column & 15)), this.scale);
  }

  /**
   * Areas of a tile's ground; whole numbers of cells, and those of all tiles are together those of
   * {@link CoverageRecord.areas}.
   *
   * @param key - from {@link CoverageRecord.changedTiles}
   * @returns m², 0 where the tile has no ground
   * @throws FeeringError `not-finite` or `out-of-range` for what is no key
   */
  tileArea(key: number): TileAreas {
    const { column, row } = tileOfKey(key);
    const block = this.live.store.find(column >> 4, row >> 4);
    const tile = ((row & 15) << 4) | (column & 15);
    return {
      worked: this.area(block === undefined ? 0 : block.workedCells[tile]!),
      workedTwice: this.area(block === undefined ? 0 : block.twiceCells[tile]!),
    };
  }

  /**
   * The square of a tile.
   *
   * @param key - from {@link CoverageRecord.changedTiles}
   * @returns metres; neighbours have the same numbers
   * @throws FeeringError `not-finite` or `out-of-range` for what is no key
   */
  tileBounds(key: number): Bounds {
    const { column, row } = tileOfKey(key);
    return {
      minX: (column * 64) / this.scale,
      minY: (row * 64) / this.scale,
      maxX: ((column + 1) * 64) / this.scale,
      maxY: ((row + 1) * 64) / this.scale,
    };
  }

  /**
   * The whole record as bytes, with a version and a checksum; the same marks in the same order give the same bytes.
   *
   * @returns a fresh array; a field worked whole takes a few bytes a square of 64 cells
   */
  snapshot(): Uint8Array {
    const { cellSize, maximumExtent, markedCells, refused, origin } = this;
    const totals = { cellSize, maximumExtent, markedCells, refused };
    return encodeSnapshot(this.live.store, origin === undefined ? totals : { ...totals, origin });
  }

  /**
   * A record as it was when the snapshot was taken: the same marks give the same results from here on.
   *
   * @param bytes - from {@link CoverageRecord.snapshot}
   * @throws FeeringError `bad-snapshot` for bytes that are damaged, cut short or of another version
   */
  static restore(bytes: Uint8Array): CoverageRecord {
    const totals = decodeTotals(bytes);
    let record: CoverageRecord;
    try {
      record = new CoverageRecord(totals);
    } catch (cause) {
      fail(`holds settings that are no record's: ${String(cause)}`, cause);
    }
    const cells = decodeTiles(bytes, record.live.store);
    record.workedCells = cells.workedCells;
    record.twiceCells = cells.twiceCells;
    record.markedCells = totals.markedCells;
    record.refused = totals.refused;
    if (totals.markedCells < cells.workedCells + cells.twiceCells) fail("holds more ground than was marked");
    return record;
  }

  /** Checksum of the ground, its cells worked once and twice and the sum of marks: equal for equal records. */
  hash(): number {
    return hashSnapshot(this.snapshot());
  }

  /** Bytes that the bitmap and its directory hold. */
  get byteLength(): number {
    return this.live.store.byteLength;
  }

  private area(cells: number): number {
    // 1.5 m² are 150 cells over 10², without the rounding of 0.1²
    return cells / (this.scale * this.scale);
  }

  private markCorners(): number {
    if (!this.live.mark()) this.refused++;
    const { fresh, again, twice } = this.live.counts;
    this.lastNew = fresh;
    this.lastAgain = again;
    this.workedCells += fresh;
    this.twiceCells += twice;
    this.markedCells += fresh + again;
    return fresh;
  }
}

function requireOrigin(origin: GeographicPosition): GeodeticPosition {
  requireObject(origin, "options.origin");
  return {
    latitude: requireNumber(origin.latitude, "options.origin.latitude", { min: -90, max: 90 }),
    longitude: requireNumber(origin.longitude, "options.origin.longitude"),
    altitude: requireNumber(origin.altitude ?? 0, "options.origin.altitude"),
  };
}

/** Copy the eight corners of a quad; NaN where they are not all there. */
function takeCorners(into: Float64Array, corners: Float64Array, start: number): void {
  // hot: within the array an element is always a number, which is never boxed
  if (!(corners instanceof Float64Array && Number.isInteger(start) && start >= 0 && start + 8 <= corners.length)) {
    into[0] = Number.NaN;
    return;
  }
  for (let i = 0; i < 8; i++) into[i] = corners[start + i]!;
}
