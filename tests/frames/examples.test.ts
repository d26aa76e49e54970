import { describe, expect, it } from "vitest";
import {
  degreesFromArcSeconds,
  geodeticToGeocentric,
  GRS80,
  helmert,
  type HelmertParameters,
  localFrame,
  projectedCrs,
  toUtm,
  transverseMercator,
} from "../../src/frames/index.js";

/** Every example of the doc comments, with the output printed beside it. */
describe("examples of the documentation", () => {
  it("localFrame", () => {
    const frame = localFrame({ latitude: 52.1, longitude: 5.3 });
    const [x, y] = frame.toLocal({ latitude: 52.101, longitude: 5.302 });
    expect([x.toFixed(3), y.toFixed(3)]).toEqual(["137.047", "111.271"]);
    expect(frame.toGeodetic([x, y]).latitude.toFixed(6)).toBe("52.101000");
  });

  it("geodeticToGeocentric", () => {
    const point = geodeticToGeocentric({ latitude: 55, longitude: 12, altitude: 10 });
    expect(point.map((v) => v.toFixed(4))).toEqual(["3586475.2672", "762328.8513", "5201391.7147"]);
  });

  it("helmert", () => {
    const parameters: HelmertParameters = {
      translation: [0, 0, 4.5],
      rotation: [0, 0, degreesFromArcSeconds(0.554)],
      scale: 0.219e-6,
      convention: "position-vector",
    };
    const point = helmert([3657660.66, 255768.55, 5201382.11], parameters);
    expect(point.map((v) => v.toFixed(2))).toEqual(["3657660.77", "255778.43", "5201387.75"]);
  });

  it("transverseMercator", () => {
    const grid = transverseMercator({
      centralMeridian: 9,
      scaleFactor: 0.9996,
      falseEasting: 500_000,
      ellipsoid: GRS80,
    });
    const [easting, northing] = grid.toProjected({ latitude: 55, longitude: 12 });
    expect([easting.toFixed(3), northing.toFixed(3)]).toEqual(["691875.632", "6098907.825"]);
  });

  it("toUtm", () => {
    const p = toUtm({ latitude: 52.1, longitude: 5.3 });
    expect([p.zone, p.hemisphere, p.easting.toFixed(3), p.northing.toFixed(3)]).toEqual([
      31,
      "north",
      "657533.832",
      "5774656.193",
    ]);
  });

  it("projectedCrs", () => {
    const crs = projectedCrs("EPSG:28992");
    expect([crs.accuracy.metres, crs.accuracy.kind]).toEqual([0.25, "helmert"]);
    const [x, y] = crs.toProjected({ latitude: 52.1, longitude: 5.3 });
    expect([x.toFixed(1), y.toFixed(1)]).toEqual(["149024.9", "456865.1"]);
  });
});
