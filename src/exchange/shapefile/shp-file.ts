import { refused } from "./shapefile-error.js";

/** What a shape is made of, whatever else goes with it. */
export type ShapeKind = "null" | "point" | "line" | "polygon" | "points";

interface ShapeType {
  readonly name: string;
  readonly kind: ShapeKind;
  readonly z: boolean;
  readonly m: boolean;
}

/** Shape types of the white paper, pages 4 and 5. */
const TYPES: ReadonlyMap<number, ShapeType> = new Map<number, ShapeType>([
  [0, { name: "Null Shape", kind: "null", z: false, m: false }],
  [1, { name: "Point", kind: "point", z: false, m: false }],
  [3, { name: "PolyLine", kind: "line", z: false, m: false }],
  [5, { name: "Polygon", kind: "polygon", z: false, m: false }],
  [8, { name: "MultiPoint", kind: "points", z: false, m: false }],
  [11, { name: "PointZ", kind: "point", z: true, m: true }],
  [13, { name: "PolyLineZ", kind: "line", z: true, m: true }],
  [15, { name: "PolygonZ", kind: "polygon", z: true, m: true }],
  [18, { name: "MultiPointZ", kind: "points", z: true, m: true }],
  [21, { name: "PointM", kind: "point", z: false, m: true }],
  [23, { name: "PolyLineM", kind: "line", z: false, m: true }],
  [25, { name: "PolygonM", kind: "polygon", z: false, m: true }],
  [28, { name: "MultiPointM", kind: "points", z: false, m: true }],
]);

/** whether doubles stand in this machine's memory as they do in the file, as on nearly all */
const LITTLE_ENDIAN: boolean = /* @__PURE__ */ new Uint8Array(/* @__PURE__ */ new Uint16Array([1]).buffer)[0] === 1;
/** a number below this is none: the white paper, page 2 */
const NO_DATA = -1e38;

/**
 * A main file (`.shp`), walked through record by record. Every length, count and index is held against the bytes that are there
 * before it is used.
 *
 * @see ESRI Shapefile Technical Description, white paper, July 1998
 */
export class ShpFile {
  readonly name: string;
  readonly type: ShapeType;
  /** number of the record that was read last, from 1 */
  record = 0;
  /** its kind: that of the file, or `null` */
  kind: ShapeKind = "null";
  /** its points; more room than they need behind them */
  xy: Float64Array = new Float64Array(64);
  /** its altitudes, NaN for no data; only where the type has Z */
  z: Float64Array = new Float64Array(0);
  points = 0;
  parts = 0;
  /** index of the first point of each part, and behind the last the number of points */
  starts: Int32Array = new Int32Array(16);
  /** measures met so far that are data */
  measures = 0;
  readonly #view: DataView;
  readonly #maximum: number;
  #at = 100;
  #total = 0;

  /**
   * @param bytes - the file
   * @param name - for messages
   * @param maximumPositions - most points that are read
   */
  constructor(bytes: Uint8Array, name: string, maximumPositions: number) {
    this.name = name;
    this.#maximum = maximumPositions;
    const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
    this.#view = view;
    if (bytes.length < 100) throw refused(name, `has ${bytes.length} bytes, its header alone needs 100`);
    const code = view.getInt32(0, false);
    if (code !== 9994) throw refused(name, `begins with ${code}, a shapefile with 9994`, { value: code });
    const version = view.getInt32(28, true);
    if (version !== 1000) throw refused(name, `is of version ${version}, only 1000 is known`, { value: version });
    const length = 2 * view.getInt32(24, false);
    if (length !== bytes.length) {
      const why = length > bytes.length ? ": it was cut off" : "";
      throw refused(name, `has ${bytes.length} bytes, its header says ${length}${why}`, { value: length });
    }
    const number = view.getInt32(32, true);
    if (number === 31) throw refused(name, "holds MultiPatch shapes (31), surfaces of bodies, which are not read");
    const type = TYPES.get(number);
    if (type === undefined) throw refused(name, `holds shapes of type ${number}, which is none`, { value: number });
    this.type = type;
  }

  /** Read the next record; false at the end. */
  next(): boolean {
    const view = this.#view;
    const at = this.#at;
    const left = view.byteLength - at;
    if (left === 0) return false;
    const record = ++this.record;
    if (left < 12) throw this.#bad(`begins ${left} bytes before the end, needs 12`);
    const number = view.getInt32(at, false);
    if (number !== record) throw this.#bad(`has number ${number}`);
    const length = 2 * view.getInt32(at + 4, false);
    if (length < 4 || length > left - 8) throw this.#bad(`claims ${length} bytes, ${left - 8} are there`);
    const type = view.getInt32(at + 8, true);
    this.#at = at + 8 + length;
    this.points = 0;
    this.parts = 0;
    if (type === 0) {
      if (length !== 4) throw this.#bad(`is a null shape of ${length} bytes, needs 4`);
      this.kind = "null";
      return true;
    }
    const found = TYPES.get(type);
    if (found !== this.type) {
      const name = found?.name ?? (type === 31 ? "MultiPatch" : `type ${type}`);
      throw this.#bad(`is of ${name} in a file of ${this.type.name}: kinds must not be mixed`);
    }
    this.kind = this.type.kind;
    if (this.kind === "point") this.#point(at + 8, length);
    else this.#shape(at + 8, length);
    return true;
  }

