import { afterEach, describe, expect, it, vi } from "vitest";
import { Carrier } from "../../src/sections/carrier.js";
import { boom, type PathAhead, type SectionDefinition, type SectionSettings } from "../../src/sections/index.js";
import { SectionClock } from "../../src/sections/section-clock.js";
import type { SectionGround } from "../../src/sections/section-ground.js";
import { beyond, SectionRule } from "../../src/sections/section-rule.js";
import { resolveSettings } from "../../src/sections/section-settings.js";
import type { SectionReason } from "../../src/sections/section-states.js";
import { ToolLine } from "../../src/sections/tool-line.js";

// times are sums of powers of two, so that instants are met to the bit

/** A place where the rule turns over is found to a millimetre: at 2 m/s so many seconds. */
const FOUND = 1e-3 / 2;
const ONE: SectionDefinition[] = [{ left: -1, right: 1, turnOnTime: 1, turnOffTime: 0.5 }];
const LATE_OFF: SectionDefinition[] = [{ left: -1, right: 1, turnOnTime: 1, turnOffTime: 2 }];

/** What the ground says of a section's row some time after the fix, s. */
type Answer = (time: number, i: number, on: boolean) => SectionReason;

interface Setting {
  sections?: SectionDefinition[];
  settings?: SectionSettings;
  speed?: number;
  /** s */
  interval?: number;
  since?: number;
  late?: number;
  path?: PathAhead;
  boundary?: Answer;
  inside?: Answer;
  verdict?: Answer;
  /** whether one look at a line, by its place among all that were looked at, tells that nothing is near */
  level?: (k: number) => boolean;
  free?: (k: number) => boolean;
}

/** A tool at the origin that heads north at 2 m/s with a fix every half second, and what its rule asks of the ground. */
class Scene {
  readonly carrier = new Carrier();
  readonly rule: SectionRule;
  readonly ready: boolean;
  /** what was asked: how, of which section, s after the fix, and metres north where that is not told by 2 m/s */
  log: string[] = [];
  readonly now = new ToolLine();
  private readonly names = new Map<ToolLine, string>();
  private readonly clock = new SectionClock(1.5);
  private looks = 0;

  constructor(private readonly setting: Setting = {}) {
    const { sections = ONE, settings = {}, speed = 2, path } = setting;
    const tool = boom({ sections });
    const working: Answer = () => "working";
    const { boundary = working, inside = working, verdict = working, level, free } = setting;
    const ground = {
      prepare: (...given: unknown[]) => {
        expect(given.pop()).toBe(this.now);
        this.log.push(`prepare ${given.join(" ")}`);
      },
      boundary: (i: number, line: ToolLine) => this.ask("boundary", i, line, boundary(line.ahead, i, false)),
      inside: (i: number, line: ToolLine, on: boolean) =>
        this.ask(`inside-${on ? "on" : "off"}`, i, line, inside(line.ahead, i, on)),
      verdict: (i: number, line: ToolLine, on: boolean) => {
        // what is asked for all sections has room for the answer of each
        expect([0, sections.length]).toContain(line.metres.length);
        return this.ask(`verdict-${on ? "on" : "off"}`, i, line, verdict(line.ahead, i, on));
      },
      level: (line: ToolLine) => this.look(`level ${this.names.get(line)}`, level),
      free: (i: number, line: ToolLine) => this.look(`free ${i} ${this.names.get(line)}`, free),
    } as unknown as SectionGround;
    this.rule = new SectionRule(tool, ground, resolveSettings(settings), this.carrier);
    this.carrier.take({ time: 0, x: 0, y: 0, heading: 0, speed, yawRate: 0, usable: true, path });
    this.ready = this.prepare();
  }

  prepare(): boolean {
    const { interval = 0.5, since = 0.5, late = 0 } = this.setting;
    this.clock.now = 100;
    this.clock.interval = interval;
    return this.rule.prepare(this.clock, late, since, this.now);
  }

