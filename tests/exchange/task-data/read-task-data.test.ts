import { describe, expect, test } from "vitest";
import { readTaskData } from "../../../src/exchange/task-data/index.js";
import { readTable } from "../../helpers/reference.js";
import { expectCode } from "../../helpers/within.js";
import { DOCUMENT } from "./pond-farm-task-data.js";

const root = (inner: string, version = 4): string =>
  `<ISO11783_TaskData VersionMajor="${version}" VersionMinor="0" DataTransferOrigin="2">${inner}</ISO11783_TaskData>`;
const field = (inner: string, version = 4): string => root(`<PFD A="PFD1" C="x" D="1">${inner}</PFD>`, version);
const point = (latitude: number, longitude: number): string => `<PNT A="2" C="${latitude}" D="${longitude}"/>`;
const ring = (type: number, west: number, south: number, size: number, closed: boolean): string =>
  `<LSG A="${type}">${point(south, west)}${point(south, west + size)}${point(south + size, west + size)}${closed ? point(south, west) : ""}</LSG>`;

describe("what is read", () => {
  const data = readTaskData(DOCUMENT);

  test("the farm, as it was written by hand", () => {
    expect(data.problems.map(({ problem }) => problem)).toEqual(["attribute D (type) of TIM has no value 3"]);
    expect(data).toMatchObject({
      version: { major: 4, minor: 2 },
      origin: "management",
      managementSoftwareManufacturer: "Nobody",
      customers: [{ id: "CTR1", designator: "Reed", other: { attributes: [["C", "Ann"]] } }],
      products: [{ id: "PDT1", designator: "Lime & chalk", other: { attributes: [["C", "PGP1"]] } }],
      cropTypes: [{ id: "CTP1", designator: "Rye" }],
      other: {
        attributes: [
          ["xmlns:o", "urn:example:office"],
          ["o:stamp", "7"],
        ],
      },
    });
    expect(data.other!.children).toEqual([
      {
        name: "PGP",
        attributes: [
          ["A", "PGP1"],
          ["B", "Soil"],
        ],
        children: [],
      },
    ]);
  });

  test("fields: rings open, millimetres in metres", () => {
    const [partfield] = data.partfields;
    expect(partfield).toMatchObject({
      id: "PFD1",
      code: "07",
      designator: "Pond Piece",
      area: 120000,
      customer: "CTR1",
      cropVariety: "CVT1",
      other: { attributes: [["P094_note", "wet corner"]] },
      lineStrings: [{ type: "fence", designator: "fence", width: 0.12, length: 385, colour: 4, id: "LSG1" }],
      points: [
        {
          type: "field-access",
          designator: "gate",
          latitude: 47.25,
          longitude: 20.7525,
          colour: 12,
          id: "PNT1",
          horizontalAccuracy: 0.02,
          verticalAccuracy: 0.03,
        },
      ],
    });
    expect(partfield!.polygons.map(({ type }) => type)).toEqual(["partfield-boundary", "headland"]);
    const { exterior, interiors } = partfield!.polygons[0]!;
    expect(exterior.points).toEqual([
      { type: "other", latitude: 47.25, longitude: 20.75 },
      { type: "other", latitude: 47.25, longitude: 20.755, altitude: 88.123 },
      { type: "other", latitude: 47.253, longitude: 20.755 },
      { type: "other", latitude: 47.253, longitude: 20.75 },
    ]);
    expect(interiors).toHaveLength(1);
    expect(interiors[0]).toMatchObject({ type: "interior", designator: "pond" });
    expect(interiors[0]!.points).toHaveLength(3);
  });

  test("guidance", () => {
    expect(data.partfields[0]!.guidanceGroups).toMatchObject([
      {
        id: "GGP1",
        designator: "spring",
        boundaries: [],
        patterns: [
          {
            id: "GPN1",
            kind: "ab",
            propagation: "right",
            extension: "a",
            heading: 1.5,
            method: 4,
            horizontalAccuracy: 0.02,
            originalSrid: "EPSG:23700",
            swathsLeft: 0,
            swathsRight: 40,
            line: { type: "guidance-pattern", width: 24 },
            boundaries: [{ type: "mainfield" }],
          },
          { id: "GPN2", kind: "pivot", options: "counter-clockwise", radius: 150, line: { width: 24 } },
        ],
      },
    ]);
    expect(data.tasks[0]!.guidanceAllocations).toMatchObject([
      { group: "GGP1", shifts: [{ group: "GGP1", pattern: "GPN1", east: -0.12, north: 0.08, propagationOffset: 12 }] },
    ]);
  });

  test("devices and tasks", () => {
    expect(data.devices[0]).toMatchObject({
      id: "DVC1",
      name: "A000000000000001",
      elements: [
        { id: "DET1", objectId: 1, type: "device", number: 0, parent: 0, objects: [{ object: 10 }, { object: 20 }] },
        { id: "DET2", type: "section", parent: 1 },
      ],
      processData: [{ objectId: 10, ddi: 141, properties: 1, triggers: 8, designator: "work state" }],
      properties: [
        { objectId: 11, ddi: 67, value: 24000, designator: "width", presentation: 30 },
        { objectId: 20, ddi: 135, value: -1500 },
      ],
      presentations: [{ objectId: 30, offset: 0, scale: 0.001, decimals: 2, unit: "m" }],
    });
    const [task] = data.tasks;
    expect(task).toMatchObject({
      id: "TSK-1",
      status: "completed",
      partfield: "PFD1",
      defaultZone: 1,
      outOfFieldZone: 1,
      treatmentZones: [{ code: 1, designator: "all", colour: 3 }],
      deviceAllocations: [{ name: "A000000000000001", mask: "FFFFFFFFFFFFFFFF", device: "DVC1" }],
      dataLogTriggers: [{ ddi: 0xdfff, method: 1, deviceElement: "DET1", other: { attributes: [["C", "3"]] } }],
      timeLogs: [{ file: "TLG00001", length: 3600, type: 1 }],
    });
    expect(task!.times).toMatchObject([
      {
        start: "2024-05-01T10:00:00",
        stop: "2024-05-01T11:30:00.500",
        duration: 5400,
        type: "effective",
        positions: [
          {
            altitude: 88,
            status: "rtk-fixed",
            pdop: 1.2,
            hdop: 0.8,
            satellites: 17,
            utcTimeOfDay: 28800,
            utcDay: 16192,
          },
        ],
        values: [{ ddi: 116, value: 118000, deviceElement: "DET1" }],
      },
      // 3 is deprecated: it stays a number
      { start: "2024-05-01T12:00:00+02:00", type: 3 },
    ]);
    expect(task!.other!.children).toHaveLength(1);
  });

  test("the same from bytes of UTF-8, UTF-16 and ISO 8859-1", () => {
    expect(readTaskData(new TextEncoder().encode(DOCUMENT))).toEqual(data);
    expect(readTaskData(new TextEncoder().encode(`\ufeff${DOCUMENT}`))).toEqual(data);
    const wide = new Uint8Array(Buffer.from(`\ufeff${DOCUMENT.replace("UTF-8", "UTF-16")}`, "utf16le"));
    expect(readTaskData(wide)).toEqual(data);
    const latin = DOCUMENT.replace("UTF-8", "ISO-8859-1").replace("Moss", "M\u00f6ss");
    expect(readTaskData(new Uint8Array(Buffer.from(latin, "latin1"))).workers[0]!.designator).toBe("M\u00f6ss");
  });
});

