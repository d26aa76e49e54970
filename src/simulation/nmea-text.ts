import { FeeringError, requireList } from "../errors/index.js";
import { writeGga, writeHdt, writeRmc, writeVtg } from "../exchange/index.js";
import type { Fix } from "../receiver/index.js";
import type { NmeaSentence } from "./scenario.js";

const SENTENCES: readonly NmeaSentence[] = ["GGA", "RMC", "VTG", "HDT"];

/** Check a list of sentences; throws FeeringError `out-of-range`. */
export function checkSentences(sentences: readonly NmeaSentence[], argument: string): void {
  requireList(sentences, argument);
  const wrong = sentences.findIndex((name) => !SENTENCES.includes(name));
  if (wrong < 0) return;
  throw new FeeringError("out-of-range", `${argument}[${wrong}] is none of ${SENTENCES.join(", ")}`, {
    argument,
    index: wrong,
    value: sentences[wrong],
  });
}

/**
 * What a receiver says of a fix, as NMEA 0183 sentences: the fix of a {@link Simulation} step, say.
 *
 * @param fix - any fix
 * @param sentences - which, in order: GGA place and quality; RMC place, speed, date; VTG course and speed; HDT heading
 * @returns the sentences, each with its line end; times to a millisecond
 * @throws `FeeringError` `out-of-range` for another sentence
 */
export function nmeaText(fix: Fix, sentences: readonly NmeaSentence[]): string {
  checkSentences(sentences, "sentences");
  let text = "";
  for (const name of sentences) {
    if (name === "GGA") text += writeGga(fix, MILLISECONDS);
    else if (name === "RMC") text += writeRmc(fix, MILLISECONDS);
    else if (name === "VTG") text += writeVtg(fix);
    else text += writeHdt(fix.heading ?? Number.NaN);
  }
  return text;
}

const MILLISECONDS = { timeDecimals: 3 } as const;
