import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { type DeviceFound, fromTaskDevice, toTaskDevice } from "../../../src/exchange/task-content/index.js";
import { readTaskData, type TaskDevice, writeTaskData } from "../../../src/exchange/task-data/index.js";
import { boom, type BoomDefinition, evenSections } from "../../../src/sections/index.js";
import { expectCode, expectWithin } from "../../helpers/within.js";

/** through the text of a document, as another machine gets it */
function throughText(device: TaskDevice): TaskDevice {
  const data = readTaskData(writeTaskData({ origin: "management", devices: [device] }));
  expect(data.problems).toEqual([]);
  return data.devices[0]!;
}

const back = (definition: BoomDefinition, ...more: BoomDefinition[]): DeviceFound =>
  fromTaskDevice(throughText(toTaskDevice({ name: "sprayer", booms: [definition, ...more] })));

function expectSameBoom(actual: BoomDefinition, expected: BoomDefinition): void {
  const [a, b] = [boom(actual), boom({ ...expected, allowGaps: true })];
  expect(a.sections).toHaveLength(b.sections.length);
  a.sections.forEach((section, i) => {
    // 1 mm is written: half of one for the edge, half for the middle, and edges up to 1 mm apart are one
    for (const name of ["left", "right"] as const) expectWithin(section[name], b.sections[i]![name], 1.5e-3, name);
    for (const name of ["x", "turnOnTime", "turnOffTime"] as const) {
      expectWithin(section[name], b.sections[i]![name], 5.1e-4, name);
    }
    const edgeToEdge = i > 0 && b.sections[i - 1]!.right === b.sections[i]!.left;
    if (edgeToEdge) expect(a.sections[i - 1]!.right).toBe(section.left);
  });
}

describe("a machine goes out and comes back", () => {
  const sprayer: BoomDefinition = { sections: evenSections(24, 8), x: -4.5, turnOnTime: 0.6, turnOffTime: 0.3 };

  test("a boom of even sections, exactly", () => {
    const found = back(sprayer);
    expect(found.name).toBe("sprayer");
    expect(found.refused).toEqual([]);
    expect(found.antenna).toBeUndefined();
    expect(boom(found.booms[0]!.boom)).toEqual(boom(sprayer));
    expect(found.booms[0]).toMatchObject({ element: "DET2", name: "boom", places: [0, 1, 2, 3, 4, 5, 6, 7] });
    expect(found.booms[0]!.sectionElements).toEqual(["DET3", "DET4", "DET5", "DET6", "DET7", "DET8", "DET9", "DET10"]);
  });

  test("two booms, an antenna, sections on rows and with times of their own", () => {
    const rows: BoomDefinition = {
      sections: [
        { left: -3, right: -1, x: -2 },
        { left: -1, right: 1, x: -2.5, turnOnTime: 0.2 },
        { left: 1.5, right: 3, x: -2, turnOffTime: 0 },
      ],
      x: -2,
      turnOnTime: 0.1,
      turnOffTime: 0.05,
      allowGaps: true,
    };
    const device = toTaskDevice({ name: "x", booms: [sprayer, rows], antenna: { x: 1.2, y: -0.4 } });
    const found = fromTaskDevice(throughText(device));
    expect(found.antenna).toEqual({ x: 1.2, y: -0.4 });
    expect(found.booms).toHaveLength(2);
    expectSameBoom(found.booms[1]!.boom, rows);
    expect(found.booms[1]!.name).toBe("boom 2");
  });

  test("any boom, to the format's millimetre", () => {
    const width = fc.double({ min: 0.01, max: 3, noNaN: true });
    const time = fc.double({ min: 0, max: 10, noNaN: true });
    fc.assert(
      fc.property(
        fc.array(width, { minLength: 1, maxLength: 20 }),
        fc.double({ min: -30, max: 0, noNaN: true }),
        fc.double({ min: -20, max: 20, noNaN: true }),
        time,
        time,
        (widths, from, x, turnOnTime, turnOffTime) => {
          let left = from;
          const sections = widths.map((w) => {
            const section = { left, right: left + w };
            left = section.right;
            return section;
          });
          const definition = { sections, x, turnOnTime, turnOffTime };
          expectSameBoom(back(definition).booms[0]!.boom, definition);
        },
      ),
      { numRuns: 200 },
    );
  });

  test("256 sections", () => {
    const wide: BoomDefinition = { sections: evenSections(128, 256) };
    expect(boom(back(wide).booms[0]!.boom)).toEqual(boom(wide));
  });

  test("the process data are those that a log of the work has", () => {
    // DDI 141, 144, 161 and 162, 116 to 120: data dictionary of ISO 11783-11 (isobus.net)
    const { elements, processData } = toTaskDevice({ name: "x", booms: [{ sections: evenSections(24, 20) }] });
    const own = elements.find(({ type }) => type === "function")!.objects.map(({ object }) => object);
    const told = processData.filter(({ objectId }) => own.includes(objectId)).map(({ ddi }) => ddi);
    expect(told).toEqual([141, 144, 161, 162, 116, 117, 118, 119, 120]);
  });

  test("bad machines are refused with their path", () => {
    const crossed = { sections: [{ left: 1, right: 0 }] };
    const refused = expectCode(() => toTaskDevice({ name: "x", booms: [sprayer, crossed] }), "overlap");
    expect(refused.argument).toContain("content.booms[1]");
    expectCode(() => toTaskDevice({ name: "x", booms: [sprayer], antenna: { x: Number.NaN, y: 0 } }), "not-finite");
    expectCode(() => toTaskDevice(null as never), "not-finite");
    expectCode(() => toTaskDevice({ name: "x" } as never), "too-few-points");
    const wide: BoomDefinition = { sections: evenSections(128, 256) };
    expectCode(() => toTaskDevice({ name: "x", booms: Array.from({ length: 17 }, () => wide) }), "too-large");
    expectCode(() => fromTaskDevice({} as never), "too-few-points");
  });
});

