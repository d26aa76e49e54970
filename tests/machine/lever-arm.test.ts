import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { antennaToReference, leverArm, machine, referenceToAntenna } from "../../src/machine/index.js";
import { readTable } from "../helpers/reference.js";
import { expectCode, expectWithin } from "../helpers/within.js";

const out = new Float64Array(3);
const back = new Float64Array(3);

describe("leverArm", () => {
  // lever_arm.csv: mpmath at 40 digits, Rz(heading) Ry(pitch) Rx(roll)
  test("gives the offsets of the 40-digit reference table within 6e-12 m", () => {
    const rows = readTable("geodesy/lever_arm.csv");
    expect(rows.length).toBe(100);
    for (const row of rows) {
      const n = (name: string) => Number(row[name]);
      leverArm(n("heading"), n("pitch"), n("roll"), n("arm_forward"), n("arm_right"), n("arm_down"), out);
      expectWithin(n("antenna_e") + out[0]!, n("point_e"), 6e-12, `row ${row["id"]} east`);
      expectWithin(n("antenna_n") + out[1]!, n("point_n"), 6e-12, `row ${row["id"]} north`);
      expectWithin(n("antenna_u") + out[2]!, n("point_u"), 6e-12, `row ${row["id"]} up`);
    }
  });

  // worked cases after Groves 2013, r_b = r_a - C l, computed at 40 digits
  test.for([
    [90, 0, 10, 0, 0, 3.2, 0, 0.555674168534177, -3.15138480963907],
    [37.25, -4.5, 6.75, -2.35, 0.4, 2.95, -1.51922378038923, -2.08129810745803, -2.78301226964443],
    [352.125, 11.2, -8.4, -7.8, -1.5, 3.4, -0.024916194912838, -7.02524292158557, -5.02944739270061],
  ] as const)("turns the arm of case %#", ([heading, pitch, roll, f, r, d, east, north, up]) => {
    leverArm(heading, pitch, roll, f, r, d, out);
    expectWithin(out[0]!, east, 1e-13);
    expectWithin(out[1]!, north, 1e-13);
    expectWithin(out[2]!, up, 1e-13);
  });

  // sin, not tan: a mast square to the floor of the cab
  test.for([
    [3, 5, 0.2615],
    [3.5, 10, 0.6078],
  ] as const)("moves a mast of %d m at %d degrees of roll by h sin(roll)", ([height, roll, shift]) => {
    leverArm(0, 0, roll, 0, 0, -height, out);
    expectWithin(out[0]!, height * Math.sin((roll * Math.PI) / 180), 1e-15);
    expectWithin(out[0]!, shift, 5e-5);
  });

  test("is exact at quarter turns", () => {
    leverArm(90, 0, 0, 5, 2, 0, out);
    expect([...out]).toEqual([5, -2, 0]);
    leverArm(180, 0, 0, 5, 2, 0, out);
    expect([out[0], out[1]]).toEqual([-2, -5]);
    leverArm(-90, 0, 0, 5, 2, 0, out);
    expect([out[0], out[1]]).toEqual([-5, 2]);
  });

  test("gives NaN for NaN and never throws", () => {
    leverArm(Number.NaN, 0, 0, 1, 2, 3, out);
    expect(out[0]).toBeNaN();
    leverArm(Number.POSITIVE_INFINITY, 0, 0, 1, 2, 3, out);
    expect(out[0]).toBeNaN();
  });

  test("turns with the heading, keeps its length, is undone by the arm turned round", () => {
    const angle = fc.double({ min: -720, max: 720, noNaN: true });
    const arm = fc.double({ min: -20, max: 20, noNaN: true });
    fc.assert(
      fc.property(angle, angle, angle, angle, arm, arm, arm, (heading, turn, pitch, roll, f, r, d) => {
        leverArm(heading, pitch, roll, f, r, d, out);
        const length = Math.hypot(f, r, d);
        expectWithin(Math.hypot(out[0]!, out[1]!, out[2]!), length, 1e-12 * 20, "length");
        leverArm(heading + turn, pitch, roll, f, r, d, back);
        const s = Math.sin((turn * Math.PI) / 180);
        const c = Math.cos((turn * Math.PI) / 180);
        expectWithin(back[0]!, out[0]! * c + out[1]! * s, 1e-11, "east after the turn");
        expectWithin(back[1]!, out[1]! * c - out[0]! * s, 1e-11, "north after the turn");
        leverArm(heading, pitch, roll, -f, -r, -d, back);
        for (let i = 0; i < 3; i++) expectWithin(out[i]! + back[i]!, 0, 1e-14, "there and back");
      }),
    );
  });
});

describe("antennaToReference", () => {
  const tractor = machine({ name: "tractor", antenna: { x: 1.2, y: -0.3, z: -3.1 } });

  test("finds the reference point behind, right of and below the antenna", () => {
    antennaToReference(tractor, 100, 200, 50, 0, 0, 0, out);
    expectWithin(out[0]!, 100.3, 1e-12);
    expectWithin(out[1]!, 198.8, 1e-12);
    expectWithin(out[2]!, 46.9, 1e-12);
  });

  test("gives back the antenna with referenceToAntenna", () => {
    const number = fc.double({ min: -3000, max: 3000, noNaN: true });
    fc.assert(
      fc.property(number, number, number, number, number, (east, north, heading, pitch, roll) => {
        antennaToReference(tractor, east, north, 10, heading, pitch, roll, out);
        referenceToAntenna(tractor, out[0]!, out[1]!, out[2]!, heading, pitch, roll, back);
        expectWithin(back[0]!, east, 1e-12 * 3000);
        expectWithin(back[1]!, north, 1e-12 * 3000);
        expectWithin(back[2]!, 10, 1e-12 * 3000);
      }),
    );
  });

  test("with an antenna over the reference point and level ground is the identity in the plane", () => {
    const plain = machine({ antenna: { x: 0, y: 0, z: 0 } });
    antennaToReference(plain, 1.25, -7.5, 3, 123, 4, 5, out);
    expect([...out]).toEqual([1.25, -7.5, 3]);
  });
});

describe("machine", () => {
  test("refuses an antenna that is no place, and says which number", () => {
    const error = expectCode(() => machine({ antenna: { x: 0, y: Number.NaN, z: 0 } }), "not-finite");
    expect(error.argument).toBe("definition.antenna.y");
    expect(expectCode(() => machine({ antenna: { x: 3100, y: 0, z: 0 } }), "out-of-range").argument).toBe(
      "definition.antenna.x",
    );
    expectCode(() => machine({} as never), "not-finite");
    expectCode(() => machine(null as never), "not-finite");
  });

  test("gives a frozen copy", () => {
    const antenna = { x: 1, y: 2, z: -3 };
    const made = machine({ antenna });
    antenna.x = 9;
    expect(made).toEqual({ name: "", antenna: { x: 1, y: 2, z: -3 } });
    expect(Object.isFrozen(made)).toBe(true);
  });
});
