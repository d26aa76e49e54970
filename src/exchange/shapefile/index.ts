export type { WrittenShapefileColumn } from "./dbf-columns.js";
export { readShapefile, type ReadShapefileOptions } from "./read-shapefile.js";
export type {
  ShapefileColumn,
  ShapefileCrs,
  ShapefileData,
  ShapefileLayer,
  ShapefileParts,
} from "./shapefile-types.js";
export { writeShapefile, type WriteShapefileOptions, type WrittenShapefile } from "./write-shapefile.js";
export { writeShapefileZip, type WriteShapefileZipOptions } from "./write-shapefile-zip.js";
