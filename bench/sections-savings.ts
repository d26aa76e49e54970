import { CoverageRecord } from "../src/coverage/index.js";
import { type Point, PolygonIndex, type Polygon, signedArea } from "../src/geometry/index.js";
import { boom, evenSections, SectionControl } from "../src/sections/index.js";
import { hasData, readData } from "../tests/helpers/data.js";
import { median } from "./harness.js";

/** Boom, metres; its sections; passes at 10 km/h. */
const WIDTH = 24;
export const COUNTS: readonly number[] = [1, 7, 30, 48];
const SPEED = 10 / 3.6;

/** How many parcels, and how closely they are looked at. */
export interface SavingsOptions {
  /** parcels of each country; default 14 */
  readonly each?: number;
  /** largest parcel, m²; default 400,000 */
  readonly largest?: number;
  /** cells, metres; default 0.2 */
  readonly cell?: number;
  /** fixes a second; default 10 */
  readonly rate?: number;
}

/** One parcel: m², perimeter over area, 1/m, and for each count of sections the share of the parcel's area worked twice or outside. */
export interface SavingsRow {
  readonly area: number;
  readonly perimeterArea: number;
  readonly overlap: readonly number[];
}

interface Features {
  features: { geometry: { type: string; coordinates: [number, number][][] } }[];
}

/** Parcels without holes from 2 ha on, a fixed number of each country. */
function parcels(each: number, largest: number): Polygon[] {
  const list: Polygon[] = [];
  for (const country of ["NL", "DK", "DE-SH"]) {
    const file = `parcels/${country}.geojson`;
    if (!hasData(file)) continue;
    const data = JSON.parse(Buffer.from(readData(file)).toString("utf8")) as Features;
    let taken = 0;
    for (const { geometry } of data.features) {
      if (geometry.type !== "Polygon" || geometry.coordinates.length !== 1 || taken >= each) continue;
      const ring = geometry.coordinates[0]!;
      const [x0, y0] = ring[0]!;
      const exterior = ring.slice(0, -1).map(([x, y]): Point => [x - x0, y - y0]);
      const area = Math.abs(signedArea(exterior));
      if (area < 20_000 || area > largest) continue;
      list.push({ exterior, holes: [] });
      taken++;
    }
  }
  return list;
}

function perimeter(field: Polygon): number {
  return field.exterior.reduce((sum, [x, y], k, ring) => {
    const [nx, ny] = ring[(k + 1) % ring.length]!;
    return sum + Math.hypot(nx - x, ny - y);
  }, 0);
}

/** Heading of the longest edge, radians. */
function direction(field: Polygon): number {
  let best = 0;
  let heading = 0;
  field.exterior.forEach(([x, y], k, ring) => {
    const [nx, ny] = ring[(k + 1) % ring.length]!;
    const length = Math.hypot(nx - x, ny - y);
    if (length <= best) return;
    best = length;
    heading = Math.atan2(nx - x, ny - y);
  });
  return heading;
}

/** Work the ground within a boom's width of the boundary, as a lap round the headland leaves it. */
function lap(field: Polygon, record: CoverageRecord, from: Point, to: Point): void {
  const index = new PolygonIndex([field]);
  const c = record.cellSize;
  for (let y = from[1]; y < to[1]; y += c) {
    for (let x = from[0]; x < to[0]; x += c) {
      const [mx, my] = [x + c / 2, y + c / 2];
      if (!index.contains(mx, my) || index.distanceToBoundary(mx, my) > WIDTH) continue;
      record.mark(x, y, x + c, y, x + c, y + c, x, y + c);
    }
  }
}

/** Share of the area that is worked twice or outside, with a lap round the headland and straight passes inside it. */
function overlap(field: Polygon, record: CoverageRecord, count: number, rate: number): number {
  const lapped = record.areas();
  const control = new SectionControl({
    boom: boom({ sections: evenSections(WIDTH, count), turnOnTime: 0.4, turnOffTime: 0.3 }),
    field: [field],
    coverage: record,
    // nothing left out: off once all of a section is worked, or outside
    settings: { overlapTolerance: 1, outsideTolerance: 1 },
  });
  const heading = direction(field);
  const [s, c] = [Math.sin(heading), Math.cos(heading)];
  const along = field.exterior.map(([x, y]) => x * s + y * c);
  const right = field.exterior.map(([x, y]) => x * c - y * s);
  const [start, end] = [Math.min(...along) - 5, Math.max(...along) + 5];
  let time = 0;
  let up = true;
  // beside the lap; what lies beyond its inner edge at the far side is the last, narrow pass
  for (let r = Math.min(...right) + 1.5 * WIDTH; r < Math.max(...right) - WIDTH / 2; r += WIDTH) {
    for (let way = 0; way < end - start; way += SPEED / rate) {
      const a = up ? start + way : end - way;
      control.update({
        time,
        x: a * s + r * c,
        y: a * c - r * s,
        heading: ((((heading * 180) / Math.PI + (up ? 0 : 180)) % 360) + 360) % 360,
        speed: SPEED,
        usable: true,
        connected: way > 0,
      });
      time += 1 / rate;
    }
    time += 20;
    up = !up;
  }
  const after = record.areas();
  const twice = after.marked - after.worked - (lapped.marked - lapped.worked);
  const areas = record.areasWithin([field]);
  return (twice + areas.outside) / areas.field;
}

/** Overlap of each parcel for each count of sections; none where the parcels are not here. */
export function measureSavings(options: SavingsOptions = {}): SavingsRow[] {
  const { each = 14, largest = 400_000, cell = 0.2, rate = 10 } = options;
  return parcels(each, largest).map((field) => {
    const xs = field.exterior.map((p) => p[0]);
    const ys = field.exterior.map((p) => p[1]);
    const from: Point = [cell * Math.floor(Math.min(...xs) / cell), cell * Math.floor(Math.min(...ys) / cell)];
    const headland = new CoverageRecord({ cellSize: cell });
    lap(field, headland, from, [Math.max(...xs), Math.max(...ys)]);
    const worked = headland.snapshot();
    const area = Math.abs(signedArea(field.exterior));
    return {
      area,
      perimeterArea: perimeter(field) / area,
      overlap: COUNTS.map((count) => overlap(field, CoverageRecord.restore(worked), count, rate)),
    };
  });
}

/** Print medians of all parcels and of classes of perimeter over area. */
export function printSavings(rows: readonly SavingsRow[]): void {
  const classes: [string, number, number][] = [
    ["all", 0, Number.POSITIVE_INFINITY],
    ["under 0.015", 0, 0.015],
    ["0.015 to 0.025", 0.015, 0.025],
    ["0.025 and more", 0.025, Number.POSITIVE_INFINITY],
  ];
  console.log("\nmedian overlap, % of the parcel's area, boom of 24 m; in brackets what it saves against one section");
  console.log(`perimeter/area, 1/m    parcels   ${COUNTS.map((n) => `${n} sections`.padStart(16)).join("")}`);
  for (const [name, low, high] of classes) {
    const of = rows.filter((row) => row.perimeterArea >= low && row.perimeterArea < high);
    if (of.length === 0) continue;
    const cells = COUNTS.map((_, k) => {
      const value = 100 * median(of.map((row) => row.overlap[k]!));
      const saved = 100 * median(of.map((row) => row.overlap[0]! - row.overlap[k]!));
      return `${value.toFixed(2)} (${saved.toFixed(2)})`.padStart(16);
    });
    console.log(`${name.padEnd(22)} ${String(of.length).padStart(7)}   ${cells.join("")}`);
  }
}
