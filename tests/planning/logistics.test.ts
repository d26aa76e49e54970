import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { fieldCapacity, fieldEfficiency, supplyStops, tramlines, wheelTracks } from "../../src/planning/index.js";
import { acresPerHour, metresFromFeet, metresPerSecondFromMilesPerHour } from "../../src/units/index.js";
import { expectCode, expectWithin } from "../helpers/within.js";

describe("tramlines", () => {
  const marked = (options: Parameters<typeof tramlines>[0]): number[] =>
    tramlines(options)
      .passes.filter(({ wheels }) => wheels.length > 0)
      .map(({ pass }) => pass);

  it("of a sprayer an odd number of drill widths wide lie in the middle of every so manieth pass", () => {
    expect(marked({ seedingWidth: 8, sprayerWidth: 24, passes: 9 })).toEqual([1, 4, 7]);
    expect(marked({ seedingWidth: 3, sprayerWidth: 15, passes: 12 })).toEqual([2, 7]);
    const laid = tramlines({ seedingWidth: 8, sprayerWidth: 24, passes: 9, track: 2 });
    expect([laid.symmetric, laid.rhythm, laid.offsets]).toEqual([true, 3, [-1, 1]]);
  });

  it("of one an even number wide straddle a joint, unless one machine starts with half a width", () => {
    const plain = tramlines({ seedingWidth: 6, sprayerWidth: 24, passes: 8 });
    expect(plain.symmetric).toBe(false);
    expect(plain.passes.map(({ wheels }) => wheels.length)).toEqual([0, 1, 1, 0, 0, 1, 1, 0]);
    const half = tramlines({ seedingWidth: 6, sprayerWidth: 24, passes: 9, halfStart: true });
    expect(half.symmetric).toBe(true);
    expect(half.passes.map(({ wheels }) => wheels.length)).toEqual([0, 0, 2, 0, 0, 0, 2, 0, 0]);
    const sprayerHalf = tramlines({ seedingWidth: 6, sprayerWidth: 24, passes: 8, sprayerHalfStart: true });
    expect(sprayerHalf.passes[4]!.wheels.map(({ wheel }) => wheel)).toEqual(["far"]);
  });

  it("of widths that do not divide fall anywhere, each wheel once, where the sprayer drives", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 2, max: 12, noNaN: true }),
        fc.double({ min: 12, max: 48, noNaN: true }),
        fc.double({ min: 0, max: 3, noNaN: true }),
        fc.boolean(),
        (seedingWidth, sprayerWidth, track, halfStart) => {
          const { passes } = tramlines({ seedingWidth, sprayerWidth, track, halfStart, passes: 60 });
          const places: number[] = [];
          for (const { middle, wheels } of passes) {
            for (const { offset, sprayerPass, wheel } of wheels) {
              expect(Math.abs(offset)).toBeLessThanOrEqual(seedingWidth / 2 + 1e-4);
              const driven = (sprayerPass + 0.5) * sprayerWidth + (wheel === "near" ? -track : track) / 2;
              expectWithin(middle + offset, driven, 1e-9, "mark under the wheel, m");
              places.push(driven);
            }
          }
          // none is left out up to the last drilled ground
          const end = (halfStart ? -0.5 : 0) * seedingWidth + 60 * seedingWidth;
          let expected = 0;
          for (let m = 0; m < 100; m++) {
            for (const side of [-1, 1]) {
              const at = (m + 0.5) * sprayerWidth + (side * track) / 2;
              if (at < end - 1e-3) expected++;
            }
          }
          expect(places.length).toBeGreaterThanOrEqual(expected);
        },
      ),
    );
    expect(tramlines({ seedingWidth: 4, sprayerWidth: 21, passes: 30 }).rhythm).toBe(21);
    expect(tramlines({ seedingWidth: 4, sprayerWidth: 4 * Math.PI, passes: 3 }).rhythm).toBeNull();
  });

  it("refuse what is no width", () => {
    expectCode(() => tramlines({ seedingWidth: 0, sprayerWidth: 24, passes: 3 }), "out-of-range");
    expectCode(() => tramlines({ seedingWidth: 6, sprayerWidth: 24, passes: 1.5 }), "out-of-range");
    expectCode(() => tramlines(undefined as never), "not-finite");
    expectCode(() => tramlines({ seedingWidth: 6, sprayerWidth: 24, track: 30, passes: 3 }), "out-of-range");
  });
});