  /** What was asked since the last call of this. */
  asked(): string[] {
    const { log } = this;
    this.log = [];
    this.looks = 0;
    return log.filter((line) => !line.startsWith("prepare"));
  }

  /** When section i changes over, s from now; not before two instants, any and all but those of the boundary. */
  change(i: number, on: boolean, first = false, notBefore: readonly [number, number] = [0, 0]): number {
    this.rule.notBefore.set(notBefore);
    this.rule.findChange(i, on, first);
    return this.rule.change[0]!;
  }

  private ask(how: string, i: number, line: ToolLine, reason: SectionReason): SectionReason {
    const name = `${how} ${line.ahead}`;
    if (line.metres.length > 0) this.names.set(line, name);
    const north = line.oy === 2 * line.ahead ? "" : ` at ${line.oy}`;
    this.log.push(`${how} ${i} ${line.ahead}${north}`);
    return reason;
  }

  private look(what: string, answer: ((k: number) => boolean) | undefined): boolean {
    this.log.push(what);
    return answer?.(this.looks++) ?? true;
  }
}

/** An answer that changes at a time after the fix. */
const from =
  (time: number, reason: SectionReason, before: SectionReason = "working"): Answer =>
  (t) =>
    t >= time ? reason : before;

afterEach(() => vi.restoreAllMocks());

describe("getting ready", () => {
  const prepared = (setting: Setting): string => new Scene(setting).log[0]!;

  it("looks as far ahead as an order given late and a fix that comes late can land", () => {
    // the longer of both times, and one and a half of the longest interval
    expect(prepared({})).toBe("prepare 100 1.75");
    expect(prepared({ sections: LATE_OFF })).toBe("prepare 100 2.75");
    expect(prepared({ late: 0.25 })).toBe("prepare 99.75 2");
    expect(prepared({ since: 1 })).toBe("prepare 100 2.5");
    expect(prepared({ since: 0.25 })).toBe("prepare 100 1.75");
    expect(prepared({ interval: 2 })).toBe("prepare 100 4");
    const several = [0, 1, 2].map((left) => ({ left, right: left + 1, turnOnTime: [1, 3, 2][left]! }));
    expect(prepared({ sections: several })).toBe("prepare 100 3.75");
  });

  it("is in vain where the path does not tell so far", () => {
    const path = (until: number): PathAhead => ({
      poseAhead: (t, out) => out.set(t <= until ? [0, 2 * t, 0] : [Number.NaN, Number.NaN, Number.NaN]),
    });
    const told = new Scene({ path: path(1.75) });
    expect([told.ready, told.log.length]).toEqual([true, 1]);
    const short = new Scene({ path: path(1.74) });
    expect([short.ready, short.log.length]).toEqual([false, 0]);
  });

  it("tells how far back a fix may have been, and how long product lands at least", () => {
    const told = (setting: Setting): number[] => {
      const { rule } = new Scene(setting);
      return [rule.lookBack, rule.hold];
    };
    expect(told({})).toEqual([0.5, 0]);
    expect(told({ since: 1 })).toEqual([1, 0]);
    expect(told({ settings: { betweenFixes: true } })).toEqual([0.75, 0.5]);
    expect(told({ settings: { betweenFixes: true }, since: 1 })).toEqual([1.5, 1]);
  });
});

