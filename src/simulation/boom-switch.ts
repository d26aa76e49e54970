import type { FieldJob } from "../job/index.js";
import type { HeadlandRule } from "../sections/index.js";
import type { CourseCursor } from "./course-cursor.js";
import type { Drive } from "./drive.js";
import type { CheckedScenario } from "./scenario.js";

/** What the driver does with the tool: the master switch by the drives, and which ground is worked; as the tool comes to them, not the machine. */
export class BoomSwitch {
  private readonly drives: readonly Drive[];
  private readonly hasHeadland: boolean;
  private readonly behind: number;
  private readonly onTime: number;
  private readonly offTime: number;
  private on = true;
  private rule: HeadlandRule | undefined;

  constructor({ drives, job }: CheckedScenario) {
    this.drives = drives;
    this.hasHeadland = job.headland !== undefined;
    const { boom, towed, boomOn = towed === undefined ? "machine" : "implement" } = job;
    const carrier = boomOn === "implement" && towed !== undefined ? towed.hitch - towed.drawbar : 0;
    this.behind = carrier + (boom.x ?? 0);
    this.onTime = boom.turnOnTime ?? 0;
    this.offTime = boom.turnOffTime ?? 0;
  }

  /** Once a fix; speed in m/s along the run. */
  update(job: FieldJob, cursor: CourseCursor, speed: number): void {
    const ahead = this.behind + Math.abs(speed) * (this.on ? this.offTime : this.onTime);
    const index = cursor.driveAt(ahead);
    const drive = index < 0 ? undefined : this.drives[index];
    const on = drive !== undefined && drive.working !== false;
    if (on !== this.on) {
      this.on = on;
      job.setMaster(on);
    }
    if (drive === undefined || !this.hasHeadland) return;
    const rule =
      drive.ground ?? (drive.kind === "round" ? "headland" : drive.kind === "swath" ? "mainfield" : undefined);
    if (rule === undefined || rule === this.rule) return;
    this.rule = rule;
    job.setHeadlandRule(rule);
  }
}
