// The pictures of the docs pages, made by the library itself: npx tsx scripts/draw-pictures.ts
import { mkdirSync, writeFileSync } from "node:fs";
import type { Line, Point, Polygon, Ring } from "../src/geometry/index.js";
import { simplifyLine } from "../src/geometry/index.js";
import { headland } from "../src/headland/index.js";
import { drivableLine, offsetFamily, offsetLine } from "../src/offset/index.js";

const out = new URL("../docs/pictures/", import.meta.url);
mkdirSync(out, { recursive: true });

interface Style {
  readonly stroke?: string;
  readonly width?: number;
  readonly dash?: string;
  readonly fill?: string;
}

/** A plain sheet: metres in, north up, one scale. */
class Sheet {
  private readonly parts: string[] = [];
  constructor(
    private readonly box: readonly [west: number, south: number, east: number, north: number],
    private readonly scale: number,
  ) {}

  private at([x, y]: Point): string {
    return `${((x - this.box[0]) * this.scale).toFixed(2)} ${((this.box[3] - y) * this.scale).toFixed(2)}`;
  }

  path(lines: readonly Line[], style: Style): this {
    // a tenth of a dot is not seen
    const fine = lines.map((line) => (line.length > 2 ? simplifyLine(line, 0.1 / this.scale) : line));
    const d = fine.map((line) => `M${line.map((point) => this.at(point)).join("L")}`).join("");
    const { stroke = "#222", width = 1, dash, fill = "none" } = style;
    const dashes = dash === undefined ? "" : ` stroke-dasharray="${dash}"`;
    this.parts.push(
      `<path d="${d}" fill="${fill}" fill-rule="evenodd" stroke="${stroke}" stroke-width="${width}"${dashes} stroke-linejoin="round"/>`,
    );
    return this;
  }

  polygons(polygons: readonly Polygon[], style: Style): this {
    return this.path(
      polygons.flatMap(({ exterior, holes }): Ring[] => [exterior, ...holes]),
      style,
    );
  }

  text(at: Point, words: string): this {
    const [x, y] = this.at(at).split(" ");
    this.parts.push(`<text x="${x}" y="${y}" font-family="sans-serif" font-size="12" fill="#222">${words}</text>`);
    return this;
  }

  bar(at: Point, metres: number): this {
    const end: Point = [at[0] + metres, at[1]];
    return this.path([[at, end]], { width: 3 }).text([end[0] + 6 / this.scale, at[1] - 4 / this.scale], `${metres} m`);
  }

  write(name: string): void {
    const [west, south, east, north] = this.box;
    const w = ((east - west) * this.scale).toFixed(0);
    const h = ((north - south) * this.scale).toFixed(0);
    const hatch =
      '<defs><pattern id="dots" width="6" height="6" patternUnits="userSpaceOnUse"><circle cx="2" cy="2" r="1.1" fill="#204a6e"/></pattern>' +
      '<pattern id="lines" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path d="M0 0V5" stroke="#8a3a2a" stroke-width="1.4"/></pattern></defs>';
    const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${w}" height="${h}" viewBox="0 0 ${w} ${h}">\n${hatch}\n<rect width="100%" height="100%" fill="#fff"/>\n${this.parts.join("\n")}\n</svg>\n`;
    writeFileSync(new URL(name, out), svg);
    console.log(`docs/pictures/${name} ${(svg.length / 1024).toFixed(0)} kB`);
  }
}

const closed = (ring: Ring): Ring => [...ring, ring[0]!];
const GREY = "#9a9a9a";

cusps();
pinched();
corners();
drivable();

