import { spawn, spawnSync } from "node:child_process";
import { expect, it } from "vitest";

const server = process.env["REDIS_SERVER"] ?? "redis-server";
const there = spawnSync(server, ["--version"]).status === 0;
if (!there) console.warn(`skipped: ${server} is not here (Debian's package redis-server; or set REDIS_SERVER)`);

it.skipIf(!there)(
  "two workers of a queue, one killed in the middle of a job, give what one machine gives, each job once",
  async () => {
    const script = new URL("../../examples/batch/queue/try.ts", import.meta.url).pathname;
    const child = spawn(process.execPath, ["--import", "tsx", script], { stdio: ["ignore", "pipe", "pipe"] });
    let said = "";
    for (const stream of [child.stdout, child.stderr]) stream.on("data", (bytes: Buffer) => (said += bytes.toString()));
    const code = await new Promise<number | null>((resolve) => child.once("exit", resolve));
    expect(code, said).toBe(0);
    expect(said).toMatch(/one worker killed in the middle of \S+/);
    expect(said).toMatch(
      /8 results, each once, the same as on one machine; the job of the killed worker was done by the other; 0 left/,
    );
  },
);
