import { toGeographicLine, toGeographicPolygon, writeGeoJson } from "../../../src/exchange/index.js";
import { localFrame } from "../../../src/frames/index.js";
import { type Point, pathLength, RADIANS } from "../../../src/geometry/index.js";
import { offsetLine } from "../../../src/offset/index.js";
import { normal, uniform } from "./chance.js";
import { stretch } from "./polyline.js";

// all invented; the field's own axes: u along the passes, v across them to the right
const ORIGIN = { latitude: 47.25, longitude: 20.75, altitude: 128.95 }; // a plain; chosen for its round numbers
const FRAME = localFrame(ORIGIN);
const ROW_HEADING = 11; // degrees, direction of u
const FIELD_WIDTH = 290; // m between the western corners and the east side, which is straight: it cuts the last pass short
const LENGTH_LEFT = 358; // m from corner to corner on the left; the far end slants from here ...
const LENGTH_RIGHT = 442; // ... to here
const BULGE = 20; // m that the west side lies out of its chord in the middle: a radius of 800 m
const CORNERS = 24; // pieces of the west side as surveyed
const POND = { u: 192, v: 148, alongRows: 17, acrossRows: 13.5 };
const GATE = 240; // m from the left corner, on the near side
const RECORDED = { inside: 12, every: 5, noise: 0.01, standing: 12 }; // m, m, m, fixes

const SIN = Math.sin(ROW_HEADING * RADIANS);
const COS = Math.cos(ROW_HEADING * RADIANS);

/** Field axes to metres east and north of the origin. */
function toLocal([u, v]: Point): Point {
  return [u * SIN + v * COS, u * COS - v * SIN];
}

/** The west side from south to north: a parabola, along a lane. */
function westSide(pieces: number): Point[] {
  return Array.from({ length: pieces + 1 }, (_, i): Point => {
    const t = i / pieces;
    return [t * LENGTH_LEFT, -4 * BULGE * t * (1 - t)];
  });
}

function pondRing(): Point[] {
  const next = uniform(11);
  return Array.from({ length: 18 }, (_, i): Point => {
    const angle = (2 * Math.PI * i) / 18;
    const size = 0.93 + 0.14 * next();
    return [POND.u + POND.alongRows * size * Math.cos(angle), POND.v + POND.acrossRows * size * Math.sin(angle)];
  });
}

/** Text of field.geojson: the field with its pond, and the gate. */
export function fieldText(): string {
  const boundary: Point[] = [[0, 0], [0, FIELD_WIDTH], [LENGTH_RIGHT, FIELD_WIDTH], ...westSide(CORNERS).reverse()];
  boundary.pop(); // the first corner again
  const polygon = { exterior: boundary.map(toLocal), holes: [pondRing().map(toLocal)] };
  const [gate] = toGeographicLine(FRAME, [toLocal([0, GATE])]);
  return writeGeoJson(
    {
      fields: [
        {
          polygons: [toGeographicPolygon(FRAME, polygon)],
          properties: {
            name: "Pond Piece",
            farm: "Ambermoor",
            crop: "Winter wheat",
            operation: "Liquid fertiliser, first dressing",
            notes: "Invented field. Pond with a reed rim in the middle: nothing within 3 m of it.",
          },
        },
      ],
      points: [{ position: gate!, properties: { name: "gate" } }],
    },
    { decimals: 8, indent: 2 },
  );
}

/** Text of line.geojson: a point every few metres beside the west side, with a receiver's noise and a standstill at its start. */
export function lineText(): string {
  const [beside] = offsetLine(westSide(400).map(toLocal), RECORDED.inside);
  const { points } = beside!;
  const length = pathLength(points);
  const noise = normal(61);
  const recorded: Point[] = [];
  const record = ([x, y]: Point): void => {
    recorded.push([x + RECORDED.noise * noise(), y + RECORDED.noise * noise()]);
  };
  for (let i = 0; i < RECORDED.standing; i++) record(points[0]!);
  for (let s = RECORDED.every; s < length; s += RECORDED.every) record(stretch(points, s, length)[0]!);
  return writeGeoJson(
    {
      lines: [
        {
          positions: toGeographicLine(FRAME, recorded),
          properties: { name: "along the lane", recorded: "2024-09-28" },
        },
      ],
    },
    { decimals: 8, indent: 2 },
  );
}