describe("a section that is off may be ordered on", () => {
  const start = (setting: Setting): string[] => {
    const scene = new Scene(setting);
    const reason = scene.rule.mayStart(0);
    return [...scene.asked(), reason];
  };

  it("where a hard boundary allows it from landing until the next fix's order off lands, and worked ground half an interval on", () => {
    expect(start({})).toEqual(["boundary 0 1", "boundary 0 1.25", "boundary 0 1.5", "inside-off 0 1.25", "working"]);
    // a fix a quarter late, and the one before it a second ago
    expect(start({ late: 0.25, since: 1 })).toEqual([
      "boundary 0 1.25",
      "boundary 0 1.5",
      "boundary 0 1.75",
      "boundary 0 2",
      "boundary 0 2.25",
      "inside-off 0 1.5",
      "working",
    ]);
    expect(start({ sections: LATE_OFF })).toEqual([
      "boundary 0 1",
      "boundary 0 1.25",
      "boundary 0 1.5",
      "boundary 0 1.75",
      "boundary 0 2",
      "boundary 0 2.25",
      "boundary 0 2.5",
      "inside-off 0 1.25",
      "working",
    ]);
  });

  it("looks every half metre, at least once and 16 times at most", () => {
    const looks = (speed: number): number => start({ speed }).filter((line) => line.startsWith("boundary")).length;
    expect([0, 0.5, 1, 1.01, 2.5, 16, 20, 400].map(looks)).toEqual([2, 2, 2, 3, 4, 17, 17, 17]);
    expect([-1, -2.5, -400].map(looks)).toEqual([2, 4, 17]);
  });

  it("not where any of these looks says no", () => {
    expect(start({ boundary: from(1.5, "outside-field") })).toEqual([
      "boundary 0 1",
      "boundary 0 1.25",
      "boundary 0 1.5",
      "outside-field",
    ]);
    expect(start({ boundary: (t) => (t === 1.25 ? "closed-zone" : "working") })).toEqual([
      "boundary 0 1",
      "boundary 0 1.25",
      "closed-zone",
    ]);
    expect(start({ boundary: () => "backwards" })).toEqual(["boundary 0 1", "backwards"]);
    expect(start({ inside: () => "worked-already" }).pop()).toBe("worked-already");
    expect(start({ boundary: from(1.51, "outside-field") }).pop()).toBe("working");
  });

  it("by one look where some may lie outside", () => {
    const settings = { outsideTolerance: 0.5 };
    expect(start({ settings })).toEqual(["boundary 0 1.25", "inside-off 0 1.25", "working"]);
    expect(start({ settings, since: 1, late: 0.25 })).toEqual(["boundary 0 1.5", "inside-off 0 1.5", "working"]);
    expect(start({ settings, boundary: () => "outside-field" })).toEqual(["boundary 0 1.25", "outside-field"]);
  });

  it("at its own instant by a host that switches between fixes", () => {
    const settings = { betweenFixes: true };
    expect(start({ settings })).toEqual([
      "boundary 0 1",
      "boundary 0 1.25",
      "boundary 0 1.5",
      "inside-off 0 1",
      "working",
    ]);
    expect(start({ settings: { ...settings, outsideTolerance: 0.5 } })).toEqual([
      "boundary 0 1",
      "inside-off 0 1",
      "working",
    ]);
  });
});

describe("a section that is on may stay on", () => {
  const stay = (setting: Setting): string[] => {
    const scene = new Scene(setting);
    const reason = scene.rule.mayStay(0);
    return [...scene.asked(), reason];
  };

  it("where a hard boundary allows it until the next fix's order off lands, and worked ground half an interval on", () => {
    expect(stay({})).toEqual(["boundary 0 0.75", "boundary 0 1", "inside-on 0 0.75", "working"]);
    expect(stay({ late: 0.25, since: 1 })).toEqual([
      "boundary 0 1",
      "boundary 0 1.25",
      "boundary 0 1.5",
      "boundary 0 1.75",
      "inside-on 0 1",
      "working",
    ]);
    expect(stay({ boundary: from(1, "outside-field") })).toEqual(["boundary 0 0.75", "boundary 0 1", "outside-field"]);
    expect(stay({ inside: () => "headland" }).pop()).toBe("headland");
  });

  it("by one look where some may lie outside, or the host switches between fixes", () => {
    const soft = { outsideTolerance: 0.5 };
    expect(stay({ settings: soft })).toEqual(["boundary 0 0.75", "inside-on 0 0.75", "working"]);
    expect(stay({ settings: { betweenFixes: true } })).toEqual(["boundary 0 0.5", "inside-on 0 0.5", "working"]);
    expect(stay({ settings: { ...soft, betweenFixes: true } })).toEqual([
      "boundary 0 0.5",
      "inside-on 0 0.5",
      "working",
    ]);
    expect(stay({ settings: soft, boundary: () => "closed-zone" })).toEqual(["boundary 0 0.75", "closed-zone"]);
  });
});

