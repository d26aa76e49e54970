import type { Boom } from "./boom.js";
import { OrderBook } from "./order-book.js";
import { beyond, type SectionRule } from "./section-rule.js";
import type { ResolvedSettings } from "./section-settings.js";
import type { SectionOverride, SectionReason, SectionStates } from "./section-states.js";

type Writable<T> = { -readonly [K in keyof T]: T[K] extends readonly (infer E)[] ? E[] : T[K] };

/** On again only this much faster than the minimum speed, so that a speed at the limit does not flutter. */
const CLEARLY_FASTER = 1.1;

/** Gives the orders: what the operator wants, what safety asks, and else what the rule says, each in its time. */
export class OrderDesk {
  /** the master switch */
  master = true;
  /** whether the machine counts as too slow */
  slow = false;
  /** orders and when they land */
  readonly orders: OrderBook;
  /** the operator's wish for each section */
  readonly overrides: SectionOverride[];
  /** what is given to the caller */
  readonly states: Writable<SectionStates>;
  /** when the last order of each section ought to have been given, s; NaN where there was none */
  readonly crossings: Float64Array;
  /** when each section ought to be switched over before the next fix, s; NaN where it ought not */
  readonly upcoming: Float64Array;
  /** why, once the order is given that is to come before the next fix */
  readonly upcomingReasons: SectionReason[];

  /** the times as the caller's lists have them */
  private readonly shownCrossings: Float64Array;
  private readonly shownUpcoming: Float64Array;
  /** revision of the orders that the caller's lists have */
  private shownRevision = -1;
  private readonly boom: Boom;
  private readonly settings: ResolvedSettings;
  /** whether a section is to be switched over with this fix */
  private readonly due: Uint8Array;

  constructor(boom: Boom, settings: ResolvedSettings) {
    const count = boom.sections.length;
    this.boom = boom;
    this.settings = settings;
    this.orders = new OrderBook(count);
    this.overrides = Array.from({ length: count }, () => "auto" as const);
    this.upcomingReasons = Array.from({ length: count }, (): SectionReason => "working");
    this.due = new Uint8Array(count);
    this.crossings = new Float64Array(count).fill(Number.NaN);
    this.upcoming = new Float64Array(count).fill(Number.NaN);
    this.shownCrossings = new Float64Array(count).fill(Number.NaN);
    this.shownUpcoming = new Float64Array(count).fill(Number.NaN);
    this.states = {
      time: 0,
      ordered: Array.from({ length: count }, () => false),
      working: Array.from({ length: count }, () => false),
      reasons: Array.from({ length: count }, (): SectionReason => "position"),
      crossings: Array.from({ length: count }, () => null),
      upcoming: Array.from({ length: count }, () => null),
      switches: Array.from({ length: count }, () => 0),
      workedArea: 0,
      overlapArea: 0,
    };
  }

  /** Take as given what the host has switched by itself up to a time; only where it does so. */
  giveDue(now: number): void {
    if (!this.settings.betweenFixes) return;
    const upcoming = this.upcoming;
    const count = upcoming.length;
    for (let i = 0; i < count; i++) {
      const at = upcoming[i]!;
      // not a number while there is none
      if (!(at <= now)) continue;
      this.flip(i, at);
      this.crossings[i] = at;
      this.states.reasons[i] = this.upcomingReasons[i]!;
      upcoming[i] = Number.NaN;
    }
  }

  /** Decide for every section, at a usable place. */
  decide(now: number, speed: number, rule: SectionRule): void {
    const settings = this.settings;
    const limit = settings.minimumSpeed * (this.slow ? CLEARLY_FASTER : 1);
    this.slow = Math.abs(speed) < limit;
    let common: SectionReason = "working";
    if (this.slow) common = "too-slow";
    else if (speed < 0 && !settings.workReversing) common = "reversing";
    const count = this.overrides.length;
    // all are asked before the first order is given, so that none depends on its place in the list
    if (this.master && common === "working") this.askAll(now, rule);
    for (let i = 0; i < count; i++) {
      const override = this.overrides[i]!;
      if (!this.master) this.stop(i, now, "master-off");
      else if (override === "off") this.stop(i, now, "off-by-hand");
      else if (override === "on") this.start(i, now);
      else if (common !== "working") this.stop(i, now, common);
      else if (this.due[i] === 1) this.flip(i, now);
    }
  }

  /** Ask the rule for every section that is left to it. */
  private askAll(now: number, rule: SectionRule): void {
    const count = this.overrides.length;
    for (let i = 0; i < count; i++) {
      this.due[i] = 0;
      if (this.overrides[i] !== "auto") continue;
      if (this.orders.ordered[i] === 1) this.askStay(i, now, rule);
      else this.askStart(i, now, rule);
    }
  }

  /** By hand: on, as soon as the last order off has landed. */
  private start(i: number, now: number): void {
    const states = this.states;
    this.upcoming[i] = Number.NaN;
    states.reasons[i] = "on-by-hand";
    if (this.orders.ordered[i] === 1) return;
    const reason = this.held(i, now, 0);
    if (reason !== "working") states.reasons[i] = reason;
    else {
      this.flip(i, now);
      this.crossings[i] = now;
    }
  }

