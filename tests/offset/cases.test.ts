import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import type { Point } from "../../src/geometry/types.js";
import { offsetLine, offsetPolygon } from "../../src/offset/index.js";
import { readJsonLines } from "../helpers/reference.js";
import { expectWithin } from "../helpers/within.js";
import { areaOf, chainsOf, lengthOf, ringsOf } from "./engine.js";
import { judgeLine, judgePolygons } from "./oracle.js";

/** Cases of tests/reference/offset; how each expectation was found stands in its `how`. */
interface Case {
  readonly name: string;
  readonly kind: "ring" | "line";
  readonly coords?: Point[];
  readonly coordsFile?: string;
  readonly holes?: Point[][];
  readonly closed?: boolean;
  readonly d: number;
  readonly expect: {
    readonly area?: number;
    readonly tolArea?: number;
    readonly length?: number;
    readonly tolLength?: number;
    readonly parts?: number | [number, number];
    readonly holes?: number;
    readonly components?: number;
    readonly closedComponents?: number;
    readonly ignoreShorterThan?: number;
  };
  readonly how: string;
}

/** Vertices stored as differences in whole millimetres. */
function readDifferences(file: string): Point[] {
  const text = readFileSync(new URL(`../reference/offset/${file}`, import.meta.url), "utf8");
  const numbers = text
    .split("\n")
    .filter((line) => line !== "" && !line.startsWith("#"))
    .flatMap((line) => line.split(" ").map(Number));
  const out: Point[] = [];
  let x = 0;
  let y = 0;
  for (let i = 0; i < numbers.length; i += 2) {
    x += numbers[i]!;
    y += numbers[i + 1]!;
    out.push([x / 1000, y / 1000]);
  }
  return out;
}

const cases = readJsonLines<Case>("offset/cases.jsonl");
const coordinates = (c: Case): Point[] => c.coords ?? readDifferences(c.coordsFile!);

/** Shapes that touch themselves or stand exactly at a limit: their offsets may touch themselves too. */
const ties = /neck-exactly-2d|self-touching|hole-touching|zero-width|1e-9/;
const large = /1e5/;

test("all 67 cases are there", () => {
  expect(cases.length).toBe(67);
  expect(coordinates(cases.find((c) => c.coordsFile !== undefined)!).length).toBe(99_982);
});

describe("rings", () => {
  test.for(cases.filter((c) => c.kind === "ring").map((c) => [c.name, c] as const))("%s", ([, c]) => {
    const polygon = { exterior: coordinates(c), holes: c.holes ?? [] };
    // the file has inward positive, we have outward positive
    const result = offsetPolygon(polygon, -c.d);
    const wanted = c.expect;
    const parts = typeof wanted.parts === "number" ? [wanted.parts, wanted.parts] : wanted.parts!;
    expect(result.length).toBeGreaterThanOrEqual(parts[0]!);
    expect(result.length).toBeLessThanOrEqual(parts[1]!);
    expect(result.reduce((sum, part) => sum + part.holes.length, 0)).toBe(wanted.holes);
    expectWithin(areaOf(result), wanted.area!, wanted.tolArea!, "area, m²");
    if (wanted.length !== undefined)
      expectWithin(lengthOf(ringsOf(result)), wanted.length, wanted.tolLength!, "length, m");
    const options = large.test(c.name)
      ? { interior: 1, spacing: 2 }
      : { ties: ties.test(c.name), shortest: /1e-9/.test(c.name) ? 5e-10 : 1e-9 };
    expect(judgePolygons([polygon], -c.d, result, options).defects.slice(0, 5)).toEqual([]);
  });
});

describe("lines", () => {
  test.for(cases.filter((c) => c.kind === "line").map((c) => [c.name, c] as const))("%s", ([, c]) => {
    const line = coordinates(c);
    const closed = c.closed ?? false;
    // the file has left positive, we have right positive
    const chains = chainsOf(offsetLine(line, -c.d, { closed }));
    const wanted = c.expect;
    const long = chains.filter((chain) => lengthOf([chain]) >= wanted.ignoreShorterThan!);
    expect(long.length).toBe(wanted.components);
    expect(long.filter((chain) => chain.closed).length).toBe(wanted.closedComponents);
    expectWithin(lengthOf(long), wanted.length!, wanted.tolLength!, "length, m");
    const monotone = !/crossing|figure8/.test(c.name);
    expect(judgeLine(line, -c.d, closed, chains, { monotone }).defects.slice(0, 5)).toEqual([]);
  });
});
