import { afterEach, beforeEach, describe, expect, it, type MockInstance, vi } from "vitest";
import { type Polygon, PolygonIndex } from "../../src/geometry/index.js";
import { Zone } from "../../src/sections/zone.js";

// a square of 100 m; distances from its boundary are told by hand
const SQUARE: Polygon = {
  exterior: [
    [0, 0],
    [100, 0],
    [100, 100],
    [0, 100],
  ],
  holes: [],
};

let measured: MockInstance;
let asked: MockInstance;

const shareIn = (zone: Zone, ...ends: [number, number, number, number]): number => {
  const segment = Float64Array.of(...ends, Number.NaN);
  zone.share(segment);
  return segment[4]!;
};

/** What a zone asks of its polygons, by calls: distances measured, shares taken. */
const calls = (): number[] => [measured.mock.calls.length, asked.mock.calls.length];

describe("a zone", () => {
  beforeEach(() => {
    measured = vi.spyOn(PolygonIndex.prototype, "distanceToBoundary");
    asked = vi.spyOn(PolygonIndex.prototype, "shareOf");
  });
  afterEach(() => vi.restoreAllMocks());

  it("tells shares of segments before it was prepared, and near the boundary", () => {
    const zone = new Zone([SQUARE]);
    expect(shareIn(zone, -10, 50, 10, 50)).toBe(0.5);
    zone.prepare(0, 50, 20);
    expect(shareIn(zone, -10, 50, 30, 50)).toBe(0.75);
    expect(shareIn(zone, 10, 20, 10, 30)).toBe(1);
    expect(shareIn(zone, -10, 20, -10, 30)).toBe(0);
  });

  it("of no polygons holds nothing and asks nothing", () => {
    const zone = new Zone([]);
    zone.prepare(5, 5, 3);
    expect(shareIn(zone, 4, 5, 6, 5)).toBe(0);
    expect(calls()).toEqual([0, 0]);
  });

  it("clear of the boundary answers without asking: all inside, or all outside", () => {
    const inside = new Zone([SQUARE]);
    inside.prepare(50, 50, 10);
    expect(shareIn(inside, 45, 50, 55, 50)).toBe(1);
    const outside = new Zone([SQUARE]);
    outside.prepare(150, 50, 10);
    expect(shareIn(outside, 145, 50, 155, 50)).toBe(0);
    expect(calls()).toEqual([2, 0]);
  });

  it("that reaches just to the boundary is asked", () => {
    const zone = new Zone([SQUARE]);
    zone.prepare(10, 50, 10);
    expect(shareIn(zone, 0, 50, 20, 50)).toBe(1);
    expect(calls()).toEqual([1, 1]);
  });

  it("measures anew only where the circle proven clear does not hold the circle wanted", () => {
    const zone = new Zone([SQUARE]);
    zone.prepare(50, 50, 10);
    // 5 m aside: 45 m of the 50 are left
    zone.prepare(53, 54, 44.99);
    expect(calls()).toEqual([1, 0]);
    expect(shareIn(zone, 53, 54, 53, 55)).toBe(1);
    expect(calls()).toEqual([1, 0]);
    zone.prepare(53, 54, 45);
    expect(calls()).toEqual([2, 0]);
    // 46 m from there
    zone.prepare(53, 54, 45.9);
    expect(shareIn(zone, 53, 54, 53, 55)).toBe(1);
    expect(calls()).toEqual([2, 0]);
  });

  it("measures anew only where the circle wanted does not hold all of the circle that touches the boundary", () => {
    const zone = new Zone([SQUARE]);
    zone.prepare(60, 50, 40);
    expect(calls()).toEqual([1, 0]);
    zone.prepare(50, 50, 50.01);
    expect(calls()).toEqual([1, 0]);
    expect(shareIn(zone, 50, 50, 50, 51)).toBe(1);
    expect(calls()).toEqual([1, 1]);
    zone.prepare(50, 50, 50);
    expect(calls()).toEqual([2, 1]);
    expect(shareIn(zone, 0, 50, 100, 50)).toBe(1);
    expect(calls()).toEqual([2, 2]);
  });

  it("on the boundary itself is measured once", () => {
    const zone = new Zone([SQUARE]);
    zone.prepare(0, 50, 1);
    zone.prepare(0, 50, 1);
    expect(calls()).toEqual([1, 0]);
  });

  it("is measured at first also where the first place is the origin of the frame", () => {
    const zone = new Zone([SQUARE]);
    zone.prepare(0, 0, 5);
    expect(calls()).toEqual([1, 0]);
  });

  it("at a place that is none is asked, and says 0", () => {
    const zone = new Zone([SQUARE]);
    zone.prepare(Number.NaN, 50, 5);
    expect(shareIn(zone, Number.NaN, 50, Number.NaN, 60)).toBe(0);
    zone.prepare(50, 50, 5);
    expect(shareIn(zone, 50, 50, 50, 55)).toBe(1);
    expect(calls()).toEqual([2, 1]);
  });
});
