import { unixTime } from "../date-time.js";
import { decimal } from "../decimal.js";
import type { PassedOverCounter } from "../feature-document.js";
import { xmlError, type XmlPlace } from "../scan-xml.js";
import type { CoordinateReader, Coordinates } from "./kml-coordinates.js";
import type { KmlShape } from "./kml-placemark.js";

/** Elements of one shape. */
export type ShapeName = "Point" | "LineString" | "LinearRing" | "Polygon" | "Track";

/** A shape under way: takes its coordinates, and checks them when it ends. */
export class ShapeDraft {
  /** what altitudes are measured from */
  mode = "clampToGround";
  readonly #name: ShapeName;
  readonly #place: XmlPlace;
  readonly #passedOver: PassedOverCounter;
  readonly #rings: Coordinates[] = [];
  #outer = false;
  readonly #whens: (number | null)[] = [];
  readonly #numbers: number[] = [];
  readonly #tokens: string[] = [];
  /** indices of `coord` without a position */
  readonly #missing = new Set<number>();
  #count = 0;

  constructor(name: ShapeName, place: XmlPlace, passedOver: PassedOverCounter) {
    this.#name = name;
    this.#place = place;
    this.#passedOver = passedOver;
  }

  coordinates(read: Coordinates, outer: boolean, place: XmlPlace): void {
    if (read.numbers.length === 0) {
      this.#passedOver.add("coordinates without a position", place.line);
      return;
    }
    if (this.#name !== "Polygon") {
      this.#rings.push(read);
      return;
    }
    const found = distinct(read.numbers);
    if (found < 3) throw xmlError(place, `a ring has ${found} distinct positions, needs 3`);
    if (outer && this.#outer) throw xmlError(place, "a Polygon has two outer boundaries");
    // the outer ring comes first, wherever it stands
    if (outer) this.#rings.unshift(read);
    else this.#rings.push(read);
    this.#outer ||= outer;
  }

  when(text: string, place: XmlPlace): void {
    this.#whens.push(text.trim() === "" ? null : timeOf(text, place));
  }

  coord(text: string, reader: CoordinateReader, place: XmlPlace): void {
    const token = reader.coord(text, this.#count, this.#numbers, place);
    if (token === undefined) {
      this.#missing.add(this.#count);
      this.#passedOver.add("coord without a position", place.line);
    } else this.#tokens.push(token);
    this.#count++;
  }

  /** The shape, undefined where it has no position at all. */
  finish(): KmlShape | undefined {
    if (this.#name === "Track") return this.#track();
    const rings = this.#rings;
    const name = this.#name;
    if (rings.length === 0) return undefined;
    if (name === "Polygon") {
      if (!this.#outer) throw xmlError(this.#place, "a Polygon has inner boundaries and no outer one");
      return { type: "Polygon", rings, mode: this.mode };
    }
    if (rings.length > 1) throw xmlError(this.#place, `a ${name} has coordinates twice`);
    const count = rings[0]!.numbers.length / 3;
    if (name === "Point" ? count !== 1 : count < 2) {
      throw xmlError(this.#place, `a ${name} has ${count} positions, needs ${name === "Point" ? 1 : 2}`);
    }
    return { type: name === "Point" ? "Point" : "LineString", rings, mode: this.mode };
  }

  #track(): KmlShape | undefined {
    const whens = this.#whens;
    const tokens = this.#tokens;
    if (whens.length !== this.#count && whens.length > 0) {
      throw xmlError(this.#place, `a Track has ${whens.length} times and ${this.#count} positions`);
    }
    if (tokens.length === 0) {
      this.#passedOver.add("Track without a position", this.#place.line);
      return undefined;
    }
    return {
      type: tokens.length === 1 ? "Point" : "LineString",
      rings: [{ numbers: this.#numbers, text: tokens.join(" ") }],
      mode: this.mode,
      ...(whens.length === 0 ? {} : { times: whens.filter((_, i) => !this.#missing.has(i)) }),
    };
  }
}

/** A date and time as s since 1970 UTC. */
export function timeOf(text: string, place: XmlPlace): number {
  const seconds = unixTime(text.trim());
  if (Number.isNaN(seconds)) throw xmlError(place, `${JSON.stringify(text.slice(0, 40))} is no date and time`);
  return seconds;
}

const NUMBERS: ReadonlySet<string> = new Set(["int", "uint", "short", "ushort", "float", "double"]);

/** A value of ExtendedData as its Schema says; undefined for an empty one that is no text. */
export function typedValue(
  text: string,
  type: string | undefined,
  place: XmlPlace,
): string | number | boolean | undefined {
  const word = text.trim();
  const refuse = (): Error => xmlError(place, `SimpleData is ${JSON.stringify(text.slice(0, 40))}, its type ${type}`);
  if (type !== undefined && NUMBERS.has(type)) {
    const number = decimal(word);
    if (word !== "" && Number.isNaN(number)) throw refuse();
    return word === "" ? undefined : number;
  }
  if (type === "bool") {
    const lower = word.toLowerCase();
    if (lower === "true" || lower === "1") return true;
    if (lower === "false" || lower === "0") return false;
    if (lower !== "") throw refuse();
    return undefined;
  }
  return text;
}

/** How many distinct places a ring has, counted up to three. */
function distinct(numbers: readonly number[]): number {
  const found: number[] = [];
  for (let i = 0; i < numbers.length && found.length < 6; i += 3) {
    let known = false;
    for (let k = 0; k < found.length; k += 2) {
      known ||= found[k + 1] === numbers[i + 1] && (found[k]! - numbers[i]!) % 360 === 0;
    }
    if (!known) found.push(numbers[i]!, numbers[i + 1]!);
  }
  return found.length / 2;
}
