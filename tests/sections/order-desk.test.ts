import { describe, expect, test } from "vitest";
import { type BoomDefinition, boom, evenSections, type SectionSettings } from "../../src/sections/index.js";
import { OrderDesk } from "../../src/sections/order-desk.js";
import type { SectionRule } from "../../src/sections/section-rule.js";
import { resolveSettings } from "../../src/sections/section-settings.js";
import type { SectionReason } from "../../src/sections/section-states.js";

// the desk alone, with a rule that says what the test wants; times are sums of powers of two, so that limits are met to the bit

/** A rule that says what it is told to, and notes what it was asked. */
class TestRule {
  /** answers */
  start: SectionReason = "working";
  stay: SectionReason = "working";
  quiet = false;
  found = Number.NaN;
  changeReason: SectionReason = "worked-already";
  lookBack = 0.25;
  hold = 0;
  readonly change = new Float64Array(1);
  readonly notBefore = Float64Array.of(7, 7);
  /** questions: section, ordered on, now too, not before, not before for all but the boundary */
  asked: [number, boolean, boolean, number, number][] = [];
  stayed: number[] = [];
  settled: number[] = [];

  mayStart(): SectionReason {
    return this.start;
  }
  mayStay(i: number): SectionReason {
    this.stayed.push(i);
    return this.stay;
  }
  calm(): boolean {
    return this.quiet;
  }
  settle(i: number): void {
    this.settled.push(i);
  }
  findChange(i: number, on: boolean, first: boolean): void {
    this.asked.push([i, on, first, this.notBefore[0]!, this.notBefore[1]!]);
    this.change[0] = this.found;
  }
  as(answers: Partial<TestRule>): SectionRule {
    Object.assign(this, answers);
    this.asked = [];
    this.stayed = [];
    this.settled = [];
    return this as unknown as SectionRule;
  }
}

const ON = 0.5;
const OFF = 0.25;
const SAME = 1e-9;

/** A desk of three sections, with its rule. */
function make(settings: SectionSettings = {}, tool: Partial<BoomDefinition> = {}): { desk: OrderDesk; rule: TestRule } {
  const sections = boom({ sections: evenSections(6, 3), turnOnTime: ON, turnOffTime: OFF, ...tool });
  return { desk: new OrderDesk(sections, resolveSettings(settings)), rule: new TestRule() };
}

/** A desk whose sections were ordered on at 0 and have landed. */
function working(settings: SectionSettings = {}): { desk: OrderDesk; rule: TestRule } {
  const made = make({ minimumCycleTime: 0, ...settings });
  made.desk.decide(0, 2, made.rule.as({}));
  expect([...made.desk.orders.ordered]).toEqual([1, 1, 1]);
  return made;
}

describe("a desk", () => {
  test("begins with all off, for want of a position, nothing foretold", () => {
    const { desk } = make();
    expect(desk.master).toBe(true);
    expect(desk.slow).toBe(false);
    expect(desk.overrides).toEqual(["auto", "auto", "auto"]);
    expect(desk.upcomingReasons).toEqual(["working", "working", "working"]);
    expect([...desk.crossings, ...desk.upcoming]).toEqual(new Array(6).fill(Number.NaN));
    expect(desk.states).toEqual({
      time: 0,
      ordered: [false, false, false],
      working: [false, false, false],
      reasons: ["position", "position", "position"],
      crossings: [null, null, null],
      upcoming: [null, null, null],
      switches: [0, 0, 0],
      workedArea: 0,
      overlapArea: 0,
    });
    expect(desk.publish(4)).toEqual({ ...desk.states, time: 4 });
  });

  test("publishes the orders, what has landed by then, and times where there are any", () => {
    const { desk } = make();
    desk.orders.flip(1, 2, 3);
    desk.crossings[1] = 2;
    desk.upcoming[2] = 5;
    expect(desk.publish(2.75)).toMatchObject({
      time: 2.75,
      ordered: [false, true, false],
      working: [false, false, false],
      crossings: [null, 2, null],
      upcoming: [null, null, 5],
      switches: [0, 1, 0],
    });
    expect(desk.publish(3).working).toEqual([false, true, false]);
    desk.upcoming[2] = Number.NaN;
    desk.crossings[1] = 4;
    expect(desk.publish(4)).toMatchObject({ crossings: [null, 4, null], upcoming: [null, null, null] });
  });

  test("writes a time into the caller's list only where it changed", () => {
    const { desk } = make();
    const written: [string, unknown][] = [];
    desk.states.crossings = new Proxy(desk.states.crossings, {
      set(list, place, value: number | null) {
        written.push([String(place), value]);
        return Reflect.set(list, place, value);
      },
    });
    const publish = (...times: number[]): [string, unknown][] => {
      desk.crossings.set(times);
      written.length = 0;
      desk.publish(0);
      return [...written];
    };
    expect(publish(Number.NaN, Number.NaN, Number.NaN)).toEqual([]);
    expect(publish(1, Number.NaN, 2)).toEqual([
      ["0", 1],
      ["2", 2],
    ]);
    expect(publish(1, Number.NaN, 3)).toEqual([["2", 3]]);
    expect(publish(Number.NaN, Number.NaN, 3)).toEqual([["0", null]]);
    expect(publish(Number.NaN, Number.NaN, 3)).toEqual([]);
  });
});

