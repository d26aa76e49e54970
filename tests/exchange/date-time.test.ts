import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { dateTime, isWritableTime, unixTime } from "../../src/exchange/date-time.js";
import { decimal } from "../../src/exchange/decimal.js";
import { escapeXml, plainNumber } from "../../src/exchange/xml-text.js";
import { expectCode, expectWithin } from "../helpers/within.js";

describe("date and time of XML Schema part 2, 3.2.7 to 3.2.11", () => {
  test.for([
    ["1970-01-01T00:00:00Z", 0],
    ["2000-01-12T12:13:14Z", 947679194],
    // the example of the Schema, 3.2.7: noon UTC by two zones
    ["2000-01-15T00:00:00-05:00", 947912400],
    ["2000-03-04T23:00:00+03:00", 952200000],
    ["2024-02-29T23:59:59.999Z", 1709251199.999],
    ["2016-12-31T23:59:60Z", 1483228800],
    ["2024-05-01T24:00:00Z", 1714608000],
    ["2024-05-01T08:00:00", 1714550400],
    ["2024-05-01", 1714521600],
    ["2024-05", 1714521600],
    ["2024", 1704067200],
  ] as const)("%s is %d s", ([text, seconds]) => {
    expectWithin(unixTime(text), seconds, 1e-6, "s");
  });

  test.for([
    "",
    "24",
    "2024-13",
    "2024-00-01",
    "2023-02-29",
    "1900-02-29",
    "2024-04-31",
    "2024-05-01T",
    "2024-05-01T8:00:00Z",
    "2024-05-01T08:00Z",
    "2024-05-01T25:00:00Z",
    "2024-05-01T24:00:01Z",
    "2024-05-01T08:60:00Z",
    "2024-05-01T08:00:61Z",
    "2024-05-01T08:00:00.Z",
    "2024-05-01T08:00:00+2",
    "2024-05-01T08:00:00+15:00",
    "2024-05-01T08:00:00Zx",
    "2024-05-01 08:00:00Z",
    "-2024-05-01",
    "0001-01-01",
    "2024/05/01",
    "２０２４-05-01",
    `2024-05-01T08:00:00.${"0".repeat(100)}Z`,
  ])("%j is none", (text) => {
    expect(unixTime(text)).toBeNaN();
  });

  test("what is written is read back, to 1 ms", () => {
    expect(dateTime(0)).toBe("1970-01-01T00:00:00Z");
    expect(dateTime(1714550400.25)).toBe("2024-05-01T08:00:00.25Z");
    expect(dateTime(1714550400.1)).toBe("2024-05-01T08:00:00.1Z");
    fc.assert(
      fc.property(fc.double({ min: -30e9, max: 253e9, noNaN: true }), (seconds) => {
        expect(isWritableTime(seconds)).toBe(true);
        const read = unixTime(dateTime(seconds));
        expectWithin(read, seconds, 5.2e-4, "s");
        expect(dateTime(read)).toBe(dateTime(seconds));
      }),
    );
    for (const bad of [Number.NaN, 1e12, -1e12, "0", null]) expect(isWritableTime(bad)).toBe(false);
  });
});

test("decimal numbers, and nothing that Number or parseFloat would take beside them", () => {
  for (const text of ["0", "-1.5", "+2", ".5", "5.", "1e3", "-1.25E-7"]) expect(decimal(text)).toBe(Number(text));
  for (const text of ["", " 1", "1 ", "0x1", "Infinity", "NaN", "1e309", "1,5", "1_0", "1.2.3", "e", "--1", "1e"]) {
    expect(decimal(text), text).toBeNaN();
  }
});

test("texts and numbers for XML", () => {
  expect(escapeXml(`a<b>&"c"\t\r\n'`, "t")).toBe("a&lt;b&gt;&amp;&quot;c&quot;&#9;&#13;&#10;'");
  expect(escapeXml("plain é 😀", "t")).toBe("plain é 😀");
  for (const bad of ["\u0000", "\u001f", "\ud800", "\udc00x", "\uffff"]) {
    expect(expectCode(() => escapeXml(`ab${bad}`, "t"), "bad-format").index).toBe(2);
  }
  expect([
    plainNumber(1.5, 9),
    plainNumber(-0, 3),
    plainNumber(-1e-9, 9),
    plainNumber(10, 0),
    plainNumber(-1e-5, 3),
  ]).toEqual(["1.5", "0", "-0.000000001", "10", "0"]);
});
