import { describe, expect, it } from "vitest";
import type { Job, JobDone, JobError } from "../../examples/batch/job.js";
import { fieldSeed, jobKey } from "../../examples/batch/key.js";
import { runJob } from "../../examples/batch/run-job.js";
import { expectWithin } from "../helpers/within.js";
import { jobOf, rectangle, SETTINGS } from "./small-fields.js";

const FIELD = rectangle(200, 100);

describe("a job", () => {
  it("plans its field: plain data in, plain data out", () => {
    const job = jobOf(FIELD);
    const result = runJob(JSON.parse(JSON.stringify(job)) as Job) as JobDone;
    expect(result.status).toBe("done");
    // side lengths of a degree from memory, good to 1e-3
    expectWithin(result.area, 20_000, 40, "area, m²");
    expect(result.rounds).toBe(2);
    // two rounds of 12 m leave 52 m across: 5 swaths
    expect(result.blocks.map(({ swaths }) => swaths)).toEqual([5]);
    expect(result.check.sound).toBe(true);
    expect(result.totals.fieldEfficiency).toBeGreaterThan(0.5);
    expect(result.simulation).toBeNull();
    expect(JSON.parse(JSON.stringify(result))).toEqual(result);
    expect(JSON.stringify(runJob(job))).toBe(JSON.stringify(result));
  });

  it("drives the plan where that is asked for, by its seed", () => {
    const driven = (seed: number): JobDone => runJob(jobOf(FIELD, { simulate: true, seed })) as JobDone;
    const one = driven(1);
    expect(one.simulation!.status).toBe("finished");
    expectWithin(one.simulation!.workedArea, one.totals.workedArea, 0.03 * one.area, "worked, m²");
    expect(one.simulation!.percentile95!).toBeGreaterThan(0.005);
    expect(one.simulation!.percentile95!).toBeLessThan(0.2);
    expect(JSON.stringify(driven(1))).toBe(JSON.stringify(one));
    expect(driven(2).simulation!.rms).not.toBe(one.simulation!.rms);
    expect(driven(2).totals).toEqual(one.totals);
  });

  it.each([
    [
      "a boundary that crosses itself",
      {
        type: "Polygon",
        coordinates: [
          [
            [5, 52],
            [5.001, 52],
            [5, 52.001],
            [5.001, 52.001],
            [5, 52],
          ],
        ],
      },
      "self-crossing",
    ],
    [
      "places in metres",
      {
        type: "Polygon",
        coordinates: [
          [
            [98_398, 456_892],
            [98_498, 456_892],
            [98_498, 456_992],
            [98_398, 456_892],
          ],
        ],
      },
      "bad-format",
    ],
    [
      "another coordinate system",
      { ...rectangle(200, 100), crs: { type: "name", properties: { name: "EPSG:25832" } } },
      "unknown-crs",
    ],
    [
      "a line",
      {
        type: "LineString",
        coordinates: [
          [5, 52],
          [5.01, 52],
        ],
      },
      "no-field",
    ],
    ["a text that is no JSON", '{"type": "Feature", "geom', "bad-format"],
    ["no geometry at all", null, "not-finite"],
    ["a number", 7, "not-finite"],
  ])("of %s is an error with its code", (_, geometry, code) => {
    const { status, error } = runJob(jobOf(geometry)) as JobError;
    expect(status).toBe("error");
    expect(error.code, error.message).not.toBe("unexpected");
    if (code !== "not-finite") expect(error.code, error.message).toBe(code);
    expect(error.message.length).toBeGreaterThan(10);
  });

  it("with a machine that is none says which setting", () => {
    const settings = { id: "zero", plan: { swathWidth: 0, minimumRadius: 6 } };
    const { error } = runJob(jobOf(FIELD, { settings })) as JobError;
    expect([error.code, error.argument]).toEqual(["out-of-range", "options.swathWidth"]);
    const driven = { id: "odd", plan: SETTINGS[0]!.plan, drive: { sections: -1 } };
    expect((runJob(jobOf(FIELD, { settings: driven, simulate: true })) as JobError).status).toBe("error");
  });

  it("of ground that its headland fills is done, empty, with the reason", () => {
    const result = runJob(jobOf(rectangle(40, 30), { simulate: true })) as JobDone;
    expect(result.status).toBe("done");
    expect(result.blocks).toEqual([]);
    expect(result.reasons).toEqual([{ reason: "headland-fills-field", mainfield: null }]);
  });
});

describe("the key of a job", () => {
  const key = jobKey(jobOf(FIELD));

  it("stays the same however properties are ordered", () => {
    const turned = { coordinates: (FIELD as { coordinates: unknown }).coordinates, type: "Polygon" };
    expect(jobKey(jobOf(turned))).toBe(key);
    const { id, plan } = SETTINGS[0]!;
    const settings = { plan: { minimumRadius: plan.minimumRadius, swathWidth: plan.swathWidth }, id };
    expect(jobKey(jobOf(FIELD, { settings }))).toBe(key);
  });

  it("changes with all that the result depends on", () => {
    const keys = [
      key,
      jobKey(jobOf(rectangle(200, 101))),
      jobKey(jobOf(FIELD, { seed: 2 })),
      jobKey(jobOf(FIELD, { simulate: true })),
      jobKey(jobOf(FIELD, { settings: SETTINGS[1]! })),
      jobKey(jobOf(FIELD, { settings: { ...SETTINGS[0]!, plan: { ...SETTINGS[0]!.plan, rounds: 1 } } })),
      jobKey(jobOf(FIELD, { field: { id: "g", geometry: FIELD } })),
    ];
    expect(new Set(keys).size).toBe(keys.length);
  });

  it("holds nothing that a queue does not take, whatever the field is called", () => {
    for (const id of ["a:b c/d", "\ud800 half", "12", "Pré d’Aval", "x".repeat(5000)]) {
      const made = jobKey(jobOf(FIELD, { field: { id, geometry: FIELD } }));
      expect(made).toMatch(/^[^: /]+\/wide\/[0-9a-f]{16}$/);
    }
  });

  it("goes with a seed for each field, the same for all settings", () => {
    expect(fieldSeed(1, FIELD)).toBe(fieldSeed(1, FIELD));
    expect(fieldSeed(2, FIELD)).not.toBe(fieldSeed(1, FIELD));
    expect(fieldSeed(1, rectangle(10, 10))).not.toBe(fieldSeed(1, FIELD));
    expect(Number.isSafeInteger(fieldSeed(1, FIELD))).toBe(true);
  });
});