describe("numbers of enumerations", () => {
  /** a document with one attribute of one element set to a number, and where its word then is */
  const places: Readonly<
    Record<string, readonly [document: (n: string) => string, find: (d: ReturnType<typeof readTaskData>) => unknown]>
  > = {
    "PLN A": [(n) => field(`<PLN A="${n}">${ring(1, 0, 0, 1, true)}</PLN>`), (d) => d.partfields[0]!.polygons[0]!.type],
    "LSG A": [(n) => field(`<LSG A="${n}">${point(1, 2)}</LSG>`), (d) => d.partfields[0]!.lineStrings[0]!.type],
    "PNT A": [(n) => field(`<PNT A="${n}" C="1" D="2"/>`), (d) => d.partfields[0]!.points[0]!.type],
    "TSK G": [(n) => root(`<TSK A="TSK1" G="${n}"/>`), (d) => d.tasks[0]!.status],
    "TIM D": [
      (n) => root(`<TSK A="TSK1" G="1"><TIM A="2024-05-01T10:00:00" D="${n}"/></TSK>`),
      (d) => d.tasks[0]!.times[0]!.type,
    ],
    "PTN D": [
      (n) => root(`<TSK A="TSK1" G="1"><TIM A="2024-05-01T10:00:00" D="4"><PTN A="1" B="2" D="${n}"/></TIM></TSK>`),
      (d) => d.tasks[0]!.times[0]!.positions[0]!.status,
    ],
    "DET C": [
      (n) => root(`<DVC A="DVC1" D="00" F="00" G="00"><DET A="DET1" B="1" C="${n}" E="0" F="0"/></DVC>`),
      (d) => d.devices[0]!.elements[0]!.type,
    ],
    "ISO11783_TaskData DataTransferOrigin": [(n) => root("").replace('Origin="2"', `Origin="${n}"`), (d) => d.origin],
  };
  for (const [letter, name] of [
    ["C", "kind"],
    ["D", "options"],
    ["E", "propagation"],
    ["F", "extension"],
  ] as const) {
    const given: Readonly<Record<string, string>> = { C: "1", [letter]: "#" };
    const attributes = (n: string): string =>
      Object.entries(given)
        .map(([key, value]) => `${key}="${value === "#" ? n : value}"`)
        .join(" ");
    Object.assign(places, {
      [`GPN ${letter}`]: [
        (n: string) =>
          field(`<GGP A="GGP1"><GPN A="GPN1" ${attributes(n)}><LSG A="5">${point(1, 2)}</LSG></GPN></GGP>`),
        (d: ReturnType<typeof readTaskData>) => d.partfields[0]!.guidanceGroups[0]!.patterns[0]![name],
      ],
    });
  }

  // tests/reference/task-data/words.csv, after public copies of the schema (secondary)
  test.each(readTable("task-data/words.csv"))("$element $attribute $number is $word", (row) => {
    const [document, find] = places[`${row["element"]} ${row["attribute"]}`]!;
    expect(find(readTaskData(document(row["number"]!)))).toBe(row["word"]);
  });

  test("one without a word stays a number, and is told", () => {
    const data = readTaskData(field(`<PNT A="99" C="1" D="2"/>`));
    expect(data.partfields[0]!.points[0]!.type).toBe(99);
    expect(data.problems).toMatchObject([{ problem: "attribute A (type) of PNT has no value 99", line: 1 }]);
  });
});

