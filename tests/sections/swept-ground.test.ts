import { describe, expect, it } from "vitest";
import type { CoverageRecord } from "../../src/coverage/index.js";
import { boom, type SectionDefinition } from "../../src/sections/index.js";
import { OrderBook } from "../../src/sections/order-book.js";
import { SweptGround } from "../../src/sections/swept-ground.js";
import { ToolLine } from "../../src/sections/tool-line.js";

/** Four sections of 1 m on one row. */
const FOUR: SectionDefinition[] = [-2, -1, 0, 1].map((left) => ({ left, right: left + 1 }));
const ONE: SectionDefinition[] = [{ left: -1, right: 1 }];
/** Sine and cosine of the heading: the four quarters, in which nothing is rounded, and one between. */
const QUARTERS = [
  [0, 1],
  [1, 0],
  [0, -1],
  [-1, 0],
] as const;
const HEADINGS = [...QUARTERS, [0.6, 0.8]] as const;
type Heading = readonly [sine: number, cosine: number];
/** Cells that every mark makes: new ones, and ones worked again. */
const NEW = 3;
const AGAIN = 2;

/** A tool 10 m north, its orders, and what it marks: metres right and north of each corner in turn, before the scene is turned. */
class Scene {
  readonly swept: SweptGround;
  readonly orders: OrderBook;
  marks: string[] = [];
  private readonly record = {
    lastNew: 0,
    lastAgain: 0,
    mark: (...corners: number[]) => {
      this.marks.push(this.local(corners).join(" "));
      this.record.lastNew = NEW;
      this.record.lastAgain = AGAIN;
      return NEW;
    },
  };

  constructor(
    sections: SectionDefinition[] = FOUR,
    private readonly heading: Heading = [0, 1],
  ) {
    this.swept = new SweptGround(boom({ sections, allowGaps: true }));
    this.orders = new OrderBook(sections.length);
    this.swept.restart(this.line(10));
  }

  line(north: number, right = 0): ToolLine {
    const [s, c] = this.heading;
    const line = new ToolLine();
    line.place(right * c + north * s, north * c - right * s, s, c, 0);
    return line;
  }

  /** Product of these sections lands. */
  working(...sections: number[]): this {
    for (const i of sections) this.orders.landed[i] = 1;
    return this;
  }

  /** Orders of one section land at these times. */
  flips(i: number, ...landings: number[]): this {
    for (const landing of landings) this.orders.flip(i, 0, landing);
    return this;
  }

  /** The marks of the way to a line, in the time from 100 to 102 s. */
  to(north: number, right = 0, direction = 1): string[] {
    this.marks = [];
    const went = this.swept.mark(
      this.line(north, right),
      direction,
      100,
      102,
      this.orders,
      this.record as unknown as CoverageRecord,
    );
    return went ? this.marks : ["absurd"];
  }

  /** The front of each edge. */
  get fronts(): string {
    const { frontX, frontY } = this.swept;
    return Array.from(frontX, (x, e) => this.local([x, frontY[e]!]).join(" ")).join(", ");
  }

  /** Move the front of an edge on by some metres. */
  moveFront(edge: number, north: number): this {
    this.swept.frontX[edge]! += north * this.heading[0];
    this.swept.frontY[edge]! += north * this.heading[1];
    return this;
  }

  private local(xy: readonly number[]): number[] {
    const [s, c] = this.heading;
    return xy.map((v, k) => {
      const value = k % 2 === 0 ? v * c - xy[k + 1]! * s : xy[k - 1]! * s + v * c;
      return Math.round(value * 1e9) / 1e9 + 0;
    });
  }
}

