import { countQuad, type MarkCounts, markQuad } from "./mark-scan.js";
import { QuadScan } from "./quad-scan.js";
import { runsInPieces, shareOfRuns, workedRuns } from "./segment-scan.js";
import { TileStore } from "./tile-store.js";

/** The bitmap with what the live calls need: corners and results in arrays that are used again and again. */
export class LiveBitmap {
  /** the cells */
  readonly store: TileStore = new TileStore();
  /** corners of the quad to mark or count, metres: the caller fills them */
  readonly corners: Float64Array;
  /** ends of the segment to walk, metres: the caller fills them */
  readonly segment: Float64Array = new Float64Array(4);
  /** one number: the share read last; in an array, so that it is never boxed */
  readonly share: Float64Array = new Float64Array(1);
  /** what the last mark or count found */
  readonly counts: MarkCounts = { fresh: 0, again: 0, twice: 0 };

  private readonly limits: Float64Array;
  /** runs of worked ground along the segment walked last */
  private readonly runs: Float64Array;
  private readonly quad: QuadScan;

  /**
   * @param scale - cells a metre
   * @param extent - longest side of the box round a quad, cells
   */
  constructor(scale: number, extent: number) {
    this.limits = Float64Array.of(scale, extent);
    // along both axes, every other cell worked
    this.runs = new Float64Array(2 * Math.ceil(extent) + 8);
    this.quad = new QuadScan(this.limits);
    this.corners = this.quad.corners;
  }

  /** Mark the quad of the corners; false where it is refused. */
  mark(): boolean {
    const counts = this.counts;
    if (!this.quad.set()) {
      counts.fresh = 0;
      counts.again = 0;
      counts.twice = 0;
      return false;
    }
    markQuad(this.store, this.quad, counts);
    return true;
  }

  /** Put the covered share of the quad of the corners into `share`. */
  count(): void {
    if (!this.quad.set()) {
      this.share[0] = Number.NaN;
      return;
    }
    const counts = this.counts;
    countQuad(this.store, this.quad, counts);
    const cells = counts.fresh + counts.again;
    if (cells > 0) {
      this.share[0] = counts.again / cells;
      return;
    }
    this.middleLine();
    this.walk();
  }

  /** Put the covered share of the segment into `share`. */
  walk(): void {
    const runs = this.runs;
    this.share[0] = shareOfRuns(runs, workedRuns(this.store, this.segment, this.limits, runs));
  }

  /** The same, and into `shares` what of the segment is worked in each of some pieces of it. */
  walkPieces(pieces: Float64Array, shares: Float64Array): void {
    const runs = this.runs;
    const count = workedRuns(this.store, this.segment, this.limits, runs);
    this.share[0] = shareOfRuns(runs, count);
    if (count <= 0) shares.fill(count < 0 ? Number.NaN : 0);
    else runsInPieces(runs, count, pieces, shares);
  }

  /** Set the segment to the longer line between the middles of opposite sides of the quad. */
  private middleLine(): void {
    const c = this.corners;
    const s = this.segment;
    const alongX = c[2]! + c[4]! - c[0]! - c[6]!;
    const alongY = c[3]! + c[5]! - c[1]! - c[7]!;
    const acrossX = c[4]! + c[6]! - c[0]! - c[2]!;
    const acrossY = c[5]! + c[7]! - c[1]! - c[3]!;
    const along = alongX * alongX + alongY * alongY >= acrossX * acrossX + acrossY * acrossY;
    // side 0-3 to side 1-2, or side 0-1 to side 3-2
    const near = along ? 6 : 2;
    const far = along ? 2 : 6;
    s[0] = (c[0]! + c[near]!) / 2;
    s[1] = (c[1]! + c[near + 1]!) / 2;
    s[2] = (c[4]! + c[far]!) / 2;
    s[3] = (c[5]! + c[far + 1]!) / 2;
  }
}
