import { type Polygon, PolygonIndex } from "../geometry/index.js";

/**
 * Polygons asked for shares of segments, quick where the boundary is far.
 *
 * A circle round the machine that touches no boundary lies all inside or all outside. One distance measured once proves that for
 * every smaller circle inside it, so that far from the boundary nothing is asked at all. The answer is the same as without.
 */
export class Zone {
  private readonly index: PolygonIndex;
  private readonly empty: boolean;
  // the proven circle: centre, radius, inside or not
  private x = 0;
  private y = 0;
  private radius = -1;
  private inside = false;
  private uniform = false;

  constructor(polygons: readonly Polygon[]) {
    this.index = new PolygonIndex(polygons);
    this.empty = polygons.length === 0;
  }

  /** Get ready for segments within `reach` metres of a point. */
  prepare(x: number, y: number, reach: number): void {
    if (this.empty) {
      this.uniform = true;
      return;
    }
    const dx = x - this.x;
    const dy = y - this.y;
    const moved = Math.sqrt(dx * dx + dy * dy);
    this.uniform = moved + reach < this.radius;
    // proven clear of the boundary, or proven near it
    if (this.uniform || (this.radius >= 0 && moved + this.radius < reach)) return;
    this.x = x;
    this.y = y;
    this.radius = this.index.distanceToBoundary(x, y);
    this.inside = this.index.contains(x, y);
    this.uniform = reach < this.radius;
  }

  /**
   * Share of a segment inside, 0 to 1; the segment must lie within what was prepared.
   *
   * @param segment - of five: x and y of both ends; the fifth takes the share
   */
  share(segment: Float64Array): void {
    if (this.uniform) segment[4] = this.inside ? 1 : 0;
    else this.index.shareOf(segment);
  }
}
