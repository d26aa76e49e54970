import { spawn } from "node:child_process";
import { existsSync, readFileSync, truncateSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { type BatchOptions, type BatchSummary, OtherResults, runBatch } from "../../examples/batch/batch.js";
import type { Job } from "../../examples/batch/job.js";
import { Progress } from "../../examples/batch/progress.js";
import type { ResultLine } from "../../examples/batch/results-file.js";
import { runJob } from "../../examples/batch/run-job.js";
import { SETTINGS, temporaryFolder, writeFields } from "./small-fields.js";

interface Run {
  readonly summary: BatchSummary;
  readonly text: string;
  readonly told: string;
}

/** Runs jobs here and now: what a batch does with its file does not depend on who runs them. */
const here = { workers: 1, run: (job: Job) => Promise.resolve(runJob(job)), close: () => Promise.resolve() };

async function run(out: string, options: Partial<BatchOptions> & { fields: string }): Promise<Run> {
  let told = "";
  const all: BatchOptions = {
    settings: SETTINGS,
    simulate: false,
    seed: 1,
    workers: 0,
    output: { write: (text: string) => (told += text) },
    ...options,
    out,
  };
  const summary = await (all.workers === 0 ? runBatch(all, here) : runBatch(all));
  return { summary, text: readFileSync(out, "utf8"), told };
}

const linesOf = (text: string): string[] => text.split("\n").slice(0, -1);
const resultsOf = (text: string): ResultLine[] => linesOf(text).map((line) => JSON.parse(line) as ResultLine);

describe("a batch", () => {
  it("gives one line a job: the same bytes with one worker, with two, and in slices", async () => {
    const folder = temporaryFolder();
    const fields = writeFields(folder);
    const one = await run(join(folder, "one.jsonl"), { fields, workers: 1, sort: true });
    // 6 fields and a line that is none, times 2 settings
    expect(one.summary).toEqual({ total: 14, skipped: 0, done: 12, error: 2, failed: 0, left: 0 });
    expect(
      resultsOf(one.text)
        .filter(({ status }) => status === "error")
        .map(({ field }) => field),
    ).toEqual(["fields.jsonl:7", "fields.jsonl:7"]);
    const two = await run(join(folder, "two.jsonl"), { fields, workers: 2 });
    expect(linesOf(two.text).sort()).toEqual(linesOf(one.text).sort());
    const slices = [0, 1, 2].map((index) => run(join(folder, `${index}.jsonl`), { fields, slice: { index, of: 3 } }));
    const texts = (await Promise.all(slices)).map(({ text }) => text);
    expect(texts.map((text) => linesOf(text).length)).toEqual([5, 5, 4]);
    writeFileSync(join(folder, "all.jsonl"), texts.join(""));
    const joined = await run(join(folder, "all.jsonl"), { fields, sort: true });
    expect(joined.summary.skipped).toBe(14);
    expect(joined.text).toBe(one.text);
  });

  it("goes on where it was stopped, wherever its last line ends", async () => {
    const folder = temporaryFolder();
    const fields = writeFields(folder, 3);
    const out = join(folder, "r.jsonl");
    const whole = await run(out, { fields, sort: true });
    const size = Buffer.byteLength(whole.text);
    const last = Buffer.byteLength(linesOf(whole.text).at(-1)!) + 1;
    for (const [cut, again] of [
      [1, 1],
      [last - 1, 1],
      [last, 1],
      [last + 10, 2],
      [size, 8],
    ] as const) {
      truncateSync(out, size - cut);
      const { summary, text, told } = await run(out, { fields, sort: true });
      expect(summary.skipped, `cut by ${cut}`).toBe(8 - again);
      expect(text).toBe(whole.text);
      expect(told.includes("half last line")).toBe(cut !== last && cut !== size);
    }
  });

  it("leaves nothing in hand behind when it is told to stop", async () => {
    const folder = temporaryFolder();
    const fields = writeFields(folder, 4);
    const control = new AbortController();
    const out = join(folder, "r.jsonl");
    // the output is asked at the end only: aborted before the first job
    control.abort();
    const none = await run(out, { fields, signal: control.signal });
    expect(none.summary).toMatchObject({ total: 10, done: 0, left: 10 });
    expect((await run(out, { fields })).summary).toMatchObject({ done: 8, left: 0 });
  });

  it("tells of results by other code, settings or fields, and does what it is told with them", async () => {
    const folder = temporaryFolder();
    const fields = writeFields(folder, 2);
    const out = join(folder, "r.jsonl");
    const first = await run(out, { fields, settings: [SETTINGS[0]!] });
    const changed = [{ id: "wide", plan: { ...SETTINGS[0]!.plan, rounds: 1 } }];
    await expect(run(out, { fields, settings: changed })).rejects.toThrow(OtherResults);
    await expect(run(out, { fields, settings: changed })).rejects.toThrow(/3 results of settings, seed or boundaries/);
    await expect(run(out, { fields, settings: [SETTINGS[1]!] })).rejects.toThrow(
      /3 results of fields or settings that/,
    );
    expect(readFileSync(out, "utf8")).toBe(first.text);
    const kept = await run(out, { fields, settings: changed, other: "keep" });
    expect(linesOf(kept.text)).toHaveLength(6);
    const dropped = await run(out, { fields, settings: changed, other: "drop" });
    expect(dropped.summary.skipped).toBe(3);
    expect(linesOf(dropped.text)).toHaveLength(3);

    const { code } = resultsOf(first.text)[0]!;
    expect(code).toMatch(/^\d+\.\d+\.\d+\+[0-9a-f]{12} v8-/);
    writeFileSync(out, first.text.replaceAll(code, "0.0.9+aaaaaaaaaaaa v8-1"));
    const settings = [SETTINGS[0]!];
    await expect(run(out, { fields, settings })).rejects.toThrow(/3 results by other code \(0\.0\.9\+a+ v8-1, now 0/);
    const left = await run(out, { fields, settings, other: "keep" });
    expect(left.summary.skipped).toBe(3);
    const anew = await run(out, { fields, settings, other: "drop" });
    expect(anew.summary.skipped).toBe(0);
    expect(linesOf(anew.text).sort()).toEqual(linesOf(first.text).sort());
  });

  it("does not write to a file that holds something else", async () => {
    const folder = temporaryFolder();
    const out = join(folder, "letter.txt");
    writeFileSync(out, "Dear Sir,\nthe field");
    await expect(run(out, { fields: writeFields(folder, 1) })).rejects.toThrow(/letter.txt:1 is no line of results/);
    expect(readFileSync(out, "utf8")).toBe("Dear Sir,\nthe field");
  });

  it("outlives jobs that end their thread, never end, or eat its memory; the others do not notice", async () => {
    const folder = temporaryFolder();
    const fields = join(folder, "f.jsonl");
    const names = ["a", "exit", "b", "loop", "c", "memory", "d", "throw", "e"];
    writeFileSync(fields, names.map((id) => JSON.stringify({ type: "Feature", id, geometry: null })).join("\n"));
    const options = {
      fields,
      settings: [SETTINGS[0]!],
      workers: 2,
      timeLimit: 10,
      memory: 48,
      tries: 1,
      module: new URL("./misbehaving.ts", import.meta.url),
    };
    const out = join(folder, "r.jsonl");
    const { summary, text } = await run(out, options);
    expect(summary).toEqual({ total: 9, skipped: 0, done: 0, error: 5, failed: 4, left: 0 });
    const reasons = resultsOf(text).flatMap((line) => (line.status === "failed" ? [[line.field, line.reason]] : []));
    expect(Object.fromEntries(reasons)).toEqual({
      exit: "ended its thread with code 3",
      loop: "took longer than 10 s",
      memory: "ran out of memory",
      throw: "fell over",
    });
    // marked ones are there, until they are asked for again
    expect((await run(out, options)).summary.skipped).toBe(9);
    const without = ["--", "exit", "throw"];
    const fewer = join(folder, "g.jsonl");
    writeFileSync(fewer, without.map((id) => JSON.stringify({ type: "Feature", id, geometry: null })).join("\n"));
    const again = await run(join(folder, "s.jsonl"), { ...options, fields: fewer, tries: 2 });
    expect(again.summary.failed).toBe(2);
    expect(resultsOf(again.text).find(({ field }) => field === "exit")).toMatchObject({ tries: 2 });
    const good = await run(join(folder, "s.jsonl"), { ...options, fields: fewer, retryFailed: true });
    expect(good.summary).toMatchObject({ skipped: 1, failed: 2 });
    expect(linesOf(good.text)).toHaveLength(3);
  });
});

describe("the script", () => {
  const script = new URL("../../examples/batch/run.ts", import.meta.url).pathname;
  const start = (given: readonly string[]): { child: ReturnType<typeof spawn>; end: Promise<number | null> } => {
    const child = spawn(process.execPath, ["--import", "tsx", script, ...given], { stdio: ["ignore", "pipe", "pipe"] });
    return { child, end: new Promise((resolve) => child.once("exit", resolve)) };
  };

  it("comes out the same after kill -9 in the middle", async () => {
    const folder = temporaryFolder();
    const fields = writeFields(folder, 24);
    const settings = join(folder, "settings.json");
    writeFileSync(settings, JSON.stringify(SETTINGS[0]));
    const out = join(folder, "killed.jsonl");
    const given = ["--fields", fields, "--settings", settings, "--workers", "2", "--sort"];
    const { child, end } = start([...given, "--out", out]);
    while (!existsSync(out) || readFileSync(out).length < 2000) await new Promise((resolve) => setTimeout(resolve, 5));
    child.kill("SIGKILL");
    await end;
    const there = linesOf(readFileSync(out, "utf8")).length;
    expect(there).toBeGreaterThan(0);
    expect(there).toBeLessThan(25);
    const again = start([...given, "--out", out]);
    let said = "";
    again.child.stdout!.on("data", (bytes: Buffer) => (said += bytes.toString()));
    expect(await again.end).toBe(0);
    expect(said).toContain(`25 jobs: ${there} there before`);
    const whole = await run(join(folder, "whole.jsonl"), { fields, settings: [SETTINGS[0]!], sort: true });
    expect(readFileSync(out, "utf8")).toBe(whole.text);
  });

  it("says what it needs", async () => {
    const { child, end } = start(["--fields", "nowhere"]);
    let said = "";
    child.stderr!.on("data", (bytes: Buffer) => (said += bytes.toString()));
    expect(await end).toBe(2);
    expect(said).toContain("needs --fields");
  });
});

describe("progress", () => {
  const shown = (isTTY: boolean, seconds: number): string[] => {
    const texts: string[] = [];
    let time = 0;
    const progress = new Progress(100, 10, { isTTY, write: (text) => texts.push(text) }, () => time);
    for (let i = 0; i < 40; i++) {
      time += seconds / 40;
      progress.add(i === 0 ? "error" : i === 1 ? "failed" : "done");
    }
    progress.end();
    return texts;
  };

  it("is a line now and then where there is no terminal, with rate and time left", () => {
    // 40 jobs in 20 s: 2 a second, 50 left
    const lines = shown(false, 20);
    expect(lines).toHaveLength(3);
    expect(lines.at(-1)).toBe("50 of 100 jobs, 50 %, 120 a minute, 0:25 left, 1 with errors, 1 failed\n");
    expect(lines[0]).toMatch(/^30 of 100 jobs, 30 %/);
  });

  it("is one line that changes on a terminal", () => {
    const texts = shown(true, 4000);
    expect(texts).toHaveLength(42);
    expect(texts.at(-2)).toBe(
      `\r\u001b[K[${"#".repeat(12)}${".".repeat(12)}] 50 of 100 jobs, 50 %, 1 a minute, 1:23:20 left, 1 with errors, 1 failed`,
    );
    expect(texts.at(-1)).toBe("\n");
  });
});