describe("the machine's speed", () => {
  test("is too slow below the minimum, and from then on below a tenth more", () => {
    const { desk, rule } = make({ minimumSpeed: 1, minimumCycleTime: 0 });
    const slow = (time: number, speed: number): boolean => {
      desk.decide(time, speed, rule.as({}));
      expect(desk.states.reasons[0] === "too-slow").toBe(desk.slow);
      return desk.slow;
    };
    expect(slow(0, 1)).toBe(false);
    expect(slow(1, 1 - SAME)).toBe(true);
    expect([...desk.orders.ordered]).toEqual([0, 0, 0]);
    expect(slow(2, 1.1 - SAME)).toBe(true);
    expect(slow(3, 1.1)).toBe(false);
    expect(slow(4, 1)).toBe(false);
  });

  test("backwards is as fast as forwards, and reversing", () => {
    const { desk, rule } = working({ minimumSpeed: 1 });
    desk.decide(2, -1, rule.as({}));
    expect(desk.slow).toBe(false);
    expect(desk.states.reasons).toEqual(["reversing", "reversing", "reversing"]);
    expect([...desk.orders.ordered]).toEqual([0, 0, 0]);
    desk.decide(3, -0.5, rule.as({}));
    expect(desk.states.reasons).toEqual(["too-slow", "too-slow", "too-slow"]);
    const back = make({ workReversing: true });
    back.desk.decide(0, -2, back.rule.as({}));
    expect([...back.desk.orders.ordered]).toEqual([1, 1, 1]);
  });

  test("of 0 is not reversing where there is no minimum", () => {
    const { desk, rule } = make({ minimumSpeed: 0 });
    desk.decide(0, 0, rule.as({}));
    expect(desk.states.reasons).toEqual(["working", "working", "working"]);
  });

  test("that forbids work leaves the rule unasked, and what it found before undone", () => {
    const { desk, rule } = make();
    desk.decide(0, 2, rule.as({}));
    desk.decide(1, -2, rule.as({}));
    expect(rule.asked).toEqual([]);
    expect([...desk.orders.switches]).toEqual([2, 2, 2]);
  });
});

