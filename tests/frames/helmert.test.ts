import { describe, expect, it } from "vitest";
import { degreesFromArcSeconds, helmert, type HelmertParameters, inverseHelmert } from "../../src/frames/index.js";
import { expectWithin } from "../helpers/within.js";

// IOGP 373-7-2, EPSG methods 9606 and 9607: WGS 72 to WGS 84 at 55 N 4 E
const SOURCE = [3657660.66, 255768.55, 5201382.11] as const;
const vector: HelmertParameters = {
  translation: [0, 0, 4.5],
  rotation: [0, 0, degreesFromArcSeconds(0.554)],
  scale: 0.219e-6,
  convention: "position-vector",
};
const frame: HelmertParameters = {
  ...vector,
  rotation: [0, 0, degreesFromArcSeconds(-0.554)],
  convention: "coordinate-frame",
};

describe("helmert", () => {
  it("gives the published target, by either convention", () => {
    for (const parameters of [vector, frame]) {
      const [x, y, z] = helmert(SOURCE, parameters);
      // printed to the centimetre
      expectWithin(x, 3657660.78, 0.01);
      expectWithin(y, 255778.43, 0.005);
      expectWithin(z, 5201387.75, 0.005);
      // PROJ 9.1.1, cct
      expectWithin(x, 3657660.7741, 5e-5);
      expectWithin(y, 255778.43, 5e-5);
      expectWithin(z, 5201387.7491, 5e-5);
    }
  });

  it("is 19.65 m off with the other convention, as PROJ is", () => {
    const [, y] = helmert(SOURCE, { ...vector, convention: "coordinate-frame" });
    expectWithin(y, 255758.78, 0.005);
  });

  it("comes back, to the square of the rotation", () => {
    const back = inverseHelmert(helmert(SOURCE, vector), vector);
    for (const i of [0, 1, 2] as const) expectWithin(back[i], SOURCE[i], 5e-5);
    const large: HelmertParameters = {
      translation: [570.8, 85.7, 462.8],
      rotation: [degreesFromArcSeconds(4.998), degreesFromArcSeconds(1.587), degreesFromArcSeconds(5.261)],
      scale: 3.56e-6,
      convention: "position-vector",
    };
    const far = inverseHelmert(helmert(SOURCE, large), large);
    expect(Math.hypot(far[0] - SOURCE[0], far[1] - SOURCE[1], far[2] - SOURCE[2])).toBeLessThan(0.009);
  });

  it("is exact both ways for a translation alone", () => {
    const shift: HelmertParameters = { translation: [674.374, 15.056, 405.346], convention: "position-vector" };
    const back = inverseHelmert(helmert(SOURCE, shift), shift);
    for (const i of [0, 1, 2] as const) expectWithin(back[i], SOURCE[i], 1e-9);
  });
});