describe("versions", () => {
  test("3: rings are not closed, a polygon may have several exteriors, each interior goes to the one about it", () => {
    const inner = `<PLN A="1" B="two" C="5" E="PLN1">${ring(1, 0, 0, 1, false)}${ring(2, 10.4, 0.1, 0.2, false)}${ring(1, 10, 0, 1, false)}</PLN>`;
    const data = readTaskData(field(inner, 3));
    const { polygons } = data.partfields[0]!;
    expect(polygons.map(({ exterior, interiors }) => [exterior.points.length, interiors.length])).toEqual([
      [3, 0],
      [3, 1],
    ]);
    expect(polygons.map(({ id, designator, area }) => [id, designator, area])).toEqual([
      ["PLN1", "two", undefined],
      [undefined, "two", undefined],
    ]);
    // told: the area is that of both
    expect(data.problems).toHaveLength(1);
  });

  test("3: a ring closed all the same is not closed twice", () => {
    const data = readTaskData(field(`<PLN A="1">${ring(1, 0, 0, 1, true)}</PLN>`, 3));
    expect(data.partfields[0]!.polygons[0]!.exterior.points).toHaveLength(3);
    expect(data.problems).toEqual([]);
  });

  test("4: a ring that is not closed, and several exteriors, are taken and told", () => {
    const data = readTaskData(field(`<PLN A="1">${ring(1, 0, 0, 1, false)}${ring(1, 5, 0, 1, true)}</PLN>`));
    expect(data.partfields[0]!.polygons).toHaveLength(2);
    expect(data.problems.map(({ problem }) => problem)).toEqual([
      "the ring is not closed, as version 4 has it; it is taken for closed",
      "PLN has 2 exteriors; version 4 has one",
    ]);
  });

  test("across 180 degrees an interior finds its exterior", () => {
    const inner = `<PLN A="1">${ring(1, 10, 0, 1, false)}<LSG A="1">${point(0, 179)}${point(0, -179)}${point(2, -179)}</LSG><LSG A="2">${point(0.1, 179.8)}${point(0.1, -179.8)}${point(0.3, -179.8)}</LSG></PLN>`;
    const { polygons } = readTaskData(field(inner, 3)).partfields[0]!;
    expect(polygons.map(({ interiors }) => interiors.length)).toEqual([0, 1]);
  });

  test("2 is read as 3, 1 and 5 are refused", () => {
    expect(readTaskData(root("", 2)).problems.map(({ problem }) => problem)).toEqual([
      "version 2 is read by the rules of version 3",
    ]);
    for (const version of [0, 1, 5]) {
      expect(expectCode(() => readTaskData(root("", version)), "bad-format").message).toContain("version");
    }
  });
});

