import type { CoverageRecord } from "../coverage/index.js";
import { FeeringError, requireObject } from "../errors/index.js";
import { RADIANS } from "../geometry/index.js";
import { type Boom, boom } from "./boom.js";
import { Carrier } from "./carrier.js";
import { OrderDesk } from "./order-desk.js";
import type { SectionControlOptions } from "./section-control-options.js";
import { SectionGround } from "./section-ground.js";
import { SectionRule } from "./section-rule.js";
import { type ResolvedSettings, requireHeadlandRule, resolveSettings } from "./section-settings.js";
import { badSnapshot, checkSnapshot, type SectionSnapshot } from "./section-snapshot.js";
import type { HeadlandRule, SectionInput, SectionOverride, SectionStates } from "./section-states.js";
import { SweptGround } from "./swept-ground.js";
import { ToolLine } from "./tool-line.js";

/** Weight of the newest interval in the mean interval between fixes. */
const INTERVAL_WEIGHT = 0.25;
/** What is farther from 1970 than this is no time, s; the monitor of fixes has the same bound. */
const LATEST = 1e12;

/**
 * Which sections are to be on, and why; and the marking of what they worked.
 *
 * With every fix it first marks the ground on which product landed since the fix before, then decides. Orders go out ahead of time by each section's turn-on or
 * turn-off time, foretold along the carrier's own arc, or along the path that it is given. An order under way is not countermanded before it has landed, unless
 * safety asks (position lost, master, hand, too slow, reversing): then off at once.
 *
 * {@link SectionControl.update} and {@link SectionControl.tick} never throw, and allocate nothing but bitmap for new ground.
 * Instants: within half a fix interval of the ideal one; where the outside tolerance is 0, within one for the field's boundary and closed zones, and
 * never outside (tests/sections/instants.test.ts).
 *
 * @example
 * ```ts
 * const control = new SectionControl({
 *   boom: boom({ sections: evenSections(24, 8), x: -4, turnOnTime: 0.6, turnOffTime: 0.3 }),
 *   field: [{ exterior: [[0, 0], [300, 0], [300, 400], [0, 400]], holes: [] }],
 *   coverage: new CoverageRecord(),
 *   settings: { overlapTolerance: 0.5 },
 * });
 * const states = control.update({ time: 0, x: 100, y: 50, heading: 0, speed: 3, usable: true });
 * states.ordered[0]; // true
 * ```
 */
export class SectionControl {
  /** the boom that is controlled */
  readonly boom: Boom;

  private readonly coverage: CoverageRecord;
  private readonly settings: ResolvedSettings;
  private readonly desk: OrderDesk;
  private readonly swept: SweptGround;
  private readonly carrier: Carrier = new Carrier();
  private readonly ground: SectionGround;
  private readonly rule: SectionRule;
  private readonly line: ToolLine = new ToolLine();
  /** cells in a square metre */
  private readonly cellsPerArea: number;

  private hasTime = false;
  /** time of the last fix, s */
  private fixTime = 0;
  /** latest time heard of, s */
  private now = 0;
  private hasPlace = false;
  /** time of the last usable place, s */
  private placeTime = 0;
  private direction = 1;
  /** mean time between fixes, s */
  private interval = 0;

  /**
   * @param options - boom, record, zones, settings
   * @throws FeeringError `not-finite` or `out-of-range` with the setting's name; what `PolygonIndex` throws for a bad polygon;
   * `wrong-state` without a boom or a record, what `boom` throws for a damaged one
   */
  constructor(options: SectionControlOptions) {
    requireObject(options, "options");
    if (!Array.isArray((options.boom as Boom | undefined)?.sections)) {
      throw new FeeringError("wrong-state", "options.boom is no boom", { argument: "options.boom" });
    }
    if (typeof (options.coverage as CoverageRecord | undefined)?.mark !== "function") {
      throw new FeeringError("wrong-state", "options.coverage is no coverage record", { argument: "options.coverage" });
    }
    // a boom written by hand is checked like any other, and gets the times that it leaves out
    this.boom = boom({ ...options.boom, allowGaps: true });
    this.coverage = options.coverage;
    // 100 cells of 0.1 m, without the rounding of 0.1²
    this.cellsPerArea = (1 / options.coverage.cellSize) ** 2;
    this.settings = resolveSettings(options.settings ?? {});
    this.desk = new OrderDesk(this.boom, this.settings);
    this.swept = new SweptGround(this.boom);
    this.ground = new SectionGround(
      this.boom,
      {
        field: options.field,
        headland: options.headland ?? [],
        closed: options.closed ?? [],
        coverage: options.coverage,
      },
      this.settings,
      this.swept,
      this.carrier,
    );
    this.rule = new SectionRule(this.boom, this.ground, this.settings, this.carrier);
  }