describe("lines to come", () => {
  // rows at 0 and 1 m behind, in turn, all with the times of ONE
  const ROWS: SectionDefinition[] = [0, 1, 2, 3].map((left) => ({ ...ONE[0], left, right: left + 1, x: -(left % 2) }));

  it("are of each row by itself, and made once for all of its sections", () => {
    // 20 m/s: the most looks there are
    const verdict: Answer = (_, __, on) => (on ? "working" : "worked-already");
    const scene = new Scene({ sections: ROWS, speed: 20, verdict });
    const { rule } = scene;
    const follow = vi.spyOn(Carrier.prototype, "follow");
    const all = (i: number): void => {
      rule.mayStart(i);
      rule.mayStay(i);
      scene.change(i, false, true);
      scene.change(i, true, true);
    };
    all(0);
    const made = follow.mock.calls.length;
    all(1);
    expect(follow.mock.calls.length).toBe(2 * made);
    expect(new Set(follow.mock.calls.map((call) => call[1]))).toEqual(new Set([0, -1]));
    scene.asked();
    for (const i of [0, 1, 2, 3]) all(i);
    // orders on: 17 looks at the boundary and one at the ground; off: 16 and one; and to the next fix 17 each, where nothing changes
    expect(made).toBe(17 + 1 + 16 + 1 + 17 + 17);
    expect(follow.mock.calls.length).toBe(2 * made);
    for (const [i, x] of [0, -1, 0, -1].entries()) {
      for (const line of scene.log.filter((entry) => entry.split(" ")[1] === String(i))) {
        const [, , time, , north] = line.split(" ");
        expect(Number(north), line).toBe(20 * Number(time) + x);
      }
    }
  });

  it("are made anew with the next fix", () => {
    for (const outsideTolerance of [0, 0.5]) {
      const scene = new Scene({ late: 0.25, settings: { outsideTolerance } });
      const ask = (): void => {
        scene.rule.mayStart(0);
        scene.rule.mayStay(0);
        scene.change(0, true, true);
        scene.change(0, false, true);
      };
      ask();
      scene.carrier.y = 7;
      scene.prepare();
      scene.asked();
      ask();
      for (const line of scene.log) {
        const [, , time, , north] = line.split(" ");
        expect(Number(north), line).toBe(2 * Number(time) + 7);
      }
      // among them some of just a second after the fix
      expect(scene.log.filter((line) => line.split(" ")[2] === "1").length).toBeGreaterThan(1);
    }
  });
});

