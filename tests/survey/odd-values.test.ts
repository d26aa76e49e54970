import { expect, test } from "vitest";
import { CoverageRecord } from "../../src/coverage/index.js";
import * as survey from "../../src/survey/index.js";
import { codesOf, ODD } from "./odd.js";

const ring = [
  [0, 0],
  [200, 0],
  [200, 100],
  [0, 100],
];
const hole = [
  [10, 10],
  [20, 10],
  [20, 20],
];
const positions = [
  { latitude: 52, longitude: 5 },
  { latitude: 52.01, longitude: 5 },
  { latitude: 52.01, longitude: 5.01 },
];
const frame = { origin: { latitude: 52, longitude: 5, altitude: 0 } };
const outline = { closing: 1, smallestHole: 5, smallestPart: 5, tolerance: 0.1 };
const lap = {
  lateralOffset: 1,
  join: "round",
  maximumGap: 5,
  maximumInRun: 10,
  noiseRadius: 0.1,
  maximumLoop: 50,
  maximumStep: 1000,
  times: [0, 20, 40, 60, 80],
  simplify: 0.1,
  maximumSpeed: 15,
};
const tool = { ...outline, lateralOffset: 0, forwardOffset: 0, minimumStep: 0.5, maximumStep: 20, cellSize: 0.1 };

const record = new CoverageRecord();
record.mark(0, 0, 10, 0, 10, 20, 0, 20);

test.each<[keyof typeof survey, readonly unknown[]]>([
  ["areaDeviation", [ring, 0.1]],
  ["boundaryFromCoverage", [record, outline]],
  ["boundaryFromLap", [[...ring, [0, 0]], lap]],
  ["boundaryFromPoints", [ring, [hole]]],
  [
    "boundaryFromTrack",
    [
      [
        [0, 0],
        [5, 0],
        [10, 0],
      ],
      6,
      tool,
    ],
  ],
  ["addPoint", [ring, [1, 1]]],
  ["insertPoint", [ring, 1, [1, 1]]],
  ["movePoint", [ring, 1, [1, 1]]],
  ["removePoint", [ring, 1]],
  ["geodesicDistance", [positions[0], positions[1]]],
  ["geodesicBearing", [positions[0], positions[1]]],
  ["geodesicDestination", [positions[0], 10, 10]],
  ["measurePath", [ring, { frame }]],
  ["measurePathGeodesic", [positions]],
  ["measurePolygon", [{ exterior: ring, holes: [hole] }, { frame }]],
  ["measurePolygonGeodesic", [{ exterior: positions, holes: [] }]],
  ["planArea", [10, 5]],
  ["slopeAngle", [0.1]],
  ["slopeArea", [10, 5]],
])("%s with odd values in every place gives a result or the one error, nothing else", (name, good) => {
  const { accepted, refused, other } = codesOf(survey[name], good);
  expect(other).toEqual([]);
  expect(accepted + refused).toBeGreaterThanOrEqual(ODD.length);
  expect(refused).toBeGreaterThan(ODD.length / 2);
});