describe("edges of sections", () => {
  // neighbours on a row; one on a row behind; one after a gap on that row; one after a gap and on the first row
  const MIXED: SectionDefinition[] = [
    { left: -3, right: -2, x: 1 },
    { left: -2, right: -1, x: 1 },
    { left: -1, right: 0, x: -1 },
    { left: 0.5, right: 1, x: -1 },
    { left: 2, right: 3, x: 1 },
    { left: 3, right: 4, x: 1 },
  ];

  it("are shared by neighbours on one row alone", () => {
    const { swept } = new Scene(MIXED);
    expect([...swept.leftEdge]).toEqual([0, 1, 3, 5, 7, 8]);
    expect([...swept.rightEdge]).toEqual([1, 2, 4, 6, 8, 9]);
    expect(swept.frontX).toHaveLength(10);
    // before they stand anywhere they stand on no line
    expect(new SweptGround(boom({ sections: ONE })).straight).toBe(false);
  });

  it("stand on their rows, the first row on the line", () => {
    for (const heading of HEADINGS) {
      const scene = new Scene(MIXED, heading);
      expect(scene.fronts).toBe("-3 10, -2 10, -1 10, -1 8, 0 8, 0.5 8, 1 8, 2 10, 3 10, 4 10");
      expect(scene.swept.straight).toBe(true);
      scene.working(0, 1, 2, 3, 4, 5);
      expect(scene.to(11)).toEqual([
        "-3 10 -1 10 -1 11 -3 11",
        "-1 8 0 8 0 9 -1 9",
        "0.5 8 1 8 1 9 0.5 9",
        "2 10 4 10 4 11 2 11",
      ]);
      expect(scene.fronts).toBe("-3 11, -2 11, -1 11, -1 9, 0 9, 0.5 9, 1 9, 2 11, 3 11, 4 11");
    }
  });
});

describe("ground that sections sweep", () => {
  it("is one quad of neighbours that work all the time", () => {
    for (const heading of HEADINGS) {
      const all = new Scene(FOUR, heading).working(0, 1, 2, 3);
      expect(all.to(11, 0.5)).toEqual(["-2 10 2 10 2.5 11 -1.5 11"]);
      expect(new Scene(FOUR, heading).working(0, 2, 3).to(11)).toEqual([
        "-2 10 -1 10 -1 11 -2 11",
        "0 10 2 10 2 11 0 11",
      ]);
      expect(new Scene(FOUR, heading).working(1, 2).to(11)).toEqual(["-1 10 1 10 1 11 -1 11"]);
      expect(new Scene(FOUR, heading).to(11)).toEqual([]);
    }
  });

  it("is a quad of each section where an edge has not gone forward, on that way and on the next", () => {
    for (const heading of HEADINGS) {
      const scene = new Scene(FOUR, heading).working(0, 1, 2, 3).moveFront(2, 1.25);
      expect(scene.to(11)).toEqual([
        "-2 10 -1 10 -1 11 -2 11",
        "-1 10 0 11.25 0 11.25 -1 11",
        "0 11.25 1 10 1 11 0 11.25",
        "1 10 2 10 2 11 1 11",
      ]);
      expect(scene.swept.straight).toBe(false);
      expect(scene.to(12)).toHaveLength(4);
      expect(scene.swept.straight).toBe(true);
      expect(scene.to(13)).toEqual(["-2 12 2 12 2 13 -2 13"]);
    }
  });

  it("counts the cells of its last way alone", () => {
    const scene = new Scene().working(0, 2);
    scene.to(11);
    expect([scene.swept.newCells, scene.swept.againCells]).toEqual([2 * NEW, 2 * AGAIN]);
    scene.orders.landed[2] = 0;
    scene.to(12);
    expect([scene.swept.newCells, scene.swept.againCells]).toEqual([NEW, AGAIN]);
    scene.swept.restart(scene.line(12));
    expect([scene.swept.newCells, scene.swept.againCells]).toEqual([0, 0]);
  });

  it("is marked up to the line's very numbers, so that the next quad has the same corners", () => {
    const raw: number[][] = [];
    const record = { lastNew: 0, lastAgain: 0, mark: (...corners: number[]) => raw.push(corners) };
    const [s, c] = [0.28, 0.96];
    // with such numbers a place and the way from it to another do not sum up to the other, to the last bit
    let rounded = 0;
    for (let k = 1; k <= 50; k++) {
      const scene = new Scene(ONE, [s, c]);
      scene.swept.restart(scene.line(-0.1 * k, -0.7 * k));
      const before = [...scene.swept.frontX, ...scene.swept.frontY];
      scene.flips(0, 101);
      raw.length = 0;
      const line = scene.line(13.37 - 0.1 * k, 31.01 - 0.7 * k);
      scene.swept.mark(line, 1, 100, 102, scene.orders, record as unknown as CoverageRecord);
      const { ox, oy, ux, uy } = line;
      const corners = [ox - ux, ox + ux, oy - uy, oy + uy];
      expect(raw).toHaveLength(1);
      expect(raw[0]!.slice(4)).toEqual([ox + ux, oy + uy, ox - ux, oy - uy]);
      corners.forEach((corner, e) => {
        if (before[e]! + (corner - before[e]!) !== corner) rounded |= 1 << e;
      });
    }
    expect(rounded).toBe(0b1111);
  });
});