describe("master and hand", () => {
  test("off order off at once, each with its reason, the master's first", () => {
    const { desk, rule } = working();
    desk.overrides[1] = "off";
    desk.decide(1, 2, rule.as({}));
    expect(rule.stayed).toEqual([0, 2]);
    expect(desk.states.reasons).toEqual(["working", "off-by-hand", "working"]);
    expect([...desk.orders.ordered]).toEqual([1, 0, 1]);
    // an order off lands after the turn-off time
    expect(desk.orders.flipTime(1, 1)).toBe(1 + OFF);
    desk.master = false;
    desk.overrides[2] = "on";
    desk.decide(2, 2, rule.as({}));
    expect(rule.asked).toEqual([]);
    expect(desk.states.reasons).toEqual(["master-off", "master-off", "master-off"]);
    expect([...desk.orders.ordered]).toEqual([0, 0, 0]);
    expect([...desk.crossings]).toEqual([2, 1, 2]);
  });

  test("on orders on over speed and rule, landing after the turn-on time", () => {
    const { desk, rule } = make();
    desk.overrides[1] = "on";
    desk.upcoming[1] = 3;
    desk.decide(2, 0, rule.as({ start: "outside-field" }));
    expect(desk.states.reasons).toEqual(["too-slow", "on-by-hand", "too-slow"]);
    expect([...desk.orders.ordered]).toEqual([0, 1, 0]);
    expect([...desk.crossings]).toEqual([Number.NaN, 2, Number.NaN]);
    expect([...desk.upcoming]).toEqual([Number.NaN, Number.NaN, Number.NaN]);
    expect(desk.orders.flipTime(1, 0)).toBe(2 + ON);
    // it is on already: no second order
    desk.decide(3, 2, rule.as({ start: "outside-field" }));
    expect(desk.states.reasons).toEqual(["outside-field", "on-by-hand", "outside-field"]);
    expect(desk.crossings[1]).toBe(2);
    expect([...desk.orders.switches]).toEqual([0, 1, 0]);
  });

  test("on waits for the last order off to land, and for the time between two orders on", () => {
    const { desk, rule } = make({ minimumCycleTime: 4 }, { turnOffTime: 2 });
    desk.overrides[0] = "on";
    desk.decide(0, 2, rule.as({ start: "outside-field" }));
    desk.overrides[0] = "off";
    desk.decide(1, 2, rule.as({ start: "outside-field" }));
    desk.overrides[0] = "on";
    // off at 1 lands at 3: an order on may be given from 2.5 on
    desk.decide(2, 2, rule.as({ start: "outside-field" }));
    expect(desk.states.reasons[0]).toBe("under-way");
    const landed = desk.orders.earliest(0, ON, 0);
    desk.decide(landed, 2, rule.as({ start: "outside-field" }));
    expect(desk.states.reasons[0]).toBe("minimum-time");
    const next = desk.orders.earliestOn(0, 4);
    expect(next).toBe(4 - SAME);
    desk.decide(next, 2, rule.as({ start: "outside-field" }));
    expect(desk.states.reasons[0]).toBe("on-by-hand");
    expect(desk.crossings[0]).toBe(next);
    // the minimum time off does not hold the hand back
    const hand = make({ minimumCycleTime: 0, minimumOffTime: 9 });
    hand.desk.overrides[0] = "on";
    hand.desk.decide(0, 2, hand.rule.as({}));
    hand.desk.stop(0, 1, "position");
    hand.desk.decide(2, 2, hand.rule.as({}));
    expect(hand.desk.orders.ordered[0]).toBe(1);
  });
});