describe("the instant at which a section ought to change over", () => {
  it("is found between two looks, after it for worked ground, before it for a hard boundary", () => {
    // 0.3 s from now, the turn-off time of 0.5 s later
    for (const [reason, settings, sign] of [
      ["worked-already", {}, 1],
      ["headland", {}, 1],
      ["mainfield", {}, 1],
      ["outside-field", {}, -1],
      ["closed-zone", {}, -1],
      ["backwards", {}, -1],
      ["position", {}, -1],
      ["outside-field", { outsideTolerance: 0.5 }, 1],
    ] as const) {
      const scene = new Scene({ settings, verdict: from(0.8, reason) });
      const off = sign * (scene.change(0, true) - 0.3);
      expect(off, reason).toBeGreaterThanOrEqual(0);
      expect(off, reason).toBeLessThanOrEqual(FOUND);
      expect(scene.rule.changeReason).toBe(reason);
      expect(scene.asked().slice(0, 2)).toEqual(["verdict-on 0 0.75", "verdict-on 0 1"]);
    }
    const on = new Scene({ verdict: from(1.3, "working", "outside-field") });
    const at = on.change(0, false);
    expect(at - 0.3).toBeGreaterThanOrEqual(0);
    expect(at - 0.3).toBeLessThanOrEqual(FOUND);
    expect(on.rule.changeReason).toBe("working");
    expect(on.asked().slice(0, 2)).toEqual(["verdict-off 0 1.25", "verdict-off 0 1.5"]);
  });

  it("counts the time that a fix is late, and tells of each section by itself", () => {
    const sections: SectionDefinition[] = [
      { left: 0, right: 1, turnOnTime: 1, turnOffTime: 0.5 },
      { left: 1, right: 2, turnOnTime: 2, turnOffTime: 0.25 },
    ];
    const scene = new Scene({ sections, late: 0.25 });
    expect(scene.change(1, true)).toBeNaN();
    expect(scene.change(1, false)).toBeLessThanOrEqual(FOUND);
    expect(scene.asked().slice(0, 3)).toEqual(["verdict-on 1 0.75", "verdict-on 1 1", "verdict-off 1 2.5"]);
  });

  it("is none where nothing changes until the next fix", () => {
    const never = new Scene();
    expect(never.change(0, true, true)).toBeNaN();
    expect(never.asked()).toEqual(["verdict-on 0 0.5", "verdict-on 0 0.75", "verdict-on 0 1"]);
    const off = new Scene({ verdict: () => "worked-already" });
    expect(off.change(0, false, true)).toBeNaN();
    expect(off.asked()).toEqual(["verdict-off 0 1", "verdict-off 0 1.25", "verdict-off 0 1.5"]);
    // the next fix comes half a second on, or three quarters where it may come late
    expect(new Scene({ verdict: from(1.01, "outside-field") }).change(0, true)).toBeNaN();
    const between = { settings: { betweenFixes: true } };
    const late = new Scene({ ...between, verdict: from(1.2, "worked-already") }).change(0, true);
    expect(late - 0.7).toBeGreaterThanOrEqual(0);
    expect(late - 0.7).toBeLessThanOrEqual(FOUND);
    expect(new Scene({ ...between, verdict: from(1.26, "worked-already") }).change(0, true)).toBeNaN();
  });

  it("is now, where now is asked and it is due", () => {
    const due = new Scene({ verdict: () => "outside-field" });
    expect(due.change(0, true, true)).toBe(0);
    expect(due.asked()).toEqual(["verdict-on 0 0.5"]);
    // where it is not asked it is found as near as may be
    expect(due.change(0, true)).toBe(0);
    expect(due.asked().length).toBeGreaterThan(5);
    const soft = new Scene({ verdict: () => "worked-already" });
    const at = soft.change(0, true);
    expect(at).toBeGreaterThan(0);
    expect(at).toBeLessThanOrEqual(FOUND);
    // what may be ordered on now is not asked whether it may
    const on = new Scene({ boundary: () => "outside-field" });
    expect(on.change(0, false, true)).toBe(0);
    expect(on.asked()).toEqual(["verdict-off 0 1"]);
  });

  it("without an interval between fixes is now or never", () => {
    const setting: Setting = { interval: 0, since: 0 };
    expect(new Scene(setting).change(0, false, true)).toBe(0);
    expect(new Scene(setting).change(0, true, true)).toBeNaN();
    const none = new Scene(setting);
    expect(none.change(0, false)).toBeNaN();
    expect(none.asked()).toEqual([]);
  });

  it("is not before the earliest that is allowed", () => {
    const at = (time: number, earliest: number): number =>
      new Scene({ verdict: from(0.5 + time, "worked-already") }).change(0, true, false, [earliest, earliest]);
    const near = (value: number, ideal: number): void => {
      expect(value - ideal).toBeGreaterThanOrEqual(0);
      expect(value - ideal).toBeLessThanOrEqual(FOUND);
    };
    near(at(0.3, 0.1), 0.3);
    near(at(0.15, 0.1), 0.15);
    near(at(0.3, -5), 0.3);
    expect([at(0.05, 0.1), at(0, 0.25), at(0, 0.3), at(0, 0.5), at(0.4, 0.5)]).toEqual([0.1, 0.25, 0.3, 0.5, 0.5]);
    const late = new Scene({ verdict: () => "outside-field" });
    expect(late.change(0, true, true, [0.51, 0])).toBeNaN();
    expect(late.asked()).toEqual([]);
    // where it was allowed already at the look before, the earliest is not asked again
    const known = new Scene({ verdict: from(0.8, "worked-already") });
    known.change(0, true, false, [0.25, 0]);
    expect(known.asked().slice(0, 3)).toEqual(["verdict-on 0 0.75", "verdict-on 0 1", "verdict-on 0 0.875"]);
  });

  it("is not before the earliest for what is not the boundary's", () => {
    const at = (reason: SectionReason, earliest: readonly [number, number], time = 0): number =>
      new Scene({ verdict: from(0.5 + time, reason), settings: { outsideTolerance: 0.5 } }).change(
        0,
        true,
        false,
        earliest,
      );
    // to the bit where halving meets it
    expect(at("worked-already", [0, 0.25])).toBe(0.25);
    expect(at("worked-already", [0, 0.125])).toBe(0.125);
    expect(at("worked-already", [0.1, 0.1])).toBe(0.1);
    expect(at("worked-already", [0, 0.5])).toBe(0.5);
    expect(at("worked-already", [0, 0.51])).toBeNaN();
    const after = at("worked-already", [0.1, 0.2]);
    expect(after - 0.2).toBeGreaterThanOrEqual(0);
    expect(after - 0.2).toBeLessThanOrEqual(FOUND);
    expect(at("outside-field", [0.1, 0.4])).toBe(0.1);
    const boundary = at("outside-field", [0, 0.4], 0.3);
    expect(boundary - 0.3).toBeGreaterThanOrEqual(0);
    expect(boundary - 0.3).toBeLessThanOrEqual(FOUND);
    // an order on has one earliest instant alone
    expect(new Scene().change(0, false, true, [0, 0.4])).toBe(0);
  });

  it("has the reason that holds there", () => {
    // worked from 0.3 s, outside the field from 0.35 s
    const verdict: Answer = (t) => (t >= 0.85 ? "outside-field" : t >= 0.8 ? "worked-already" : "working");
    const scene = new Scene({ verdict });
    const at = scene.change(0, true);
    expect(at - 0.3).toBeGreaterThanOrEqual(0);
    expect(at - 0.3).toBeLessThanOrEqual(FOUND);
    expect(scene.rule.changeReason).toBe("worked-already");
  });

  it("at a standstill is the look itself, or the one before for a hard boundary", () => {
    expect(new Scene({ speed: 0, verdict: () => "worked-already" }).change(0, true)).toBe(0.5);
    expect(new Scene({ speed: 0, verdict: () => "outside-field" }).change(0, true)).toBe(0);
    expect(new Scene({ speed: 0 }).change(0, false)).toBe(0.5);
  });

  it("is found to a millimetre, in 24 halvings at most", () => {
    // 1.024 m/s: two looks; a quarter of a second halved eight times is a millimetre exactly
    const count = (speed: number, time = 0): number => {
      const scene = new Scene({ speed, verdict: from(0.5 + time, "worked-already") });
      scene.change(0, true);
      return scene.asked().length - 1;
    };
    expect(count(1e-3 * 1024)).toBe(8);
    expect(count(-1e-3 * 1024)).toBe(8);
    expect(count(1e-3 * 1024, 0.2)).toBe(8);
    expect(count(1e-3 * 1025)).toBe(9);
    // 16 looks; a 32nd of a second
    expect(count(1e9)).toBe(24);
    expect(count(Number.MAX_VALUE)).toBe(24);
  });
});

