import { toGeographicPolygon } from "../src/exchange/index.js";
import { localFrame } from "../src/frames/index.js";
import type { Point, Polygon } from "../src/geometry/index.js";
import { hasData, readData } from "../tests/helpers/data.js";

/** Real parcels, each near an origin of its own; none where they are not here. */
export interface Parcel {
  readonly name: string;
  readonly field: readonly Polygon[];
}

interface Features {
  features: { geometry: { type: string; coordinates: [number, number][][] } }[];
}

export function realParcels(): Parcel[] {
  const list: Parcel[] = [];
  for (const country of ["NL", "DK", "DE-SH"]) {
    const file = `parcels/${country}.geojson`;
    if (!hasData(file)) continue;
    const data = JSON.parse(Buffer.from(readData(file)).toString("utf8")) as Features;
    data.features.forEach(({ geometry }, i) => {
      const [x0, y0] = geometry.coordinates[0]![0]!;
      const [exterior, ...holes] = geometry.coordinates.map((ring) =>
        ring.slice(0, -1).map(([x, y]): Point => [x - x0, y - y0]),
      );
      list.push({ name: `${country} ${i + 1}`, field: [{ exterior: exterior!, holes }] });
    });
  }
  return list;
}

/** GeoJSON geometry of a parcel, as if it lay at 52 N 5 E: metres there, to within a share of 1e-6, are those of its own grid. */
export function geometryOf({ field }: Parcel): object {
  const frame = localFrame({ latitude: 52, longitude: 5 });
  const { exterior, holes } = toGeographicPolygon(frame, field[0]!);
  const coordinates = [exterior, ...holes].map((ring) => ring.map(({ latitude, longitude }) => [longitude, latitude]));
  return { type: "Polygon", coordinates };
}