describe("an edge", () => {
  it("that does not go forward, or falls back by less than half a metre, is held at its front", () => {
    for (const heading of QUARTERS) {
      const at = (north: number, direction = 1): string => {
        const scene = new Scene(ONE, heading);
        scene.to(north, 0.25, direction);
        return `${scene.fronts}; ${scene.swept.straight}`;
      };
      expect(at(10.001)).toBe("-0.75 10.001, 1.25 10.001; true");
      expect(at(10)).toBe("-1 10, 1 10; false");
      expect(at(9.501)).toBe("-1 10, 1 10; false");
      expect(at(9.5)).toBe("-0.75 9.5, 1.25 9.5; false");
      expect(at(9)).toBe("-0.75 9, 1.25 9; false");
      // in reverse forward is the other way
      expect(at(9.999, -1)).toBe("-0.75 9.999, 1.25 9.999; true");
      expect(at(10, -1)).toBe("-1 10, 1 10; false");
      expect(at(10.499, -1)).toBe("-1 10, 1 10; false");
      expect(at(10.5, -1)).toBe("-0.75 10.5, 1.25 10.5; false");
    }
    for (const direction of [1, -1]) {
      const scene = new Scene(ONE, [0.6, 0.8]);
      scene.to(10 - 0.25 * direction, 3, direction);
      expect(scene.fronts).toBe("-1 10, 1 10");
      scene.to(10 + 0.25 * direction, 3, direction);
      expect(scene.fronts).toBe(`2 ${10 + 0.25 * direction}, 4 ${10 + 0.25 * direction}`);
    }
  });

  it("held marks nothing with its neighbour held, and a triangle with one that goes on", () => {
    for (const heading of QUARTERS) {
      expect(new Scene(ONE, heading).working(0).to(9.75)).toEqual([]);
      expect(new Scene(ONE, heading).working(0).to(10)).toEqual([]);
      expect(new Scene(ONE, heading).working(0).moveFront(0, 0.5).to(10.25)).toEqual(["-1 10.5 1 10 1 10.25 -1 10.5"]);
      expect(new Scene(ONE, heading).working(0).moveFront(1, 0.5).to(10.25)).toEqual(["-1 10 1 10.5 1 10.5 -1 10.25"]);
    }
  });

  it("that jumps by more than 50 m, or nowhere, marks nothing and starts afresh", () => {
    for (const heading of QUARTERS) {
      for (const [sections, north, right] of [
        [ONE, 50, 0],
        [ONE, 0, 50],
        [ONE, 30, -40],
        [ONE, -40, 30],
      ] as const) {
        expect(new Scene(sections, heading).to(10 + north, right)).toEqual([]);
        const far = new Scene(sections, heading).working(0);
        far.to(10.5);
        far.swept.straight = false;
        expect(far.to(10.5 + north * 1.001, right * 1.001)).toEqual(["absurd"]);
        expect(far.marks).toEqual([]);
        expect([far.swept.newCells, far.swept.againCells, far.swept.straight]).toEqual([0, 0, true]);
        expect(far.to(11.5 + north * 1.001, right * 1.001)).toHaveLength(1);
      }
    }
    // one edge alone
    for (const edge of [0, 1]) {
      const scene = new Scene(ONE).moveFront(edge, -50);
      expect(scene.to(10)).toEqual([]);
      expect(scene.moveFront(edge, -51).to(10)).toEqual(["absurd"]);
      expect(scene.fronts).toBe("-1 10, 1 10");
    }
    expect(new Scene(ONE).to(Number.NaN)).toEqual(["absurd"]);
    expect(new Scene(ONE).to(11, Number.NaN)).toEqual(["absurd"]);
  });
});

