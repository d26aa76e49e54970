import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import type { BatchField } from "../../examples/batch/job.js";
import { readFields } from "../../examples/batch/read-fields.js";
import { readSettings } from "../../examples/batch/read-settings.js";
import { parseSlice, wholeNumber } from "../../examples/batch/arguments.js";
import { rectangle, temporaryFolder } from "./small-fields.js";

async function all(path: string): Promise<BatchField[]> {
  const fields: BatchField[] = [];
  for await (const field of readFields(path)) fields.push(field);
  return fields;
}

const FIELD = rectangle(100, 100);
const feature = (more: object): object => ({ type: "Feature", properties: {}, geometry: FIELD, ...more });

describe("fields", () => {
  it("come from all files of a folder by name, called by id, property, or place", async () => {
    const folder = temporaryFolder();
    const features = [feature({ id: 7 }), feature({ properties: { id: "low" } }), feature({})];
    writeFileSync(join(folder, "b.geojson"), JSON.stringify({ type: "FeatureCollection", features }));
    writeFileSync(join(folder, "a.ndjson"), `${JSON.stringify(feature({ id: "first" }))}\n${JSON.stringify(FIELD)}`);
    writeFileSync(join(folder, "notes.txt"), "no field");
    const fields = await all(folder);
    expect(fields.map(({ id }) => id)).toEqual(["first", "a.ndjson:2", "7", "low", "b.geojson:3"]);
    for (const { geometry } of fields) expect(geometry).toEqual(FIELD);
  });

  it("come from lines with marks before them, empty ones between, any separators within", async () => {
    const path = join(temporaryFolder(), "x.jsonl");
    // U+2028 ends no line of JSON, a record separator begins one (RFC 8142)
    const named = JSON.stringify(feature({ id: "a\u2028b" }));
    writeFileSync(path, `\ufeff${named}\r\n\n\u001e${JSON.stringify(feature({ id: "c" }))}\r\n   \n`);
    expect((await all(path)).map(({ id }) => id)).toEqual(["a\u2028b", "c"]);
  });

  it("that are none come too, to show among the results", async () => {
    const path = join(temporaryFolder(), "x.jsonl");
    const deep = `${"[".repeat(20_000)}${"]".repeat(20_000)}`;
    writeFileSync(path, `{"half": \n5\n${deep}\n${JSON.stringify(feature({ geometry: null }))}\n`);
    expect(await all(path)).toEqual([
      { id: "x.jsonl:1", geometry: '{"half":' },
      { id: "x.jsonl:2", geometry: 5 },
      { id: "x.jsonl:3", geometry: expect.anything() as unknown },
      { id: "x.jsonl:4", geometry: null },
    ]);
  });

  it("keep the coordinate system that their file tells", async () => {
    const path = join(temporaryFolder(), "x.geojson");
    const crs = { type: "name", properties: { name: "EPSG:25832" } };
    writeFileSync(path, JSON.stringify({ type: "FeatureCollection", crs, features: [feature({})] }));
    expect((await all(path))[0]!.geometry).toEqual({ ...FIELD, crs });
  });

  it("that are not there, or not of a kind that is read, are told", async () => {
    const folder = temporaryFolder();
    mkdirSync(join(folder, "empty"));
    writeFileSync(join(folder, "x.csv"), "");
    await expect(all(join(folder, "none.jsonl"))).rejects.toThrow(/ENOENT/);
    await expect(all(join(folder, "empty"))).rejects.toThrow(/no \*\.geojson/);
    await expect(all(join(folder, "x.csv"))).rejects.toThrow(/is no \*\.geojson/);
  });
});

describe("settings and arguments", () => {
  it("are one or a list, each with its id", () => {
    const path = join(temporaryFolder(), "s.json");
    const read = (content: unknown): unknown => {
      writeFileSync(path, JSON.stringify(content));
      return readSettings(path);
    };
    const one = { id: "a", plan: { swathWidth: 6, minimumRadius: 6 } };
    expect(read(one)).toEqual([one]);
    expect(read([one, { ...one, id: "b" }])).toHaveLength(2);
    expect(() => read([one, one])).toThrow(/two settings are called a/);
    expect(() => read([{ plan: {} }])).toThrow(/settings 1 have no id/);
    expect(() => read([null])).toThrow(/no id/);
    expect(() => read([{ id: "a" }])).toThrow(/no plan/);
    expect(() => read([])).toThrow(/no settings/);
  });

  it("are whole numbers and slices", () => {
    expect(wholeNumber("n", "12")).toBe(12);
    expect(() => wholeNumber("n", "1.5")).toThrow(/--n is 1.5/);
    expect(() => wholeNumber("n", "0", 1)).toThrow(/from 1 on/);
    expect(parseSlice("2/3")).toEqual({ index: 1, of: 3 });
    expect(parseSlice(undefined)).toBeUndefined();
    for (const wrong of ["0/3", "4/3", "1", "a/b", "1/0"]) expect(() => parseSlice(wrong)).toThrow(/--slice/);
  });
});