describe("a section that is off", () => {
  test("goes on with the fix where the rule lets it, all asked before the first order", () => {
    const { desk, rule } = make();
    desk.decide(1, 2, rule.as({ found: 0 }));
    // now itself is asked too, from now on, with none of them on yet
    expect(rule.asked).toEqual([
      [0, false, true, 0, 0],
      [1, false, true, 0, 0],
      [2, false, true, 0, 0],
    ]);
    expect(desk.states.reasons).toEqual(["working", "working", "working"]);
    expect([...desk.orders.switches]).toEqual([1, 1, 1]);
    expect([...desk.crossings]).toEqual([1, 1, 1]);
    expect([...desk.upcoming]).toEqual([Number.NaN, Number.NaN, Number.NaN]);
    expect(desk.orders.flipTime(0, 0)).toBe(1 + ON);
    // and has no order left for the next fix
    desk.decide(2, 2, rule.as({ quiet: true }));
    expect([...desk.orders.switches]).toEqual([1, 1, 1]);
  });

  test("stays off with the rule's reason, and when it is to go on is foretold", () => {
    const { desk, rule } = make();
    desk.upcomingReasons.fill("position");
    desk.decide(1, 2, rule.as({ start: "headland", found: 0.125 }));
    expect(desk.states.reasons).toEqual(["headland", "headland", "headland"]);
    expect([...desk.orders.ordered]).toEqual([0, 0, 0]);
    expect(rule.asked[0]).toEqual([0, false, false, 0, 0]);
    expect([...desk.upcoming]).toEqual([1.125, 1.125, 1.125]);
    expect(desk.upcomingReasons).toEqual(["working", "working", "working"]);
    expect([...desk.crossings]).toEqual([Number.NaN, Number.NaN, Number.NaN]);
  });

  test("is not foretold to go on before its last order has landed, its minimum time off, or that between orders on", () => {
    const notBefore = (settings: SectionSettings, hold = 0): number => {
      const { desk, rule } = working(settings);
      desk.decide(2, 2, rule.as({ stay: "outside-field" }));
      expect([...desk.orders.ordered]).toEqual([0, 0, 0]);
      desk.decide(2, 2, rule.as({ start: "headland", hold }));
      const [i, on, first, any, soft] = rule.asked[0]!;
      expect([i, on, first]).toEqual([0, false, false]);
      expect(soft).toBe(any);
      return any;
    };
    // off at 2 lands at 2.25
    const landed = 2 + OFF;
    expect(notBefore({})).toBe(0);
    expect(notBefore({ minimumOffTime: 1 })).toBe(landed + 1 - ON - SAME - 2);
    expect(notBefore({ minimumOffTime: 1 }, 0.5)).toBe(landed + 1 - ON - SAME - 2);
    expect(notBefore({ minimumOffTime: 0.5 }, 1)).toBe(landed + 1 - ON - SAME - 2);
    expect(notBefore({ minimumCycleTime: 5 })).toBe(5 - SAME - 2);
    expect(notBefore({ minimumCycleTime: 5, minimumOffTime: 4 })).toBe(landed + 4 - ON - SAME - 2);
  });

  test("says what holds an order on back, to the very instant that it may be given", () => {
    const { desk, rule } = working({ minimumOffTime: 1 });
    desk.decide(2, 2, rule.as({ stay: "outside-field" }));
    const reasonAt = (time: number): string => {
      desk.decide(time, 2, rule.as({ found: Number.NaN }));
      return desk.states.reasons[0]!;
    };
    const landed = desk.orders.earliest(0, ON, 0);
    const may = desk.orders.earliest(0, ON, 1);
    expect(landed).toBe(2 + OFF - ON - SAME);
    expect(reasonAt(landed - SAME)).toBe("under-way");
    expect(reasonAt(landed)).toBe("minimum-time");
    expect(reasonAt(may - SAME)).toBe("minimum-time");
    expect([...desk.orders.ordered]).toEqual([0, 0, 0]);
    expect([...desk.upcoming]).toEqual([Number.NaN, Number.NaN, Number.NaN]);
    expect(reasonAt(may)).toBe("working");
    expect([...desk.orders.ordered]).toEqual([1, 1, 1]);
  });

  test("is held by the rule's own hold where that is longer", () => {
    const { desk, rule } = working({ minimumOffTime: 1 });
    desk.decide(2, 2, rule.as({ stay: "outside-field" }));
    desk.decide(3, 2, rule.as({ hold: 2 }));
    expect(desk.states.reasons[0]).toBe("minimum-time");
    desk.decide(3, 2, rule.as({ hold: 0 }));
    expect(desk.states.reasons[0]).toBe("working");
  });
});

