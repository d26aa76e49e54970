import { DOMParser } from "@xmldom/xmldom";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  readTaskData,
  type TaskData,
  type TaskDataInput,
  type TaskElement,
  writeTaskData,
} from "../../../src/exchange/task-data/index.js";
import { runs } from "../../helpers/light.js";
import { readTable } from "../../helpers/reference.js";
import { expectCode } from "../../helpers/within.js";
import { DOCUMENT } from "./pond-farm-task-data.js";

type XmlElement = NonNullable<ReturnType<DOMParser["parseFromString"]>["documentElement"]>;

/** the document as another XML reader sees it: names, attributes, elements and texts in their order, blanks between elements left out */
function seen(text: string): unknown {
  const walk = (element: XmlElement): unknown => {
    const attributes = Array.from(element.attributes, ({ name, value }) => [name, value] as const);
    const children: unknown[] = [];
    for (let child = element.firstChild; child !== null; child = child.nextSibling) {
      if (child.nodeType === 1) children.push(walk(child as unknown as XmlElement));
      else if (child.nodeType === 3 && child.nodeValue!.trim() !== "") children.push(child.nodeValue);
    }
    return { name: element.tagName, attributes, children };
  };
  return walk(new DOMParser().parseFromString(text, "text/xml").documentElement!);
}

const { problems: _, ...farm } = readTaskData(DOCUMENT);
const again = (data: TaskDataInput): TaskData => {
  const { problems: __, ...read } = readTaskData(writeTaskData(data));
  return read;
};

const place = (latitude: number, longitude: number): { type: "other"; latitude: number; longitude: number } => ({
  type: "other",
  latitude,
  longitude,
});
const triangle = {
  type: "exterior" as const,
  points: [place(1, 1), place(1, 2), place(2, 2)],
};
const field = { designator: "x", area: 1, polygons: [], lineStrings: [], points: [], guidanceGroups: [] };
const task = {
  status: "planned" as const,
  treatmentZones: [],
  times: [],
  deviceAllocations: [],
  guidanceAllocations: [],
  dataLogTriggers: [],
  timeLogs: [],
};