  #point(at: number, length: number): void {
    const { z, m, name } = this.type;
    // a PointZ without a measure is not in the white paper, but in use
    const fits = z ? length === 36 || length === 28 : length === (m ? 28 : 20);
    if (!fits) throw this.#bad(`is a ${name} of ${length} bytes, needs ${z ? 36 : m ? 28 : 20}`);
    this.#take(1);
    this.#read(at + 4, 1);
    if (z) this.#readAltitudes(at + 20, 1);
    if (z ? length === 36 : m) this.#count(at + length - 8, 1);
    this.points = 1;
    this.parts = 1;
  }

  #shape(at: number, length: number): void {
    const view = this.#view;
    const { z, m, name } = this.type;
    const single = this.kind === "points";
    const head = single ? 40 : 44;
    if (length < head) throw this.#bad(`is a ${name} of ${length} bytes, needs ${head} at least`);
    const parts = single ? 1 : view.getInt32(at + 36, true);
    const points = view.getInt32(at + head - 4, true);
    if (parts < 0 || points < 0) throw this.#bad(`claims ${parts} parts and ${points} points`);
    const extra = 16 + 8 * points;
    const need = head + (single ? 0 : 4 * parts) + 16 * points + (z ? extra : 0);
    // measures are optional
    if (length !== need && !(m && length === need + extra)) {
      throw this.#bad(`has ${length} bytes, ${parts} parts and ${points} points need ${need}`);
    }
    if (points === 0 && (single || parts === 0)) return;
    this.#take(points);
    this.#readStarts(at + 44, single, parts, points);
    const from = at + head + (single ? 0 : 4 * parts);
    this.#read(from, points);
    let end = from + 16 * points;
    if (z) {
      this.#readAltitudes(end + 16, points);
      end += extra;
    }
    if (length > need) this.#count(end + 16, points);
    this.points = points;
    this.parts = parts;
  }

  #readStarts(at: number, single: boolean, parts: number, points: number): void {
    if (this.starts.length <= parts) this.starts = new Int32Array(Math.max(2 * this.starts.length, parts + 1));
    const starts = this.starts;
    let before = -1;
    for (let i = 0; i < parts; i++) {
      const start = single ? 0 : this.#view.getInt32(at + 4 * i, true);
      if (start <= before || start >= points || (i === 0 && start !== 0)) {
        throw this.#bad(`has a part ${i} that starts at point ${start} of ${points}, the part before at ${before}`);
      }
      starts[i] = start;
      before = start;
    }
    if (parts === 0) throw this.#bad(`has ${points} points in no part`);
    starts[parts] = points;
  }

  #take(points: number): void {
    this.#total += points;
    if (this.#total > this.#maximum) {
      const problem = `record ${this.record}: more than ${this.#maximum} points (options.maximumPositions)`;
      throw refused(this.name, problem, { code: "too-large", value: this.#total });
    }
    if (this.xy.length < 2 * points) this.xy = new Float64Array(Math.max(2 * points, 2 * this.xy.length));
    if (this.type.z && this.z.length < points) this.z = new Float64Array(this.xy.length / 2);
  }

  #read(at: number, points: number): void {
    // hot
    const xy = this.xy;
    const view = this.#view;
    const n = 2 * points;
    if (LITTLE_ENDIAN) new Uint8Array(xy.buffer).set(new Uint8Array(view.buffer, view.byteOffset + at, 8 * n));
    else for (let i = 0; i < n; i++) xy[i] = view.getFloat64(at + 8 * i, true);
    for (let i = 0; i < n; i++) {
      const value = xy[i]!;
      // a difference with itself is 0 only for a finite number
      if (!(value - value === 0)) throw this.#bad(`has ${value} as ${i % 2 === 0 ? "x" : "y"} of point ${i >> 1}`);
    }
  }

  #readAltitudes(at: number, points: number): void {
    const view = this.#view;
    const z = this.z;
    for (let i = 0; i < points; i++) {
      const value = view.getFloat64(at + 8 * i, true);
      if (!(value - value === 0)) throw this.#bad(`has ${value} as z of point ${i}`);
      z[i] = value < NO_DATA ? Number.NaN : value;
    }
  }

  /** Measures are counted only; some writers put NaN where the white paper asks for a number below -1e38. */
  #count(at: number, points: number): void {
    for (let i = 0; i < points; i++) if (this.#view.getFloat64(at + 8 * i, true) >= NO_DATA) this.measures++;
  }

  #bad(problem: string): Error {
    return refused(this.name, `record ${this.record} ${problem}`, { index: this.record });
  }
}
