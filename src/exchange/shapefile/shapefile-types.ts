import type { CrsAccuracy } from "../../frames/index.js";
import type { GeoData } from "../geo-data.js";

/** The files of one shapefile, as they stand on a disk. The index (`.shx`) is never needed. */
export interface ShapefileParts {
  /** main file: the shapes */
  readonly shp: Uint8Array;
  /** dBASE table: a row of attributes for each shape; default none, empty properties */
  readonly dbf?: Uint8Array | undefined;
  /** coordinate reference system, bytes or text; default none, then `options.crs` has to say */
  readonly prj?: Uint8Array | string | undefined;
  /** name of the table's code page, bytes or text; default what the table's own header says */
  readonly cpg?: Uint8Array | string | undefined;
}

/** What was said of the coordinates of a shapefile, and what was made of it. */
export interface ShapefileCrs {
  /** name as the `.prj` file has it, or as the option */
  readonly name: string;
  /** whether coordinates are degrees or metres of a grid */
  readonly kind: "geographic" | "projected";
  /** who said so: the file or `options.crs` */
  readonly source: "prj" | "option";
  /** text of the `.prj` file as it stands; absent where there is none */
  readonly text?: string;
  /** how near positions come to WGS 84, for a grid */
  readonly accuracy?: CrsAccuracy;
}

/** A column of the table. */
export interface ShapefileColumn {
  /** name of the property; a number is put behind a name that is there already */
  readonly name: string;
  /** letter of its type: `C`, `N`, `F`, `L`, `D`, ... */
  readonly type: string;
  /** bytes */
  readonly length: number;
  /** digits behind the point */
  readonly decimals: number;
  /** why its values are not among the properties; absent where they are */
  readonly passedOver?: string;
}

/** One shapefile: one kind of shape with one table. */
export interface ShapefileLayer extends GeoData {
  /** path in the archive without its ending; empty where the parts were given */
  readonly name: string;
  /** kind of the shapes, as the white paper names it: `Polygon`, `PolyLineZ`, ... */
  readonly shapeType: string;
  /** of the coordinates in the file; those in the result are WGS 84 degrees */
  readonly crs: ShapefileCrs;
  /** columns of the table, in order */
  readonly columns: readonly ShapefileColumn[];
  /** encoding that texts of the table were read in; empty without a table */
  readonly encoding: string;
  /** how many records were left out, as their rows are marked as deleted */
  readonly deleted: number;
  /** how many measures (M values) were passed over: positions have none */
  readonly measures: number;
  /** how many rings were wound the wrong way, as told by what contains what */
  readonly rewound: number;
}

/** What `readShapefile` gives: fields, lines and points of all layers in their order, and the layers one by one. */
export interface ShapefileData extends GeoData {
  /** the shapefiles that were read */
  readonly layers: readonly ShapefileLayer[];
  /** names of the files in the archive that were not read */
  readonly otherFiles: readonly string[];
}