describe("what is written", () => {
  test("a farm reads as it was, and is written the same again", () => {
    expect(again(farm)).toEqual(farm);
    expect(writeTaskData(again(farm))).toBe(writeTaskData(farm));
  });

  test("the golden file", async () => {
    await expect(writeTaskData(farm)).toMatchFileSnapshot("../golden/pond-farm-taskdata.xml");
  });

  test("another XML reader finds in it what it finds in the document it came from", () => {
    // elements that are not known stand last: as a list of paths with their attributes, in alphabetical order
    const lines = (element: unknown, path: string): string[] => {
      if (typeof element === "string") return [`${path} ${element}`];
      const { name, attributes, children } = element as TaskElement;
      const here = `${path}/${name}`;
      const own = [...attributes].sort().map(([key, value]) => `${key}=${value}`);
      return [`${here} ${own.join(" ")}`, ...children.flatMap((child) => lines(child, here))];
    };
    expect(lines(seen(writeTaskData(farm)), "").sort()).toEqual(lines(seen(DOCUMENT), "").sort());
  });

  test("attributes and elements are those of the schema, and all that must be there is there", () => {
    // tests/reference/task-data/elements.csv, after public copies of the schema (secondary)
    const rows = new Map(readTable("task-data/elements.csv").map((row) => [row["element"]!, row]));
    const text = writeTaskData({
      ...strip(farm),
      externalFiles: [{ file: "PFD00001", type: 1 }],
    });
    const names = new Set<string>();
    const check = (element: TaskElement): void => {
      const row = rows.get(element.name);
      expect(row, element.name).toBeDefined();
      names.add(element.name);
      const given = element.attributes.map(([name]) => name);
      const listed = row!["attributes"]!.split(" ");
      expect(listed.map((name) => name.replace("!", ""))).toEqual(expect.arrayContaining(given));
      const required = listed.filter((name) => name.endsWith("!")).map((name) => name.slice(0, -1));
      expect(given, element.name).toEqual(expect.arrayContaining(required));
      const inside = row!["children"]!.split(" ");
      for (const child of element.children) {
        if (typeof child === "string") expect.fail(`text in ${element.name}`);
        expect(inside, element.name).toContain(child.name);
        check(child);
      }
    };
    check(seen(text) as TaskElement);
    expect([...rows.keys()].filter((name) => !names.has(name))).toEqual([]);
  });

  test("version 3 becomes version 4, rings closed by their first point", () => {
    const ring = (type: number, at: number): string =>
      `<LSG A="${type}"><PNT A="2" C="${at}" D="0"/><PNT A="2" C="${at}" D="1"/><PNT A="2" C="${at + 1}" D="1"/></LSG>`;
    const three = `<ISO11783_TaskData VersionMajor="3" VersionMinor="3" DataTransferOrigin="1"><PFD A="PFD1" C="x" D="1"><PLN A="1">${ring(1, 0)}${ring(1, 5)}</PLN></PFD></ISO11783_TaskData>`;
    const text = writeTaskData(readTaskData(three));
    expect(text).toContain('VersionMajor="4" VersionMinor="3"');
    expect(text.match(/<PLN/g)).toHaveLength(2);
    expect(text.match(/<PNT/g)).toHaveLength(8);
    expect(readTaskData(text).problems).toEqual([]);
    expect(readTaskData(text).partfields[0]!.polygons.map(({ exterior }) => exterior.points.length)).toEqual([3, 3]);
  });

  test("a ring that is closed is not closed twice", () => {
    const closed = { ...triangle, points: [...triangle.points, place(1, 1)] };
    const data: TaskDataInput = {
      origin: "management",
      partfields: [{ ...field, polygons: [{ type: "headland", exterior: closed, interiors: [] }] }],
    };
    expect(writeTaskData(data).match(/<PNT/g)).toHaveLength(4);
  });

  test("new ids follow the largest of their kind and sign, negative in the cab", () => {
    const data = (origin: "management" | "task-controller"): TaskDataInput => ({
      origin,
      partfields: [field, { ...field, id: "PFD7" }, { ...field, id: "PFD-3" }, field],
      // one that is kept as it stands, in an element that is not known
      other: {
        children: [
          { name: "OLD", attributes: [], children: [{ name: "PFD", attributes: [["A", "PFD9"]], children: [] }] },
        ],
      },
    });
    const ids = (origin: "management" | "task-controller"): (string | undefined)[] =>
      again({ ...data(origin) }).partfields.map(({ id }) => id);
    expect(ids("management").slice(0, 4)).toEqual(["PFD10", "PFD7", "PFD-3", "PFD11"]);
    expect(ids("task-controller").slice(0, 4)).toEqual(["PFD-4", "PFD7", "PFD-3", "PFD-5"]);
  });

  test("names are cut to 32 characters where that is wanted, by characters and not by halves of them", () => {
    const designator = `${"x".repeat(31)}\u{1f33e}y`;
    const data: TaskDataInput = { origin: "management", farms: [{ designator }] };
    expectCode(() => writeTaskData(data), "too-large");
    const text = writeTaskData(data, { designators: "cut" });
    expect(readTaskData(text).farms[0]!.designator).toBe(`${"x".repeat(31)}\u{1f33e}`);
  });

  test("a known attribute wins over one that was kept", () => {
    const data: TaskDataInput = {
      origin: "management",
      tasks: [
        {
          ...task,
          defaultZone: 3,
          other: {
            attributes: [
              ["H", ""],
              ["Z", "1"],
            ],
          },
        },
      ],
    };
    expect(writeTaskData(data)).toContain('<TSK A="TSK1" G="1" H="3" Z="1"/>');
  });

  test("no number is written as -0 or with an exponent", () => {
    const point = { type: "other" as const, latitude: -1e-12, longitude: 1e-10, altitude: -0.0001 };
    const data: TaskDataInput = { origin: "management", partfields: [{ ...field, points: [point] }] };
    expect(writeTaskData(data)).toContain('<PNT A="2" C="0" D="0" E="0"/>');
  });
});

