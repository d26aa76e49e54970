/**
 * What was laid out before the drive: the field, its headland, the line recorded in another season and the passes beside
 * it, and the job with the machine. run.ts works by it, and making/ drives by it.
 */
import { readGeoJson, toLocalLine, toLocalPolygon } from "../../src/exchange/index.js";
import { type GeographicPosition, type LocalFrame, localFrame } from "../../src/frames/index.js";
import { pointInPolygon, type Polygon } from "../../src/geometry/index.js";
import { closedLine, curvedLine, type GuidancePattern, guidancePattern } from "../../src/guidance/index.js";
import { bufferZone, type Headland, headland, roundLines } from "../../src/headland/index.js";
import type { FieldJob, JobDefinition } from "../../src/job/index.js";
import { evenSections, type HeadlandRule } from "../../src/sections/index.js";
import type { FieldSource } from "./field-file.js";

/** Width of the boom and distance of the passes, m. */
export const SWATH = 24;
/** Rounds inside the boundary. */
const ROUNDS = 2;
/** Nothing is put out nearer to the pond than this, m. An invented width: the label and the local rules say the real one. */
const BUFFER = 3;
/** Smallest radius that the machine turns in, m. */
export const TURNING_RADIUS = 9;

/** A field laid out, planar shapes in metres in its frame. */
export interface FieldPlan {
  readonly frame: LocalFrame;
  readonly field: readonly Polygon[];
  /** attributes of the field in its file */
  readonly labels: { readonly [name: string]: string };
  readonly made: Headland;
  /** buffer zone about the pond */
  readonly closed: readonly Polygon[];
  /** one pattern for each round, in driving order */
  readonly rounds: readonly GuidancePattern[];
  /** where the field is entered, where its file says so */
  readonly gate?: GeographicPosition;
}

/** The plan of the job. */
export interface Plan extends FieldPlan {
  /** the passes of the mainfield */
  readonly passes: GuidancePattern;
}

/** What the driver tapped on the screen: from then on this line, and this ground. */
export interface Tap {
  /** UTC, ISO 8601 */
  readonly time: string;
  /** name of the line */
  readonly line: string;
  readonly ground: HeadlandRule;
}

/** Lay out a field: its headland with the rounds. */
export function layOutField({ polygons, labels, gate }: FieldSource): FieldPlan {
  const frame = localFrame({ ...polygons[0]!.exterior[0]!, altitude: 128.95 });
  const field = polygons.map((polygon) => toLocalPolygon(frame, polygon));
  const made = headland(field, {
    swathWidth: SWATH,
    rounds: ROUNDS,
    obstacleRounds: 1,
    minimumRadius: TURNING_RADIUS,
    ...(gate === undefined ? {} : { gate: toLocalLine(frame, [gate])[0]! }),
  });
  const rounds = roundLines(made).map(({ points: ring, name }) =>
    guidancePattern(closedLine(ring, { name }), { swathWidth: SWATH, propagation: "none" }),
  );

  const pond = field.flatMap(({ holes }) => holes.map((exterior) => ({ exterior, holes: [] })));
  const closed = bufferZone({ polygons: pond }, BUFFER);
  return { frame, field, labels, made, closed, rounds, ...(gate === undefined ? {} : { gate }) };
}

/** Lay out the job from the field and the text of line.geojson. */
export function layOut(source: FieldSource, lineText: string): Plan {
  const plan = layOutField(source);
  // recorded half a swath inside the west side; the mainfield begins behind two rounds, half a swath before its first pass
  const recorded = readGeoJson(lineText).lines[0]!;
  const line = curvedLine(toLocalLine(plan.frame, recorded.positions), {
    smoothing: 0.05,
    smoothingWindow: 30,
    name: String(recorded.properties["name"]),
  });
  const passes = guidancePattern(line, {
    swathWidth: SWATH,
    propagation: "right",
    firstPassOffset: ROUNDS * SWATH,
  });
  return { ...plan, passes };
}

/** Whether the line of the demo, and so its drive, is in a field. */
export function holds({ polygons }: FieldSource, lineText: string): boolean {
  const positions = readGeoJson(lineText).lines[0]!.positions;
  const middle = positions[Math.floor(positions.length / 2)]!;
  return polygons.some(({ exterior }) => {
    const flat = exterior.map(({ longitude, latitude }) => [longitude, latitude] as const);
    return pointInPolygon({ exterior: flat, holes: [] }, [middle.longitude, middle.latitude]) === "inside";
  });
}

type Labels = FieldSource["labels"];

/** Field and farm, as far as they are named. */
export function titleOf({ name, farm }: Labels): string {
  return [name, farm].filter((part) => part !== undefined).join(", ");
}

/** Crop and operation, as far as they are named. */
export function workOf({ crop, operation }: Labels): string[] {
  return [crop, operation].filter((part) => part !== undefined);
}

/** The job by this plan; it begins with the first round. */
export function jobDefinition(plan: FieldPlan): JobDefinition {
  const { name, ...rest } = plan.labels;
  const kept = (["farm", "crop", "operation", "notes"] as const).flatMap((label) =>
    rest[label] === undefined ? [] : [[label, rest[label]] as const],
  );
  return {
    labels: { ...(name === undefined ? {} : { field: name }), ...Object.fromEntries(kept) },
    origin: plan.frame.origin,
    field: plan.field,
    headland: plan.made.headland,
    closed: plan.closed,
    machine: { name: "tractor with a mounted boom", antenna: { x: 1.2, y: 0, z: -3 } },
    boom: { sections: evenSections(SWATH, 8), x: -2, turnOnTime: 0.4, turnOffTime: 0.25 },
    pattern: plan.rounds[0]!,
    // this operation asks for RTK fixed: anything less is guided by, with sections off
    fixes: { qualities: [4] },
    // half a section either way is the least overlap and skip together; 10 % outside is the receiver's and the driver's share
    sections: { headlandRule: "headland", overlapTolerance: 0.5, outsideTolerance: 0.1, minimumSpeed: 0.5 },
  };
}

/** The same job with the boom on a trailed sprayer: hitch 1 m behind the rear axle, 5 m of drawbar, the boom 1 m behind its axle. */
export function towedDefinition(plan: Plan): JobDefinition {
  const mounted = jobDefinition(plan);
  return {
    ...mounted,
    machine: { ...mounted.machine, name: "tractor with a trailed boom" },
    boom: { ...mounted.boom, x: -1 },
    towed: { hitch: -1, drawbar: 5 },
  };
}

/** Gives the job what the driver tapped, when its time has come. */
export class Taps {
  /** name of the line in force */
  line = "";
  private readonly taps: readonly { readonly time: number; readonly tap: Tap }[];
  private next = 0;

  /** @param text - of taps.json */
  constructor(
    text: string,
    private readonly plan: Plan,
  ) {
    this.taps = (JSON.parse(text) as Tap[]).map((tap) => ({ time: Date.parse(tap.time) / 1000, tap }));
  }

  /** all taps up to a time, s since 1970 */
  upTo(time: number, job: Pick<FieldJob, "usePattern" | "setHeadlandRule">): void {
    for (; this.next < this.taps.length && this.taps[this.next]!.time <= time; this.next++) {
      const { line, ground } = this.taps[this.next]!.tap;
      const pattern = [...this.plan.rounds, this.plan.passes].find((one) => one.line.name === line);
      if (pattern === undefined) throw new Error(`no line is named ${line}`);
      job.usePattern(pattern);
      job.setHeadlandRule(ground);
      this.line = line;
    }
  }
}