describe("a section that is on", () => {
  test("stays on without a question where its row is calm", () => {
    const { desk, rule } = working();
    desk.upcoming.fill(9);
    desk.states.reasons.fill("minimum-time");
    desk.decide(2, 2, rule.as({ quiet: true, stay: "outside-field" }));
    expect(rule.asked).toEqual([]);
    expect(rule.stayed).toEqual([]);
    expect(rule.settled).toEqual([]);
    expect(desk.states.reasons).toEqual(["working", "working", "working"]);
    expect([...desk.upcoming]).toEqual([Number.NaN, Number.NaN, Number.NaN]);
    expect([...desk.orders.ordered]).toEqual([1, 1, 1]);
  });

  test("is not asked before its order off could land after the order on", () => {
    const { desk, rule } = working();
    const landed = desk.orders.earliest(0, OFF, 0);
    expect(landed).toBe(ON - OFF - SAME);
    desk.decide(0.125, 2, rule.as({ stay: "outside-field", found: 0.5 }));
    expect(rule.stayed).toEqual([]);
    expect(rule.settled).toEqual([0, 1, 2]);
    expect(desk.states.reasons).toEqual(["working", "working", "working"]);
    expect(rule.asked[0]).toEqual([0, true, false, landed - 0.125, landed - 0.125]);
    expect([...desk.upcoming]).toEqual([0.625, 0.625, 0.625]);
    expect(desk.upcomingReasons).toEqual(["worked-already", "worked-already", "worked-already"]);
    desk.decide(landed, 2, rule.as({ stay: "outside-field" }));
    expect(rule.stayed).toEqual([0, 1, 2]);
    expect([...desk.orders.ordered]).toEqual([0, 0, 0]);
  });

  test("stays on where the rule says so, and when it is to go off is foretold with the reason", () => {
    const { desk, rule } = working();
    desk.decide(2, 2, rule.as({ found: 0.25, changeReason: "closed-zone" }));
    expect(rule.asked[1]).toEqual([1, true, false, 0, 0]);
    expect(rule.settled).toEqual([0, 1, 2]);
    expect(desk.states.reasons).toEqual(["working", "working", "working"]);
    expect([...desk.upcoming]).toEqual([2.25, 2.25, 2.25]);
    expect(desk.upcomingReasons).toEqual(["closed-zone", "closed-zone", "closed-zone"]);
    expect([...desk.orders.ordered]).toEqual([1, 1, 1]);
  });

  test("goes off with the reason, landing after its turn-off time", () => {
    const { desk, rule } = working();
    desk.decide(2, 2, rule.as({ stay: "worked-already", found: 0.125 }));
    expect(rule.asked).toEqual([
      [0, true, true, 0, 0],
      [1, true, true, 0, 0],
      [2, true, true, 0, 0],
    ]);
    expect(rule.settled).toEqual([]);
    expect(desk.states.reasons).toEqual(["worked-already", "worked-already", "worked-already"]);
    expect([...desk.orders.ordered]).toEqual([0, 0, 0]);
    expect([...desk.crossings]).toEqual([2.125, 2.125, 2.125]);
    expect([...desk.upcoming]).toEqual([Number.NaN, Number.NaN, Number.NaN]);
    expect(desk.orders.flipTime(0, 1)).toBe(2 + OFF);
  });

  test("keeps on worked ground for its minimum time on, to the instant, but not at the boundary", () => {
    const { desk, rule } = working({ minimumOnTime: 3 });
    const may = desk.orders.earliest(0, OFF, 3);
    expect(may).toBe(ON + 3 - OFF - SAME);
    desk.decide(2, 2, rule.as({ stay: "worked-already", found: may - 2 }));
    expect(desk.states.reasons).toEqual(["minimum-time", "minimum-time", "minimum-time"]);
    // the boundary may ask for off from now on, worked ground from the minimum time on
    expect(rule.asked[0]).toEqual([0, true, false, 0, may - 2]);
    expect(rule.settled).toEqual([]);
    expect(desk.upcoming[0]).toBe(may);
    expect([...desk.orders.ordered]).toEqual([1, 1, 1]);
    desk.decide(may, 2, rule.as({ stay: "worked-already" }));
    expect([...desk.orders.ordered]).toEqual([0, 0, 0]);
    const edge = working({ minimumOnTime: 3 });
    edge.desk.decide(2, 2, edge.rule.as({ stay: "outside-field" }));
    expect(edge.desk.states.reasons).toEqual(["outside-field", "outside-field", "outside-field"]);
    expect([...edge.desk.orders.ordered]).toEqual([0, 0, 0]);
  });

  test("is held by the rule's own hold, at the boundary too", () => {
    const { desk, rule } = working();
    desk.decide(2, 2, rule.as({ stay: "outside-field", hold: 2 }));
    expect(desk.states.reasons[0]).toBe("working");
    const may = desk.orders.earliest(0, OFF, 2);
    expect(rule.asked[0]).toEqual([0, true, false, may - 2, may - 2]);
    expect(rule.stayed).toEqual([]);
  });
});

