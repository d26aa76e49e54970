/** Where progress goes: a terminal gets one line that changes, anything else a line now and then. */
export interface ProgressOutput {
  readonly isTTY?: boolean;
  write(text: string): unknown;
}

/** Seconds between two lines, and between two changes of one. */
const LINES = 10;
const CHANGES = 0.2;
const BAR = 24;

/** Tells how far a batch has come, how fast it goes, how long it will take. */
export class Progress {
  private done = 0;
  private errors = 0;
  private failed = 0;
  private shown: number;
  private readonly start: number;

  /**
   * @param total - jobs of the batch
   * @param before - those that were done already
   * @param now - seconds of a clock
   */
  constructor(
    private readonly total: number,
    private readonly before: number,
    private readonly output: ProgressOutput,
    private readonly now: () => number,
  ) {
    this.start = now();
    this.shown = this.start;
  }

  /** One job more. */
  add(status: "done" | "error" | "failed"): void {
    this.done++;
    if (status === "error") this.errors++;
    if (status === "failed") this.failed++;
    if (this.now() - this.shown < (this.output.isTTY === true ? CHANGES : LINES)) return;
    this.show();
  }

  /** What it came to. */
  end(): void {
    this.show();
    if (this.output.isTTY === true) this.output.write("\n");
  }

  private show(): void {
    this.shown = this.now();
    const tty = this.output.isTTY === true;
    const at = this.before + this.done;
    const share = this.total === 0 ? 1 : at / this.total;
    const filled = Math.floor(share * BAR);
    const bar = tty ? `[${"#".repeat(filled)}${".".repeat(BAR - filled)}] ` : "";
    const seconds = this.shown - this.start;
    const rate = seconds > 0 ? this.done / seconds : 0;
    const left = this.total - at;
    const parts = [`${at} of ${this.total} jobs, ${Math.floor(100 * share)} %`];
    if (this.done > 0 && rate > 0) parts.push(`${(60 * rate).toFixed(0)} a minute`);
    if (left > 0 && rate > 0) parts.push(`${clock(left / rate)} left`);
    if (this.errors > 0) parts.push(`${this.errors} with errors`);
    if (this.failed > 0) parts.push(`${this.failed} failed`);
    const line = bar + parts.join(", ");
    this.output.write(tty ? `\r\u001b[K${line}` : `${line}\n`);
  }
}

function clock(seconds: number): string {
  const whole = Math.ceil(seconds);
  const [h, m, s] = [Math.floor(whole / 3600), Math.floor(whole / 60) % 60, whole % 60];
  const two = (n: number): string => String(n).padStart(2, "0");
  return h > 0 ? `${h}:${two(m)}:${two(s)}` : `${m}:${two(s)}`;
}
