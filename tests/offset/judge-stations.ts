import type { Source } from "./elements.js";
import { type Chain, coordinateNoise, EXACT, type JudgeOptions } from "./judgement.js";

/** Each point's station must name a foot at the asked distance on the wanted side; stations rise along the line. */
export function judgeStations(
  source: Source,
  chains: readonly Chain[],
  options: JudgeOptions,
  defects: string[],
): void {
  const allowed = (options.tolerance ?? 1e-4) + EXACT + coordinateNoise(source.largest + source.radius);
  const s = source.field.segments;
  const n = source.field.count;
  const lastLength = Math.hypot(s[n * 4 - 2]! - s[n * 4 - 4]!, s[n * 4 - 1]! - s[n * 4 - 3]!);
  const total = source.stations[n - 1]! + lastLength;
  // a sum of many lengths carries some rounding
  const slack = allowed + 1e-12 * total * Math.sqrt(n);
  const loop = source.next[n - 1]! >= 0;
  for (const [c, chain] of chains.entries()) {
    const stations = chain.stations;
    if (stations === undefined) continue;
    if (stations.length !== chain.points.length) {
      defects.push(`chain ${c} has ${chain.points.length} points and ${stations.length} stations`);
      continue;
    }
    let falls = 0;
    for (let i = 0; i < stations.length; i++) {
      let station = stations[i]!;
      if (i > 0 && station < stations[i - 1]! - slack) falls++;
      // along a closed source they count on past its start
      if (loop && station > total && station <= 2 * total + slack) station -= total;
      if (!(station >= -slack && station <= total + slack)) {
        defects.push(`chain ${c} station ${i} is ${station} of ${total}`);
        continue;
      }
      const own = source.reversed ? total - station : station;
      let low = 0;
      let high = n - 1;
      while (low < high) {
        const middle = (low + high + 1) >> 1;
        if (source.stations[middle]! <= own) low = middle;
        else high = middle - 1;
      }
      const x = chain.points[i]![0] - source.field.originX;
      const y = chain.points[i]![1] - source.field.originY;
      const o = low * 4;
      const l = Math.hypot(s[o + 2]! - s[o]!, s[o + 3]! - s[o + 1]!);
      const f = Math.min(1, Math.max(0, (own - source.stations[low]!) / l));
      const fx = s[o]! + f * (s[o + 2]! - s[o]!);
      const fy = s[o + 1]! + f * (s[o + 3]! - s[o + 1]!);
      const gap = Math.abs(Math.hypot(x - fx, y - fy) - source.radius);
      if (gap > slack)
        defects.push(
          `chain ${c} station ${i}: its foot is off by ${gap} at ${chain.points[i]![0]} ${chain.points[i]![1]}`,
        );
    }
    // a loop beside an open line passes from its end to its start once; along a closed source stations count on
    if ((options.monotone ?? true) && falls > (chain.closed && !loop ? 1 : 0)) {
      defects.push(`chain ${c}: stations fall ${falls} times`);
    }
  }
}
