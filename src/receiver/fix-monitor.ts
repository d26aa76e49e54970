import type { Fix } from "./fix.js";
import { checkedFixMemory, emptyFixMemory, type FixMemory, type FixMonitorSnapshot } from "./fix-memory.js";
import { SAME_TIME, stopWork, timeOrder } from "./fix-order.js";
import { type FixLimits, type FixMonitorOptions, fixLimits } from "./fix-monitor-options.js";
import { positionTrouble, qualityTrouble } from "./fix-quality.js";
import type { FixReason, FixState, FixStatus } from "./fix-state.js";
import { climbs, isKnown, longestStep, noteJump, stepFromJump } from "./fix-step.js";
import { isStanding, travelOf } from "./fix-travel.js";
import { levelDistance } from "./level-distance.js";
import { noteSecond, sourcesDisagree } from "./second-source.js";

/** A time farther from 1970 than this is none, s: thirty thousand years, and differences keep their microseconds. */
const LATEST = 1e12;
/** after this many fixes in a row with the same time the receiver's clock is taken to stand still */
const STANDING_CLOCK = 5;
/** automatic maximum age: intervals between fixes, and its bounds, s */
const AGE_INTERVALS = 1.5;
const SHORTEST_AGE = 0.3;
const LONGEST_AGE = 1.5;
/**
 * Watches the fixes of a receiver and says of each whether sections may work by it, whether it may be joined with the place
 * before, and why not: age, order, quality with hysteresis, jumps, gaps.
 *
 * It owns no clock: time comes with the fixes, or with {@link FixMonitor.check} from a host that waits for one. It never throws
 * after its construction, allocates nothing, and the same fixes give the same states, bit for bit.
 *
 * @see docs/receiver.md for the rules in full
 *
 * @example
 * ```ts
 * const monitor = new FixMonitor({ qualities: [4], maximumCorrectionAge: 20 });
 * const state = monitor.update({ time: 0, dated: false, latitude: 52.1, longitude: 5.2, quality: 4, correctionAge: 1 });
 * // state.status is "recovering", state.reason "start": the third good fix in a row is the first usable one
 * ```
 */
export class FixMonitor {
  private readonly limits: FixLimits;
  private memory: FixMemory = emptyFixMemory();

  /**
   * @param options - see {@link FixMonitorOptions}
   * @throws `FeeringError` with code `not-finite`, `out-of-range` or `too-few-points` for a bad option
   */
  constructor(options: FixMonitorOptions = {}) {
    this.limits = fixLimits(options);
  }

  /** The last answer, the same object always; `stale` by `start` before the first fix. */
  get state(): FixState {
    return this.memory.state;
  }

  /** How often each status was given by {@link FixMonitor.update}, and `stale` by {@link FixMonitor.check}. */
  get counts(): Readonly<Record<FixStatus, number>> {
    return this.memory.counts;
  }

  /**
   * Take the next fix, in the order in which they came in.
   *
   * @param fix - any fix, also one without a position; values that are not known absent, `undefined` or NaN
   * @returns the monitor's own state object, overwritten by the next call
   */
  update(fix: Fix): FixState {
    // hot: once a fix
    const memory = this.memory;
    if (fix === undefined || fix === null) return this.lost("invalid", "no-time");
    const time = fix.time;
    if (!Number.isFinite(time) || !(Math.abs(time) <= LATEST)) {
      if (positionTrouble(fix) === "no-position") return this.lost("no-fix", "no-position");
      return this.lost("invalid", "no-time");
    }
    const order = timeOrder(time, fix.dated === true, memory, this.limits);
    const trouble = positionTrouble(fix);
    if (trouble !== "none") return this.lost(trouble === "no-position" ? "no-fix" : "invalid", trouble);
    if (order === "same-time") return this.repeated();
    if (order === "time-back") return this.outOfOrder(time);

    let poor = qualityTrouble(fix, time, memory, this.limits);
    if (poor === "none" && sourcesDisagree(fix, memory, this.limits, this.maximumAge())) poor = "sources";
    if (poor !== "none") {
      memory.notBefore = time + this.limits.recoverTime;
      memory.jumpRun = 0;
      return this.lost("poor-quality", poor);
    }
    return this.place(fix);
  }

  /**
   * Take a fix of a second receiver on the same machine, to compare the first with: where they are farther apart than
   * {@link FixMonitorOptions.maximumDisagreement}, the next fixes of the first are `poor-quality` by `sources`. Nothing else
   * follows from it, and a second receiver that is silent or without a position is not missed.
   *
   * @param fix - its time on the scale of the first receiver's
   */
  updateSecond(fix: Fix): void {
    noteSecond(fix, this.memory, this.limits);
  }

  /**
   * Ask at a time when there is no new fix, so that sections go off when the last good one gets too old.
   *
   * @param time - s, on the scale of the fixes
   * @returns the monitor's own state object; `stale` when too old, else the status before with its age
   */
  check(time: number): FixState {
    const memory = this.memory;
    const state = this.memory.state;
    state.connected = false;
    state.continuous = false;
    state.step = 0;
    state.interval = memory.interval;
    const age = time - (memory.hasGood ? memory.goodTime : memory.first);
    const limit = this.maximumAge();
    if (!memory.started) return state;
    // a clock that is no number or well behind the fixes says nothing of their age: off
    if (!(age >= -limit && age < Number.MAX_VALUE)) {
      stopWork(this.memory, "clock");
      return this.set("stale", "clock", false);
    }
    state.age = Math.max(0, age);
    if (age > limit) {
      stopWork(this.memory, "age");
      return this.set("stale", "age", false);
    }
    state.status = memory.status;
    state.reason = memory.reason;
    state.usable = memory.usable;
    return state;
  }

