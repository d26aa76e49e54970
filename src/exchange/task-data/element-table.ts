import type { Words } from "./task-words.js";

/** How the value of an attribute stands in the file. */
export type AttributeKind =
  | { readonly as: "text"; readonly longest?: number }
  | { readonly as: "id" }
  | { readonly as: "file" }
  | { readonly as: "reference"; readonly to: string }
  | {
      readonly as: "number";
      /** range in the unit of this library */
      readonly min: number;
      readonly max: number;
      /** units of the file in one of ours */
      readonly scale: number;
      /** decimals in the file */
      readonly decimals: number;
    }
  | { readonly as: "word"; readonly words: Words }
  | { readonly as: "ddi" }
  | { readonly as: "hexadecimal"; readonly digits: number }
  | { readonly as: "time" };

/** An attribute: its name in the file, its name here, how it stands, whether it must be there. */
export type AttributeRow = readonly [attribute: string, name: string, kind: AttributeKind, required?: "required"];

/** Elements that a table alone does not describe. */
export type ElementShape = "polygon" | "pattern" | "device" | "task";

/** What is known of an element. */
export interface ElementTable {
  readonly element: string;
  readonly attributes: readonly AttributeRow[];
  /** lists of elements inside, by their names here */
  readonly children: readonly (readonly [name: string, table: ElementTable])[];
  /** what more is to be done with it: its LSG are made into something else, or what it refers to is looked for inside of it */
  readonly shape?: ElementShape;
}

/** An element while it is made; its names are those of its table. */
export type Draft = Record<string, unknown>;

/**
 * A table whose names are those of a type: one that is not is an error of type.
 *
 * @internal
 */
export function table<T>(
  element: string,
  attributes: readonly (readonly [string, keyof T & string, AttributeKind, "required"?])[],
  children: readonly (readonly [(keyof T & string) | "lineStrings", ElementTable])[] = [],
  shape?: ElementShape,
): ElementTable {
  return { element, attributes, children, ...(shape === undefined ? {} : { shape }) };
}

/** A name of 32 characters at most. */
export const DESIGNATOR: AttributeKind = { as: "text", longest: 32 };
/** Any text. */
export const TEXT: AttributeKind = { as: "text" };
/** The element's own id. */
export const ID: AttributeKind = { as: "id" };
/** Name of a file without folder and ending. */
export const FILE: AttributeKind = { as: "file" };
/** Date and time. */
export const TIME: AttributeKind = { as: "time" };
/** Identifier of the data dictionary, four hexadecimal digits. */
export const DDI: AttributeKind = { as: "ddi" };

/** Largest number of 32 bits without a sign. */
const UNSIGNED_32 = 4_294_967_295;
/** Largest number of 32 bits with a sign. */
const SIGNED_32 = 2_147_483_647;

/** A whole number. */
export const whole = (min: number, max: number): AttributeKind => ({
  as: "number",
  min,
  max,
  scale: 1,
  decimals: 0,
});
/** The id of another element. */
export const refer = (to: string): AttributeKind => ({ as: "reference", to });

export const LATITUDE: AttributeKind = { as: "number", min: -90, max: 90, scale: 1, decimals: 9 };
export const LONGITUDE: AttributeKind = { as: "number", min: -180, max: 180, scale: 1, decimals: 9 };
/** Millimetres in the file, metres here. */
export const LENGTH: AttributeKind = { as: "number", min: 0, max: UNSIGNED_32 / 1000, scale: 1000, decimals: 0 };
export const SIGNED_LENGTH: AttributeKind = {
  as: "number",
  min: -(SIGNED_32 + 1) / 1000,
  max: SIGNED_32 / 1000,
  scale: 1000,
  decimals: 0,
};
/** Metres in the file. */
export const ACCURACY: AttributeKind = { as: "number", min: 0, max: 1e6, scale: 1, decimals: 9 };
export const HEADING: AttributeKind = { as: "number", min: 0, max: 360, scale: 1, decimals: 9 };
export const AREA: AttributeKind = whole(0, UNSIGNED_32);
export const COUNT: AttributeKind = whole(0, UNSIGNED_32);
export const COLOUR: AttributeKind = whole(0, 254);
export const OBJECT: AttributeKind = whole(1, 65_534);
export const RAW_VALUE: AttributeKind = whole(-SIGNED_32 - 1, SIGNED_32);
