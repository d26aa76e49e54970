/** Orders under way that one section can have. */
const DEPTH = 8;
/** Landing time of an order never given, s. */
const NEVER = -1e15;
/** Times nearer than this are one, s: rounding of sums of times. */
const SAME = 1e-9;

/**
 * Orders and when they land, for every section.
 *
 * An order given now changes what lands on the ground after the section's turn-on or turn-off time. Orders under way are flips of the
 * landed state in time order.
 */
export class OrderBook {
  /** last order, 1 on */
  readonly ordered: Uint8Array;
  /** what landed up to the last call of {@link OrderBook.land}, 1 on */
  readonly landed: Uint8Array;
  /** time of the last landing that {@link OrderBook.land} took as past, s; NaN where it took none yet. No part of the list */
  readonly landedAt: Float64Array;
  /** landing time of the last order, s; may lie ahead */
  readonly lastLanding: Float64Array;
  /** time that the last order on was given, s */
  readonly lastOn: Float64Array;
  /** orders given */
  readonly switches: Float64Array;

  /** counts what was ordered, landed or taken back: as long as it stands still, `ordered`, `landed` and `switches` do */
  revision = 0;
  /** orders under way, of all sections */
  underWay = 0;

  private readonly flips: Float64Array;
  private readonly pending: Uint8Array;

  constructor(count: number) {
    this.ordered = new Uint8Array(count);
    this.landed = new Uint8Array(count);
    this.landedAt = new Float64Array(count).fill(Number.NaN);
    this.lastLanding = new Float64Array(count).fill(NEVER);
    this.lastOn = new Float64Array(count).fill(NEVER);
    this.switches = new Float64Array(count);
    this.flips = new Float64Array(count * DEPTH);
    this.pending = new Uint8Array(count);
  }

  /** Earliest time, s, that an order of section i may be given that lands `delay` s later, the last one having landed for `hold` s; Infinity when too many are under way. */
  earliest(i: number, delay: number, hold: number): number {
    return this.pending[i]! >= DEPTH - 1 ? Number.POSITIVE_INFINITY : this.lastLanding[i]! + hold - delay - SAME;
  }

  /** Earliest time, s, that section i may be ordered on, `cycle` s after the last time. */
  earliestOn(i: number, cycle: number): number {
    return this.lastOn[i]! + cycle - SAME;
  }

  /** Order section i over to the other state at a time, landing after all orders under way. */
  flip(i: number, time: number, landing: number): void {
    if (this.ordered[i] === 0) this.lastOn[i] = time;
    this.append(i, Math.max(landing, this.lastLanding[i]!));
    this.ordered[i]! ^= 1;
    this.switches[i]!++;
  }

  /** Order section i off at once: what would land later than this order is never to land. */
  stop(i: number, time: number, landing: number): void {
    if (this.ordered[i] === 0) return;
    this.ordered[i] = 0;
    this.switches[i]!++;
    this.revision++;
    let n = this.pending[i]!;
    while (n > 0 && this.flips[i * DEPTH + n - 1]! > landing) n--;
    this.underWay -= this.pending[i]! - n;
    this.pending[i] = n;
    if (((this.landed[i]! ^ n) & 1) === 1) this.append(i, landing);
    else this.lastLanding[i] = n > 0 ? this.flips[i * DEPTH + n - 1]! : time;
  }

  /** Whether product of section i lands at a time not before the last call of {@link OrderBook.land}. */
  workingAt(i: number, time: number): boolean {
    let state = this.landed[i]!;
    const n = this.pending[i]!;
    for (let k = 0; k < n && this.flips[i * DEPTH + k]! <= time; k++) state ^= 1;
    return state === 1;
  }

  /** Time of the k-th order under way of section i, s; Infinity beyond the last. */
  flipTime(i: number, k: number): number {
    return k < this.pending[i]! ? this.flips[i * DEPTH + k]! : Number.POSITIVE_INFINITY;
  }

  /** Take everything that landed up to a time as past. */
  land(time: number): void {
    const count = this.pending.length;
    for (let i = 0; i < count; i++) {
      const n = this.pending[i]!;
      const base = i * DEPTH;
      let past = 0;
      while (past < n && this.flips[base + past]! <= time) past++;
      if (past === 0) continue;
      this.revision++;
      this.underWay -= past;
      this.landedAt[i] = this.flips[base + past - 1]!;
      this.landed[i]! ^= past & 1;
      for (let k = past; k < n; k++) this.flips[base + k - past] = this.flips[base + k]!;
      this.pending[i] = n - past;
    }
  }

  /** Move every time by a step of the clock, s. */
  shift(step: number): void {
    for (let k = 0; k < this.flips.length; k++) this.flips[k]! += step;
    for (let i = 0; i < this.lastLanding.length; i++) {
      this.landedAt[i]! += step;
      if (this.lastLanding[i]! > NEVER) this.lastLanding[i]! += step;
      if (this.lastOn[i]! > NEVER) this.lastOn[i]! += step;
    }
  }

  /** All numbers as one flat list. */
  toList(): number[] {
    return [
      ...this.ordered,
      ...this.landed,
      ...this.pending,
      ...this.switches,
      ...this.lastLanding,
      ...this.lastOn,
      ...this.flips,
    ];
  }

  /** Take a list of {@link OrderBook.toList} back; false when it does not fit. */
  fromList(list: readonly number[]): boolean {
    const n = this.ordered.length;
    if (list.length !== n * (6 + DEPTH) || !list.every(Number.isFinite)) return false;
    // bits, then orders under way
    const fits = (count: number, k: number): boolean =>
      Number.isInteger(count) && count >= 0 && count <= (k < 2 * n ? 1 : DEPTH);
    if (!list.slice(0, 3 * n).every(fits)) return false;
    this.ordered.set(list.slice(0, n));
    this.landed.set(list.slice(n, 2 * n));
    this.pending.set(list.slice(2 * n, 3 * n));
    this.switches.set(list.slice(3 * n, 4 * n));
    this.lastLanding.set(list.slice(4 * n, 5 * n));
    this.lastOn.set(list.slice(5 * n, 6 * n));
    this.flips.set(list.slice(6 * n));
    this.underWay = this.pending.reduce((sum, count) => sum + count, 0);
    this.revision++;
    return true;
  }

  private append(i: number, landing: number): void {
    const n = this.pending[i]!;
    this.flips[i * DEPTH + n] = landing;
    this.pending[i] = n + 1;
    this.underWay++;
    this.revision++;
    this.lastLanding[i] = landing;
  }
}
