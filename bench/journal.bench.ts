import { FieldJob, RecordedJob } from "../src/job/index.js";
import { InputRecorder, readBody } from "../src/job/record-body.js";
import { Journal, type JournalStorage, memoryStorage, readJournal } from "../src/journal/index.js";
import { journalName } from "../src/journal/file-names.js";
import { type Fix, NmeaReader } from "../src/receiver/index.js";
import { evenSections } from "../src/sections/index.js";
import { origin, pattern, tickBytes } from "./day-drive.js";
import { compare } from "./harness.js";

// fixes as the reader's owned object gives them: GGA and VTG, what is not there NaN
const fixes: Fix[] = [];
const reader = new NmeaReader();
for (let i = 0; i < 20_000; i++) reader.pushEach(tickBytes(0, i), (fix) => fixes.push({ ...fix }));

const nowhere: JournalStorage = {
  ...memoryStorage(),
  append: () => undefined,
  write: () => undefined,
  sync: () => undefined,
};
const journal = Journal.start(memoryStorage(), new Uint8Array(8));
const quiet = Journal.resume(nowhere, {
  identity: journal.identity,
  sequence: 1,
  lastJournal: 1,
  lastSnapshot: 2,
  kept: { name: "snapshot-a", journal: 1 },
});
const recorder = new InputRecorder(quiet);
quiet.sync();

compare("a fix into the journal, synced every 20", [
  {
    name: "encode and frame, a storage that does nothing",
    calls: fixes.length,
    run: () => {
      for (let i = 0; i < fixes.length; i++) {
        recorder.fix(fixes[i]!, undefined);
        if (i % 20 === 19) quiet.sync();
      }
      return quiet.state.records;
    },
  },
  {
    name: "JSON.stringify of the same fix",
    calls: fixes.length,
    run: () => {
      let sum = 0;
      for (let i = 0; i < fixes.length; i++) sum += JSON.stringify(fixes[i]).length;
      return sum;
    },
  },
]);

// ten hours at 20 Hz in one file
const storage = memoryStorage();
const long = Journal.start(storage, new Uint8Array(8), { fileSize: 1e9 });
const longRecorder = new InputRecorder(long);
for (let i = 0; i < 10 * 3600 * 20; i++) {
  longRecorder.fix(fixes[i % fixes.length]!, undefined);
  if (i % 20 === 19) long.sync();
}
const bytes = storage.read(journalName(long.number))!;
console.log(
  `\n10 h at 20 Hz: ${(bytes.length / 1e6).toFixed(1)} MB, ${(bytes.length / 720_000).toFixed(1)} bytes a fix`,
);
compare(
  "reading ten hours",
  [
    { name: "check every record", calls: 1, run: () => readJournal(bytes).records.length },
    {
      name: "check and decode every record",
      calls: 1,
      run: () => {
        let known = 0;
        for (const record of readJournal(bytes).records) if (readBody(record) !== undefined) known++;
        return known;
      },
    },
  ],
  5,
);

const definition = {
  origin,
  machine: { antenna: { x: 1.2, y: 0, z: -3 } },
  boom: { sections: evenSections(24, 48), x: -3, turnOnTime: 0.4, turnOffTime: 0.25 },
  pattern,
};
const plain = new FieldJob(definition);
const kept = memoryStorage();
const recorded = RecordedJob.create(kept, definition, { snapshotInterval: 1e9 });
const drive = (job: { update(fix: Fix): unknown }) => (): number => {
  for (let i = 0; i < 2000; i++) job.update(fixes[i]!);
  return 0;
};
compare("2000 fixes of a job of 48 sections", [
  { name: "recorded, in memory", calls: 2000, run: drive(recorded) },
  { name: "not recorded", calls: 2000, run: drive(plain) },
]);
for (const fix of fixes) recorded.update(fix);
compare("a job of 1000 s", [{ name: "a snapshot put away", calls: 1, run: () => Number(recorded.checkpoint()) }]);
