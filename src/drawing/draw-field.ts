import { checkContent } from "./check-content.js";
import { type DrawingContent, type DrawingOptions, LABELS } from "./content.js";
import { drawGrid } from "./grid.js";
import { drawMap } from "./map.js";
import { laySheet } from "./sheet.js";
import { patterns } from "./styles.js";
import { blockHeight, drawBlock } from "./title-block.js";
import { element, escapeXml } from "./xml.js";

/**
 * Draw a field and what was done on it as a plain survey plan: one SVG text, to print or to show.
 *
 * The sheet is measured in millimetres and drawn at a round scale, so that a print at full size can be measured with a
 * ruler. The frame's north (y) is up. Layers are told apart by tint, hatching, dashes and shape, never by colour alone.
 * Shapes are simplified to 0.04 mm of paper and coordinates rounded to 0.01 mm; ground worked, worked twice or missed that
 * is under 0.3 mm both ways is left out, an obstacle never. The same input gives the same text, byte for byte. Empty
 * content gives an empty sheet.
 *
 * With a field given, the map shows the field and up to a quarter of its longer side around it; what lies farther
 * off is cut at the map's edge. Without a field all shapes are shown.
 *
 * @param content - shapes in one local frame, metres
 * @param options - title, lines of text, sheet, grid, words
 * @returns a whole SVG document, without XML declaration, so that it can stand in a page too; its groups carry classes named
 * after the layers (`boundary`, `worked`, `overlap`, ...)
 * @throws {@link errors.FeeringError | FeeringError} `not-finite` for a coordinate that is no finite number, `out-of-range` for one beyond 1e8 m
 * either way or a sheet outside 140 to 2000 mm, `too-few-points` for what is no list of points, `bad-format` for text that is no string
 *
 * @example
 * ```ts
 * const svg = drawField(
 *   { field: [{ exterior: [[0, 0], [300, 0], [300, 400], [0, 400]], holes: [] }] },
 *   { title: "Pond Piece", lines: ["12.00 ha"] },
 * );
 * console.log(svg.slice(0, 4)); // "<svg"
 * ```
 */
export function drawField(content: DrawingContent, options: DrawingOptions = {}): string {
  checkContent(content, options);
  const labels = { ...LABELS, ...options.labels };
  const lines = legendLines(content);
  const sheet = laySheet(content, options.paper, (width) => blockHeight(lines, width));
  const map = drawMap(content, sheet);
  const grid = options.grid === false ? { crosses: "", coordinates: "" } : drawGrid(sheet);
  const { x, y, width, height } = sheet.map;
  const frame = { x, y, width, height };
  // named after its own measures: drawings in one page share it only where they may
  const clip = `feering-map-${[x, y, width, height].map((length) => Math.round(length * 100)).join("-")}`;

  const inside = [
    element("title", {}, escapeXml(options.title ?? "")),
    element("defs", {}, patterns() + element("clipPath", { id: clip }, element("rect", frame))),
    element("rect", { width: sheet.width, height: sheet.height, fill: "#ffffff" }),
    element("g", { class: "map", "clip-path": `url(#${clip})` }, map.shapes + grid.crosses),
    map.labels,
    grid.coordinates,
    element("rect", { ...frame, class: "map-frame", fill: "none", stroke: "#1c1c1c", "stroke-width": 0.35 }),
    drawBlock(sheet, map.layers, labels, options),
  ].filter((part) => part !== "");
  return `${element(
    "svg",
    {
      xmlns: "http://www.w3.org/2000/svg",
      width: `${sheet.width}mm`,
      height: `${sheet.height}mm`,
      viewBox: `0 0 ${sheet.width} ${sheet.height}`,
      "font-family": "sans-serif",
      fill: "#1c1c1c",
      role: "img",
    },
    `\n${inside.join("\n")}\n`,
  )}\n`;
}

/** How many lines the legend may need: what leaves no mark at the final scale gets none, but the room is kept. */
function legendLines(content: DrawingContent): number {
  const field = content.field ?? [];
  const switchings = content.switchings ?? [];
  const kinds = [
    field,
    field.flatMap((polygon) => polygon.holes),
    content.mainfield,
    content.closed,
    content.worked,
    content.overlap,
    content.missed,
    content.passes,
    content.rounds,
    content.referenceLine,
    content.track,
    content.gaps,
    switchings.filter((switching) => switching.on),
    switchings.filter((switching) => !switching.on),
  ];
  return kinds.filter((kind) => kind !== undefined && kind.length > 0).length;
}