  /** What every section does, as the last call left it; the control's own object. */
  get state(): SectionStates {
    return this.desk.states;
  }

  /**
   * Take a fix: mark, then decide.
   *
   * A fix not newer than the last one changes nothing; one that is older by more than the maximum age is a clock set back: all off, and on from there.
   * Anything not finite counts as a position that is not usable. Where {@link SectionControl.tick} has told a later time than the fix has, the fix is
   * that late, and what is foretold reaches so much farther.
   *
   * @param input - time, place and motion of the reference point, and whether they are to be trusted
   * @returns the control's own object, overwritten by the next call
   */
  update(input: SectionInput): SectionStates {
    const states = this.desk.states;
    states.workedArea = 0;
    states.overlapArea = 0;
    const time = input?.time;
    if (!isTime(time)) return this.desk.allOff(this.now, "position");
    const yawRate = input.yawRate ?? ((input.curvature ?? 0) * input.speed) / RADIANS;
    const usable =
      input.usable &&
      Number.isFinite(input.x) &&
      Number.isFinite(input.y) &&
      Number.isFinite(input.heading) &&
      Number.isFinite(input.speed) &&
      Number.isFinite(yawRate);
    const step = time - this.fixTime;
    if (this.hasTime && step <= 0) {
      if (step >= -this.settings.maximumAge)
        return usable ? this.desk.publish(this.now) : this.desk.allOff(this.now, input.reason ?? "position");
      this.setBack(time);
      return this.desk.allOff(this.now, "position");
    }
    this.takeInterval(step);
    this.hasTime = true;
    this.fixTime = time;
    if (time > this.now) this.now = time;
    if (!usable) return this.desk.allOff(this.now, input.reason ?? "position");
    // a host that ticks by the same clock tells how late its fixes are
    const late = this.now - time;
    if (late > this.settings.maximumAge) {
      this.setBack(time);
      return this.desk.allOff(this.now, "stale");
    }
    this.carrier.take(input.x, input.y, input.heading, input.speed, yawRate, input.path ?? undefined);
    this.sweep(input);
    const longest = Math.max(this.interval, step <= this.settings.maximumAge ? step : 0);
    if (!this.rule.prepare(late, this.interval, longest, this.line)) return this.desk.allOff(this.now, "position");
    this.desk.decide(this.now, input.speed, this.rule);
    return this.desk.publish(this.now);
  }

  /**
   * Say what time it is when there is no fix: all off once the last usable one is too old, and where the time is none. Marks nothing.
   *
   * @param time - s, by the same clock as the fixes
   * @returns the control's own object, overwritten by the next call
   */
  tick(time: number): SectionStates {
    this.desk.states.workedArea = 0;
    this.desk.states.overlapArea = 0;
    // a clock that tells no time tells nothing of the age of the last fix
    if (!isTime(time)) return this.desk.allOff(this.now, "stale");
    if (!this.hasTime) {
      this.now = time;
      return this.desk.allOff(this.now, "position");
    }
    if (time > this.now) this.now = time;
    if (!this.hasPlace || this.now - this.placeTime > this.settings.maximumAge)
      return this.desk.allOff(this.now, "stale");
    return this.desk.publish(this.now);
  }

  /**
   * The master switch: off orders every section off at once, whatever its override; on lets them come on with the next fix.
   *
   * @param on - default true when the control is made
   * @returns the control's own object, overwritten by the next call
   */
  setMaster(on: boolean): SectionStates {
    this.desk.master = on;
    return on ? this.desk.publish(this.now) : this.desk.allOff(this.now, "master-off");
  }

  /**
   * The operator's wish for one section. `off` acts at once; `on` with the next fix, over the rules of field, record, speed and reversing, but not over the
   * master switch nor a position that cannot be trusted.
   *
   * @param section - index from the left, from 0
   * @param override - by the rule, on, or off
   * @returns the control's own object, overwritten by the next call
   * @throws FeeringError `out-of-range` for an index that is none or an override that is none
   */
  setOverride(section: number, override: SectionOverride): SectionStates {
    if (!Number.isInteger(section) || section < 0 || section >= this.desk.overrides.length) {
      throw new FeeringError("out-of-range", `section is ${section}, needs 0 to ${this.desk.overrides.length - 1}`, {
        argument: "section",
        value: section,
      });
    }
    if (override !== "auto" && override !== "on" && override !== "off") {
      throw new FeeringError("out-of-range", `override is ${String(override)}, needs auto, on or off`, {
        argument: "override",
        value: override,
      });
    }
    this.desk.overrides[section] = override;
    if (override === "off" && this.desk.master) this.desk.stop(section, this.now, "off-by-hand");
    return this.desk.publish(this.now);
  }