describe("machines of others", () => {
  const device = (elements: TaskDevice["elements"], properties: TaskDevice["properties"]): TaskDevice => ({
    ...toTaskDevice({ name: "x", booms: [] }),
    elements,
    properties,
  });
  const section = (objectId: number, number: number, ...objects: number[]): TaskDevice["elements"][number] => ({
    id: `DET-${number}`,
    objectId,
    type: "section",
    number,
    parent: 1,
    objects: objects.map((object) => ({ object })),
  });
  const whole = (...objects: number[]): TaskDevice["elements"][number] => ({
    id: "DET-9",
    objectId: 1,
    type: "function",
    number: 9,
    parent: 0,
    objects: objects.map((object) => ({ object })),
  });
  const properties = [
    { objectId: 50, ddi: 67, value: 3000 },
    { objectId: 51, ddi: 70, value: 4000 },
    { objectId: 52, ddi: 68, value: 5000 },
    { objectId: 60, ddi: 135, value: 3000 },
    { objectId: 61, ddi: 135, value: -3000 },
    { objectId: 62, ddi: 135, value: 0 },
  ];

  test("numbered from right to left: geometry decides, states stand where the numbers say", () => {
    const found = fromTaskDevice(
      device([section(5, 2, 50, 62), whole(), section(4, 1, 50, 60), section(6, 3, 50, 61)], properties),
    );
    const [made] = found.booms;
    expect(made!.boom.sections.map(({ left, right }) => [left, right])).toEqual([
      [-4.5, -1.5],
      [-1.5, 1.5],
      [1.5, 4.5],
    ]);
    expect(made!.sectionElements).toEqual(["DET-3", "DET-2", "DET-1"]);
    expect(made!.places).toEqual([2, 1, 0]);
  });

  test("a width is the actual one, else the maximum, else the default", () => {
    const widths = (...objects: number[]): number[] =>
      fromTaskDevice(device([whole(...objects)], properties)).booms.map(
        ({ boom: { sections } }) => sections[0]!.right * 2,
      );
    expect(widths(52, 51, 50)).toEqual([3]);
    expect(widths(52, 51)).toEqual([4]);
    expect(widths(52)).toEqual([5]);
    expect(widths()).toEqual([]);
  });

  test("a boom that can't be one is told", () => {
    const found = fromTaskDevice(device([whole(), section(4, 1, 60)], properties));
    expect(found.booms).toEqual([]);
    expect(found.refused).toEqual([{ element: "DET-9", reason: "section 1 has no width" }]);
    const twice = fromTaskDevice(device([whole(), section(4, 1, 50, 62), section(5, 2, 50, 62)], properties));
    expect(twice.refused[0]!.reason).toContain("where section 0 ends");
  });
});
