import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  type CsvColumn,
  readCsv,
  readSwitchingCsv,
  readTrackCsv,
  switchingColumns,
  trackColumns,
  trackRow,
  type TrackRow,
  writeCsv,
} from "../../src/exchange/index.js";
import { localFrame } from "../../src/frames/index.js";
import { guidancePattern, straightLine } from "../../src/guidance/index.js";
import { FieldJob, type SwitchEvent } from "../../src/job/index.js";
import { evenSections } from "../../src/sections/index.js";
import { runs } from "../helpers/light.js";
import { random } from "../helpers/random.js";
import { expectCode, expectWithin } from "../helpers/within.js";

const frame = localFrame({ latitude: 47.25, longitude: 20.75 });

describe("readCsv by RFC 4180", () => {
  // section 2 of RFC 4180, its own examples
  test("the examples of the RFC", () => {
    expect(readCsv("field_name,field_name2,field_name3\r\naaa,bbb,ccc\r\nzzz,yyy,xxx\r\n")).toEqual({
      header: ["field_name", "field_name2", "field_name3"],
      rows: [
        ["aaa", "bbb", "ccc"],
        ["zzz", "yyy", "xxx"],
      ],
      lines: [2, 3],
    });
    // the last line without a line end
    expect(readCsv("a,b,c\r\nzzz,yyy,xxx").rows).toEqual([["zzz", "yyy", "xxx"]]);
    expect(readCsv('a,b,c\r\n"aaa","b \r\nbb","ccc"\r\nzzz,yyy,xxx')).toEqual({
      header: ["a", "b", "c"],
      rows: [
        ["aaa", "b \r\nbb", "ccc"],
        ["zzz", "yyy", "xxx"],
      ],
      lines: [2, 4],
    });
    expect(readCsv('a,b,c\r\n"aaa","b""bb","ccc"').rows[0]).toEqual(["aaa", 'b"bb', "ccc"]);
  });

  test("line feeds alone, byte order marks, bytes, blank lines at the end, spaces that belong to cells", () => {
    const text = "a,b\n1, 2 \n,\n";
    const expected = {
      header: ["a", "b"],
      rows: [
        ["1", " 2 "],
        ["", ""],
      ],
      lines: [2, 3],
    };
    for (const variant of [
      text,
      `\ufeff${text}`,
      `${text}\n\r\n\n`,
      text.slice(0, -1),
      text.replaceAll("\n", "\r\n"),
    ]) {
      expect(readCsv(variant)).toEqual(expected);
      expect(readCsv(new TextEncoder().encode(variant))).toEqual(expected);
    }
    expect(readCsv("only").rows).toEqual([]);
    expect(readCsv('v\r\n""\r\n').rows).toEqual([[""]]);
  });

  test("semicolons, tabs, decimal commas", () => {
    const text = 'name;value;text\r\na;-12,5;1,2,3\r\nb;3;"1,5"\r\nc;1,5e-3;x1,5\r\nd;,5;12,\r\ne;+1,0;-,\r\n';
    expect(readCsv(text, { separator: ";", decimal: "," }).rows).toEqual([
      ["a", "-12.5", "1,2,3"],
      ["b", "3", "1.5"],
      ["c", "1.5e-3", "x1,5"],
      ["d", ".5", "12."],
      ["e", "+1.0", "-,"],
    ]);
    expect(readCsv(text, { separator: ";" }).rows[0]).toEqual(["a", "-12,5", "1,2,3"]);
    expect(readCsv("a\tb\n1\t2,5", { separator: "\t", decimal: "," }).rows).toEqual([["1", "2.5"]]);
  });

  test("marks of formulas are taken off on request, other apostrophes never", () => {
    const values = ["=1+1", "+1", "-1", "@x", "\tx", "\rx", "'tis", "'", "a"];
    const text = writeCsv(values, [
      { header: "=v", value: (v) => v },
      { header: "i", value: (_, i) => i },
    ]);
    const read = readCsv(text, { formulas: "unmark" });
    expect(read.header).toEqual(["=v", "i"]);
    expect(read.rows.map((row) => row[0])).toEqual(values);
    expect(readCsv(text).rows[0]![0]).toBe("'=1+1");
  });

  test.for([
    ["", "line 1, column 1"],
    ["\r\na,b\r\n", "line 1, column 1"],
    ["a,b\r\n1\r\n", "line 2, column 2"],
    ["a,b\r\n1,2,3\r\n", "line 2, column 5"],
    ["a,b\r\n\r\n1,2\r\n", "line 2, column 1"],
    ['a,b\r\n1,"2\r\n3', "line 2, column 3"],
    ['a,b\r\n1,2"3\r\n', "line 2, column 4"],
    ['a,b\r\n1,"2"3\r\n', "line 2, column 6"],
    ["a,b\r\n1,2\r3,4", "line 2, column 4"],
    ['a,b\r\n"1\n2\n3",4\n5', "line 5, column 2"],
    ['a,b\r\n"1\n2\n3",4,5', "line 4, column 6"],
    ['"a', "line 1, column 1"],
  ] as const)("%j is refused at %s", ([text, place]) => {
    const error = expectCode(() => readCsv(text), "bad-format");
    expect(error.argument).toBe(place);
    expect(error.message).toContain(place);
  });

  test("caps, options, bytes that are no UTF-8", () => {
    expectCode(() => readCsv("a,b\n1,2", { maximumCells: 3 }), "too-large");
    expectCode(() => readCsv("a,b\n1,2", { maximumLength: 6 }), "too-large");
    expectCode(() => readCsv(new TextEncoder().encode("a,b\n1,2"), { maximumLength: 6 }), "too-large");
    expectCode(() => readCsv("a", { separator: "|" as "," }), "out-of-range");
    expectCode(() => readCsv("a", { decimal: ";" as "," }), "out-of-range");
    expectCode(() => readCsv("a", { formulas: "run" as "keep" }), "out-of-range");
    expectCode(() => readCsv(3 as never), "bad-format");
    const error = expectCode(() => readCsv(new Uint8Array([0x61, 0x0a, 0xff])), "bad-format");
    expect(error.index).toBe(2);
  });

  test("names of the object prototype are texts like any other", () => {
    const read = readCsv("__proto__,constructor\n1,2\n");
    expect(read.header).toEqual(["__proto__", "constructor"]);
    expect(({} as Record<string, unknown>)["1"]).toBeUndefined();
    expectCode(() => readTrackCsv("__proto__,constructor\n1,2\n"), "bad-format");
  });

  test("any table is read as it was written", () => {
    const cell = fc.oneof(
      fc.string(),
      fc.string({ unit: "binary" }),
      fc.constantFrom('"', "\r\n", ",", "\n", ";", "'="),
    );
    fc.assert(
      fc.property(
        fc.array(cell, { minLength: 1, maxLength: 4 }).chain((header) =>
          fc.record({
            header: fc.constant(header),
            rows: fc.array(fc.array(cell, { minLength: header.length, maxLength: header.length }), { maxLength: 5 }),
          }),
        ),
        ({ header, rows }) => {
          fc.pre(header.some((name) => name !== "") && !header[0]!.startsWith("\ufeff"));
          const columns = header.map((name, i): CsvColumn<string[]> => ({ header: name, value: (row) => row[i] }));
          const text = writeCsv(rows, columns, { formulas: "keep" });
          const read = readCsv(text);
          expect(read.header).toEqual(header);
          expect(read.rows).toEqual(rows);
          expect(writeCsv(read.rows as string[][], columns, { formulas: "keep" })).toBe(text);
        },
      ),
      { numRuns: runs(500) },
    );
  });

  test("mangled tables give a table or one typed error, in time that grows with their length", () => {
    const uniform = random(7);
    const base = 'time_s,section,note\r\n0.10,1,"a ""b""\nc"\r\n0.20,2,\r\n0.30,3,x\r\n';
    const alphabet = '",;\r\n\t=a1\u0000\ufffd';
    for (let n = 0; n < runs(20_000); n++) {
      let text = base;
      for (let k = 0; k < 3; k++) {
        const at = Math.floor(uniform() * (text.length + 1));
        const kind = Math.floor(uniform() * 3);
        const letter = alphabet.charAt(Math.floor(uniform() * alphabet.length));
        text = text.slice(0, at) + (kind === 0 ? "" : letter) + text.slice(kind === 2 ? at : at + 1);
      }
      try {
        const { header, rows, lines } = readCsv(text);
        for (const row of rows) expect(row.length).toBe(header.length);
        expect(lines.length).toBe(rows.length);
      } catch (error) {
        expect((error as { code?: string }).code, JSON.stringify(text)).toBe("bad-format");
        expect((error as { argument: string }).argument).toMatch(/^line \d+, column \d+$/);
      }
    }
    // a time that grows with the square of the length would outlast the test
    for (const bomb of [
      '"'.repeat(2e6),
      '"",'.repeat(1e6),
      ",".repeat(2e6),
      "\n".repeat(2e6),
      `a\n${"\r".repeat(2e6)}`,
    ]) {
      try {
        readCsv(bomb);
      } catch (error) {
        expect((error as { code?: string }).code).toBe("bad-format");
      }
    }
  });
});