describe("orders that land on the way", () => {
  /** Marks of a section of 2 m in a way of 4 m over 2 s, straight on and 1 m aside: from and to where along it. */
  const parts = (landed: boolean, ...landings: number[]): string[] => {
    const found = HEADINGS.map((heading) => {
      const scene = new Scene(ONE, heading);
      if (landed) scene.working(0);
      return scene.flips(0, ...landings).to(14, 1);
    });
    for (const marks of found) expect(marks).toEqual(found[0]);
    return found[0]!;
  };

  it("cut the quad there", () => {
    expect(parts(false, 100.5)).toEqual(["-0.75 11 1.25 11 2 14 0 14"]);
    expect(parts(true, 100.5)).toEqual(["-1 10 1 10 1.25 11 -0.75 11"]);
    expect(parts(false, 100.5, 101.5)).toEqual(["-0.75 11 1.25 11 1.75 13 -0.25 13"]);
    expect(parts(true, 100.5, 101.5)).toEqual(["-1 10 1 10 1.25 11 -0.75 11", "-0.25 13 1.75 13 2 14 0 14"]);
    expect(parts(true, 100.5, 101, 101.5)).toEqual(["-1 10 1 10 1.25 11 -0.75 11", "-0.5 12 1.5 12 1.75 13 -0.25 13"]);
  });

  it("at its very ends, or before it, leave all of it or nothing", () => {
    const ALL = ["-1 10 1 10 2 14 0 14"];
    expect(parts(true, 102)).toEqual(ALL);
    expect(parts(false, 102)).toEqual([]);
    expect(parts(true, 103)).toEqual(ALL);
    expect(parts(false, 103)).toEqual([]);
    for (const early of [100, 99]) {
      expect(parts(true, early), `${early}`).toEqual([]);
      expect(parts(false, early)).toEqual(ALL);
      expect(parts(true, early, early)).toEqual(ALL);
      expect(parts(false, early, 100.5)).toEqual(["-1 10 1 10 1.25 11 -0.75 11"]);
    }
  });

  it("at one instant leave nothing between them", () => {
    expect(parts(false, 101, 101)).toEqual([]);
    expect(parts(true, 101, 101)).toEqual(["-1 10 1 10 1.5 12 -0.5 12", "-0.5 12 1.5 12 2 14 0 14"]);
  });

  it("are of each section by itself, and end the quad of its neighbours", () => {
    const scene = new Scene().working(0, 1, 2, 3).flips(1, 101);
    expect(scene.to(12)).toEqual(["-2 10 -1 10 -1 12 -2 12", "-1 10 0 10 0 11 -1 11", "0 10 2 10 2 12 0 12"]);
    // one that lands with the fix is an order on the way
    const just = new Scene().working(0, 1, 2, 3).flips(3, 102);
    expect(just.to(12)).toEqual(["-2 10 1 10 1 12 -2 12", "1 10 2 10 2 12 1 12"]);
    const later = new Scene().working(0, 1, 2, 3).flips(3, 102.001);
    expect(later.to(12)).toEqual(["-2 10 2 10 2 12 -2 12"]);
  });
});

describe("the fronts as a list", () => {
  it("come back as they were", () => {
    const scene = new Scene(ONE, [0, 1]).working(0).moveFront(0, 0.75);
    expect(scene.swept.toList()).toEqual([1, -1, 1, 10.75, 10]);
    scene.to(10.5);
    expect(scene.swept.toList()).toEqual([0, -1, 1, 10.75, 10.5]);
    const other = new Scene(ONE).swept;
    expect(other.fromList([0, -1, 1, 10.75, 10.5])).toBe(true);
    expect(other.toList()).toEqual(scene.swept.toList());
    expect(other.fromList([1, 4, 5, 6, 7])).toBe(true);
    expect(other.straight).toBe(true);
    expect(other.toList()).toEqual([1, 4, 5, 6, 7]);
  });

  it("are refused where they do not fit, and nothing is changed", () => {
    const { swept } = new Scene(ONE);
    const before = swept.toList();
    for (const list of [[], [1, 2, 3, 4], [1, 2, 3, 4, 5, 6], [0, 2, 3, 4, Number.NaN], [Number.NaN, 2, 3, 4, 5]]) {
      expect(swept.fromList(list)).toBe(false);
      expect(swept.toList()).toEqual(before);
    }
  });
});
