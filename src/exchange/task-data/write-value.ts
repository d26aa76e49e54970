import { FeeringError, requireNumber } from "../../errors/index.js";
import { unixTime } from "../date-time.js";
import { escapeXml, plainNumber } from "../xml-text.js";
import type { AttributeKind } from "./element-table.js";
import { isId } from "./read-context.js";
import { isFileName, isHexadecimal } from "./read-element.js";

/**
 * A value as its attribute has it, escaped.
 *
 * @throws `FeeringError` `out-of-range`, `not-finite` or `bad-format` with the path
 */
export function valueText(
  value: unknown,
  kind: AttributeKind,
  element: string,
  path: string,
  cutDesignators: boolean,
): string {
  switch (kind.as) {
    case "text": {
      const text = requireText(value, path, "a text");
      if (kind.longest === undefined || text.length <= kind.longest) return escapeXml(text, path);
      // characters, not halves of them
      const characters = [...text];
      if (characters.length <= kind.longest) return escapeXml(text, path);
      if (cutDesignators) return escapeXml(characters.slice(0, kind.longest).join(""), path);
      throw new FeeringError(
        "too-large",
        `${path} has ${characters.length} characters, the format has room for ${kind.longest} (options.designators)`,
        { argument: path, value: text },
      );
    }
    case "id":
    case "reference": {
      const name = kind.as === "id" ? element : kind.to;
      if (typeof value === "string" && isId(value, name)) return value;
      throw refuse(path, value, `${name}1, ${name}-1 or the like`);
    }
    case "file":
      if (typeof value === "string" && isFileName(value)) return value;
      throw refuse(path, value, "a name of letters and digits without folder and ending");
    case "number": {
      const number = requireNumber(value, path, { min: kind.min, max: kind.max });
      return plainNumber(number * kind.scale, kind.decimals);
    }
    case "word": {
      const number = typeof value === "string" ? kind.words.byWord.get(value) : value;
      if (typeof number === "number" && Number.isInteger(number) && number >= 0 && number <= 255) return String(number);
      throw refuse(path, value, `one of ${[...kind.words.byWord.keys()].join(", ")}, or a whole number of 0 to 255`);
    }
    case "ddi": {
      const ddi = requireNumber(value, path, { min: 0, max: 0xffff });
      if (!Number.isInteger(ddi)) throw refuse(path, value, "a whole number");
      return ddi.toString(16).toUpperCase().padStart(4, "0");
    }
    case "hexadecimal":
      if (typeof value === "string" && isHexadecimal(value) && value.length <= kind.digits) return value;
      throw refuse(path, value, `1 to ${kind.digits} hexadecimal digits`);
    case "time":
      if (typeof value === "string" && value.length >= 19 && !Number.isNaN(unixTime(value))) return value;
      throw refuse(path, value, "a date and time, 2024-05-01T10:00:00");
  }
}

/** A text that must be one. */
export function requireText(value: unknown, path: string, needs: string): string {
  if (typeof value === "string") return value;
  throw refuse(path, value, needs);
}

/** An error of a value that is none of its kind. */
export function refuse(path: string, value: unknown, needs: string): FeeringError {
  let found = typeof value === "object" ? "an object" : typeof value;
  if (typeof value === "string") found = JSON.stringify(value.slice(0, 40));
  else if (typeof value === "number" || value === undefined) found = String(value);
  return new FeeringError("out-of-range", `${path} is ${found}, needs ${needs}`, { argument: path, value });
}
