import { describe, expect, it } from "vitest";
import { ToolLine } from "../../src/sections/tool-line.js";

describe("a tool's line", () => {
  it("begins set for no time and asked for nothing, with room for the sections that ask", () => {
    const line = new ToolLine(3);
    expect(line).toMatchObject({ ahead: -1, covered: -1, inField: -1, inClosed: -1 });
    expect(line.metres).toEqual(new Float64Array(3));
    expect(new ToolLine().metres).toHaveLength(0);
  });

  it("forgets the ground, not the place", () => {
    const line = new ToolLine(1);
    line.place(1, 2, 0, 1, 3);
    Object.assign(line, { ahead: 4, covered: 1, inField: 1, inClosed: 0 });
    line.forget();
    expect(line).toMatchObject({ ahead: 4, covered: -1, inField: -1, inClosed: -1, ox: 1, oy: 5 });
  });

  it("stands ahead of the reference point, its right to the right", () => {
    const line = new ToolLine();
    // heading with the tangent 3/4: right is 0.8 east, 0.6 south
    line.place(100, 200, 0.6, 0.8, -5);
    expect([line.ox, line.oy, line.ux, line.uy]).toEqual([97, 196, 0.8, -0.6]);
  });

  it("is known where its place and heading are numbers", () => {
    const known = (x: number, y: number, c: number): boolean => {
      const line = new ToolLine();
      line.place(x, y, 0, c, 0);
      return line.known;
    };
    expect(known(1, 2, 1)).toBe(true);
    expect(known(Number.NaN, 2, 1)).toBe(false);
    expect(known(1, Number.POSITIVE_INFINITY, 1)).toBe(false);
    expect(known(1, 2, Number.NaN)).toBe(false);
  });
});
