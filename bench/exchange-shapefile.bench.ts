import { openShp, read as readByPeer } from "shapefile";
import type { GeoField } from "../src/exchange/geojson/index.js";
import { readShapefile, writeShapefile, writeShapefileZip } from "../src/exchange/shapefile/index.js";
import { median } from "./harness.js";

// the peer answers by promises, which the common harness does not wait for: rounds in turn as there, medians, in MB/s
interface Reader {
  readonly name: string;
  readonly bytes: number;
  run(): Promise<number> | number;
}

async function compareReaders(title: string, readers: readonly Reader[], rounds = 11): Promise<void> {
  const times: number[][] = readers.map(() => []);
  let sink = 0;
  for (const reader of readers) for (let warm = 0; warm < 2; warm++) sink += await reader.run();
  for (let round = 0; round < rounds; round++) {
    for (const [i, reader] of readers.entries()) {
      const start = process.hrtime.bigint();
      sink += await reader.run();
      times[i]!.push(Number(process.hrtime.bigint() - start));
    }
  }
  console.log(`\n${title}${Number.isNaN(sink) ? "!" : ""}`);
  const ours = median(times[0]!);
  readers.forEach((reader, i) => {
    const time = median(times[i]!);
    const ratio = i === 0 ? "" : `  ${(time / ours).toFixed(2)} times ours`;
    console.log(`  ${reader.name.padEnd(44)} ${((reader.bytes / time) * 1e3).toFixed(1).padStart(8)} MB/s${ratio}`);
  });
}

const ring = (x: number, y: number, radius: number, corners: number) => {
  const positions = Array.from({ length: corners }, (_, i) => {
    const angle = (2 * Math.PI * i) / corners;
    return { latitude: y + radius * Math.sin(angle), longitude: x + radius * Math.cos(angle) };
  });
  return [...positions, positions[0]!];
};

function fieldsOf(count: number, corners: number, holes: number): GeoField[] {
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

for (const [title, fields] of [
  ["10 000 fields of 50 corners, five columns", fieldsOf(10_000, 50, 0)],
  ["100 fields of 10 000 corners", fieldsOf(100, 10_000, 0)],
  ["5 000 fields of 40 corners with 4 holes of 40", fieldsOf(5000, 40, 4)],
] as const) {
  const { shp, dbf, prj, cpg } = writeShapefile({ fields });
  const bytes = shp.length + dbf.length;
  await compareReaders(`shapes and table: ${title}`, [
    { name: "feering readShapefile", bytes, run: () => readShapefile({ shp, dbf, prj, cpg }).fields.length },
    {
      name: "shapefile 0.6.6 read",
      bytes,
      run: async () => (await readByPeer(shp, dbf, { encoding: "utf-8" })).features.length,
    },
  ]);
  await compareReaders(`shapes alone, of which the peer keeps none: ${title}`, [
    { name: "feering readShapefile", bytes: shp.length, run: () => readShapefile({ shp, prj }).fields.length },
    {
      name: "shapefile 0.6.6 openShp",
      bytes: shp.length,
      run: async () => {
        const source = await openShp(shp);
        let n = 0;
        while (!(await source.read()).done) n++;
        return n;
      },
    },
  ]);
}

const fields = fieldsOf(10_000, 50, 0);
const zip = writeShapefileZip({ fields });
const written = writeShapefile({ fields });
await compareReaders("what the peer does not do: 10 000 fields of 50 corners", [
  {
    name: "readShapefile of parts",
    bytes: written.shp.length + written.dbf.length,
    run: () => readShapefile(written).fields.length,
  },
  {
    name: "readShapefile of the archive",
    bytes: written.shp.length + written.dbf.length,
    run: () => readShapefile(zip).fields.length,
  },
  {
    name: "writeShapefile",
    bytes: written.shp.length + written.dbf.length,
    run: () => writeShapefile({ fields }).shp.length,
  },
  {
    name: "writeShapefileZip",
    bytes: written.shp.length + written.dbf.length,
    run: () => writeShapefileZip({ fields }).length,
  },
]);
