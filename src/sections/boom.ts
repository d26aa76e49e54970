import { FeeringError, requireNumber } from "../errors/index.js";

/** Where a section stands on its boom. */
export interface SectionEdges {
  /** left edge, metres from the machine's middle line, right positive */
  readonly left: number;
  /** right edge, metres; more than `left` */
  readonly right: number;
}

/** One section as a caller gives it. */
export interface SectionDefinition extends SectionEdges {
  /** metres from the machine's reference point to the section's own row, ahead positive; default the boom's */
  readonly x?: number;
  /** s from the order on to product on the ground; default the boom's */
  readonly turnOnTime?: number;
  /** s from the order off to the last product on the ground; default the boom's */
  readonly turnOffTime?: number;
}

/** A boom as a caller gives it. */
export interface BoomDefinition {
  /** sections from left to right, edge to edge; 1 to 256 */
  readonly sections: readonly SectionDefinition[];
  /** metres from the machine's reference point to the row of sections that have no `x` of their own, ahead positive, behind negative; default 0 */
  readonly x?: number;
  /** s from the order on to product on the ground, 0 to 30; default 0 */
  readonly turnOnTime?: number;
  /** s from the order off to the last product on the ground, 0 to 30; default 0 */
  readonly turnOffTime?: number;
  /** whether sections may stand apart, as the rows of a tool with gaps; default false: ISO 11783 has sections edge to edge */
  readonly allowGaps?: boolean;
}

/** One checked section. */
export interface Section extends SectionEdges {
  /** metres from the reference point to its row, ahead positive */
  readonly x: number;
  /** s from the order on to product on the ground */
  readonly turnOnTime: number;
  /** s from the order off to the last product on the ground */
  readonly turnOffTime: number;
}

/** A checked boom; plain data, frozen. */
export interface Boom {
  /** sections from left to right; neighbours share exactly one number as their edge */
  readonly sections: readonly Section[];
  /** metres from the reference point to the row of sections that have none of their own, ahead positive */
  readonly x: number;
  /** s, of sections that have none of their own */
  readonly turnOnTime: number;
  /** s, of sections that have none of their own */
  readonly turnOffTime: number;
}

/** Edges that differ by less than this are one edge, metres. */
const EDGE = 1e-3;
/** Most sections of a boom: 16 words of condensed work state, 16 sections each (ISO 11783-11 DDI 161 to 176). */
const MOST = 256;
/** Longest turn-on and turn-off time, s: nothing can be foretold farther ahead. */
const LONGEST = 30;
/** Farthest edge from the middle and farthest tool line, metres: catches millimetres given for metres. */
const FARTHEST = 100;

/**
 * Check and fix a boom: sections from left to right, edge to edge.
 *
 * Edges up to 1 mm apart become one. Sections stand on straight rows across the machine, each `x` metres ahead of its reference
 * point: all on one, or in rows behind each other. On whatever row, they do not overlap across.
 *
 * @param definition - sections and times
 * @returns a frozen copy
 * @throws `FeeringError` `overlap` with the section's index when its edges cross over or it overlaps the section to its left;
 * `out-of-range` for a gap (unless allowed), a time or a place out of range; `too-few-points` for no sections; `too-large` for more than 256;
 * `not-finite`
 *
 * @example
 * ```ts
 * const sprayer = boom({ sections: evenSections(24, 8), x: -4.5, turnOnTime: 0.6, turnOffTime: 0.3 });
 * ```
 */
export function boom(definition: BoomDefinition): Boom {
  const given: unknown = definition;
  if (typeof given !== "object" || given === null || !Array.isArray(definition.sections)) {
    throw new FeeringError("too-few-points", "definition.sections is no list of sections", {
      argument: "definition.sections",
      value: given,
    });
  }
  const list = definition.sections;
  if (list.length === 0) {
    throw new FeeringError("too-few-points", "definition.sections has 0 sections, needs 1", {
      argument: "definition.sections",
      value: 0,
    });
  }
  if (list.length > MOST) {
    throw new FeeringError("too-large", `definition.sections has ${list.length} sections, needs at most ${MOST}`, {
      argument: "definition.sections",
      value: list.length,
    });
  }
  const x = requireNumber(definition.x ?? 0, "definition.x", { min: -FARTHEST, max: FARTHEST });
  const turnOnTime = requireNumber(definition.turnOnTime ?? 0, "definition.turnOnTime", { min: 0, max: LONGEST });
  const turnOffTime = requireNumber(definition.turnOffTime ?? 0, "definition.turnOffTime", { min: 0, max: LONGEST });
  const sections: Section[] = [];
  for (let index = 0; index < list.length; index++) {
    // an empty place has no edges, which says enough
    const section = (list[index] ?? {}) as Partial<SectionDefinition>;
    const place = { min: -FARTHEST, max: FARTHEST, index };
    const time = { min: 0, max: LONGEST, index };
    let left = requireNumber(section.left, "definition.sections.left", place);
    const right = requireNumber(section.right, "definition.sections.right", place);
    if (right - left < EDGE) {
      throw crossing(index, `its right edge ${right} is not right of its left edge ${left}`, section);
    }
    const before = sections[index - 1];
    if (before !== undefined) {
      if (left < before.right - EDGE) {
        throw crossing(
          index,
          `its left edge ${left} lies left of ${before.right}, where section ${index - 1} ends`,
          section,
        );
      }
      if (left - before.right <= EDGE) left = before.right;
      else if (definition.allowGaps !== true) {
        throw new FeeringError(
          "out-of-range",
          `definition.sections[${index}] leaves a gap of ${left - before.right} m to section ${index - 1}; set allowGaps if it is meant`,
          { argument: "definition.sections", index, value: section },
        );
      }
    }
    sections.push(
      Object.freeze({
        left,
        right,
        x: requireNumber(section.x ?? x, "definition.sections.x", place),
        turnOnTime: requireNumber(section.turnOnTime ?? turnOnTime, "definition.sections.turnOnTime", time),
        turnOffTime: requireNumber(section.turnOffTime ?? turnOffTime, "definition.sections.turnOffTime", time),
      }),
    );
  }
  return Object.freeze({ sections: Object.freeze(sections), x, turnOnTime, turnOffTime });
}

function crossing(index: number, what: string, value: unknown): FeeringError {
  return new FeeringError("overlap", `definition.sections[${index}]: ${what}`, {
    argument: "definition.sections",
    index,
    value,
  });
}
