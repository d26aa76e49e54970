import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { type CsvValue, writeCsv } from "../../src/exchange/index.js";
import { expectCode } from "../helpers/within.js";

/** A reader by the grammar of RFC 4180, section 2, written apart from the writer. */
function parse(text: string): string[][] {
  const rows: string[][] = [[]];
  let cell = "";
  let quoted = false;
  for (let i = 0; i < text.length; i++) {
    const c = text[i]!;
    if (quoted) {
      if (c !== '"') cell += c;
      else if (text[i + 1] === '"') {
        cell += '"';
        i++;
      } else quoted = false;
    } else if (c === '"' && cell === "") quoted = true;
    else if (c === ",") {
      rows[rows.length - 1]!.push(cell);
      cell = "";
    } else if (c === "\r" && text[i + 1] === "\n") {
      rows[rows.length - 1]!.push(cell);
      cell = "";
      rows.push([]);
      i++;
    } else cell += c;
  }
  expect(rows.pop()).toEqual([]);
  return rows;
}

describe("writeCsv", () => {
  test("a table of switchings", () => {
    const rows = [
      { time: 12.3456, section: 1, on: true, reason: "none" },
      { time: 13, section: 2, on: false, reason: 'by hand, "off"' },
    ];
    const text = writeCsv(rows, [
      { header: "time_s", value: (row) => row.time, decimals: 2 },
      { header: "section", value: (row) => row.section },
      { header: "on", value: (row) => row.on },
      { header: "reason", value: (row) => row.reason },
    ]);
    expect(text).toBe('time_s,section,on,reason\r\n12.35,1,true,none\r\n13.00,2,false,"by hand, ""off"""\r\n');
  });

  test("any text comes back through a reader by RFC 4180", () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(fc.string(), fc.string({ unit: "binary" })), { maxLength: 5 }), (rows) => {
        const text = writeCsv(
          rows,
          [
            { header: "a", value: (row) => row[0] },
            { header: 'b,"', value: (row) => row[1] },
          ],
          { formulas: "keep" },
        );
        expect(parse(text)).toEqual([["a", 'b,"'], ...rows]);
      }),
      { numRuns: 500 },
    );
  });

  test("texts that a spreadsheet would run are marked, numbers never (OWASP, CSV Injection)", () => {
    const values: CsvValue[] = ["=1+1", "+1", "-1", "@x", "\tx", "\rx", -1.5, "a=b"];
    const cells = (formulas: "mark" | "keep"): string[] =>
      parse(writeCsv(values, [{ header: "v", value: (v) => v }], { formulas }))
        .slice(1)
        .map((row) => row[0]!);
    expect(cells("mark")).toEqual(["'=1+1", "'+1", "'-1", "'@x", "'\tx", "'\rx", "-1.5", "a=b"]);
    expect(cells("keep")).toEqual(values.map(String));
  });

  test("nothing and numbers that are none are empty; -0 has no sign", () => {
    const values: CsvValue[] = [null, undefined, Number.NaN, Number.POSITIVE_INFINITY, "", -0, -0.001];
    const columns = [
      { header: "i", value: (_: CsvValue, i: number) => i },
      { header: "v", value: (v: CsvValue) => v, decimals: 2 },
    ];
    expect(
      parse(writeCsv(values, columns))
        .slice(1)
        .map((row) => row[1]),
    ).toEqual(["", "", "", "", "", "0.00", "0.00"]);
    expect(writeCsv([null], [{ header: "v", value: (v) => v }])).toBe('v\r\n""\r\n');
    expect(writeCsv([-0], [{ header: "v", value: (v) => v }])).toBe("v\r\n0\r\n");
  });

  test("no columns and impossible decimals are refused", () => {
    expectCode(() => writeCsv([], []), "out-of-range");
    expectCode(() => writeCsv([], [{ header: "v", value: () => 1, decimals: 99 }]), "out-of-range");
    expect(writeCsv([], [{ header: "v", value: () => 1 }])).toBe("v\r\n");
  });
});
