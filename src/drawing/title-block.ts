import type { DrawingLabels, DrawingOptions } from "./content.js";
import { drawLegend, LEGEND_LINE } from "./legend.js";
import { roundLengthBelow } from "./round-length.js";
import type { Box, Sheet } from "./sheet.js";
import { type Layer, LETTERING } from "./styles.js";
import { breakText, cutLines, textElement } from "./text.js";
import { element, hundredths } from "./xml.js";

const INSET = 4; // mm
const SCALE_WIDTH = 50; // mm
const LEGEND_WIDTH = 54; // mm
const SCALE_HEIGHT = 42; // mm
const NARROW = 180; // mm, sheets narrower than this have no room for three columns
const TEXT_ROW = 28; // mm
const BAR = 41; // mm, longest scale bar
const LINE = 1.5; // height of a line of text by the height of its letters
const INK = "#1c1c1c";

/**
 * Height of the block under the map of an upright sheet, millimetres: room for so many lines of legend, and on a narrow
 * sheet for the text above it, which stands beside it on a wider one.
 */
export function blockHeight(legendLines: number, sheetWidth: number): number {
  return Math.max(SCALE_HEIGHT, legendLines * LEGEND_LINE) + 2 * INSET + (sheetWidth < NARROW ? TEXT_ROW : 0);
}

/** Title, lines, legend, north arrow, scale and scale bar, in the sheet's block. */
export function drawBlock(
  sheet: Sheet,
  layers: ReadonlySet<Layer>,
  labels: DrawingLabels,
  options: DrawingOptions,
): string {
  const { block } = sheet;
  const inner: Box = {
    x: block.x + INSET,
    y: block.y + INSET,
    width: block.width - 2 * INSET,
    height: block.height - 2 * INSET,
  };
  const legendHeight = layers.size * LEGEND_LINE;
  if (sheet.upright) {
    const row = sheet.width < NARROW ? TEXT_ROW : 0;
    const lower = { ...inner, y: inner.y + row, height: inner.height - row };
    const scaleBox = { ...lower, x: inner.x + inner.width - SCALE_WIDTH + INSET, width: SCALE_WIDTH - INSET };
    const legendX = row > 0 ? inner.x : scaleBox.x - INSET - LEGEND_WIDTH;
    const legendBox = { ...lower, x: legendX, width: scaleBox.x - INSET - legendX };
    const textBox =
      row > 0 ? { ...inner, height: row - INSET / 2 } : { ...inner, width: legendBox.x - INSET - inner.x };
    return (
      frame(block) +
      (row > 0
        ? rule(block.x, lower.y - INSET / 2, block.width, 0)
        : rule(legendBox.x - INSET / 2, block.y, 0, block.height)) +
      rule(
        scaleBox.x - INSET / 2,
        block.y + (row > 0 ? row + INSET / 2 : 0),
        0,
        lower.height + (row > 0 ? 1.5 : 2) * INSET,
      ) +
      words(textBox, options) +
      drawLegend(layers, labels, legendBox) +
      scaleAndNorth(scaleBox, sheet, labels, options)
    );
  }
  const scaleBox = { ...inner, y: inner.y + inner.height - SCALE_HEIGHT, height: SCALE_HEIGHT };
  const legendBox = { ...inner, y: scaleBox.y - 2 * INSET - legendHeight, height: legendHeight };
  const textBox = { ...inner, height: legendBox.y - 2 * INSET - inner.y };
  return (
    frame(block) +
    rule(block.x, scaleBox.y - INSET, block.width, 0) +
    (layers.size === 0 ? "" : rule(block.x, legendBox.y - INSET, block.width, 0)) +
    words(textBox, options) +
    drawLegend(layers, labels, legendBox) +
    scaleAndNorth(scaleBox, sheet, labels, options)
  );
}

