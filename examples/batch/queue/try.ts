// npx tsx examples/batch/queue/try.ts: a Redis of its own, two workers, one of them killed in the middle of a job; holds what comes out against
// the same batch on one machine. Ends with 0 where both are the same, and each job is there once.
import { type ChildProcess, spawn } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { connect, createServer } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { readSettings } from "../read-settings.js";
import { openQueue } from "./connection.js";

const REDIS = process.env["REDIS_SERVER"] ?? "redis-server";
const QUEUE = "try";
const here = (name: string): string => fileURLToPath(new URL(name, import.meta.url));
const folder = mkdtempSync(join(tmpdir(), "feering-queue-"));
const started: ChildProcess[] = [];

process.once("exit", () => {
  for (const one of started) one.kill("SIGKILL");
  rmSync(folder, { recursive: true, force: true });
});
for (const signal of ["SIGINT", "SIGTERM"] as const) process.once(signal, () => process.exit(1));
process.exit(await tryQueue());

async function tryQueue(): Promise<number> {
  const port = await freePort();
  const redis = `redis://127.0.0.1:${port}`;
  // nothing is written to the disk but what the temporary folder takes
  const server = start(REDIS, [
    "--port",
    String(port),
    "--bind",
    "127.0.0.1",
    "--save",
    "",
    "--appendonly",
    "no",
    "--dir",
    folder,
  ]);
  await listening(port, server);
  const [first] = readSettings(here("../settings.json"));
  const settings = join(folder, "settings.json");
  writeFileSync(settings, JSON.stringify(first));
  const source = ["--fields", here("../fields"), "--settings", settings];
  const at = ["--redis", redis, "--queue", QUEUE];
  await script("enqueue.ts", [...source, ...at]);
  // a second time changes nothing
  await script("enqueue.ts", [...source, ...at]);

  const worker = (): ChildProcess => node("worker.ts", [...at, "--workers", "1", "--stalled-after", "1"]);
  const killed = worker();
  const taken = await firstLine(killed, "took ");
  killed.kill("SIGKILL");
  console.log(`one worker killed in the middle of ${taken}`);
  const other = worker();
  const queued = join(folder, "queue.jsonl");
  const alone = join(folder, "alone.jsonl");
  await script("collect.ts", [...at, "--out", queued, "--wait"]);
  // again with what is there: nothing comes twice
  await script("collect.ts", [...at, "--out", queued, "--remove", "--sort"]);
  const queue = await openQueue(redis, QUEUE);
  const left = await queue.getJobCountByTypes("completed", "failed", "waiting", "active");
  await queue.close();
  other.kill("SIGTERM");
  await script("../run.ts", [...source, "--out", alone, "--workers", "2", "--sort"]);

  const text = readFileSync(queued, "utf8");
  const keys = text
    .split("\n")
    .filter(Boolean)
    .map((line) => (JSON.parse(line) as { key: string }).key);
  const same = text === readFileSync(alone, "utf8");
  const once = new Set(keys).size === keys.length;
  const done = keys.includes(taken);
  console.log(
    `${keys.length} results, ${once ? "each once" : "some twice"}, ${same ? "the same" : "not the same"} as on one machine; ` +
      `the job of the killed worker ${done ? "was done by the other" : "is missing"}; ${left} left in the queue`,
  );
  return same && once && done && left === 0 && keys.length > 0 ? 0 : 1;
}

function start(command: string, given: readonly string[], stdio: "ignore" | "pipe" = "ignore"): ChildProcess {
  const child = spawn(command, given, { stdio: ["ignore", stdio, stdio === "ignore" ? "ignore" : "inherit"] });
  started.push(child);
  return child;
}

function node(name: string, given: readonly string[]): ChildProcess {
  return start(process.execPath, ["--import", "tsx", here(name), ...given], "pipe");
}

/** Run a script to its end. */
async function script(name: string, given: readonly string[]): Promise<void> {
  const child = node(name, given);
  child.stdout!.pipe(process.stdout);
  const code = await new Promise<number | null>((resolve) => child.once("exit", resolve));
  if (code !== 0) throw new Error(`${name} ended with ${code}`);
}

/** The rest of the first line that begins so. */
function firstLine(child: ChildProcess, begin: string): Promise<string> {
  return new Promise((resolve, reject) => {
    let text = "";
    child.stdout!.on("data", (bytes: Buffer) => {
      text += bytes.toString();
      const line = text
        .split("\n")
        .slice(0, -1)
        .find((one) => one.startsWith(begin));
      if (line !== undefined) resolve(line.slice(begin.length));
    });
    child.once("exit", () => reject(new Error(`a worker ended before it took a job: ${text}`)));
  });
}

function freePort(): Promise<number> {
  return new Promise((resolve) => {
    const server = createServer();
    server.listen(0, "127.0.0.1", () => {
      const { port } = server.address() as { port: number };
      server.close(() => resolve(port));
    });
  });
}

/** Wait until something listens there. */
async function listening(port: number, server: ChildProcess): Promise<void> {
  let failed = "";
  server.once("error", (error) => (failed = error.message));
  for (let attempt = 0; attempt < 100 && failed === ""; attempt++) {
    const open = await new Promise<boolean>((resolve) => {
      const socket = connect(port, "127.0.0.1");
      socket.once("connect", () => {
        socket.destroy();
        resolve(true);
      });
      socket.once("error", () => resolve(false));
    });
    if (open) return;
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
  throw new Error(`Redis does not listen ${failed}`);
}
