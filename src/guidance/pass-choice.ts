import type { GuidancePattern } from "./guidance-pattern.js";
import { ERROR, OFFSET, RIGHT } from "./line-locator.js";
import type { ReferenceLine } from "./reference-line.js";
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

  /** Choose by the signed distance in slot RIGHT, and fill ERROR and OFFSET. No allocation. */
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
    numbers[OFFSET] = this.#firstOffset + (this.pass - first) * width;
    this.beyond = right > (this.#highest - first + 0.5) * width || right < (this.#lowest - first - 0.5) * width;
  }
}

/** Whether the passes of two patterns differ by a shift, a nudge or their numbers alone. */
function sameLine(a: GuidancePattern, b: GuidancePattern): boolean {
  return a.swathWidth === b.swathWidth && sameShape(a.line, b.line);
}

function sameShape(a: ReferenceLine, b: ReferenceLine): boolean {
  if (a.kind !== b.kind || a.points.length !== b.points.length) return false;
  for (const key of ["heading", "radius", "rotation", "start", "end", "startRadius", "endRadius", "pitch"]) {
    if ((a as unknown as Record<string, unknown>)[key] !== (b as unknown as Record<string, unknown>)[key]) return false;
  }
  for (let i = 0; i < a.points.length; i++) {
    const p = a.points[i]!;
    const q = b.points[i]!;
    if (p[0] !== q[0] || p[1] !== q[1]) return false;
  }
  return true;
}
