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

/** Length of a path, metres; of a closed one with the way from its last point to its first. @internal */
export function pathLength(path: FlatPath, closed: boolean): number {
  const { data, count } = path;
  let sum = 0;
  for (let i = 3; i < 3 * count; i += 3) {
    const dx = data[i]! - data[i - 3]!;
    const dy = data[i + 1]! - data[i - 2]!;
    sum += Math.sqrt(dx * dx + dy * dy);
  }
  if (closed && count > 1) sum += Math.hypot(data[3 * count - 3]! - data[0]!, data[3 * count - 2]! - data[1]!);
  return sum;
}
