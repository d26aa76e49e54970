import { FeeringError } from "../../errors/index.js";
import type { TimeLogHeader, TimeLogRecord } from "../time-log/index.js";
import { DDI, MOST_WORDS, WORD_SECTIONS } from "./ddi.js";
import type { DeviceBoom } from "./from-task-device.js";

/** States of the sections as the records tell them. */
export class LoggedStates {
  /** sections on */
  count = 0;
  private readonly words: Int32Array = new Int32Array(MOST_WORDS);
  private readonly hasWords: boolean;
  private readonly own: Uint8Array;
  private readonly hasOwn: boolean;
  private whole = 1;
  private readonly places: readonly number[];
  /** what each channel tells: a word from 0, a section from 100, the boom -1, nothing -2 */
  private readonly told: readonly number[];

  constructor({ channels }: TimeLogHeader, { element, sectionElements, places }: DeviceBoom) {
    this.places = places;
    this.own = new Uint8Array(places.length);
    this.told = channels.map((channel) => {
      const word = channel.ddi - DDI.condensedState;
      if (channel.element === element && word >= 0 && word < MOST_WORDS) return word;
      if (channel.ddi !== DDI.workState) return NOTHING;
      const section = sectionElements.indexOf(channel.element);
      if (section >= 0 && channel.element !== element) return SECTIONS + section;
      return channel.element === element ? WHOLE : NOTHING;
    });
    this.hasWords = this.told.some((what) => what >= 0 && what < SECTIONS);
    this.hasOwn = this.told.some((what) => what >= SECTIONS);
    const hasWhole = this.told.includes(WHOLE);
    if (!this.hasWords && !this.hasOwn && !hasWhole) {
      throw new FeeringError(
        "bad-format",
        `the log tells no work state of ${element || "this boom"} (DDI 141, 161 to 176)`,
        {
          argument: "header.channels",
        },
      );
    }
    // nothing is on before it is told
    if (hasWhole && !this.hasWords && !this.hasOwn) this.whole = 0;
    channels.forEach(({ value }, i) => {
      if (value !== "record") this.tell(this.told[i]!, value);
    });
    this.recount();
  }

  take(record: TimeLogRecord): void {
    for (let i = 0; i < record.count; i++) this.tell(this.told[record.channels[i]!]!, record.values[i]!);
    this.recount();
  }

  /** 1 for each section that is on, from left to right. */
  into(landed: Uint8Array): void {
    for (let i = 0; i < landed.length; i++) landed[i] = this.isOn(i) ? 1 : 0;
  }

  private tell(what: number, value: number): void {
    if (what === WHOLE) this.whole = value === 1 ? 1 : 0;
    else if (what >= SECTIONS) this.own[what - SECTIONS] = value === 1 ? 1 : 0;
    else if (what >= 0) this.words[what] = value;
  }

  private isOn(i: number): boolean {
    if (this.whole === 0) return false;
    if (this.hasWords) {
      const place = this.places[i]!;
      const word = this.words[Math.floor(place / WORD_SECTIONS)]!;
      // two bits a section: 01 is on, 10 an error, 11 not installed
      return ((word >>> (2 * (place % WORD_SECTIONS))) & 3) === 1;
    }
    return this.hasOwn ? this.own[i] === 1 : true;
  }

  private recount(): void {
    let count = 0;
    for (let i = 0; i < this.places.length; i++) if (this.isOn(i)) count++;
    this.count = count;
  }
}

const NOTHING = -2;
const WHOLE = -1;
const SECTIONS = 100;
