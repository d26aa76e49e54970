import { roundLengthBelow } from "./round-length.js";
import type { Sheet } from "./sheet.js";
import { LETTERING } from "./styles.js";
import { textElement } from "./text.js";
import { element, hundredths } from "./xml.js";

const CLOSEST = 25; // mm between two crosses at the least
const CROSS = 1.2; // mm, half a cross

/** Crosses at round coordinates, ticks on the map's frame, and the coordinates at its upper and left edge. */
export function drawGrid(sheet: Sheet): { crosses: string; coordinates: string } {
  const { map, perMetre } = sheet;
  // the smallest round length that is not closer: twice, two and a half times or twice the one below
  const below = roundLengthBelow(CLOSEST / perMetre);
  const factor = below.value * perMetre >= CLOSEST ? 1 : below.mantissa === 2 ? 2.5 : 2;
  const spacing = below.value * factor;
  const decimals = Math.max(0, -below.exponent);
  const easts = multiples((map.x - sheet.originX) / perMetre, (map.x + map.width - sheet.originX) / perMetre, spacing);
  const norths = multiples(
    (sheet.originY - map.y - map.height) / perMetre,
    (sheet.originY - map.y) / perMetre,
    spacing,
  );

  let crosses = "";
  let ticks = "";
  let coordinates = "";
  for (const east of easts) {
    const x = sheet.originX + east * perMetre;
    ticks += `M${hundredths(x)},${hundredths(map.y)}v1.5M${hundredths(x)},${hundredths(map.y + map.height)}v-1.5`;
    coordinates += textElement(east.toFixed(decimals), x, map.y - 1.2, LETTERING.small, { "text-anchor": "middle" });
    for (const north of norths) {
      const y = sheet.originY - north * perMetre;
      crosses += `M${hundredths(x - CROSS)},${hundredths(y)}h${2 * CROSS}M${hundredths(x)},${hundredths(y - CROSS)}v${2 * CROSS}`;
    }
  }
  for (const north of norths) {
    const y = sheet.originY - north * perMetre;
    ticks += `M${hundredths(map.x)},${hundredths(y)}h1.5M${hundredths(map.x + map.width)},${hundredths(y)}h-1.5`;
    coordinates += textElement(north.toFixed(decimals), 0, 0, LETTERING.small, {
      "text-anchor": "middle",
      transform: `translate(${hundredths(map.x - 1.2)} ${hundredths(y)}) rotate(-90)`,
    });
  }
  const pen = { fill: "none", stroke: "#8f8f8f", "stroke-width": 0.13 };
  return {
    crosses: crosses === "" ? "" : element("path", { class: "grid", d: crosses, ...pen }),
    coordinates:
      (ticks === "" ? "" : element("path", { d: ticks, ...pen })) +
      element("g", { class: "coordinates", fill: "#555555" }, coordinates),
  };
}

/** Multiples of a spacing between two limits, clear of a frame's corners by a tenth of a spacing. */
function multiples(from: number, to: number, spacing: number): number[] {
  const out: number[] = [];
  const last = Math.floor(to / spacing - 0.1);
  for (let i = Math.ceil(from / spacing + 0.1); i <= last; i++) out.push(i * spacing + 0);
  return out;
}