describe("tracks", () => {
  const rows: TrackRow[] = [
    {
      time: 1714550400.25,
      latitude: 47.250000001,
      longitude: 20.75,
      altitude: 88.125,
      quality: 4,
      speed: 2.5,
      heading: 359.999,
      crossTrackError: -0.0125,
      pass: -3,
      sections: [true, false, true],
    },
    {
      time: 1714550400.35,
      latitude: Number.NaN,
      longitude: Number.NaN,
      altitude: Number.NaN,
      quality: 0,
      speed: 0,
      heading: Number.NaN,
      crossTrackError: Number.NaN,
      pass: Number.NaN,
      sections: [false, false, false],
    },
  ];

  test("are written with a column for each section and read back", () => {
    const text = writeCsv(rows, trackColumns(3));
    expect(text).toBe(
      "time_s,latitude_deg,longitude_deg,altitude_m,quality,speed_m_s,heading_deg,cross_track_error_m,pass,section_1,section_2,section_3\r\n" +
        "1714550400.250,47.250000001,20.750000000,88.125,4,2.500,359.999,-0.0125,-3,1,0,1\r\n" +
        "1714550400.350,,,,0,0.000,,,,0,0,0\r\n",
    );
    expect(readTrackCsv(text)).toEqual(rows);
    const german = text.replaceAll(",", ";").replaceAll(".", ",");
    expect(readTrackCsv(german, { separator: ";", decimal: "," })).toEqual(rows);
    expect(readTrackCsv("longitude_deg,time_s,latitude_deg,note\n5,1,52,x\n")).toMatchObject([
      { time: 1, latitude: 52, longitude: 5, sections: [], pass: Number.NaN },
    ]);
  });

  test.for([
    ["latitude_deg", "95", "line 2, column latitude_deg"],
    ["latitude_deg", "1e309", "line 2, column latitude_deg"],
    ["longitude_deg", "0x10", "line 2, column longitude_deg"],
    ["time_s", "", "line 2, column time_s"],
    ["time_s", "Infinity", "line 2, column time_s"],
    ["time_s", " 1", "line 2, column time_s"],
    ["pass", "one", "line 2, column pass"],
    ["section_2", "yes", "line 2, column section_2"],
  ] as const)("a cell %s of %j is refused", ([name, value, place]) => {
    const table = readCsv(writeCsv(rows, trackColumns(3)));
    const text = writeCsv(
      table.rows,
      table.header.map((header, i) => ({
        header,
        value: (row: readonly string[]) => (header === name ? value : row[i]),
      })),
      { formulas: "keep" },
    );
    expect(expectCode(() => readTrackCsv(text), "bad-format").argument).toBe(place);
  });

  test("a missing and a doubled column are named", () => {
    expect(expectCode(() => readTrackCsv("time_s,latitude_deg\n"), "bad-format").message).toContain("longitude_deg");
    expect(
      expectCode(() => readTrackCsv("time_s,time_s,latitude_deg,longitude_deg\n"), "bad-format").message,
    ).toContain("two columns");
    expectCode(() => trackColumns(-1), "out-of-range");
    expectCode(() => trackColumns(Number.NaN), "not-finite");
  });
});