describe("an order on at an instant to come", () => {
  const asked = (setting: Setting, at: number): string[] => {
    const scene = new Scene(setting);
    const found = scene.change(0, false, false, [at, 0]);
    return [...scene.asked().filter((line) => !line.startsWith("verdict")), `${found}`];
  };

  it("leaves time to be off before a hard boundary by the order of a fix", () => {
    expect(asked({}, 0.25)).toEqual(["boundary 0 1.25", "boundary 0 1.25", "0.25"]);
    expect(asked({ sections: LATE_OFF }, 0.25)).toEqual([
      "boundary 0 1.25",
      "boundary 0 1.5",
      "boundary 0 1.75",
      "boundary 0 2",
      "boundary 0 2.25",
      "boundary 0 2.5",
      "0.25",
    ]);
    expect(asked({ sections: LATE_OFF, since: 1 }, 0.5).slice(-2)).toEqual(["boundary 0 3", "0.5"]);
    // between fixes it lands for an interval at least
    const settings = { betweenFixes: true };
    expect(asked({ settings }, 0.25)).toEqual(["boundary 0 1.25", "boundary 0 1.5", "boundary 0 1.75", "0.25"]);
    expect(asked({ settings, sections: LATE_OFF }, 0.25).slice(-2)).toEqual(["boundary 0 2.5", "0.25"]);
  });

  it("is none where it does not, also where it is found by halving", () => {
    expect(asked({ boundary: from(1.25, "outside-field") }, 0.25)).toEqual(["boundary 0 1.25", "NaN"]);
    const boundary: Answer = () => "outside-field";
    const verdict = from(1.3, "working", "worked-already");
    expect(new Scene({ boundary, verdict }).change(0, false)).toBeNaN();
    expect(new Scene({ verdict }).change(0, false)).not.toBeNaN();
  });

  it("is not asked for where some may lie outside, nor is an order off", () => {
    const boundary: Answer = () => "outside-field";
    expect(asked({ boundary, settings: { outsideTolerance: 0.5 } }, 0.25)).toEqual(["0.25"]);
    const off = new Scene({ boundary, verdict: () => "worked-already" });
    expect(off.change(0, true, false, [0.25, 0])).toBe(0.25);
    expect(off.asked().filter((line) => line.startsWith("boundary"))).toEqual([]);
  });
});