/** the farm without what is not of the schema's table: makers' attributes, elements of other namespaces, kept ones */
function strip<T>(value: T): T {
  if (Array.isArray(value)) return value.map(strip) as T;
  if (typeof value !== "object" || value === null) return value;
  return Object.fromEntries(
    Object.entries(value).flatMap(([name, inner]) => (name === "other" ? [] : [[name, strip(inner)]])),
  ) as T;
}

const text = fc.string({ unit: "grapheme", maxLength: 20 }).filter((s) => [...s].length <= 32);
const finite = (min: number, max: number, decimals: number): fc.Arbitrary<number> =>
  fc.double({ min, max, noNaN: true }).map((value) => Number(value.toFixed(decimals)) + 0);
const metres = (max: number): fc.Arbitrary<number> =>
  fc.integer({ min: 0, max: max * 1000 }).map((value) => value / 1000);
const elementOf = (children: fc.Arbitrary<TaskElement[]>): fc.Arbitrary<TaskElement> =>
  fc.record({
    name: fc.stringMatching(/^[A-Z_][A-Za-z0-9_.-]{0,5}$/).map((name) => `X${name}`),
    attributes: fc.uniqueArray(
      fc.tuple(
        fc.stringMatching(/^[A-Za-z][A-Za-z0-9_]{0,6}$/).filter((name) => !name.toLowerCase().startsWith("xml")),
        text,
      ),
      { selector: ([name]) => name, maxLength: 3 },
    ),
    children,
  });
const element = elementOf(fc.array(elementOf(fc.constant([])), { maxLength: 2 }));
const other = fc.option(fc.record({ children: fc.array(element, { minLength: 1, maxLength: 2 }) }), { nil: undefined });
const optional = <T extends Record<string, fc.Arbitrary<unknown>>>(keys: T): fc.Arbitrary<object> =>
  fc.record(keys, { requiredKeys: [] });
const point = fc
  .tuple(
    fc.record({
      latitude: finite(-90, 90, 9),
      longitude: finite(-179.9, 179.9, 9),
      type: fc.constantFrom("other", "flag", "obstacle"),
    }),
    optional({
      altitude: metres(4000),
      designator: text,
      colour: fc.integer({ min: 0, max: 254 }),
      horizontalAccuracy: finite(0, 10, 9),
    }),
  )
  .map(([a, b]) => ({ ...a, ...b }));
const distinct = (list: readonly { latitude: number; longitude: number }[]): boolean => {
  const places = new Set(list.map(({ latitude, longitude }) => `${latitude} ${longitude}`));
  return (
    places.size >= 3 && !(list[0]!.latitude === list.at(-1)!.latitude && list[0]!.longitude === list.at(-1)!.longitude)
  );
};
const line = (type: string, least: number): fc.Arbitrary<object> =>
  fc
    .tuple(
      fc.array(point, { minLength: least, maxLength: 6 }),
      optional({ designator: text, width: metres(100), length: metres(9999) }),
    )
    .map(([points, more]) => ({ type, points, ...more }));
const ringOf = (type: string): fc.Arbitrary<object> =>
  line(type, 3).filter((made) => distinct((made as { points: { latitude: number; longitude: number }[] }).points));
const polygon = fc
  .record({
    type: fc.constantFrom("partfield-boundary", "headland", "windbreak", 77),
    exterior: ringOf("exterior"),
    interiors: fc.array(ringOf("interior"), { maxLength: 2 }),
  })
  .chain((made) => optional({ designator: text, area: fc.nat() }).map((more) => ({ ...made, ...more })));
const pattern = fc
  .tuple(
    fc.record({
      kind: fc.constantFrom("ab", "a-plus", "curve", "pivot", "spiral"),
      line: line("guidance-pattern", 1),
      boundaries: fc.array(polygon, { maxLength: 1 }),
    }),
    optional({
      propagation: fc.constantFrom("both", "left", "right", "none"),
      extension: fc.constantFrom("both", "a", "b", "none"),
      options: fc.constantFrom("clockwise", "counter-clockwise", "full-circle"),
      heading: finite(0, 360, 9),
      radius: metres(1000),
      swathsLeft: fc.nat(100),
      swathsRight: fc.nat(100),
      originalSrid: text,
    }),
  )
  .map(([a, b]) => ({ ...a, ...b }));
