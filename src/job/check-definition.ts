import { FeeringError, requireList, requireNumber, requireObject } from "../errors/index.js";
import { checkPolygon, type Polygon } from "../geometry/index.js";
import type { BoomSetup, JobDefinition } from "./job-definition.js";
import { plainCopy } from "./plain-copy.js";

/** Longest label, characters: a label is a name or a note, no file. */
const LONGEST_LABEL = 10_000;
/** Oldest a fix may be when it comes in, s. */
const LONGEST_LATENCY = 2;
/** Highest boom, metres: catches millimetres given for metres. */
const HIGHEST = 10;
/** Most booms beside the first. */
const MOST_FURTHER_BOOMS = 7;

/**
 * Check what no other module checks, and copy: polygons are taken as normalised rings from here on.
 *
 * @throws FeeringError with the argument's path
 */
export function checkDefinition(definition: JobDefinition): JobDefinition {
  if (typeof definition !== "object" || (definition as unknown) === null) {
    throw new FeeringError("not-finite", "definition is no object", { argument: "definition", value: definition });
  }
  for (const [name, value] of Object.entries(definition.labels ?? {})) {
    if (typeof value !== "string" || value.length > LONGEST_LABEL) {
      const argument = `definition.labels.${name}`;
      throw new FeeringError(
        "out-of-range",
        `${argument} is ${typeof value}, needs text of at most 10 000 characters`,
        {
          argument,
          value,
        },
      );
    }
  }
  if (definition.swathWidth !== undefined) {
    requireNumber(definition.swathWidth, "definition.swathWidth", { above: 0, max: 1000 });
  }
  checkCarrier(definition.boomOn, "definition.boomOn", definition);
  checkCarrier(definition.guide, "definition.guide", definition);
  checkHeight(definition.boomHeight, "definition.boomHeight");
  if (definition.latency !== undefined) {
    requireNumber(definition.latency, "definition.latency", { min: 0, max: LONGEST_LATENCY });
  }
  checkFurtherBooms(definition);
  const { field, headland, closed, ...rest } = definition;
  return {
    ...plainCopy(rest),
    ...(field === undefined ? {} : { field: checkPolygons(field, "definition.field") }),
    ...(headland === undefined ? {} : { headland: checkPolygons(headland, "definition.headland") }),
    ...(closed === undefined ? {} : { closed: checkPolygons(closed, "definition.closed") }),
  };
}

function checkCarrier(carrier: unknown, argument: string, definition: JobDefinition): void {
  if (carrier === undefined || carrier === "machine") return;
  if (carrier === "implement" && definition.towed !== undefined) return;
  const why = carrier === "implement" ? "and there is none in definition.towed" : "needs machine or implement";
  throw new FeeringError(
    "out-of-range",
    `${argument} is ${typeof carrier === "string" ? carrier : typeof carrier}, ${why}`,
    { argument, value: carrier },
  );
}

function checkHeight(height: number | undefined, argument: string): void {
  if (height !== undefined) requireNumber(height, argument, { min: -HIGHEST, max: HIGHEST });
}

function checkFurtherBooms(definition: JobDefinition): void {
  const booms: readonly BoomSetup[] = definition.furtherBooms ?? [];
  requireList(booms, "definition.furtherBooms");
  if (booms.length > MOST_FURTHER_BOOMS) {
    throw new FeeringError(
      "too-large",
      `definition.furtherBooms has ${booms.length}, needs at most ${MOST_FURTHER_BOOMS}`,
      {
        argument: "definition.furtherBooms",
        value: booms.length,
      },
    );
  }
  booms.forEach((setup, i) => {
    const argument = `definition.furtherBooms[${i}]`;
    requireObject(setup, argument);
    checkCarrier(setup.on, `${argument}.on`, definition);
    checkHeight(setup.height, `${argument}.height`);
    const product: unknown = setup.product;
    if (product !== undefined && (typeof product !== "string" || product.length > LONGEST_LABEL)) {
      throw new FeeringError("out-of-range", `${argument}.product is ${typeof product}, needs a short text`, {
        argument,
      });
    }
  });
}

function checkPolygons(polygons: readonly Polygon[], argument: string): Polygon[] {
  if (!Array.isArray(polygons)) {
    throw new FeeringError("too-few-points", `${argument} is no list of polygons`, { argument, value: polygons });
  }
  return (polygons as readonly Polygon[]).map((polygon, i) => checkPolygon(polygon, `${argument}[${i}]`));
}