describe("a calm row", () => {
  const PAIR: SectionDefinition[] = [0, 1].map((left) => ({ ...ONE[0], left, right: left + 1 }));

  /** A row asked for its first section; then all that was looked at to settle it. */
  const settled = (setting: Setting): { scene: Scene; looked: string[] } => {
    const scene = new Scene({ sections: PAIR, ...setting });
    scene.rule.mayStay(0);
    scene.change(0, true);
    scene.asked();
    scene.rule.settle(0);
    return { scene, looked: scene.asked() };
  };

  it("is looked at on the lines that tell of an order off, and of those until the next fix", () => {
    expect(settled({}).looked).toEqual([
      "level boundary 0.75",
      "level boundary 1",
      "level verdict-on 0.75",
      "level verdict-on 1",
    ]);
    expect(settled({ settings: { outsideTolerance: 0.5 } }).looked).toEqual([
      "level inside-on 0.75",
      "level verdict-on 0.75",
      "level verdict-on 1",
    ]);
    expect(settled({ settings: { betweenFixes: true } }).looked).toEqual([
      "level inside-on 0.5",
      "level verdict-on 0.75",
      "level verdict-on 1",
      "level verdict-on 1.25",
    ]);
    // without an interval there is no time until the next fix
    expect(settled({ interval: 0, since: 0 }).looked).toEqual(["level boundary 0.5"]);
    expect(settled({ since: 1 }).looked).toHaveLength(8);
  });

  it("is none where any of these looks is not level", () => {
    for (const settings of [{}, { betweenFixes: true }]) {
      for (let k = 0; k < 4; k++) {
        const { scene, looked } = settled({ settings, level: (look) => look !== k });
        expect(looked).toHaveLength(k + 1);
        expect(scene.rule.calm(0)).toBe(false);
        expect(scene.asked()).toEqual([]);
      }
      expect(settled({ settings, level: (look) => look !== 4 }).scene.rule.calm(0)).toBe(true);
    }
  });

  it("lets each section stay on whose part of these lines is free", () => {
    const { scene } = settled({});
    expect([scene.rule.calm(1), scene.rule.calm(0)]).toEqual([true, true]);
    expect(scene.asked()).toEqual([
      "free 1 inside-on 0.75",
      "free 1 verdict-on 0.75",
      "free 1 verdict-on 1",
      "free 0 inside-on 0.75",
      "free 0 verdict-on 0.75",
      "free 0 verdict-on 1",
    ]);
    for (let k = 0; k < 3; k++) {
      const one = settled({ free: (look) => look !== k }).scene;
      expect(one.rule.calm(1)).toBe(false);
      expect(one.asked()).toHaveLength(k + 1);
    }
    expect(settled({ free: (look) => look !== 3 }).scene.rule.calm(1)).toBe(true);
  });

  it("is settled once with every fix", () => {
    const { scene } = settled({});
    scene.rule.settle(1);
    expect(scene.asked()).toEqual([]);
    expect(scene.rule.calm(0)).toBe(true);
    scene.prepare();
    scene.asked();
    expect(scene.rule.calm(0)).toBe(false);
    expect(scene.asked()).toEqual([]);
    scene.rule.settle(1);
    expect(scene.asked()).toHaveLength(4);
    const rough = settled({ level: () => false }).scene;
    rough.rule.settle(0);
    expect(rough.asked()).toEqual([]);
  });

  it("is none where sections have turn-off times of their own", () => {
    const sections = PAIR.map((section, i) => ({ ...section, turnOffTime: 0.5 + i / 4 }));
    const { scene, looked } = settled({ sections });
    expect([looked, scene.rule.calm(0)]).toEqual([[], false]);
  });

  it("is of each row by itself", () => {
    const sections = PAIR.map((section, i) => ({ ...section, x: -i }));
    const { scene } = settled({ sections, settings: { outsideTolerance: 0.5 } });
    expect([scene.rule.calm(0), scene.rule.calm(1)]).toEqual([true, false]);
    scene.rule.mayStay(1);
    scene.change(1, true);
    scene.asked();
    scene.rule.settle(1);
    expect(scene.asked()).toEqual(["level inside-on 0.75", "level verdict-on 0.75", "level verdict-on 1"]);
    expect(scene.rule.calm(1)).toBe(true);
    expect(scene.asked()).toEqual(["free 1 inside-on 0.75", "free 1 verdict-on 0.75", "free 1 verdict-on 1"]);
    const hard = settled({ sections }).scene;
    hard.rule.mayStay(1);
    hard.change(1, true);
    hard.asked();
    hard.rule.settle(1);
    expect(hard.asked()).toEqual([
      "level boundary 0.75",
      "level boundary 1",
      "level verdict-on 0.75",
      "level verdict-on 1",
    ]);
  });
});

describe("a reason", () => {
  it("is the boundary's, or the section's own, unless it is of worked ground or the headland", () => {
    expect((["worked-already", "headland", "mainfield"] as const).map(beyond)).toEqual([false, false, false]);
    expect((["outside-field", "closed-zone", "backwards", "position"] as const).map(beyond)).toEqual([
      true,
      true,
      true,
      true,
    ]);
  });
});
