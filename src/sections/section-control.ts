import type { CoverageRecord } from "../coverage/index.js";
import { FeeringError } from "../errors/index.js";
import { type Boom, boom } from "./boom.js";
import { Carrier } from "./carrier.js";
import { OrderDesk } from "./order-desk.js";
import { checkOptions, type SectionControlOptions } from "./section-control-options.js";
import { isTime, SectionClock } from "./section-clock.js";
import { SectionGround } from "./section-ground.js";
import { SectionRule } from "./section-rule.js";
import { type ResolvedSettings, requireHeadlandRule, resolveSettings } from "./section-settings.js";
import { badSnapshot, checkSnapshot, type SectionSnapshot } from "./section-snapshot.js";
import type { SectionStep } from "./section-step.js";
import type { HeadlandRule, SectionInput, SectionOverride, SectionStates } from "./section-states.js";
import { SweptGround } from "./swept-ground.js";
import { ToolLine } from "./tool-line.js";

type Writable<T> = { -readonly [K in keyof T]: T[K] };

/**
 * Which sections are to be on, and why; and the marking of what they worked.
 *
 * With every fix it first marks the ground on which product landed since the fix before, then decides. Orders go out ahead of time by each section's turn-on or
 * turn-off time, foretold along the carrier's own arc, or along the path that it is given. An order under way is not countermanded before it has landed, unless
 * safety asks (position lost, master, hand, too slow, reversing): then off at once.
 *
 * {@link SectionControl.update} and {@link SectionControl.tick} never throw, and allocate nothing but bitmap for new ground.
 * Instants: within half a fix interval of the ideal one; where the outside tolerance is 0, within one for the field's boundary and closed zones, and
 * never outside (tests/sections/instants.test.ts). The ideal instants are told as well, and a host that switches at them itself is exact to the centimetre
 * (tests/sections/between-fixes.test.ts).
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
  /** called with each step during {@link SectionControl.update}, once its ground is marked; it must not throw */
  onStep: ((step: SectionStep) => void) | null = null;

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

  private readonly clock: SectionClock;
  private readonly step: Writable<SectionStep>;
  private direction = 1;

  /**
   * @param options - boom, record, zones, settings
   * @throws FeeringError `not-finite` or `out-of-range` with the setting's name; what `PolygonIndex` throws for a bad polygon;
   * `wrong-state` without a boom or a record, what `boom` throws for a damaged one
   */
  constructor(options: SectionControlOptions) {
    checkOptions(options);
    // a boom written by hand is checked like any other, and gets the times that it leaves out
    this.boom = boom({ ...options.boom, allowGaps: true });
    this.coverage = options.coverage;
    // 100 cells of 0.1 m, without the rounding of 0.1²
    this.cellsPerArea = (1 / options.coverage.cellSize) ** 2;
    this.settings = resolveSettings(options.settings ?? {});
    this.clock = new SectionClock(this.settings.maximumAge);
    this.desk = new OrderDesk(this.boom, this.settings);
    const { landed: working, landedAt: landings } = this.desk.orders;
    this.step = { time: 0.5, x: 0.5, y: 0.5, heading: 0.5, speed: 0.5, joined: false, working, landings };
    this.swept = new SweptGround(this.boom);
    this.ground = new SectionGround(
      this.boom,
      {
        field: options.field,
        headland: options.headland ?? [],
        closed: options.closed ?? [],
        coverage: options.coverage,
        swept: this.swept,
        orders: this.desk.orders,
      },
      this.settings,
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
    if (!isTime(time)) return this.desk.allOff(this.clock.now, "position");
    const usable =
      input.usable &&
      Number.isFinite(input.x) &&
      Number.isFinite(input.y) &&
      Number.isFinite(input.heading) &&
      Number.isFinite(input.speed) &&
      Number.isFinite(input.yawRate ?? (input.curvature ?? 0) * input.speed);
    const clock = this.clock;
    const step = time - clock.fixTime;
    if (clock.hasTime && step <= 0) {
      if (step >= -this.settings.maximumAge)
        return usable ? this.desk.publish(clock.now) : this.desk.allOff(clock.now, input.reason ?? "position");
      this.setBack(time);
      return this.desk.allOff(time, "position");
    }
    const since = clock.takeFix(time);
    if (!usable) return this.desk.allOff(clock.now, input.reason ?? "position");
    // a host that ticks by the same clock tells how late its fixes are
    const late = clock.now - time;
    if (late > this.settings.maximumAge) {
      this.setBack(time);
      return this.desk.allOff(time, "stale");
    }
    this.desk.giveDue(clock.now);
    this.carrier.take(input);
    this.sweep(input);
    const aged = late + this.settings.latency;
    if (!this.rule.prepare(clock, aged, since, this.line)) return this.desk.allOff(clock.now, "position");
    this.desk.decide(clock.now, this.carrier.speed, this.rule);
    return this.desk.publish(clock.now);
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
    const clock = this.clock;
    if (!isTime(time)) return this.desk.allOff(clock.now, "stale");
    if (!clock.hasTime) {
      clock.now = time;
      return this.desk.allOff(time, "position");
    }
    clock.now = Math.max(clock.now, time);
    if (!clock.hasPlace || clock.now - clock.placeTime > this.settings.maximumAge)
      return this.desk.allOff(clock.now, "stale");
    this.desk.giveDue(clock.now);
    return this.desk.publish(clock.now);
  }

  /**
   * The master switch: off orders every section off at once, whatever its override; on lets them come on with the next fix.
   *
   * @param on - default true when the control is made
   * @returns the control's own object, overwritten by the next call
   */
  setMaster(on: boolean): SectionStates {
    this.desk.master = on;
    return on ? this.desk.publish(this.clock.now) : this.desk.allOff(this.clock.now, "master-off");
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
    this.desk.giveDue(this.clock.now);
    this.desk.upcoming[section] = Number.NaN;
    this.desk.overrides[section] = override;
    if (override === "off" && this.desk.master) this.desk.stop(section, this.clock.now, "off-by-hand");
    return this.desk.publish(this.clock.now);
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
    const { desk } = this;
    const { states } = desk;
    return {
      version: 2,
      count: desk.overrides.length,
      numbers: [Number(desk.master), Number(desk.slow), this.direction, states.workedArea, states.overlapArea],
      clock: this.clock.toList(),
      orders: desk.orders.toList(),
      instants: [...desk.crossings, ...desk.upcoming].map((time) => (Number.isNaN(time) ? null : time)),
      swept: this.swept.toList(),
      overrides: [...desk.overrides],
      reasons: [...states.reasons],
      upcomingReasons: [...desk.upcomingReasons],
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
    const { desk, clock, swept } = control;
    const { states } = desk;
    const count = desk.overrides.length;
    checkSnapshot(snapshot, count);
    const n = snapshot.numbers;
    desk.master = n[0] === 1;
    desk.slow = n[1] === 1;
    control.direction = n[2]!;
    states.workedArea = n[3]!;
    states.overlapArea = n[4]!;
    if (!clock.fromList(snapshot.clock)) throw badSnapshot("is damaged: its clock does not fit");
    if (!desk.orders.fromList(snapshot.orders)) throw badSnapshot("is damaged: its orders do not fit");
    if (!swept.fromList(snapshot.swept)) throw badSnapshot("is damaged: its fronts do not fit");
    for (let i = 0; i < count; i++) {
      desk.overrides[i] = snapshot.overrides[i]!;
      states.reasons[i] = snapshot.reasons[i]!;
      desk.upcomingReasons[i] = snapshot.upcomingReasons[i]!;
      desk.crossings[i] = snapshot.instants[i] ?? Number.NaN;
      desk.upcoming[i] = snapshot.instants[count + i] ?? Number.NaN;
    }
    control.setHeadlandRule(snapshot.headlandRule);
    desk.publish(clock.now);
    return control;
  }

  /** A clock set back: what is under way keeps its distance from now. */
  private setBack(time: number): void {
    const now = this.clock.now;
    this.desk.orders.land(now);
    this.desk.orders.shift(time - now);
    this.desk.upcoming.fill(Number.NaN);
    this.clock.setBack(time);
  }

  /** Join the place with the last one where that may be, mark what was swept, and take all landings up to then as past. */
  private sweep(input: SectionInput): void {
    const clock = this.clock;
    const { latency, maximumAge } = this.settings;
    const direction = input.speed < 0 ? -1 : 1;
    this.carrier.stand(this.line, this.boom.sections[0]!.x);
    const joined = clock.hasPlace && input.connected !== false && input.time - clock.placeTime <= maximumAge;
    // places are as old as the fixes are late
    const from = clock.placeTime - latency;
    const to = input.time - latency;
    if (joined) {
      this.swept.mark(this.line, direction, from, to, this.desk.orders, this.coverage);
      this.desk.states.workedArea = this.swept.newCells / this.cellsPerArea;
      this.desk.states.overlapArea = this.swept.againCells / this.cellsPerArea;
    }
    // a machine that changes its way leaves fronts behind that its noise held back
    if (!joined || direction !== this.direction) this.swept.restart(this.line);
    this.direction = direction;
    this.desk.orders.land(to);
    clock.hasPlace = true;
    clock.placeTime = input.time;
    if (this.onStep !== null) this.tell(to, joined);
  }

  private tell(time: number, joined: boolean): void {
    const { step, carrier } = this;
    step.time = time;
    step.x = carrier.x;
    step.y = carrier.y;
    step.heading = carrier.heading;
    step.speed = carrier.speed;
    step.joined = joined;
    this.onStep!(step);
  }
}