describe("controlled traffic", () => {
  it("wheels the same strips where tracks agree and widths are odd multiples of the narrowest", () => {
    const machines = [
      { name: "drill", width: 9, track: 3, tyre: 0.5 },
      { name: "sprayer", width: 27, track: 3, tyre: 0.4 },
      { name: "harvester", width: 9, track: 3, tyre: 0.6 },
    ];
    const laid = wheelTracks(machines, 54);
    // six passes of 9 m with two strips of 0.6 m each
    expectWithin(laid.share, (6 * 2 * 0.6) / 54, 1e-12, "share");
    expect(laid.strips).toHaveLength(12);
    expect(laid.strips[2]!.machines).toEqual(["drill", "sprayer", "harvester"]);
    const mixed = wheelTracks([...machines.slice(0, 2), { name: "harvester", width: 7.5, track: 3.2, tyre: 0.8 }], 54);
    expect(mixed.share).toBeGreaterThan(2 * laid.share);
  });

  it("adds up strips exactly", () => {
    const machine = fc.record({
      name: fc.constantFrom("a", "b"),
      width: fc.integer({ min: 2, max: 12 }),
      track: fc.integer({ min: 1, max: 3 }),
      tyre: fc.constantFrom(0.5, 1),
    });
    fc.assert(
      fc.property(fc.array(machine, { minLength: 1, maxLength: 4 }), (machines) => {
        const { strips, share } = wheelTracks(machines, 40);
        let wheeled = 0;
        for (let x = 0.125; x < 40; x += 0.25) {
          const under = machines.some(({ width, track, tyre }) => {
            for (let m = width / 2; m < 60; m += width) {
              if (Math.abs(x - m + track / 2) < tyre / 2 || Math.abs(x - m - track / 2) < tyre / 2) return true;
            }
            return false;
          });
          if (under) wheeled += 0.25;
          expect(strips.some(({ from, to }) => x > from && x < to)).toBe(under);
        }
        expectWithin(share, wheeled / 40, 1e-9, "share");
      }),
    );
    expectCode(() => wheelTracks([], 10), "too-few-points");
    expectCode(() => wheelTracks([{ name: "x", width: 0.0001, track: 1, tyre: 1 }], 1e5), "too-large");
  });
});