  /**
   * All that the monitor remembers, to go on from later.
   *
   * @returns a new plain object, fit for JSON
   */
  snapshot(): FixMonitorSnapshot {
    return { ...this.memory, counts: { ...this.memory.counts }, state: { ...this.memory.state } };
  }

  /**
   * A monitor that goes on where another left off: the next states are those that the other would have given.
   *
   * @param snapshot - from {@link FixMonitor.snapshot}, perhaps through JSON
   * @param options - as for the constructor: they are not part of the snapshot
   * @returns a new monitor
   * @throws `FeeringError` with code `bad-snapshot`, or what the constructor throws
   */
  static restore(snapshot: FixMonitorSnapshot, options: FixMonitorOptions = {}): FixMonitor {
    const monitor = new FixMonitor(options);
    monitor.memory = checkedFixMemory(snapshot);
    return monitor;
  }

  /** A fix in order and of good quality: is it where the machine can be? */
  private place(fix: Fix): FixState {
    const memory = this.memory;
    const time = fix.time;
    const state = this.memory.state;
    const latitude = fix.latitude;
    const longitude = fix.longitude;
    const altitude = fix.altitude;
    const speed = isKnown(fix.speed) && fix.speed >= 0 ? fix.speed : -1;
    const age = this.maximumAge();
    let connected = false;
    let step = 0;
    if (memory.hasGood) {
      const interval = time - memory.goodTime;
      step = levelDistance(memory.goodLatitude, memory.goodLongitude, latitude, longitude);
      // once a jump is on, the time that has passed must not make it a step: the nearer of the two places decides
      const fromJump = stepFromJump(latitude, longitude, altitude, time, memory, this.limits, age);
      const tooFar = step > longestStep(interval, speed, step, memory, this.limits, age);
      const tooHigh = memory.hasAltitude && interval <= age && climbs(memory.goodAltitude, altitude, step, this.limits);
      if (tooFar || tooHigh || fromJump < step) {
        // while a jump goes on its reason stays
        const reason = tooFar ? "step" : tooHigh || memory.reason === "height" ? "height" : "step";
        if (!noteJump(latitude, longitude, altitude, time, fromJump < step, memory, this.limits))
          return this.lost("jump", reason);
        // enough fixes agree on the new place: taken, and joined to nothing
        memory.run = this.limits.recoverAfter - 1;
        memory.trouble = reason;
        step = 0;
      } else {
        connected = interval <= age;
        if (!connected) stopWork(this.memory, "gap");
      }
    }
    memory.jumpRun = 0;
    memory.hasGood = true;
    memory.goodTime = time;
    memory.goodLatitude = latitude;
    memory.goodLongitude = longitude;
    memory.goodSpeed = speed;
    memory.hasAltitude = isKnown(altitude);
    memory.goodAltitude = isKnown(altitude) ? altitude : 0;
    state.standing = isStanding(fix, connected, memory);
    state.travel = travelOf(fix, state.travel);
    if (!memory.usable) {
      memory.run++;
      memory.usable = memory.run >= this.limits.recoverAfter && time >= memory.notBefore;
    }
    state.connected = connected;
    memory.chain = memory.chain && connected;
    state.continuous = memory.chain && memory.usable;
    if (memory.usable) memory.chain = true;
    state.step = step;
    state.age = 0;
    return memory.usable ? this.set("good", "none", true) : this.set("recovering", memory.trouble, false);
  }

  /** No good position in this fix: sections off at once. */
  private lost(status: FixStatus, reason: FixReason): FixState {
    stopWork(this.memory, reason);
    const state = this.memory.state;
    state.connected = false;
    state.continuous = false;
    state.step = 0;
    state.standing = false;
    state.travel = "unknown";
    state.age = this.ageNow();
    return this.set(status, reason, false);
  }

  private repeated(): FixState {
    const memory = this.memory;
    const state = this.memory.state;
    state.connected = false;
    state.continuous = false;
    state.step = 0;
    state.age = this.ageNow();
    if (memory.sameRun < STANDING_CLOCK) return this.set("duplicate", "same-time", memory.usable);
    stopWork(this.memory, "same-time");
    return this.set("stale", "same-time", false);
  }

  private outOfOrder(time: number): FixState {
    const memory = this.memory;
    const state = this.memory.state;
    state.connected = false;
    state.continuous = false;
    state.step = 0;
    state.age = this.ageNow();
    // a late fix changes nothing; a clock far back makes all ages doubtful
    if (memory.latest - time > this.maximumAge()) stopWork(this.memory, "time-back");
    return this.set("out-of-order", "time-back", memory.usable);
  }

  private ageNow(): number {
    const memory = this.memory;
    return Math.max(0, memory.latest - (memory.hasGood ? memory.goodTime : memory.first));
  }

  private maximumAge(): number {
    // a step in time of just the maximum is still allowed, whatever the rounding of Unix time
    if (this.limits.maximumAge > 0) return this.limits.maximumAge + SAME_TIME;
    return Math.min(LONGEST_AGE, Math.max(SHORTEST_AGE, AGE_INTERVALS * this.memory.interval)) + SAME_TIME;
  }

  private set(status: FixStatus, reason: FixReason, usable: boolean): FixState {
    const memory = this.memory;
    const state = this.memory.state;
    state.status = status;
    state.reason = reason;
    state.usable = usable;
    state.interval = memory.interval;
    memory.counts[status]++;
    if (status !== "duplicate" && status !== "out-of-order") {
      memory.status = status;
      memory.reason = reason;
    }
    return state;
  }
}
