import { createHash } from "node:crypto";
import { pathToFileURL } from "node:url";
import { FieldJob } from "../../src/job/index.js";
import { NmeaReader } from "../../src/receiver/index.js";
import { random } from "../helpers/random.js";
import { driveAlong, jobOn, makeWay, ORIGIN } from "./drive.js";
import { toPieces } from "./nmea.js";
import { scenarios } from "./scenarios.js";

/** The bytes of a drive with faults in it: the same in every process. */
export function logBytes(): Uint8Array {
  const way = makeWay(2, 60);
  const chance = random(35);
  let items = driveAlong(way);
  for (const [id, at, length, size] of [
    ["F9", 8, 3, 2],
    ["F2", 14, 0.3, 200],
    ["F13", 22, 4, 5],
    ["F1", 33, 1, 1],
  ] as const) {
    const scenario = scenarios.find((one) => one.id === id)!;
    items = scenario.apply(items, { at, length, size, way, origin: ORIGIN, chance });
  }
  const bytes = toPieces(items).flatMap((piece) => Array.from(piece.bytes));
  for (let n = 0; n < 40; n++) bytes[Math.floor(chance() * bytes.length)] = Math.floor(chance() * 256);
  return Uint8Array.from(bytes);
}

/** Hash of every state, order, total and of the record, of a log cut into pieces of these sizes in turn. */
export function replay(bytes: Uint8Array, sizes: readonly number[]): string {
  const way = makeWay(2, 60);
  const job = new FieldJob(jobOn(way));
  const reader = new NmeaReader();
  const hash = createHash("sha256");
  job.onSwitch = (event) => hash.update(JSON.stringify(event));
  let n = 0;
  for (let from = 0; from < bytes.length; ) {
    const to = Math.min(bytes.length, from + sizes[n++ % sizes.length]!);
    for (const fix of reader.push(bytes.subarray(from, to))) hash.update(JSON.stringify(job.update(fix)));
    from = to;
  }
  for (const fix of reader.flush()) hash.update(JSON.stringify(job.update(fix)));
  const { coverage, ...snapshot } = job.snapshot();
  hash.update(coverage);
  hash.update(JSON.stringify([snapshot, job.report(), reader.counts]));
  return `${reader.counts.fixes} ${job.coverage.hash()} ${hash.digest("hex")}`;
}

// as a program: prints the hash
if (process.argv[1] !== undefined && import.meta.url === pathToFileURL(process.argv[1]).href) {
  console.log(replay(logBytes(), [Number(process.argv[2] ?? 1e9)]));
}
