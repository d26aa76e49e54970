import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { CoverageRecord } from "../../src/coverage/index.js";
import { cellsInRing, sweep } from "./oracle.js";

interface Pose {
  x: number;
  y: number;
  heading: number;
}

/** A drive that turns, speeds up and weaves, from a few numbers. */
function drive(steps: number, step: number, turn: number, start: Pose): Pose[] {
  const poses: Pose[] = [start];
  for (let i = 1; i <= steps; i++) {
    const before = poses[i - 1]!;
    const heading = before.heading + turn * (1 + 0.3 * Math.sin(i / 5));
    const h = (heading * Math.PI) / 180;
    poses.push({ x: before.x + step * Math.sin(h), y: before.y + step * Math.cos(h), heading });
  }
  return poses;
}

/** Marks of a boom of equal sections along a drive; gives the sum of all marks, cells. */
function work(record: CoverageRecord, poses: readonly Pose[], edges: readonly number[]): void {
  for (let i = 1; i < poses.length; i++) {
    for (let s = 1; s < edges.length; s++) record.mark(...sweep(poses[i - 1]!, poses[i]!, edges[s - 1]!, edges[s]!));
  }
}

const edgesOf = (width: number, sections: number): number[] =>
  Array.from({ length: sections + 1 }, (_, s) => -width / 2 + (s * width) / sections);

describe("quads that share an edge", () => {
  test("two quads either side of any edge fill their union once: no gap, no cell twice", () => {
    const coordinate = fc.double({ min: -40, max: 40, noNaN: true });
    fc.assert(
      fc.property(
        coordinate,
        coordinate,
        coordinate,
        coordinate,
        fc.double({ min: 1, max: 30, noNaN: true }),
        (ax, ay, bx, by, out) => {
          fc.pre(Math.hypot(bx - ax, by - ay) > 0.1);
          // kites over the edge a-b: c on its right, d on its left, corners given in opposite order
          const nx = ((by - ay) * out) / Math.hypot(bx - ax, by - ay);
          const ny = (-(bx - ax) * out) / Math.hypot(bx - ax, by - ay);
          const mx = (ax + bx) / 2;
          const my = (ay + by) / 2;
          const record = new CoverageRecord({ cellSize: 0.5 });
          record.mark(ax, ay, mx + nx, my + ny, bx, by, bx, by);
          record.mark(bx, by, mx - nx, my - ny, ax, ay, ax, ay);
          expect(record.areas().workedTwice).toBe(0);
          const whole = new CoverageRecord({ cellSize: 0.5 });
          whole.mark(ax, ay, mx + nx, my + ny, bx, by, mx - nx, my - ny);
          expect(record.areas().worked).toBe(whole.areas().worked);
          expect(record.hash()).toBe(whole.hash());
        },
      ),
      { numRuns: 500, seed: 21 },
    );
  });

  test("a boom of 48 sections through a wide turn: no cell twice, total the cells of the union's outline", () => {
    // outer edge radius 36 m, inner 12 m: sections share edges with their neighbours and with their own last quad
    const record = new CoverageRecord();
    const poses = drive(300, 0.2, 0.45, { x: 3.3, y: -17.2, heading: 12 });
    const edges = edgesOf(24, 48);
    work(record, poses, edges);
    expect(record.areas().workedTwice).toBe(0);
    expect(record.areas().marked).toBe(record.areas().worked);
    // the union's outline: along the left end, back along the right
    const end = (pose: Pose, edge: number): [number, number] => {
      const quad = sweep(pose, pose, edge, edge);
      return [quad[0], quad[1]];
    };
    const left = poses.map((pose) => end(pose, edges[0]!));
    const right = poses.map((pose) => end(pose, edges[48]!)).reverse();
    const union = [{ exterior: [...left, ...right], holes: [] }];
    expect(record.areasWithin(union)).toEqual({
      field: record.areas().worked,
      worked: record.areas().worked,
      workedTwice: 0,
      missed: 0,
      outside: 0,
    });
  });

  test("a turning boom of few sections counts the same cells as one by one tests of the union", () => {
    const record = new CoverageRecord({ cellSize: 0.25 });
    const poses = drive(40, 0.7, 2, { x: -5, y: 4, heading: 300 });
    const edges = edgesOf(9, 3);
    work(record, poses, edges);
    const union = new Set<string>();
    let sum = 0;
    for (let i = 1; i < poses.length; i++) {
      for (let s = 1; s < edges.length; s++) {
        const cells = cellsInRing(sweep(poses[i - 1]!, poses[i]!, edges[s - 1]!, edges[s]!).map((v) => v * 4));
        sum += cells.size;
        for (const cell of cells) union.add(cell);
      }
    }
    expect(sum).toBe(union.size);
    expect(record.areas()).toEqual({ worked: union.size / 16, workedTwice: 0, marked: union.size / 16 });
  });

  test("a fan about one point, as of a boom turning on the spot, fills the circle once", () => {
    fc.assert(
      fc.property(fc.double({ min: -50, max: 50, noNaN: true }), fc.integer({ min: 3, max: 200 }), (centre, wedges) => {
        const record = new CoverageRecord();
        const at = (k: number): [number, number] => {
          const a = (2 * Math.PI * (k % wedges)) / wedges + 0.1;
          return [centre + 6 * Math.cos(a), centre + 6 * Math.sin(a)];
        };
        for (let k = 0; k < wedges; k++) record.mark(centre, centre, ...at(k), ...at(k + 1), centre, centre);
        expect(record.areas().workedTwice).toBe(0);
        const field = [{ exterior: Array.from({ length: wedges }, (_, k) => at(k)), holes: [] }];
        expect(record.missed(field).area).toBe(0);
        expect(record.areasWithin(field).outside).toBe(0);
      }),
      { numRuns: 40, seed: 22 },
    );
  });
});

describe("a wide section beside two narrow ones (T-junction)", () => {
  test("the middle corner off the long edge by rounding alone: no gap, no cell twice", () => {
    // headings and places of every kind, the ones along the lattice among them
    for (const heading of [0, 90, 180, 270, 45, 30, 17.3, 359.999]) {
      for (const x of [0, 0.05, 0.15, 12.35, -7.05, 1234.55]) {
        const record = new CoverageRecord();
        const a = { x, y: x / 3, heading };
        const h = (heading * Math.PI) / 180;
        const middle = { x: x + 0.35 * Math.sin(h), y: x / 3 + 0.35 * Math.cos(h), heading };
        const b = { x: x + 0.7 * Math.sin(h), y: x / 3 + 0.7 * Math.cos(h), heading };
        // one quad of the left section over both steps, two quads of the right one
        record.mark(...sweep(a, b, -3.05, 0.45));
        record.mark(...sweep(a, middle, 0.45, 2.95));
        record.mark(...sweep(middle, b, 0.45, 2.95));
        expect(record.areas().workedTwice, `heading ${heading}, x ${x}`).toBe(0);
        const whole = new CoverageRecord();
        whole.mark(...sweep(a, b, -3.05, 2.95));
        expect(record.hash(), `heading ${heading}, x ${x}`).toBe(whole.hash());
      }
    }
  });
});
