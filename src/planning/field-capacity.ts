import { requireNumber } from "../errors/index.js";

/**
 * What a machine gets done in a second: speed times width times field efficiency (ASABE EP496).
 *
 * `hectaresPerHour` and `acresPerHour` of `feering/units` convert.
 *
 * @param speed - while working, m/s, 0 or more
 * @param width - working width, metres, 0 or more
 * @param efficiency - share of the time and width that counts, 0 to 1
 * @returns m²/s
 * @throws `FeeringError` `not-finite`, `out-of-range`
 */
export function fieldCapacity(speed: number, width: number, efficiency: number): number {
  requireNumber(speed, "speed", { min: 0 });
  requireNumber(width, "width", { min: 0 });
  requireNumber(efficiency, "efficiency", { min: 0, max: 1 });
  return speed * width * efficiency;
}

/**
 * Field efficiency: what was worked against what the machine would have worked in the same time at full width and working speed.
 *
 * @param area - worked, m²
 * @param time - spent on it, turns and stops included, s
 * @param width - working width, metres
 * @param speed - while working, m/s
 * @returns share; more than 1 only where speed or width are stated too small; 0 where there was no time
 * @throws `FeeringError` `not-finite`, `out-of-range`
 */
export function fieldEfficiency(area: number, time: number, width: number, speed: number): number {
  requireNumber(area, "area", { min: 0 });
  requireNumber(time, "time", { min: 0 });
  requireNumber(width, "width", { above: 0 });
  requireNumber(speed, "speed", { above: 0 });
  return time === 0 ? 0 : area / (time * width * speed);
}