describe("parts in files of their own", () => {
  const main = root(`<XFR A="PFD00001" B="1"/><XFR A="TSK00002" B="1"/>`);
  const part = `<XFC xmlns:o="urn:example:o"><PFD A="PFD7" C="x" D="1"><o:note/></PFD></XFC>`;

  test("come in the place of what refers to them, by name in upper or lower case", () => {
    const data = readTaskData(main, { files: new Map([["pfd00001.xml", part]]) });
    expect(data.partfields.map(({ id }) => id)).toEqual(["PFD7"]);
    expect(data.externalFiles).toEqual([{ file: "TSK00002", type: 1 }]);
    expect(data.problems).toMatchObject([
      { problem: "the external file TSK00002.XML was not handed in (options.files)", line: 1 },
    ]);
  });

  test("are refused where they are missing, if that is wanted, and where their root is another", () => {
    const files = new Map([["PFD00001.XML", part]]);
    expectCode(() => readTaskData(main, { files, missingFiles: "refuse" }), "bad-format");
    const wrong = new Map([["PFD00001.XML", "<PFD/>"]]);
    expect(expectCode(() => readTaskData(main, { files: wrong }), "bad-format").message).toContain("PFD00001.XML: ");
    const cut = new Map([["PFD00001.XML", part.slice(0, 40)]]);
    expect(expectCode(() => readTaskData(main, { files: cut }), "bad-format").message).toContain("PFD00001.XML: ");
    const twice = root(`<XFR A="PFD00001" B="1"/><XFR A="PFD00001" B="1"/>`);
    expectCode(() => readTaskData(twice, { files }), "bad-format");
  });

  test("have no names that lead out of the folder", () => {
    for (const name of ["../PFD00001", "PFD.XML", "", "C:PFD"]) {
      expectCode(() => readTaskData(root(`<XFR A="${name}" B="1"/>`)), "bad-format");
    }
  });
});

