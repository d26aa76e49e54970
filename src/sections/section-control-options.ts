import { FeeringError, requireObject } from "../errors/index.js";
import type { CoverageRecord } from "../coverage/index.js";
import type { Polygon } from "../geometry/index.js";
import type { Boom } from "./boom.js";
import type { SectionSettings } from "./section-settings.js";

/** What a `SectionControl` is made of. */
export interface SectionControlOptions {
  /** the sections, from `boom` */
  readonly boom: Boom;
  /** the record to read what is worked and to mark what is being worked */
  readonly coverage: CoverageRecord;
  /** boundary of the field, obstacles as holes; default no boundary */
  readonly field?: readonly Polygon[];
  /** the headland, for the headland rule; default none */
  readonly headland?: readonly Polygon[];
  /** ground never to be worked: buffer zones, waterways; default none */
  readonly closed?: readonly Polygon[];
  /** tolerances and times */
  readonly settings?: SectionSettings;
}

/** Refuse options without a boom or a record. */
export function checkOptions(options: SectionControlOptions): void {
  requireObject(options, "options");
  if (!Array.isArray((options.boom as Boom | undefined)?.sections)) {
    throw new FeeringError("wrong-state", "options.boom is no boom", { argument: "options.boom" });
  }
  if (typeof (options.coverage as CoverageRecord | undefined)?.mark !== "function") {
    throw new FeeringError("wrong-state", "options.coverage is no coverage record", { argument: "options.coverage" });
  }
}
