import type { DrawingLabels } from "./content.js";
import type { Box } from "./sheet.js";
import { type Layer, LETTERING, STYLES, switchingMark } from "./styles.js";
import { breakText, cutLines, textElement } from "./text.js";
import { element } from "./xml.js";

/** Height of one line of the legend, millimetres. */
export const LEGEND_LINE = 3.9;

const SWATCH = 10; // mm
const ORDER: readonly Layer[] = [
  "boundary",
  "obstacle",
  "mainfield",
  "closed",
  "worked",
  "overlap",
  "missed",
  "referenceLine",
  "round",
  "pass",
  "track",
  "gap",
  "on",
  "off",
];

/** The legend: one line for each layer that is on the map, from the box's upper left corner downwards. */
export function drawLegend(layers: ReadonlySet<Layer>, labels: DrawingLabels, box: Box): string {
  const size = LETTERING.ordinary;
  return ORDER.filter((name) => layers.has(name))
    .map((name, i) => {
      const middle = box.y + (i + 0.5) * LEGEND_LINE;
      const words = cutLines(breakText(labels[name], size, box.width - SWATCH - 2.5), 1)[0] ?? "";
      return (
        element("path", { d: swatch(name, box.x, middle), ...STYLES[name] }) +
        textElement(words, box.x + SWATCH + 2.5, middle + 0.36 * size, size)
      );
    })
    .join("");
}

function swatch(name: Layer, x: number, y: number): string {
  const left = Math.round(x * 100) / 100;
  const top = Math.round((y - 1.5) * 100) / 100;
  switch (name) {
    case "worked":
    case "overlap":
    case "missed":
    case "obstacle":
    case "mainfield":
    case "closed":
      return `M${left},${top}h${SWATCH}v3h-${SWATCH}z`;
    case "boundary":
    case "track":
    case "pass":
    case "round":
    case "referenceLine":
    case "gap":
      return `M${left},${Math.round(y * 100) / 100}h${SWATCH}`;
    case "on":
    case "off":
      return switchingMark(x + SWATCH / 2, y, name === "on");
  }
}
