import { mkdirSync, writeFileSync } from "node:fs";
import { type Line, type Point, type Polygon, type Ring, simplifyLine } from "../src/geometry/index.js";

const out = new URL("../docs/pictures/", import.meta.url);
mkdirSync(out, { recursive: true });

/** How a line or a surface is drawn. */
export interface Style {
  readonly stroke?: string;
  readonly width?: number;
  readonly dash?: string;
  readonly fill?: string;
}

/** A plain sheet: metres in, north up, one scale. */
export class Sheet {
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

/** A ring with its first point again at its end. */
export const closed = (ring: Ring): Ring => [...ring, ring[0]!];
/** for what stands back */
export const GREY = "#9a9a9a";
