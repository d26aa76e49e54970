/**
 * Sort stations in rising order in place, each with its step, without allocation (heap sort; insertion for a few).
 *
 * Where stations are equal, their order is left open.
 */
export function sortCrossings(station: Float64Array, step: Int8Array, count: number): void {
  if (count <= 24) {
    for (let i = 1; i < count; i++) {
      const key = station[i]!;
      const with_ = step[i]!;
      let j = i - 1;
      while (j >= 0 && station[j]! > key) {
        station[j + 1] = station[j]!;
        step[j + 1] = step[j]!;
        j--;
      }
      station[j + 1] = key;
      step[j + 1] = with_;
    }
    return;
  }
  for (let root = (count >> 1) - 1; root >= 0; root--) sink(station, step, root, count);
  for (let end = count - 1; end > 0; end--) {
    swap(station, step, 0, end);
    sink(station, step, 0, end);
  }
}

function sink(station: Float64Array, step: Int8Array, from: number, end: number): void {
  let root = from;
  for (;;) {
    let child = 2 * root + 1;
    if (child >= end) return;
    if (child + 1 < end && station[child + 1]! > station[child]!) child++;
    if (station[root]! >= station[child]!) return;
    swap(station, step, root, child);
    root = child;
  }
}

function swap(station: Float64Array, step: Int8Array, i: number, j: number): void {
  const s = station[i]!;
  const d = step[i]!;
  station[i] = station[j]!;
  step[i] = step[j]!;
  station[j] = s;
  step[j] = d;
}
