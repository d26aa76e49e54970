import type { GeoData } from "../../src/exchange/index.js";
import { type FieldContent, fieldFeatures, fieldPassLines } from "../../src/exchange/features/index.js";
import { type LocalFrame, localFrame } from "../../src/frames/index.js";
import type { Point, Polygon } from "../../src/geometry/index.js";
import { guidancePattern, straightLine } from "../../src/guidance/index.js";

/** An invented farm, the same in every run: a field with a pond, its headland, a pattern with its passes, a drive, some orders. */
export const frame: LocalFrame = localFrame({ latitude: 47.25, longitude: 20.75, altitude: 88 });

const pond: Point[] = [
  [150, 120],
  [180, 120],
  [180, 150],
  [150, 150],
  [150, 120],
];
export const field: readonly Polygon[] = [
  {
    exterior: [
      [0, 0],
      [400, 10],
      [380, 300],
      [-10, 280],
      [0, 0],
    ],
    holes: [pond],
  },
];

export const start = 1714550400;

const pattern = guidancePattern(straightLine([20, 0], [30, 300], { name: "Ditch side" }), { swathWidth: 36 });
/** the ring half a swath about the pond: one round that no corner was rounded of, to keep the files short */
const round: Point[] = [
  [132, 102],
  [132, 168],
  [198, 168],
  [198, 102],
  [132, 102],
];

export const content: FieldContent = {
  name: "Pond Piece & Neck",
  field,
  worked: [{ exterior: [...round].reverse(), holes: [[...pond].reverse()] }],
  rounds: [
    {
      line: round,
      closed: true,
      source: "obstacle",
      index: 0,
      obstacles: [0],
      number: 1,
      distance: 18,
      drivable: false,
      reason: "tight-turn",
    },
  ],
  patterns: [pattern],
  passes: fieldPassLines(pattern, field),
  switchings: [0, 1, 2].map((i) => ({
    time: start + i * 10.1,
    exactTime: start + i * 10.1 - 0.04,
    boom: 0,
    section: i,
    on: i !== 2,
    reason: i === 2 ? ("worked-already" as const) : ("working" as const),
    pass: 4,
    x: 160 + 12 * i,
    y: 40 + 20 * i,
  })),
};

/** the farm as features, and a drive with times and heights */
export const farm: Pick<GeoData, "fields" | "lines" | "points"> = (() => {
  const { fields, lines, points } = fieldFeatures(frame, content);
  const drive = {
    positions: Array.from({ length: 12 }, (_, i) => frame.toGeodetic([20 + i, 30 + 8 * i], 88 + i / 8)).map(
      ({ latitude, longitude, altitude }) => ({
        latitude,
        longitude,
        altitude: Math.round((altitude ?? 0) * 1e3) / 1e3,
      }),
    ),
    properties: { name: "drive", times: Array.from({ length: 12 }, (_, i) => start + i * 0.25) },
  };
  return { fields, lines: [...lines, drive], points };
})();
