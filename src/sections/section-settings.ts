import { FeeringError, requireNumber, requireObject } from "../errors/index.js";
import type { HeadlandRule } from "./section-states.js";

/** Settings of a {@link SectionControl}; every field is optional. */
export interface SectionSettings {
  /**
   * share of a section's width that may land on worked ground before it goes off, 0 to 1; default 0. 0: on only while nothing is worked,
   * no overlap but skips; 1: on until all is, no skips but overlap; 0.5 has the least of both together
   */
  readonly overlapTolerance?: number;
  /**
   * what `overlapTolerance` is a share of: the section's `width`, on the line where product lands (default), or the `area` of its footprint, the rectangle of
   * its width from that line `footprintLength` ahead
   */
  readonly overlapBy?: "width" | "area";
  /** length of a section's footprint along the travel, metres, 0.1 to 50; default 1. For `overlapBy: "area"` alone */
  readonly footprintLength?: number;
  /**
   * share of a section's width that may land outside the field or in a closed zone, 0 to 1; default 0. 0: a hard limit, nothing lands outside;
   * 1: off once all of it would
   */
  readonly outsideTolerance?: number;
  /** off below this speed, m/s; on again from a tenth more; default 0.3 */
  readonly minimumSpeed?: number;
  /** shortest time that product lands, s; the field's boundary, the master, the hand and a lost position override it; default 0 */
  readonly minimumOnTime?: number;
  /** shortest time that no product lands, s; default 0 */
  readonly minimumOffTime?: number;
  /** shortest time between two orders on of one section, s, also by hand: one on and one off in it. Off is never held back by it; default 1 */
  readonly minimumCycleTime?: number;
  /** how long before its time a fix was measured, s, 0 to 2: the age of a place when it is told. Look-ahead and record make up for it; default 0 */
  readonly latency?: number;
  /**
   * whether the host switches by itself at the times of `upcoming`, between fixes; default false. An order counts as given at that time then, and the
   * next fix that comes before it may take it back
   */
  readonly betweenFixes?: boolean;
  /** whether sections work when the machine reverses; default false */
  readonly workReversing?: boolean;
  /** which ground is worked; default `both` */
  readonly headlandRule?: HeadlandRule;
  /** all off when the last usable fix is older than this, s, and no ground is marked across a longer time; default 1.5 (good from 1 Hz on) */
  readonly maximumAge?: number;
}

/** Settings with every field known. */
export type ResolvedSettings = Required<SectionSettings>;

/** Check settings and fill in the defaults; throws FeeringError with the setting's name. */
export function resolveSettings(settings: SectionSettings): ResolvedSettings {
  requireObject(settings, "settings");
  const number = (name: keyof SectionSettings, value: number | undefined, otherwise: number, max: number): number =>
    requireNumber(value ?? otherwise, `settings.${name}`, { min: 0, max });
  return Object.freeze({
    overlapTolerance: number("overlapTolerance", settings.overlapTolerance, 0, 1),
    overlapBy: requireOverlapBy(settings.overlapBy ?? "width"),
    footprintLength: requireNumber(settings.footprintLength ?? 1, "settings.footprintLength", { min: 0.1, max: 50 }),
    outsideTolerance: number("outsideTolerance", settings.outsideTolerance, 0, 1),
    minimumSpeed: number("minimumSpeed", settings.minimumSpeed, 0.3, 20),
    minimumOnTime: number("minimumOnTime", settings.minimumOnTime, 0, 60),
    minimumOffTime: number("minimumOffTime", settings.minimumOffTime, 0, 60),
    minimumCycleTime: number("minimumCycleTime", settings.minimumCycleTime, 1, 60),
    latency: number("latency", settings.latency, 0, 2),
    betweenFixes: settings.betweenFixes === true,
    workReversing: settings.workReversing === true,
    headlandRule: requireHeadlandRule(settings.headlandRule ?? "both", "settings.headlandRule"),
    maximumAge: requireNumber(settings.maximumAge ?? 1.5, "settings.maximumAge", { above: 0, max: 60 }),
  });
}

function requireOverlapBy(by: unknown): "width" | "area" {
  if (by === "width" || by === "area") return by;
  throw new FeeringError("out-of-range", `settings.overlapBy is ${String(by)}, needs width or area`, {
    argument: "settings.overlapBy",
    value: by,
  });
}

/** Check a headland rule that comes from outside. */
export function requireHeadlandRule(rule: unknown, argument: string): HeadlandRule {
  if (rule === "both" || rule === "headland" || rule === "mainfield") return rule;
  throw new FeeringError("out-of-range", `${argument} is ${String(rule)}, needs both, headland or mainfield`, {
    argument,
    value: rule,
  });
}
