import type { Boom } from "./boom.js";
import { OrderBook } from "./order-book.js";
import type { SectionRule } from "./section-rule.js";
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

  private readonly boom: Boom;
  private readonly settings: ResolvedSettings;

  constructor(boom: Boom, settings: ResolvedSettings) {
    const count = boom.sections.length;
    this.boom = boom;
    this.settings = settings;
    this.orders = new OrderBook(count);
    this.overrides = Array.from({ length: count }, () => "auto" as const);
    this.states = {
      time: 0,
      ordered: Array.from({ length: count }, () => false),
      working: Array.from({ length: count }, () => false),
      reasons: Array.from({ length: count }, (): SectionReason => "position"),
      switches: Array.from({ length: count }, () => 0),
      workedArea: 0,
      overlapArea: 0,
    };
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
    for (let i = 0; i < count; i++) {
      const override = this.overrides[i]!;
      if (!this.master) this.stop(i, now, "master-off");
      else if (override === "off") this.stop(i, now, "off-by-hand");
      else if (override === "on") this.start(i, now, "on-by-hand", 0);
      else if (common !== "working") this.stop(i, now, common);
      else if (this.orders.ordered[i] === 1) this.watch(i, now, rule);
      else {
        const reason = rule.mayStart(i);
        if (reason === "working") this.start(i, now, reason, settings.minimumOffTime);
        else this.states.reasons[i] = reason;
      }
    }
  }

  /** Order a section on, as soon as the last order off has landed for `hold` s. */
  private start(i: number, now: number, reason: SectionReason, hold: number): void {
    const orders = this.orders;
    if (orders.ordered[i] === 0) {
      const landing = now + this.boom.sections[i]!.turnOnTime;
      if (orders.tooEarly(i, landing, hold)) {
        this.states.reasons[i] = orders.tooEarly(i, landing, 0) ? "under-way" : "minimum-time";
        return;
      }
      orders.flip(i, landing);
    }
    this.states.reasons[i] = reason;
  }

  /** Whether a section that is on is to go off by the rule. */
  private watch(i: number, now: number, rule: SectionRule): void {
    const orders = this.orders;
    const landing = now + this.boom.sections[i]!.turnOffTime;
    // the order on has not landed: nothing to ask yet
    const reason = orders.tooEarly(i, landing, 0) ? "working" : rule.mayStay(i);
    if (reason !== "working") {
      const soft = reason === "worked-already" || reason === "headland" || reason === "mainfield";
      if (soft && orders.tooEarly(i, landing, this.settings.minimumOnTime)) {
        this.states.reasons[i] = "minimum-time";
        return;
      }
      orders.flip(i, landing);
    }
    this.states.reasons[i] = reason;
  }

  /** Order a section off at once. */
  stop(i: number, now: number, reason: SectionReason): void {
    this.orders.stop(i, now, now + this.boom.sections[i]!.turnOffTime);
    this.states.reasons[i] = reason;
  }

  /** Order all off at once; a section that is off by hand or by the master says so. */
  allOff(now: number, reason: SectionReason): SectionStates {
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
    const count = this.overrides.length;
    for (let i = 0; i < count; i++) {
      states.ordered[i] = orders.ordered[i] === 1;
      states.working[i] = orders.workingAt(i, now);
      states.switches[i] = orders.switches[i]!;
    }
    return states;
  }
}
