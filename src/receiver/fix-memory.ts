import { FeeringError } from "../errors/index.js";
import type { FixReason, FixState, FixStatus } from "./fix-state.js";

/**
 * All that a {@link FixMonitor} remembers, as a plain object of finite numbers, booleans and literals: it survives JSON.
 */
export interface FixMonitorSnapshot {
  /** version of this shape */
  readonly version: 2;
  /** whether there has been a time yet */
  readonly started: boolean;
  /** whether the times are Unix time */
  readonly dated: boolean;
  /** time of the first fix on this time base, s */
  readonly first: number;
  /** latest time, s */
  readonly latest: number;
  /** time between the fixes, s */
  readonly interval: number;
  /** the last time step, s */
  readonly lastInterval: number;
  /** fixes in a row whose time went back, and rose among themselves */
  readonly backRun: number;
  /** time of the last of them, s */
  readonly backTime: number;
  /** fixes in a row with the same time */
  readonly sameRun: number;
  /** whether there is a good place */
  readonly hasGood: boolean;
  /** its time, s */
  readonly goodTime: number;
  /** its latitude, degrees */
  readonly goodLatitude: number;
  /** its longitude, degrees */
  readonly goodLongitude: number;
  /** speed there, m/s, -1 where not known */
  readonly goodSpeed: number;
  /** steps in a row that fitted the reported speed */
  readonly speedTrust: number;
  /** good fixes in a row */
  readonly run: number;
  /** whether sections may work */
  readonly usable: boolean;
  /** whether all good places since the last usable one are connected */
  readonly chain: boolean;
  /** what is being recovered from */
  readonly trouble: FixReason;
  /** sections not before this time, s, after poor quality */
  readonly notBefore: number;
  /** fixes in a row that agree on a place after a jump */
  readonly jumpRun: number;
  /** time of the last of them, s */
  readonly jumpTime: number;
  /** its latitude, degrees */
  readonly jumpLatitude: number;
  /** its longitude, degrees */
  readonly jumpLongitude: number;
  /** whether the last good place has an altitude */
  readonly hasAltitude: boolean;
  /** it, m */
  readonly goodAltitude: number;
  /** whether the place after a jump has one */
  readonly hasJumpAltitude: boolean;
  /** it, m */
  readonly jumpAltitude: number;
  /** whether there is a place from which standing is measured */
  readonly hasAnchor: boolean;
  /** since when the machine has been near it, s */
  readonly anchorTime: number;
  /** its latitude, degrees */
  readonly anchorLatitude: number;
  /** its longitude, degrees */
  readonly anchorLongitude: number;
  /** whether there is a place of the second receiver */
  readonly hasSecond: boolean;
  /** its time, s */
  readonly secondTime: number;
  /** its latitude, degrees */
  readonly secondLatitude: number;
  /** its longitude, degrees */
  readonly secondLongitude: number;
  /** its accuracy, m, 0 where not stated */
  readonly secondAccuracy: number;
  /** whether the receivers have been farther apart than allowed and not yet well within it */
  readonly sourcesPoor: boolean;
  /** accuracy stated last, m, -1 where none */
  readonly accuracy: number;
  /** its time, s */
  readonly accuracyTime: number;
  /** whether accuracy has been over its limit and not yet well under it */
  readonly accuracyPoor: boolean;
  /** whether the correction's age has been over its limit and not yet well under it */
  readonly correctionPoor: boolean;
  /** status given last */
  readonly status: FixStatus;
  /** reason given last */
  readonly reason: FixReason;
  /** how often each status was given */
  readonly counts: Readonly<Record<FixStatus, number>>;
  /** the last answer */
  readonly state: FixState;
}

/** The same, to be written. */
export type FixMemory = {
  -readonly [K in keyof Omit<FixMonitorSnapshot, "counts" | "state">]: FixMonitorSnapshot[K];
} & {
  counts: Record<FixStatus, number>;
  state: MutableFixState;
};

/** {@link FixState}, to be written. */
export type MutableFixState = { -readonly [K in keyof FixState]: FixState[K] };

/** What a monitor remembers before its first fix. */
export function emptyFixMemory(): FixMemory {
  return {
    version: 2,
    started: false,
    dated: false,
    first: 0,
    latest: 0,
    interval: 1,
    lastInterval: 0,
    backRun: 0,
    backTime: 0,
    sameRun: 0,
    hasGood: false,
    goodTime: 0,
    goodLatitude: 0,
    goodLongitude: 0,
    goodSpeed: -1,
    speedTrust: 0,
    run: 0,
    usable: false,
    chain: false,
    trouble: "start",
    notBefore: 0,
    jumpRun: 0,
    jumpTime: 0,
    jumpLatitude: 0,
    jumpLongitude: 0,
    hasAltitude: false,
    goodAltitude: 0,
    hasJumpAltitude: false,
    jumpAltitude: 0,
    hasAnchor: false,
    anchorTime: 0,
    anchorLatitude: 0,
    anchorLongitude: 0,
    hasSecond: false,
    secondTime: 0,
    secondLatitude: 0,
    secondLongitude: 0,
    secondAccuracy: 0,
    sourcesPoor: false,
    accuracy: -1,
    accuracyTime: 0,
    accuracyPoor: false,
    correctionPoor: false,
    status: "recovering",
    reason: "start",
    counts: {
      good: 0,
      "no-fix": 0,
      invalid: 0,
      "poor-quality": 0,
      jump: 0,
      duplicate: 0,
      "out-of-order": 0,
      stale: 0,
      recovering: 0,
    },
    state: {
      status: "stale",
      reason: "start",
      usable: false,
      connected: false,
      continuous: false,
      age: 0,
      step: 0,
      interval: 1,
      standing: false,
      travel: "unknown",
    },
  };
}

/**
 * Copy a snapshot into a memory of one's own, checked.
 *
 * @param snapshot - as it was given out, perhaps through JSON
 * @throws `FeeringError` with code `bad-snapshot` where a part is missing or of another kind
 */
export function checkedFixMemory(snapshot: FixMonitorSnapshot): FixMemory {
  const pattern = emptyFixMemory();
  const memory = emptyFixMemory();
  copyChecked(pattern, snapshot, memory, "snapshot");
  copyChecked(pattern.counts, snapshot.counts, memory.counts, "snapshot.counts");
  copyChecked(pattern.state, snapshot.state, memory.state, "snapshot.state");
  if (memory.version !== 2) fail("snapshot.version", memory.version);
  return memory;
}

function copyChecked(pattern: object, from: unknown, to: object, path: string): void {
  if (typeof from !== "object" || from === null) fail(path, from);
  for (const [key, like] of Object.entries(pattern)) {
    if (typeof like === "object") continue;
    const value: unknown = (from as Record<string, unknown>)[key];
    if (typeof value !== typeof like || (typeof value === "number" && !Number.isFinite(value)))
      fail(`${path}.${key}`, value);
    (to as Record<string, unknown>)[key] = value;
  }
}

function fail(argument: string, value: unknown): never {
  throw new FeeringError("bad-snapshot", `${argument} is ${String(value)}, which no snapshot of a fix monitor has`, {
    argument,
    value,
  });
}
