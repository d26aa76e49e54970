/**
 * A growing path of flat coordinates with stations.
 *
 * @internal
 */
export class FlatPath {
  count = 0;
  /** x, y, station of each point */
  data: Float64Array = new Float64Array(192);

  push(x: number, y: number, station: number): void {
    if (3 * this.count === this.data.length) {
      const data = new Float64Array(2 * this.data.length);
      data.set(this.data);
      this.data = data;
    }
    const i = 3 * this.count++;
    this.data[i] = x;
    this.data[i + 1] = y;
    this.data[i + 2] = station;
  }
}