describe("what is told, and read all the same", () => {
  const problems = (text: string): string[] => readTaskData(text).problems.map(({ problem }) => problem);

  test.each([
    ["an id twice", root(`<FRM A="FRM1" B="a"/><FRM A="FRM1" B="b"/>`), "the id FRM1 stands at line 1, column"],
    ["the number 0", root(`<FRM A="FRM0" B="a"/>`), "the id FRM0: the number 0 is reserved"],
    [
      "a reference to nothing",
      root(`<PFD A="PFD1" C="x" D="1" F="FRM3"/>`),
      "attribute F (farm) of PFD is FRM3, which is nowhere",
    ],
    ["an empty number", root(`<TSK A="TSK1" G="1" H=""/>`), "attribute H (defaultZone) of TSK is empty"],
    ["a zone that is none", root(`<TSK A="TSK1" G="1" I="5"/>`), "positionLostZone of TSK TSK1 is 5"],
    ["a text", root(`<FRM A="FRM1" B="a">hello</FRM>`), 'FRM has a text, "hello"'],
    [
      "an object that is none",
      root(
        `<DVC A="DVC1" D="00" F="00" G="00"><DET A="DET1" B="1" C="1" E="0" F="5"><DOR A="9"/></DET><DPD A="1" B="1" C="1" D="1" F="8"/></DVC>`,
      ),
      "the object id 1 stands twice in DVC DVC1",
    ],
  ])("%s", (_, text, problem) => {
    expect(problems(text).some((found) => found.startsWith(problem))).toBe(true);
  });

  test("objects that are nowhere, each by itself", () => {
    const text = root(
      `<DVC A="DVC1" D="00" F="00" G="00"><DET A="DET1" B="1" C="1" E="0" F="5"><DOR A="9"/></DET><DPT A="2" B="1" C="1" E="8"/></DVC>`,
    );
    expect(problems(text)).toEqual([
      "attribute F (parent) of DET1 is 5, which is nowhere in DVC DVC1",
      "a DOR of DET1 is 9, which is nowhere in DVC DVC1",
      "the presentation of object 2 is 8, which is nowhere in DVC DVC1",
    ]);
  });

  test("a thousand at most", () => {
    const data = readTaskData(root(`<FRM A="FRM0" B="a"/>`.repeat(2000)));
    expect(data.farms).toHaveLength(2000);
    expect(data.problems).toHaveLength(1001);
    expect(data.problems[1000]!.problem).toMatch(/^2999 more problems/);
  });
});