describe("stops for filling", () => {
  it("come before the first drive that what is left would not finish", () => {
    // 0.96 ha a drive at 200 l/ha from 600 l
    const drives = Array.from({ length: 8 }, () => ({ area: 9600, length: 400 }));
    const plan = supplyStops(drives, { capacity: 600, rate: 0.02 });
    expect(plan.stops.map(({ before }) => before)).toEqual([3, 6]);
    expectWithin(plan.stops[0]!.left, 600 - 3 * 192, 1e-9, "left, l");
    expectWithin(plan.stops[0]!.amount, 576, 1e-9, "filled, l");
    expectWithin(plan.total, 8 * 192, 1e-9, "in all, l");
    expect(plan.firstEmpty!.drive).toBe(3);
    expectWithin(plan.firstEmpty!.along, 400 * (24 / 192), 1e-9, "empty along the drive, m");
    expect(plan.shortages).toEqual([]);
    // what went in and what is left add up
    const filled = plan.stops.reduce((sum, { amount }) => sum + amount, 600);
    expectWithin(filled - plan.total, plan.left, 1e-9, "left at the end, l");
  });

  it("keep a reserve, and tell a drive that takes more than a tank", () => {
    const plan = supplyStops(
      [
        { area: 5000, length: 100 },
        { area: 50_000, length: 1000 },
        { area: 100, length: 2 },
      ],
      {
        capacity: 600,
        rate: 0.02,
        reserve: 100,
      },
    );
    // two tanks under way bring it just to the end of the long drive
    expect(plan.stops.map(({ before }) => before)).toEqual([1, 2]);
    expect(plan.shortages).toHaveLength(1);
    expect(plan.shortages[0]!.drive).toBe(1);
    expectWithin(plan.shortages[0]!.along, 500, 1e-9, "reserve reached along the drive, m");
    expect(supplyStops([{ area: 100 }], { capacity: 10, rate: 0 }).firstEmpty).toBeNull();
    expect(supplyStops([], { capacity: 10, rate: 1 })).toMatchObject({ stops: [], left: 10, total: 0 });
    expectCode(() => supplyStops([{ area: -1 }], { capacity: 10, rate: 1 }), "out-of-range");
    expectCode(() => supplyStops([], { capacity: 10, rate: 1, reserve: 11 }), "out-of-range");
  });

  it("never let the tank below its reserve between stops, and waste none", () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: 0, max: 90, noNaN: true }), { maxLength: 40 }),
        fc.double({ min: 0, max: 9, noNaN: true }),
        (areas, reserve) => {
          const plan = supplyStops(
            areas.map((area) => ({ area })),
            { capacity: 100, rate: 1, reserve },
          );
          let left = 100;
          areas.forEach((area, i) => {
            const stop = plan.stops.find(({ before }) => before === i);
            if (stop !== undefined) {
              expectWithin(stop.left, left, 1e-6, "left at the stop");
              // it would not have reached the end
              expect(left - area).toBeLessThan(reserve);
              left += stop.amount;
            }
            left -= area;
            expect(left).toBeGreaterThanOrEqual(reserve - 1e-6);
          });
          expectWithin(left, plan.left, 1e-6, "left at the end");
        },
      ),
    );
  });
});

describe("field capacity", () => {
  // Iowa State University Extension, Ag Decision Maker A3-24, "Estimating the field capacity of farm machines": ft, mph, %, ac/h
  it.each([
    [40, 6, 70, 20.4],
    [60, 6, 68, 29.7],
    [60, 12, 68, 59.3],
    [80, 6, 68, 39.6],
    [80, 12, 68, 79.1],
    [15, 5, 63, 5.7],
    [20, 6, 63, 9.2],
    [30, 6, 60, 13.1],
    [36, 5, 60, 13.1],
    [45, 5, 60, 16.4],
    [50, 6, 70, 25.5],
  ])("%d ft at %d mph and %d %%: %d acres an hour", (feet, mph, percent, acres) => {
    const capacity = fieldCapacity(metresPerSecondFromMilesPerHour(mph), metresFromFeet(feet), percent / 100);
    expectWithin(acresPerHour(capacity), acres, 0.051, "acres an hour");
  });

  it("by the geometry of a field: 400 m by 200 m, 12 m, 8 km/h, turns of 20 s", () => {
    // 17 passes of 180 s and 16 turns: 3380 s (closed form; the last pass is partly empty)
    const efficiency = fieldEfficiency(80_000, 17 * 180 + 16 * 20, 12, 8 / 3.6);
    expectWithin(efficiency, 0.887574, 1e-6, "efficiency");
    expectWithin((fieldCapacity(8 / 3.6, 12, efficiency) * 3600) / 1e4, 8.52071, 1e-5, "ha/h");
    expect(fieldEfficiency(0, 0, 12, 2)).toBe(0);
    expectCode(() => fieldCapacity(1, 1, 1.2), "out-of-range");
    expectCode(() => fieldEfficiency(1, 1, 0, 1), "out-of-range");
  });
});
