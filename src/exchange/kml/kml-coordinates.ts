import { FeeringError } from "../../errors/index.js";
import { decimal } from "../decimal.js";
import { xmlError, type XmlPlace } from "../scan-xml.js";

/** Positions as a document gives them. */
export interface Coordinates {
  /** longitude, latitude, altitude (NaN where there is none) of each position */
  readonly numbers: number[];
  /** the same as text, a comma in a position and a space between two */
  readonly text: string;
}

/** Counts positions against a cap, and reads them strictly. */
export class CoordinateReader {
  readonly #maximum: number;
  #count = 0;

  constructor(maximum: number) {
    this.#maximum = maximum;
  }

  /** `coordinates`: positions between white space, each of two or three numbers between commas. */
  tuples(text: string, place: XmlPlace): Coordinates {
    // hot: once a character
    const numbers: number[] = [];
    const tokens: string[] = [];
    let at = 0;
    const { length } = text;
    while (at < length) {
      if (isSpace(text.charCodeAt(at))) {
        at++;
        continue;
      }
      const start = at;
      while (at < length && !isSpace(text.charCodeAt(at))) at++;
      const token = text.slice(start, at);
      tokens.push(this.#position(token, token.split(",", 4), tokens.length, numbers, place, "coordinates"));
    }
    return { numbers, text: tokens.join(" ") };
  }

  /** `coord` of a track: two or three numbers between spaces; nothing where the position is missing. */
  coord(text: string, index: number, numbers: number[], place: XmlPlace): string | undefined {
    const parts = text.split(" ", 100).filter((part) => part.trim() !== "");
    if (parts.length === 0) return undefined;
    return this.#position(
      text.trim(),
      parts.map((part) => part.trim()),
      index,
      numbers,
      place,
      "coord",
    );
  }

  #position(
    token: string,
    parts: readonly string[],
    index: number,
    numbers: number[],
    place: XmlPlace,
    what: string,
  ): string {
    if (++this.#count > this.#maximum) {
      throw new FeeringError("too-large", `more than ${this.#maximum} positions (options.maximumPositions)`, {
        argument: "input",
        value: this.#count,
      });
    }
    const longitude = parts.length === 2 || parts.length === 3 ? decimal(parts[0]!) : Number.NaN;
    const latitude = decimal(parts[1] ?? "");
    const altitude = parts.length === 3 ? decimal(parts[2]!) : Number.NaN;
    // written so that NaN fails too
    const fits = Math.abs(longitude) <= 360 && Math.abs(latitude) <= 90;
    if (!fits || (parts.length === 3 && Number.isNaN(altitude))) {
      const said = JSON.stringify(token.length > 60 ? `${token.slice(0, 60)}...` : token);
      const needs =
        "needs longitude, latitude (-90 to 90) and perhaps altitude, and no spaces about the commas between them";
      throw xmlError(place, `${what}[${index}] is ${said}, ${what === "coord" ? needs.split(", and no")[0]! : needs}`);
    }
    numbers.push(longitude, latitude, altitude);
    return parts.join(",");
  }
}

function isSpace(code: number): boolean {
  return code === 32 || code === 10 || code === 13 || code === 9;
}
