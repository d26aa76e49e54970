import type { Line, Polygon } from "../geometry/types.js";
import type { DrawingContent } from "./content.js";
import { endLetters, type Label, passNumbers, roundNumbers, thinPasses } from "./pass-numbers.js";
import { linePath, obstaclePath, onSheet, polygonPath, ringPath } from "./paths.js";
import type { Sheet } from "./sheet.js";
import { type Layer, LETTERING, STYLES, switchingMark } from "./styles.js";
import { textElement } from "./text.js";
import { element } from "./xml.js";

const GAP_TOLERANCE = 0.6; // mm

/** The shapes on the map, bottom to top, and which layers really left a mark: those belong in the legend. */
export interface DrawnMap {
  /** markup, to be cut off at the map's frame */
  readonly shapes: string;
  /** markup of the numbers and letters, which lie over everything */
  readonly labels: string;
  readonly layers: ReadonlySet<Layer>;
}

/** Draw the shapes. */
export function drawMap(content: DrawingContent, sheet: Sheet): DrawnMap {
  const layers = new Set<Layer>();
  const layer = (name: Layer, paths: readonly string[]): string => {
    const seen = paths.filter((data) => data !== "");
    if (seen.length === 0) return "";
    layers.add(name);
    return element("g", { class: name, ...STYLES[name] }, seen.map((d) => element("path", { d })).join(""));
  };
  const surfaces = (list: readonly Polygon[] = []): string[] => list.map((polygon) => polygonPath(polygon, sheet));
  const lines = (list: readonly Line[] = []): string[] => list.map((line) => linePath(line, sheet));

  const field = content.field ?? [];
  const passes = thinPasses(content.passes ?? [], sheet);
  const referenceLine = content.referenceLine ?? [];
  const marks = { on: "", off: "" };
  for (const switching of content.switchings ?? []) {
    marks[switching.on ? "on" : "off"] += switchingMark(...onSheet(switching.at, sheet), switching.on);
  }

  const shapes = [
    layer("worked", surfaces(content.worked)),
    layer("missed", surfaces(content.missed)),
    layer("overlap", surfaces(content.overlap)),
    layer("closed", surfaces(content.closed)),
    layer(
      "obstacle",
      field.flatMap((polygon) => polygon.holes.map((hole) => obstaclePath(hole, sheet))),
    ),
    layer("track", lines(content.track)),
    layer("mainfield", surfaces(content.mainfield)),
    layer(
      "pass",
      passes.flatMap((pass) => lines(pass.lines)),
    ),
    layer("round", lines((content.rounds ?? []).map((round) => round.line))),
    layer("referenceLine", lines([referenceLine])),
    layer(
      "boundary",
      field.map((polygon) => ringPath(polygon.exterior, sheet)),
    ),
    // a poor position jitters: its ladder shows the way, not the jitter
    layer(
      "gap",
      (content.gaps ?? []).map((line) => linePath(line, sheet, GAP_TOLERANCE)),
    ),
    layer("off", [marks.off]),
    layer("on", [marks.on]),
  ].join("");

  const numbers = passNumbers(passes, sheet);
  const rounds = roundNumbers(content.rounds ?? [], numbers, sheet);
  const letters = endLetters(referenceLine, [...numbers, ...rounds], sheet);
  const labels = texts("pass-numbers", numbers) + texts("round-numbers", rounds) + texts("line-ends", letters);
  return { shapes, labels, layers };
}

function texts(name: string, labels: readonly Label[]): string {
  if (labels.length === 0) return "";
  const size = LETTERING.small;
  return element(
    "g",
    {
      class: name,
      "text-anchor": "middle",
      "font-weight": name === "line-ends" ? "bold" : undefined,
      // white round the letters, so that a line below does not run into them
      stroke: "#ffffff",
      "stroke-width": 0.7,
      "stroke-linejoin": "round",
      "paint-order": "stroke",
    },
    labels.map((label) => textElement(label.text, label.x, label.y + 0.36 * size, size)).join(""),
  );
}
