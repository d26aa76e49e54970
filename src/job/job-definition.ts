import type { CoverageOptions } from "../coverage/index.js";
import type { GeographicPosition } from "../frames/index.js";
import type { Polygon } from "../geometry/index.js";
import type { FollowerOptions, GuidancePattern } from "../guidance/index.js";
import type { HeadingOptions, MachineDefinition, TowedDefinition, TowedOptions } from "../machine/index.js";
import type { FixMonitorOptions } from "../receiver/index.js";
import type { BoomDefinition, SectionSettings } from "../sections/index.js";

/** Names that ride along with a job: plain text, kept and given back as they are, read by nothing. */
export interface JobLabels {
  /** name of the field */
  readonly field?: string;
  /** name of the farm */
  readonly farm?: string;
  /** crop on the field */
  readonly crop?: string;
  /** operation, as `second dressing` */
  readonly operation?: string;
  /** who is at the wheel */
  readonly operator?: string;
  /** product put out */
  readonly product?: string;
  /** anything else */
  readonly notes?: string;
}

/** What carries a boom or is steered for: the machine, or the implement that it tows. */
export type Carrier = "machine" | "implement";

/** A boom beside the first one: another product, or another tool of the same machine. */
export interface BoomSetup {
  /** its sections and delays */
  readonly boom: BoomDefinition;
  /** what it puts out: plain text, read by nothing */
  readonly product?: string;
  /** whether ground worked by the first boom counts as worked for this one and the other way round: one record for both; default false */
  readonly sameGround?: boolean;
  /** what carries it; default the towed implement where there is one, else the machine */
  readonly on?: Carrier;
  /** metres that a boom on the machine stands above the reference point: with roll its product falls that much aside; default 0 */
  readonly height?: number;
  /** how its sections are switched */
  readonly sections?: SectionSettings;
  /** its record of ground worked, where it has one of its own */
  readonly coverage?: CoverageOptions;
}

/** All that a {@link FieldJob} is set up with: plain data, safe in JSON. Planar shapes are metres in the frame of `origin`. */
export interface JobDefinition {
  /** names that ride along */
  readonly labels?: JobLabels;
  /** origin of the local frame, best in or beside the field; give its altitude where it is known: scale goes with it, 0.16 mm a km a m */
  readonly origin: GeographicPosition;
  /** the field, obstacles as holes; default none: sections then look at worked ground only */
  readonly field?: readonly Polygon[];
  /** the headland, for sections that work one or the other; default none */
  readonly headland?: readonly Polygon[];
  /** ground never to be worked, in the field or beside it: buffer zones (`bufferZone` of headland), waterways; default none */
  readonly closed?: readonly Polygon[];
  /** the machine, for its antenna */
  readonly machine: MachineDefinition;
  /** the boom and its delays */
  readonly boom: BoomDefinition;
  /** what carries the first boom; default the towed implement where there is one, else the machine */
  readonly boomOn?: Carrier;
  /** metres that the first boom, on the machine, stands above the reference point: with roll its product falls that much aside; default 0 */
  readonly boomHeight?: number;
  /** an implement on a drawbar behind the machine, its booms measured from the middle of its axle; default none */
  readonly towed?: TowedDefinition & TowedOptions;
  /** what is kept on the pass; default the machine */
  readonly guide?: Carrier;
  /** how old a fix is when it comes in, s, 0 to 2: guidance and orders look ahead by so much more; default 0, and the sections' own setting goes before it */
  readonly latency?: number;
  /** booms beside the first, at most 7; default none */
  readonly furtherBooms?: readonly BoomSetup[];
  /** the passes to follow; default none: mark a line live by {@link FieldJob.markA} and {@link FieldJob.markB} */
  readonly pattern?: GuidancePattern;
  /** distance of passes marked live, m; default the width of the boom */
  readonly swathWidth?: number;
  /** what a fix must be good for */
  readonly fixes?: FixMonitorOptions;
  /** how heading and speed are estimated; the antenna's place is taken from the machine */
  readonly heading?: Omit<HeadingOptions, "antenna">;
  /** how a pass is followed; the field is taken from this definition */
  readonly following?: Omit<FollowerOptions, "field">;
  /** how sections are switched */
  readonly sections?: SectionSettings;
  /** the record of ground worked */
  readonly coverage?: CoverageOptions;
}