  /**
   * Which ground is worked from the next fix on.
   *
   * @param rule - headland, mainfield or both
   * @throws FeeringError `out-of-range` for anything else
   */
  setHeadlandRule(rule: HeadlandRule): void {
    this.ground.headlandRule = requireHeadlandRule(rule, "rule");
  }

  /**
   * @returns a plain copy of the whole state, safe in JSON; the coverage record has its own
   */
  snapshot(): SectionSnapshot {
    return {
      version: 1,
      count: this.desk.overrides.length,
      numbers: [
        Number(this.desk.master),
        Number(this.desk.slow),
        Number(this.hasTime),
        this.fixTime,
        this.now,
        Number(this.hasPlace),
        this.placeTime,
        this.direction,
        this.interval,
        this.desk.states.workedArea,
        this.desk.states.overlapArea,
      ],
      orders: this.desk.orders.toList(),
      swept: this.swept.toList(),
      overrides: [...this.desk.overrides],
      reasons: [...this.desk.states.reasons],
      headlandRule: this.ground.headlandRule,
    };
  }

  /**
   * A control that goes on where a snapshot was taken, bit for bit, given the same options and the record as it was then.
   *
   * @param snapshot - from {@link SectionControl.snapshot}
   * @param options - as for the constructor
   * @returns a new control
   * @throws FeeringError `bad-snapshot` when it is damaged, of another version or of another boom; what the constructor throws
   */
  static restore(snapshot: SectionSnapshot, options: SectionControlOptions): SectionControl {
    const control = new SectionControl(options);
    checkSnapshot(snapshot, control.desk.overrides.length, 11);
    const n = snapshot.numbers;
    control.desk.master = n[0] === 1;
    control.desk.slow = n[1] === 1;
    control.hasTime = n[2] === 1;
    control.fixTime = n[3]!;
    control.now = n[4]!;
    control.hasPlace = n[5] === 1;
    control.placeTime = n[6]!;
    control.direction = n[7]!;
    control.interval = n[8]!;
    control.desk.states.workedArea = n[9]!;
    control.desk.states.overlapArea = n[10]!;
    if (!control.desk.orders.fromList(snapshot.orders)) throw badSnapshot("is damaged: its orders do not fit");
    if (!control.swept.fromList(snapshot.swept)) throw badSnapshot("is damaged: its fronts do not fit");
    snapshot.overrides.forEach((override, i) => (control.desk.overrides[i] = override));
    snapshot.reasons.forEach((reason, i) => (control.desk.states.reasons[i] = reason));
    control.setHeadlandRule(snapshot.headlandRule);
    control.desk.publish(control.now);
    return control;
  }

  /** The mean interval, from fixes that follow one another. */
  private takeInterval(step: number): void {
    if (!this.hasTime || step > this.settings.maximumAge) return;
    this.interval = this.interval === 0 ? step : this.interval + INTERVAL_WEIGHT * (step - this.interval);
  }

  /** A clock set back: what is under way keeps its distance from now. */
  private setBack(time: number): void {
    this.desk.orders.land(this.now);
    this.desk.orders.shift(time - this.now);
    this.now = time;
    this.fixTime = time;
    this.hasPlace = false;
  }

  /** Join the place with the last one where that may be, mark what was swept, and take all landings up to now as past. */
  private sweep(input: SectionInput): void {
    const time = input.time;
    const direction = input.speed < 0 ? -1 : 1;
    this.carrier.stand(this.line, this.boom.sections[0]!.x);
    const joined = this.hasPlace && input.connected !== false && time - this.placeTime <= this.settings.maximumAge;
    if (joined) {
      // a machine that changes its way goes over its own fronts
      if (direction !== this.direction) this.swept.straight = false;
      this.swept.mark(this.line, direction, this.placeTime, time, this.desk.orders, this.coverage);
      this.desk.states.workedArea = this.swept.newCells / this.cellsPerArea;
      this.desk.states.overlapArea = this.swept.againCells / this.cellsPerArea;
    }
    if (!joined || direction !== this.direction) this.swept.restart(this.line);
    this.direction = direction;
    this.desk.orders.land(time);
    this.hasPlace = true;
    this.placeTime = time;
  }
}

function isTime(time: number): boolean {
  return Number.isFinite(time) && Math.abs(time) <= LATEST;
}
