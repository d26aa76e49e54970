/** Names of the two snapshots, of which the older is replaced. */
export const SNAPSHOTS: readonly [string, string] = ["snapshot-a", "snapshot-b"];
/** Name of a snapshot that is being written. */
export const SNAPSHOT_PART: string = "snapshot-part";

const JOURNAL = "journal-";
const DIGITS = 7;

/** Name of a journal file. */
export function journalName(number: number): string {
  return JOURNAL + String(number).padStart(DIGITS, "0");
}

/** Number of a journal file by its name; 0 where it is another file. */
export function journalNumber(name: string): number {
  const number = name.startsWith(JOURNAL) ? Number(name.slice(JOURNAL.length)) : 0;
  return number > 0 && journalName(number) === name ? number : 0;
}