/** A bend of 14 m radius and its parallels: shifted point by point with their loops, and trimmed. */
function cusps(): void {
  const line: Point[] = [];
  for (let i = 0; i <= 200; i++) {
    const x = -60 + (120 * i) / 200;
    line.push([x, 34 * Math.exp(-((x / 24) ** 2))]);
  }
  const sheet = new Sheet([-66, -52, 72, 58], 6);
  // what shifting each point along its normal gives, loops and all
  const shifted = (d: number): Point[] =>
    line.map(([x, y], i): Point => {
      const a = line[Math.max(0, i - 1)]!;
      const b = line[Math.min(line.length - 1, i + 1)]!;
      const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
      return [x + (d * (b[1] - a[1])) / length, y - (d * (b[0] - a[0])) / length];
    });
  const distances = [6, 12, 18, 24, 30, 36];
  for (const d of distances) sheet.path([shifted(d)], { stroke: GREY, width: 0.8, dash: "3 3" });
  for (const member of offsetFamily(line, [-6, -12, -18, ...distances])) {
    sheet.path(
      member.map((piece) => piece.points),
      { width: 1.2 },
    );
  }
  sheet.path([line], { width: 2.6 });
  sheet.bar([-60, -48], 24).text([0, -48], "source heavy, parallels 6 m apart; dashed: points only shifted");
  sheet.write("offset-cusps.svg");
}

/** A field that pinches: rounds from the field itself, two mainfields. */
function pinched(): void {
  const ring: Point[] = [];
  for (let i = 0; i < 120; i++) {
    const t = (2 * Math.PI * i) / 120;
    const r = 62 + 38 * Math.cos(2 * t) + 6 * Math.sin(3 * t);
    ring.push([1.35 * r * Math.cos(t), r * Math.sin(t) * 0.95]);
  }
  const field: Polygon = { exterior: ring, holes: [] };
  const sheet = new Sheet([-145, -75, 145, 72], 3.4);
  sheet.polygons([{ exterior: closed(ring), holes: [] }], { width: 2.4 });
  for (const member of offsetFamily(field, [-6, -12, -18, -24, -30, -36, -42])) sheet.polygons(member, { width: 1 });
  sheet.bar([-138, -68], 50).text([-60, -68], "boundary heavy, offsets 6 m apart, each from the boundary itself");
  sheet.write("offset-pinched.svg");
}

/** Headland rounds of a field with an obstacle, and what their corners leave. */
function corners(): void {
  const field: Polygon[] = [
    {
      exterior: [
        [0, 0],
        [150, -12],
        [168, 88],
        [96, 108],
        [70, 72],
        [10, 96],
      ],
      holes: [
        [
          [104, 42],
          [116, 40],
          [120, 50],
          [108, 56],
        ],
      ],
    },
  ];
  const made = headland(field, { swathWidth: 9, rounds: 2, obstacleRounds: 1, minimumRadius: 7 });
  const sheet = new Sheet([-8, -24, 190, 114], 5);
  sheet.polygons(
    field.map(({ exterior, holes }) => ({ exterior: closed(exterior), holes: holes.map(closed) })),
    { width: 2.4 },
  );
  sheet.polygons(made.mainfield, { width: 1, dash: "6 4", fill: "#efe9dc" });
  sheet.path(
    made.rounds.map((round) => round.line),
    { width: 1.1, stroke: "#222" },
  );
  sheet.polygons(
    made.uncovered.flatMap((place) => place.outline),
    { fill: "url(#dots)", stroke: "#204a6e", width: 0.7 },
  );
  sheet.bar([0, -20], 20).text([34, -20], "rounds thin, mainfield tinted, dotted: what no swath of the rounds reaches");
  sheet.write("headland-corners.svg");
}

/** The inner corner of a pass, the line that a machine of 10 m radius can drive, and the ground between the two. */
function drivable(): void {
  const source: Point[] = [
    [-34, 0],
    [0, 0],
    [0, 34],
  ];
  const pass = offsetLine(source, -12)[0]!.points;
  const made = drivableLine(pass, { minimumRadius: 10 });
  const sheet = new Sheet([-36, -5, 8, 36], 14);
  // the ground between the two lines
  sheet.path([[...pass, ...[...made.points].reverse(), pass[0]!]], { fill: "url(#lines)", width: 0 });
  sheet.path([source], { width: 2.6 });
  sheet.path([pass], { stroke: "#555", width: 1.4, dash: "6 4" });
  sheet.path([made.points], { width: 1.8 });
  const apart = Math.max(made.report.largestGap, made.report.largestOverlap).toFixed(2);
  sheet.bar([-35, 34], 6).text([-24, 34.2], `exact pass dashed, drivable line full, ${apart} m apart at the corner`);
  sheet.write("drivable-line.svg");
}
