import { type Attributes, element } from "./xml.js";

// pens after the series 0.13, 0.18, 0.25, 0.35, 0.5 mm of ISO 128, lettering 1.8, 2.5, 3.5 mm of ISO 3098 (from memory)
const INK = "#1c1c1c";
const PALE = "#b5ab93";
const BROWN = "#6b3022";
const BLUE = "#1d4568";
const GREY = "#59666f";

/** Height of small, ordinary and large lettering, millimetres. */
export const LETTERING = { small: 1.8, ordinary: 2.5, large: 3.5 } as const;

/**
 * How each layer is drawn, on the map and in the legend alike. No two are told apart by colour alone: tint, hatching,
 * dots, dashes and shapes differ, so that a black and white print says the same.
 */
export const STYLES: Readonly<Record<Layer, Attributes>> = {
  worked: { fill: "#ece6d7", stroke: PALE, "stroke-width": 0.13, "fill-rule": "evenodd" },
  overlap: { fill: "url(#feering-hatch)", stroke: BROWN, "stroke-width": 0.18, "fill-rule": "evenodd" },
  missed: {
    fill: "url(#feering-dots)",
    stroke: BLUE,
    "stroke-width": 0.18,
    "stroke-dasharray": "0.6 0.4",
    "fill-rule": "evenodd",
  },
  obstacle: { fill: "url(#feering-lines)", stroke: INK, "stroke-width": 0.35 },
  mainfield: { fill: "none", stroke: INK, "stroke-width": 0.25, "stroke-dasharray": "2 1" },
  closed: {
    fill: "url(#feering-ruling)",
    stroke: INK,
    "stroke-width": 0.18,
    "stroke-dasharray": "0.9 0.5",
    "fill-rule": "evenodd",
  },
  boundary: { fill: "none", stroke: INK, "stroke-width": 0.5, "stroke-linejoin": "round" },
  // wide and pale, so that the pass that it follows is seen on it
  track: { fill: "none", stroke: "#9ba5ab", "stroke-width": 0.35, "stroke-linejoin": "round" },
  pass: { fill: "none", stroke: INK, "stroke-width": 0.13, "stroke-dasharray": "4 0.8 0.4 0.8" },
  round: { fill: "none", stroke: INK, "stroke-width": 0.18, "stroke-dasharray": "1.4 0.7" },
  referenceLine: { fill: "none", stroke: INK, "stroke-width": 0.35, "stroke-dasharray": "6 1 0.8 1" },
  gap: { fill: "none", stroke: INK, "stroke-width": 1.8, "stroke-dasharray": "0.18 0.62" },
  on: { fill: INK, stroke: "none" },
  off: { fill: "#ffffff", stroke: INK, "stroke-width": 0.15 },
};

/** The layers, named as in the labels. */
export type Layer =
  | "worked"
  | "overlap"
  | "missed"
  | "obstacle"
  | "mainfield"
  | "closed"
  | "boundary"
  | "track"
  | "pass"
  | "round"
  | "referenceLine"
  | "gap"
  | "on"
  | "off";

/** Path data of the mark of a switched section: a disc of 0.8 mm, or a square of 0.8 mm. */
export function switchingMark(x: number, y: number, on: boolean): string {
  const left = Math.round((x - 0.4) * 100) / 100 + 0;
  const top = Math.round((y - (on ? 0 : 0.4)) * 100) / 100 + 0;
  return on ? `M${left},${top}a.4,.4 0 1 0 .8,0a.4,.4 0 1 0-.8,0z` : `M${left},${top}h.8v.8h-.8z`;
}

/** The hatchings, as definitions that the styles point to. */
export function patterns(): string {
  const pattern = (name: string, size: number, inside: string, more: Attributes = {}): string =>
    element(
      "pattern",
      { id: `feering-${name}`, width: size, height: size, patternUnits: "userSpaceOnUse", ...more },
      inside,
    );
  return (
    pattern("hatch", 0.9, element("path", { d: "M0,.45h.9", stroke: BROWN, "stroke-width": 0.18 }), {
      patternTransform: "rotate(-45)",
    }) +
    pattern("dots", 1.2, element("path", { d: "M.15,.3h.3M.75,.9h.3", stroke: BLUE, "stroke-width": 0.3 })) +
    // nothing under it is hidden: what was worked there is to be seen
    pattern("ruling", 0.8, element("path", { d: "M.4,0v.8", stroke: GREY, "stroke-width": 0.13 })) +
    pattern(
      "lines",
      1.4,
      element("path", { d: "M0,0h1.4v1.4h-1.4z", fill: "#ffffff" }) +
        element("path", { d: "M0,.7h1.4", stroke: GREY, "stroke-width": 0.13 }),
    )
  );
}