describe("the instant of an order", () => {
  /** Where an order off at 2 is told to have been due, foretold for some time before. */
  const crossing = (foretold: number, found: number): number => {
    const { desk, rule } = working();
    desk.upcoming.fill(foretold);
    desk.decide(2, 2, rule.as({ stay: "outside-field", found, lookBack: 0.25 }));
    expect(desk.states.reasons[0]).toBe("outside-field");
    return desk.crossings[0]!;
  };

  test("is the one that the rule finds from this fix on", () => {
    expect(crossing(Number.NaN, 0.125)).toBe(2.125);
    expect(crossing(1.875, 0.125)).toBe(2.125);
  });

  test("is the one foretold with the fix before where it is due already, as long as that fix reaches", () => {
    expect(crossing(1.875, 0)).toBe(1.875);
    expect(crossing(1.75, 0)).toBe(1.75);
    expect(crossing(1.749, 0)).toBe(2);
    // what lies ahead yet has not come
    expect(crossing(2.125, 0)).toBe(2);
    expect(crossing(Number.NaN, 0)).toBe(2);
  });

  test("is now where the rule finds none", () => {
    expect(crossing(1.875, Number.NaN)).toBe(2);
  });
});

describe("orders that the host gives between fixes", () => {
  test("are taken as given up to now, at their own time", () => {
    const { desk } = make({ betweenFixes: true });
    desk.upcoming.set([3, 3.25, Number.NaN]);
    desk.upcomingReasons.fill("working");
    desk.giveDue(3);
    expect([...desk.orders.ordered]).toEqual([1, 0, 0]);
    expect([...desk.crossings]).toEqual([3, Number.NaN, Number.NaN]);
    expect([...desk.upcoming]).toEqual([Number.NaN, 3.25, Number.NaN]);
    expect(desk.states.reasons).toEqual(["working", "position", "position"]);
    expect(desk.orders.flipTime(0, 0)).toBe(3 + ON);
    desk.upcoming[0] = 5;
    desk.upcomingReasons[0] = "closed-zone";
    desk.giveDue(6);
    expect([...desk.orders.ordered]).toEqual([0, 1, 0]);
    expect([...desk.orders.switches]).toEqual([2, 1, 0]);
    expect(desk.states.reasons[0]).toBe("closed-zone");
    expect(desk.orders.flipTime(0, 1)).toBe(5 + OFF);
    expect(desk.orders.flipTime(1, 0)).toBe(3.25 + ON);
  });

  test("are none where the host does not switch by itself", () => {
    const { desk } = make();
    desk.upcoming.fill(3);
    desk.giveDue(4);
    expect([...desk.orders.ordered]).toEqual([0, 0, 0]);
    expect([...desk.upcoming]).toEqual([3, 3, 3]);
  });
});

describe("all off", () => {
  test("orders off what is on, each with its reason, and publishes", () => {
    const { desk } = working();
    desk.overrides[1] = "off";
    desk.upcoming.fill(2.5);
    desk.orders.stop(2, 1, 1.25);
    const states = desk.allOff(2, "stale");
    expect(states).toBe(desk.states);
    expect(states).toMatchObject({
      time: 2,
      ordered: [false, false, false],
      // off lands at 2.25
      working: [true, true, false],
      reasons: ["stale", "off-by-hand", "stale"],
      // what was off had no order
      crossings: [2, 2, 0],
      upcoming: [null, null, null],
      switches: [2, 2, 2],
    });
    expect(desk.publish(2 + OFF).working).toEqual([false, false, false]);
    desk.master = false;
    expect(desk.allOff(3, "position")).toMatchObject({
      reasons: ["master-off", "master-off", "master-off"],
      crossings: [2, 2, 0],
    });
  });

  test("counts what the host switched until then", () => {
    const { desk } = make({ betweenFixes: true });
    desk.upcoming[0] = 1;
    expect(desk.allOff(2, "position")).toMatchObject({ switches: [2, 0, 0], crossings: [2, null, null] });
    expect(desk.publish(3).working).toEqual([false, false, false]);
  });
});