const numbered = <T extends object>(list: readonly T[], name: string): T[] =>
  list.map((value, i) => ({ id: `${name}${i + 1}`, ...value }));
const partfield = fc
  .record({
    designator: text,
    area: fc.nat(),
    polygons: fc.array(polygon, { maxLength: 2 }),
    lineStrings: fc.array(line("fence", 0), { maxLength: 2 }),
    points: fc.array(point, { maxLength: 2 }),
    guidanceGroups: fc.array(
      fc.record({ patterns: fc.array(pattern, { maxLength: 2 }), boundaries: fc.array(polygon, { maxLength: 1 }) }),
      { maxLength: 2 },
    ),
    other,
  })
  .map(({ other: kept, ...rest }) => (kept === undefined ? rest : { ...rest, other: kept }));
const time = fc
  .tuple(
    fc.record({
      start: fc.integer({ min: 0, max: 4e9 }).map((s) => new Date(s * 1000).toISOString().slice(0, 19)),
      type: fc.constantFrom("effective", "ineffective", 3),
      positions: fc.array(
        fc.record({
          latitude: finite(-90, 90, 9),
          longitude: finite(-179.9, 179.9, 9),
          utcTimeOfDay: metres(86_399),
          status: fc.constantFrom("rtk-fixed", "error", 9),
        }),
        { maxLength: 2 },
      ),
      values: fc.constant([]),
    }),
    optional({ duration: fc.nat(), stop: fc.constant("2024-05-01T10:00:00.123") }),
  )
  .map(([a, b]) => ({ ...a, ...b }));
const document: fc.Arbitrary<TaskData> = fc
  .record({
    farms: fc.array(fc.record({ designator: text }), { maxLength: 3 }),
    partfields: fc.array(partfield, { maxLength: 3 }),
    tasks: fc.array(
      fc.record({
        ...Object.fromEntries(Object.keys(task).map((name) => [name, fc.constant([])])),
        status: fc.constantFrom("planned", "paused", 9),
        times: fc.array(time, { maxLength: 3 }),
        designator: text,
      }),
      { maxLength: 2 },
    ),
  })
  .map(({ farms, partfields, tasks }) => {
    let groups = 0;
    let patterns = 0;
    const named = partfields.map((made) => ({
      ...made,
      guidanceGroups: made.guidanceGroups.map((group) => ({
        ...group,
        id: `GGP${++groups}`,
        patterns: group.patterns.map((inner) => ({ ...inner, id: `GPN${++patterns}` })),
      })),
    }));
    return {
      version: { major: 4, minor: 3 },
      origin: "management",
      customers: [],
      farms: numbered(farms, "FRM"),
      workers: [],
      products: [],
      cropTypes: [],
      partfields: numbered(named, "PFD"),
      devices: [],
      tasks: numbered(tasks, "TSK"),
      externalFiles: [],
    } as unknown as TaskData;
  });

describe("any document", () => {
  test("reads as it was written", () => {
    fc.assert(
      fc.property(document, (data) => {
        expect(again(data)).toEqual(data);
      }),
      { numRuns: runs(400) },
    );
  });
});