describe("refused, with line and column", () => {
  test.each([
    ["another root", "<TASKDATA/>", "needs ISO11783_TaskData"],
    ["no version", `<ISO11783_TaskData VersionMinor="0" DataTransferOrigin="1"/>`, "no attribute VersionMajor"],
    ["an attribute missing", root(`<PFD A="PFD1" D="1"/>`), "PFD has no attribute C (designator)"],
    ["an id of another kind", root(`<PFD A="FRM1" C="x" D="1"/>`), "needs PFD1, PFD-1"],
    ["an id with a sign", root(`<PFD A="PFD+1" C="x" D="1"/>`), "needs PFD1, PFD-1"],
    ["an id of 11 digits", root(`<PFD A="PFD12345678901" C="x" D="1"/>`), "needs PFD1, PFD-1"],
    ["a reference of another kind", root(`<PFD A="PFD1" C="x" D="1" F="CTR1"/>`), "needs FRM1, FRM-1"],
    ["latitude 91", field(`<PNT A="2" C="91" D="1"/>`), "needs -90 to 90"],
    ["longitude 1e309", field(`<PNT A="2" C="1" D="1e309"/>`), "needs -180 to 180"],
    ["latitude NaN", field(`<PNT A="2" C="NaN" D="1"/>`), "needs -90 to 90"],
    ["a number with a comma", field(`<PNT A="2" C="47,25" D="1"/>`), "needs -90 to 90"],
    ["a number with a blank inside", field(`<PNT A="2" C="4 7" D="1"/>`), "needs -90 to 90"],
    ["an empty number that must be there", root(`<PFD A="PFD1" C="x" D=""/>`), "needs 0 to 4294967295"],
    ["an enumeration of half", field(`<PNT A="2.5" C="1" D="1"/>`), "a whole number of 0 to 255"],
    ["a DDI that is none", root(`<TSK A="TSK1" G="1"><DLT A="0x0G" B="1"/></TSK>`), "1 to 4 hexadecimal digits"],
    ["a NAME of 17 digits", root(`<DVC A="DVC1" D="00000000000000001" F="00" G="00"/>`), "1 to 16 hexadecimal digits"],
    ["a time that is none", root(`<TSK A="TSK1" G="1"><TIM A="2024-13-01T10:00:00" D="4"/></TSK>`), "a date and time"],
    ["a date alone", root(`<TSK A="TSK1" G="1"><TIM A="2024-12-01" D="4"/></TSK>`), "a date and time"],
    ["a polygon without an exterior", field(`<PLN A="1">${ring(2, 0, 0, 1, true)}</PLN>`), "PLN has no exterior"],
    [
      "a ring of two places",
      field(`<PLN A="1"><LSG A="1">${point(0, 0)}${point(0, 1)}${point(0, 0)}</LSG></PLN>`),
      "fewer than three places",
    ],
    [
      "a pattern of two lines",
      field(
        `<GGP A="GGP1"><GPN A="GPN1" C="1"><LSG A="5">${point(1, 2)}</LSG><LSG A="5">${point(1, 2)}</LSG></GPN></GGP>`,
      ),
      "GPN has 2 elements LSG",
    ],
    [
      "a pattern without a place",
      field(`<GGP A="GGP1"><GPN A="GPN1" C="1"><LSG A="5"/></GPN></GGP>`),
      "the line of GPN has no points",
    ],
    ["a document type", `<!DOCTYPE a [<!ENTITY b "c">]>${root("")}`, "document type"],
    ["an entity", root(`<FRM A="FRM1" B="&b;"/>`), "line 1"],
    ["nesting", root(`${"<a>".repeat(70)}${"</a>".repeat(70)}`), "64"],
  ])("%s", (_, text, problem) => {
    const error = expectCode(() => readTaskData(text), "bad-format");
    expect(error.message).toContain(problem);
    expect(error.argument).toMatch(/^line \d+, column \d+$/);
  });

  test("the place is that of the element", () => {
    const text = DOCUMENT.replace('C="47.253" D="20.7501"', 'C="x" D="20.7501"');
    const line = text.split("\n").findIndex((part) => part.includes('C="x"')) + 1;
    expect(expectCode(() => readTaskData(text), "bad-format").argument).toMatch(new RegExp(`^line ${line}, column `));
  });

  test("what is cut off, wherever", () => {
    const bytes = new TextEncoder().encode(DOCUMENT.trimEnd());
    for (let length = 0; length < bytes.length; length += 1) {
      expectCode(() => readTaskData(bytes.subarray(0, length)), "bad-format");
    }
  });

  test("bytes that are no UTF-8, options that are none, what is too long", () => {
    const bytes = new TextEncoder().encode(DOCUMENT);
    bytes[bytes.indexOf(0x4d, 400)] = 0xff;
    expectCode(() => readTaskData(bytes), "bad-format");
    expectCode(() => readTaskData(DOCUMENT, { maximumLength: 100 }), "too-large");
    expectCode(() => readTaskData(DOCUMENT, { maximumLength: Number.NaN }), "not-finite");
    expectCode(() => readTaskData(DOCUMENT, { missingFiles: "ignore" as never }), "out-of-range");
    expectCode(() => readTaskData(DOCUMENT, { files: {} as never }), "not-finite");
    expectCode(() => readTaskData(DOCUMENT, null as never), "not-finite");
    expectCode(() => readTaskData(5 as never), "bad-format");
    const files = new Map([["PFD00001.XML", 5 as never]]);
    expectCode(() => readTaskData(root(`<XFR A="PFD00001" B="1"/>`), { files }), "bad-format");
  });

  test("names that JavaScript treats as its own are names like others", () => {
    const data = readTaskData(root(`<FRM A="FRM1" B="a" __proto__="x" constructor="y"/><__proto__ A="1"/>`));
    expect(data.farms[0]!.other!.attributes).toEqual([
      ["__proto__", "x"],
      ["constructor", "y"],
    ]);
    expect(data.other!.children).toMatchObject([{ name: "__proto__" }]);
    expect(({} as Record<string, unknown>)["A"]).toBeUndefined();
  });
});