function words(box: Box, options: DrawingOptions): string {
  let y = box.y;
  const end = box.y + box.height;
  const write = (text: string, size: number, weight: string | undefined): string => {
    const room = Math.floor((end - y) / (LINE * size));
    return cutLines(breakText(text, size, box.width), room)
      .map((line) => {
        y += LINE * size;
        return textElement(line, box.x, y - 0.4 * size, size, { "font-weight": weight });
      })
      .join("");
  };
  const title =
    options.title === undefined || options.title === "" ? "" : write(options.title, LETTERING.large, "bold");
  if (title !== "") y += 1.5;
  const lines = options.lines ?? [];
  return title + (lines.length === 0 ? "" : write(lines.join("\n"), LETTERING.ordinary, undefined));
}

function scaleAndNorth(box: Box, sheet: Sheet, labels: DrawingLabels, options: DrawingOptions): string {
  const middle = box.x + box.width / 2;
  const small = LETTERING.small;
  const caption = options.grid === false ? [] : cutLines(breakText(labels.grid, small, box.width), 2);
  return (
    northArrow(middle, box.y, labels.north) +
    textElement(`1 : ${sheet.scale}`, middle, box.y + 24, LETTERING.large, { "text-anchor": "middle" }) +
    scaleBar(middle, box.y + 27.5, BAR, sheet.perMetre) +
    caption
      .map((line, i) =>
        textElement(line, middle, box.y + 38 + i * 1.4 * small, small, { "text-anchor": "middle", fill: "#555555" }),
      )
      .join("")
  );
}

/** A needle of 13 mm, its western half dark, its tip upwards: the frame's north. */
function northArrow(x: number, top: number, letter: string): string {
  const at = `M${hundredths(x)},${hundredths(top + 4)}`;
  return element(
    "g",
    { class: "north-arrow", stroke: INK, "stroke-width": 0.18, "stroke-linejoin": "round" },
    element("path", { d: `${at}l-2.2,13 2.2,-2.6z`, fill: INK }) +
      element("path", { d: `${at}l2.2,13 -2.2,-2.6z`, fill: "#ffffff" }) +
      textElement(letter, x, top + 2.6, LETTERING.large, { "text-anchor": "middle", stroke: "none" }),
  );
}

/** A bar of a round length, dark and light by turns, with its start, middle and end written under it. */
function scaleBar(middle: number, top: number, widest: number, perMetre: number): string {
  const { value, mantissa, exponent } = roundLengthBelow(widest / perMetre);
  const parts = mantissa === 5 ? 5 : 4;
  const width = value * perMetre;
  const left = middle - width / 2;
  const height = 1.4;
  let out = "";
  for (let i = 0; i < parts; i++) {
    out += element("rect", {
      x: left + (i * width) / parts,
      y: top,
      width: width / parts,
      height,
      fill: i % 2 === 0 ? INK : "#ffffff",
    });
  }
  out = element("g", { class: "scale-bar", stroke: INK, "stroke-width": 0.18 }, out);
  const inKilometres = value >= 1000;
  const unit = inKilometres ? "km" : "m";
  const shown = value / (inKilometres ? 1000 : 1);
  const decimals = Math.max(0, (inKilometres ? 3 : 0) - exponent);
  const write = (text: string, x: number): string =>
    textElement(text, x, top + height + 3, LETTERING.ordinary, { "text-anchor": "middle" });
  return (
    out +
    write("0", left) +
    (mantissa === 5
      ? ""
      : write((shown / 2).toFixed(decimals + (mantissa === 1 ? 1 : 0)).replace(/\.0$/, ""), middle)) +
    write(`${shown.toFixed(decimals)} ${unit}`, left + width)
  );
}

function frame(box: Box): string {
  return element("rect", {
    x: box.x,
    y: box.y,
    width: box.width,
    height: box.height,
    fill: "none",
    stroke: INK,
    "stroke-width": 0.25,
  });
}

function rule(x: number, y: number, across: number, down: number): string {
  const d =
    across > 0
      ? `M${hundredths(x)},${hundredths(y)}h${hundredths(across)}`
      : `M${hundredths(x)},${hundredths(y)}v${hundredths(down)}`;
  return element("path", { d, fill: "none", stroke: INK, "stroke-width": 0.13 });
}
