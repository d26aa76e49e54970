import type { GuidancePattern } from "./guidance-pattern.js";
import { ERROR, RIGHT } from "./line-locator.js";
import { highestPass, lowestPass } from "./pass-number.js";

/** Which pass a machine is on: the nearest one, with hysteresis, unless the operator holds one. */
export class PassChoice {
  /** number of the pass */
  pass = 0;
  /** whether there is one yet */
  chosen = false;
  /** whether the operator holds it */
  held = false;
  /** whether the machine is beyond the outermost pass's swath */
  beyond = false;

  #pattern: GuidancePattern | undefined;
  #width = 1;
  #firstOffset = 0;
  #first = 0;
  #margin = 0;
  #lowest = 0;
  #highest = 0;

  /** Take another pattern; the pass is kept under the machine where the line is the same. */
  usePattern(pattern: GuidancePattern, hysteresis: number): void {
    const before = this.#pattern;
    this.#pattern = pattern;
    if (before !== undefined && sameLine(before, pattern)) this.pass += pattern.firstPass - before.firstPass;
    else this.forget();
    this.#width = pattern.swathWidth;
    this.#firstOffset = pattern.firstPassOffset;
    this.#first = pattern.firstPass;
    this.#margin = pattern.swathWidth / 2 + hysteresis;
    this.#lowest = lowestPass(pattern);
    this.#highest = highestPass(pattern);
    this.pass = this.allowed(this.pass);
  }

  /** Back to no pass and no pattern. */
  forget(): void {
    this.chosen = false;
    this.held = false;
    this.pass = 0;
  }

  /** Hold a pass, or the nearest to it that the pattern has. */
  hold(pass: number): void {
    this.pass = this.allowed(pass);
    this.chosen = true;
    this.held = true;
  }

  /** The nearest number that the pattern has. */
  allowed(pass: number): number {
    return Math.min(this.#highest, Math.max(this.#lowest, pass)) + 0;
  }

  /** Choose by the signed distance in slot RIGHT, and fill ERROR. No allocation. */
  choose(numbers: Float64Array): void {
    const width = this.#width;
    const first = this.#first;
    const right = numbers[RIGHT]! - this.#firstOffset;
    let error = right - (this.pass - first) * width;
    if (!this.chosen || (!this.held && (error > this.#margin || error < -this.#margin))) {
      this.pass = this.allowed(first + Math.round(right / width));
      this.chosen = true;
      error = right - (this.pass - first) * width;
    }
    numbers[ERROR] = error + 0;
    this.beyond = right > (this.#highest - first + 0.5) * width || right < (this.#lowest - first - 0.5) * width;
  }
}

/** Whether the passes of two patterns differ by a shift or their numbers alone. */
function sameLine(a: GuidancePattern, b: GuidancePattern): boolean {
  if (a.swathWidth !== b.swathWidth || a.line.kind !== b.line.kind) return false;
  if (a.line.kind === "a-plus" && b.line.kind === "a-plus" && a.line.heading !== b.line.heading) return false;
  for (let i = 0; i < a.line.points.length; i++) {
    const p = a.line.points[i]!;
    const q = b.line.points[i]!;
    if (p[0] !== q[0] || p[1] !== q[1]) return false;
  }
  return true;
}
