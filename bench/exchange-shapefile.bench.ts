import { openShp, read as readByPeer } from "shapefile";
import { readShapefile, writeShapefile, writeShapefileZip } from "../src/exchange/shapefile/index.js";
import { compareReaders } from "./harness.js";
import { inventedFields } from "./invented-fields.js";

for (const [title, fields] of [
  ["10 000 fields of 50 corners, five columns", inventedFields(10_000, 50, 0)],
  ["100 fields of 10 000 corners", inventedFields(100, 10_000, 0)],
  ["5 000 fields of 40 corners with 4 holes of 40", inventedFields(5000, 40, 4)],
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

const fields = inventedFields(10_000, 50, 0);
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