describe("a drive of a job", () => {
  const pattern = guidancePattern(straightLine([0, 0], [0, 200]), { swathWidth: 6 });
  const job = new FieldJob({
    origin: frame.origin,
    machine: { antenna: { x: 0, y: 0, z: 0 } },
    boom: { sections: evenSections(6, 3), x: 0, turnOnTime: 0, turnOffTime: 0 },
    pattern,
    field: [
      {
        exterior: [
          [-20, 0],
          [20, 0],
          [20, 60],
          [-20, 60],
          [-20, 0],
        ],
        holes: [],
      },
    ],
  });
  const events: SwitchEvent[] = [];
  const rows: TrackRow[] = [];
  job.onSwitch = (event) => events.push({ ...event });
  for (let i = 0; i <= 400; i++) {
    const { latitude, longitude } = frame.toGeodetic([0.05, -10 + i * 0.2]);
    const fix = {
      time: 1714550400 + i / 10,
      dated: true,
      latitude,
      longitude,
      altitude: 88,
      quality: 4,
      speed: 2,
      course: 0,
    };
    job.update(fix);
    rows.push(trackRow(job, fix));
  }

  test("comes back to the rounding of the columns, track and switchings", () => {
    expect(events.length).toBeGreaterThanOrEqual(6);
    const back = readTrackCsv(writeCsv(rows, trackColumns(3)));
    expect(back).toHaveLength(rows.length);
    back.forEach((row, i) => {
      const { sections, ...numbers } = rows[i]!;
      expect(row.sections).toEqual(sections);
      for (const [name, half] of [
        ["time", 5.1e-4],
        ["latitude", 5.1e-10],
        ["longitude", 5.1e-10],
        ["altitude", 5.1e-4],
        ["quality", 0],
        ["speed", 5.1e-4],
        ["heading", 5.1e-4],
        ["crossTrackError", 5.1e-5],
        ["pass", 0],
      ] as const) {
        if (Number.isNaN(numbers[name])) expect(row[name]).toBeNaN();
        else expectWithin(row[name], numbers[name], half, name);
      }
    });
    expect(rows.some((row) => row.sections.includes(true))).toBe(true);
    expectWithin(rows[200]!.crossTrackError, 0.05, 1e-6, "m");

    const switched = readSwitchingCsv(writeCsv(events, switchingColumns(frame)), frame);
    expect(switched).toHaveLength(events.length);
    switched.forEach((event, i) => {
      const { time, exactTime, x, y, ...same } = events[i]!;
      expect(event).toMatchObject(same);
      expectWithin(event.time, time, 5.1e-4, "s");
      expectWithin(event.exactTime, exactTime, 5.1e-5, "s");
      expectWithin(Math.hypot(event.x - x, event.y - y), 0, 1e-4, "m");
    });
  });

  test("a switching that is none is refused with its place", () => {
    const text = writeCsv(events, switchingColumns(frame));
    for (const [from, to] of [
      ["true", "maybe"],
      [events[0]!.reason, "toString"],
    ] as const) {
      expectCode(() => readSwitchingCsv(text.replace(from, to), frame), "bad-format");
    }
    expect(expectCode(() => readSwitchingCsv("time_s\n", frame), "bad-format").message).toContain("exact_time_s");
    expectCode(() => switchingColumns(null as never), "not-finite");
  });
});
