import { CoverageRecord } from "../coverage/index.js";
import { leverArm, type MachinePose } from "../machine/index.js";
import { type Boom, boom } from "../sections/index.js";
import type { JobDefinition } from "../job/index.js";

/** The ground that the first boom truly worked: sections as the job has them, places as they are. To a fix interval along the way. */
export class GroundTruth {
  readonly coverage: CoverageRecord;
  /** whether the towed implement carries the boom */
  readonly onImplement: boolean;
  private readonly boom: Boom;
  private readonly now: Float64Array;
  private readonly before: Float64Array;
  private readonly arm = new Float64Array(3);
  private started = false;

  constructor(definition: JobDefinition) {
    this.boom = boom(definition.boom);
    this.coverage = new CoverageRecord(definition.coverage);
    const { towed, boomOn } = definition;
    this.onImplement = (boomOn ?? (towed === undefined ? "machine" : "implement")) === "implement";
    // left and right edge of each section
    this.now = new Float64Array(4 * this.boom.sections.length);
    this.before = new Float64Array(this.now.length);
  }

  /** The carrier has come here with these sections working. */
  update(carrier: MachinePose, working: readonly boolean[]): void {
    const { now, before, arm } = this;
    const { sections } = this.boom;
    before.set(now);
    for (let i = 0; i < sections.length; i++) {
      const section = sections[i]!;
      leverArm(carrier.heading, 0, 0, section.x, section.left, 0, arm);
      now[4 * i] = carrier.x + arm[0]!;
      now[4 * i + 1] = carrier.y + arm[1]!;
      leverArm(carrier.heading, 0, 0, section.x, section.right, 0, arm);
      now[4 * i + 2] = carrier.x + arm[0]!;
      now[4 * i + 3] = carrier.y + arm[1]!;
    }
    if (!this.started) {
      this.started = true;
      return;
    }
    for (let i = 0; i < sections.length; i++) {
      if (working[i] !== true) continue;
      // neighbours in one row are one strip
      const x = sections[i]!.x;
      const first = 4 * i;
      while (i + 1 < sections.length && working[i + 1] === true && sections[i + 1]!.x === x) i++;
      const last = 4 * i + 2;
      this.coverage.mark(
        before[first]!,
        before[first + 1]!,
        before[last]!,
        before[last + 1]!,
        now[last]!,
        now[last + 1]!,
        now[first]!,
        now[first + 1]!,
      );
    }
  }
}