  /** Why an order on may not be given yet; `working` when it may. */
  private held(i: number, now: number, hold: number): SectionReason {
    const orders = this.orders;
    const delay = this.boom.sections[i]!.turnOnTime;
    if (orders.earliest(i, delay, 0) > now) return "under-way";
    if (orders.earliest(i, delay, hold) > now) return "minimum-time";
    return orders.earliestOn(i, this.settings.minimumCycleTime) > now ? "minimum-time" : "working";
  }

  /** Whether a section that is off is to go on by the rule, now or before the next fix. */
  private askStart(i: number, now: number, rule: SectionRule): void {
    const { minimumCycleTime } = this.settings;
    const minimumOffTime = Math.max(this.settings.minimumOffTime, rule.hold);
    const states = this.states;
    let reason = rule.mayStart(i);
    if (reason === "working") {
      reason = this.held(i, now, minimumOffTime);
      if (reason === "working") {
        this.orderNow(i, now, rule, reason);
        return;
      }
    }
    states.reasons[i] = reason;
    const delay = this.boom.sections[i]!.turnOnTime;
    const earliest = Math.max(
      this.orders.earliest(i, delay, minimumOffTime),
      this.orders.earliestOn(i, minimumCycleTime),
    );
    rule.notBefore[0] = Math.max(0, earliest - now);
    rule.notBefore[1] = rule.notBefore[0];
    rule.findChange(i, false, false);
    this.upcoming[i] = now + rule.change[0]!;
    this.upcomingReasons[i] = "working";
  }

  /** Whether a section that is on is to go off by the rule, now or before the next fix. */
  private askStay(i: number, now: number, rule: SectionRule): void {
    const states = this.states;
    if (rule.calm(i)) {
      states.reasons[i] = "working";
      this.upcoming[i] = Number.NaN;
      return;
    }
    const delay = this.boom.sections[i]!.turnOffTime;
    const earliest = this.orders.earliest(i, delay, rule.hold);
    const soft = Math.max(earliest, this.orders.earliest(i, delay, this.settings.minimumOnTime));
    let reason: SectionReason = "working";
    // else the order on has not landed: nothing to ask yet
    if (earliest <= now) {
      reason = rule.mayStay(i);
      if (reason !== "working") {
        if (beyond(reason) || soft <= now) {
          this.orderNow(i, now, rule, reason);
          return;
        }
        reason = "minimum-time";
      }
    }
    states.reasons[i] = reason;
    rule.notBefore[0] = Math.max(0, earliest - now);
    rule.notBefore[1] = Math.max(0, soft - now);
    rule.findChange(i, true, false);
    this.upcoming[i] = now + rule.change[0]!;
    this.upcomingReasons[i] = rule.changeReason;
    if (reason === "working") rule.settle(i);
  }

  /** An order of the rule with this fix, and when it ought to have been given exactly. */
  private orderNow(i: number, now: number, rule: SectionRule, reason: SectionReason): void {
    const states = this.states;
    this.due[i] = 1;
    states.reasons[i] = reason;
    rule.notBefore.fill(0);
    rule.findChange(i, this.orders.ordered[i] === 1, true);
    let exact = now + rule.change[0]!;
    // due already before this fix: the last one has foretold when
    const foretold = this.upcoming[i]!;
    if (exact === now && foretold < now && now - foretold <= rule.lookBack) exact = foretold;
    this.crossings[i] = Number.isNaN(exact) ? now : exact;
    this.upcoming[i] = Number.NaN;
  }

  private flip(i: number, at: number): void {
    const section = this.boom.sections[i]!;
    this.orders.flip(i, at, at + (this.orders.ordered[i] === 1 ? section.turnOffTime : section.turnOnTime));
  }

  /** Order a section off at once. */
  stop(i: number, now: number, reason: SectionReason): void {
    if (this.orders.ordered[i] === 1) this.crossings[i] = now;
    this.upcoming[i] = Number.NaN;
    this.orders.stop(i, now, now + this.boom.sections[i]!.turnOffTime);
    this.states.reasons[i] = reason;
  }

  /** Order all off at once; a section that is off by hand or by the master says so. */
  allOff(now: number, reason: SectionReason): SectionStates {
    this.giveDue(now);
    const count = this.overrides.length;
    for (let i = 0; i < count; i++) {
      this.stop(i, now, !this.master ? "master-off" : this.overrides[i] === "off" ? "off-by-hand" : reason);
    }
    return this.publish(now);
  }

  /** Bring the caller's object up to date. */
  publish(now: number): SectionStates {
    const states = this.states;
    const orders = this.orders;
    states.time = now;
    if (orders.underWay > 0 || orders.revision !== this.shownRevision) {
      this.shownRevision = orders.revision;
      const count = this.overrides.length;
      for (let i = 0; i < count; i++) {
        states.ordered[i] = orders.ordered[i] === 1;
        states.working[i] = orders.workingAt(i, now);
        states.switches[i] = orders.switches[i]!;
      }
    }
    show(this.crossings, this.shownCrossings, states.crossings);
    show(this.upcoming, this.shownUpcoming, states.upcoming);
    return states;
  }
}

/** Times into the caller's list, null for none; only what changed since it was shown, as a number among nulls is boxed. */
function show(times: Float64Array, shown: Float64Array, list: (number | null)[]): void {
  for (let i = 0; i < times.length; i++) {
    const time = times[i]!;
    // not a number is not itself
    if (time === shown[i]! || (time !== time && shown[i]! !== shown[i]!)) continue;
    shown[i] = time;
    list[i] = time === time ? time : null;
  }
}