describe("refused, with the path", () => {
  const write =
    (data: unknown): (() => unknown) =>
    () =>
      writeTaskData(data as TaskDataInput);
  const withField = (more: object): unknown => ({ origin: "management", partfields: [{ ...field, ...more }] });
  const withTask = (more: object): unknown => ({ origin: "management", tasks: [{ ...task, ...more }] });

  test.each<[string, string, unknown, string]>([
    ["no data", "not-finite", null, "data"],
    ["no origin", "out-of-range", {}, "data.origin"],
    ["an origin that is none", "out-of-range", { origin: "office" }, "data.origin"],
    ["no list", "too-few-points", { origin: "management", farms: 5 }, "data.farms"],
    ["no field", "not-finite", { origin: "management", partfields: [null] }, "data.partfields[0]"],
    ["an area missing", "out-of-range", withField({ area: undefined }), "data.partfields[0].area"],
    ["an area of NaN", "not-finite", withField({ area: Number.NaN }), "data.partfields[0].area"],
    ["an area below 0", "out-of-range", withField({ area: -1 }), "data.partfields[0].area"],
    ["a name that is no text", "out-of-range", withField({ designator: 5 }), "data.partfields[0].designator"],
    ["an id of another kind", "out-of-range", withField({ id: "FRM1" }), "data.partfields[0].id"],
    ["a reference of another kind", "out-of-range", withField({ farm: "CTR1" }), "data.partfields[0].farm"],
    [
      "a latitude of 91",
      "out-of-range",
      withField({ points: [place(91, 0)] }),
      "data.partfields[0].points[0].latitude",
    ],
    [
      "a ring of two places",
      "too-few-points",
      withField({
        polygons: [
          {
            type: 1,
            exterior: { type: "exterior", points: [place(1, 1), place(1, 2), place(1, 2 + 1e-11)] },
            interiors: [],
          },
        ],
      }),
      "data.partfields[0].polygons[0].exterior.points",
    ],
    [
      "an interior for an exterior",
      "out-of-range",
      withField({ polygons: [{ type: 1, exterior: { ...triangle, type: "interior" }, interiors: [] }] }),
      "data.partfields[0].polygons[0].exterior.type",
    ],
    [
      "a pattern without a line",
      "not-finite",
      withField({ guidanceGroups: [{ patterns: [{ kind: "ab", boundaries: [] }], boundaries: [] }] }),
      "data.partfields[0].guidanceGroups[0].patterns[0].line",
    ],
    ["an enumeration of 256", "out-of-range", withTask({ status: 256 }), "data.tasks[0].status"],
    ["a zone of half", "out-of-range", withTask({ defaultZone: 255 }), "data.tasks[0].defaultZone"],
    [
      "a time that is none",
      "out-of-range",
      withTask({ times: [{ start: "yesterday at ten past", type: "effective", positions: [], values: [] }] }),
      "data.tasks[0].times[0].start",
    ],
    [
      "a file with a folder",
      "out-of-range",
      withTask({ timeLogs: [{ file: "../TLG00001", type: 1 }] }),
      "data.tasks[0].timeLogs[0].file",
    ],
    [
      "a DDI of half",
      "out-of-range",
      withTask({ dataLogTriggers: [{ ddi: 0.5, method: 1 }] }),
      "data.tasks[0].dataLogTriggers[0].ddi",
    ],
    [
      "a control character",
      "bad-format",
      { origin: "management", farms: [{ designator: "a\u0000" }] },
      "data.farms[0].designator",
    ],
    [
      "half a surrogate pair",
      "bad-format",
      { origin: "management", farms: [{ designator: "\ud800" }] },
      "data.farms[0].designator",
    ],
    [
      "an id twice",
      "bad-format",
      {
        origin: "management",
        farms: [
          { id: "FRM1", designator: "a" },
          { id: "FRM1", designator: "b" },
        ],
      },
      "data.farms[1].id",
    ],
    [
      "a kept attribute that is no name",
      "bad-format",
      withTask({ other: { attributes: [['a="1" b', "x"]] } }),
      "data.tasks[0].other.attributes[0]",
    ],
    [
      "a kept element that is no name",
      "bad-format",
      withTask({ other: { children: [{ name: "a><b", attributes: [], children: [] }] } }),
      "data.tasks[0].other.children[0].name",
    ],
    [
      "a prefix that is not declared",
      "bad-format",
      withTask({ other: { children: [{ name: "o:a", attributes: [], children: [] }] } }),
      "data.tasks[0].other.children[0].name",
    ],
  ])("%s", (_name, code, data, argument) => {
    expect(expectCode(write(data), code).argument).toBe(argument);
  });

  test("kept elements that hold themselves", () => {
    const loop: { name: string; attributes: []; children: unknown[] } = { name: "X", attributes: [], children: [] };
    loop.children.push(loop);
    expectCode(write(withTask({ other: { children: [loop] } })), "too-large");
  });

  test("options that are none", () => {
    const data: TaskDataInput = { origin: "management" };
    expectCode(() => writeTaskData(data, { designators: "shorten" as never }), "out-of-range");
    expectCode(() => writeTaskData(data, null as never), "not-finite");
  });
});
