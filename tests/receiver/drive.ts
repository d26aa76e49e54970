import type { Fix, FixMonitor, FixState } from "../../src/receiver/index.js";

const METRES_IN_A_DEGREE = 111_195;

export interface Drive {
  /** s of each fix */
  readonly rate?: number;
  /** m/s */
  readonly speed?: number;
  readonly quality?: number;
  readonly latitude?: number;
  readonly longitude?: number;
  readonly start?: number;
  readonly dated?: boolean;
}

/** Fix number `i` of a straight drive north. */
export function fixAt(i: number, drive: Drive = {}): Fix {
  const { rate = 10, speed = 3, quality = 4, latitude = 47, longitude = 20, start = 1000, dated = false } = drive;
  return {
    time: start + i / rate,
    dated,
    latitude: latitude + ((i / rate) * speed) / METRES_IN_A_DEGREE,
    longitude,
    quality,
    speed,
  };
}

/** The same fix, moved. */
export function moved(fix: Fix, metres: number): Fix {
  return { ...fix, latitude: fix.latitude + metres / METRES_IN_A_DEGREE };
}

/** Feed fixes and copy each state. */
export function states(monitor: FixMonitor, fixes: readonly Fix[]): FixState[] {
  return fixes.map((fix) => ({ ...monitor.update(fix) }));
}

export function range(n: number): number[] {
  return Array.from({ length: n }, (_, i) => i);
}
