import type { GeoField } from "../src/exchange/geojson/index.js";

const ring = (x: number, y: number, radius: number, corners: number) => {
  const positions = Array.from({ length: corners }, (_, i) => {
    const angle = (2 * Math.PI * i) / corners;
    return { latitude: y + radius * Math.sin(angle), longitude: x + radius * Math.cos(angle) };
  });
  return [...positions, positions[0]!];
};

/** So many invented fields side by side, round ones of so many corners, with so many round holes of as many corners. */
export function inventedFields(count: number, corners: number, holes: number): GeoField[] {
  return Array.from({ length: count }, (_, i) => {
    const [x, y] = [5 + 0.02 * (i % 100), 50 + 0.02 * Math.floor(i / 100)];
    return {
      polygons: [
        {
          exterior: ring(x, y, 0.009, corners),
          holes: Array.from({ length: holes }, (_, j) => ring(x + 0.002 * (j - holes / 2), y, 0.0005, corners)),
        },
      ],
      properties: { name: `field ${i}`, area: 12.5 + i, crop: "winter wheat", year: 2026, organic: i % 2 === 0 },
    };
  });
}
