import { requireList, requireNumber, requireObject } from "../errors/index.js";

/** One drive of a plan, as far as its tank or hopper is concerned. */
export interface SupplyDrive {
  /** ground worked on it, m² */
  readonly area: number;
  /** its length while working, metres; tells how far along it a tank runs empty. Default 0 */
  readonly length?: number;
}

/** A tank to be filled or a hopper to be emptied. */
export interface SupplyOptions {
  /** what it holds: litres, kilograms, any one unit */
  readonly capacity: number;
  /** what a square metre takes or yields, in the same unit */
  readonly rate: number;
  /** what is in the tank, or free in the hopper, at the start; default the capacity */
  readonly atStart?: number;
  /** what is to be left over at least; default 0 */
  readonly reserve?: number;
}

/** A stop at the headland. */
export interface SupplyStop {
  /** the stop is before this drive, by its index */
  readonly before: number;
  /** what is left in the tank, or free in the hopper, on coming there */
  readonly left: number;
  /** what is filled in or unloaded */
  readonly amount: number;
}

/** A drive that takes more than a whole tank: it runs empty under way. */
export interface SupplyShortage {
  /** index of the drive */
  readonly drive: number;
  /** how far along it, metres, the tank is down to its reserve; NaN where the drive has no length */
  readonly along: number;
}

/** Where to stop for filling or unloading. */
export interface SupplyPlan {
  /** stops at the headland, in order */
  readonly stops: readonly SupplyStop[];
  /** drives on which a full tank does not reach the end; a stop under way is counted there */
  readonly shortages: readonly SupplyShortage[];
  /** amount taken or yielded in all */
  readonly total: number;
  /** what is left, or free, at the end */
  readonly left: number;
  /** drive on which the tank would run down to its reserve if no stop were made, and how far along; null: it reaches */
  readonly firstEmpty: SupplyShortage | null;
}

/** A tank that lacks less than this share of itself is full enough: rounding. */
const ROUNDING = 1e-9;

/**
 * Where a tank runs empty, or a hopper full, and the stops at the headland: as late as may be, before the first drive that what is
 * left would not finish.
 *
 * @param drives - the plan's working drives in order
 * @param options - capacity and rate
 * @returns stops and what does not go up
 * @throws `FeeringError` `not-finite`, `out-of-range`
 */
export function supplyStops(drives: readonly SupplyDrive[], options: SupplyOptions): SupplyPlan {
  requireList(drives, "drives");
  requireObject(options, "options");
  const capacity = requireNumber(options.capacity, "options.capacity", { above: 0 });
  const rate = requireNumber(options.rate, "options.rate", { min: 0 });
  const reserve = requireNumber(options.reserve ?? 0, "options.reserve", { min: 0, max: capacity });
  let left = requireNumber(options.atStart ?? capacity, "options.atStart", { min: 0, max: capacity });
  const usable = capacity - reserve;
  const rounding = ROUNDING * capacity;
  const stops: SupplyStop[] = [];
  const shortages: SupplyShortage[] = [];
  let firstEmpty: SupplyShortage | null = null;
  let unfilled = left;
  let total = 0;
  drives.forEach((drive, index) => {
    requireObject(drive, `drives[${index}]`);
    const need = rate * requireNumber(drive.area, "drives.area", { min: 0, index });
    const length =
      drive.length === undefined ? Number.NaN : requireNumber(drive.length, "drives.length", { min: 0, index });
    const along = (amount: number): number => (need === 0 ? 0 : (length * Math.max(0, amount)) / need);
    if (firstEmpty === null && unfilled - need < reserve - rounding) {
      firstEmpty = { drive: index, along: along(unfilled - reserve) };
    }
    unfilled -= need;
    total += need;
    if (left - need < reserve - rounding) {
      if (left < capacity - rounding) {
        stops.push({ before: index, left, amount: capacity - left });
        left = capacity;
      }
      if (need > usable + rounding) {
        shortages.push({ drive: index, along: along(usable) });
        // filled under way as often as it takes
        const rest = usable > 0 ? need - usable * Math.floor((need - rounding) / usable) : need;
        left = usable > 0 ? capacity - rest : reserve;
        return;
      }
    }
    left -= need;
  });
  return { stops, shortages, total, left, firstEmpty };
}
