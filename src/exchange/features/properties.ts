import { FeeringError } from "../../errors/index.js";
import { badFormat, describe, isObject } from "../json-value.js";

/** The properties of one feature, each asked for as what it should be; errors carry the path. */
export class Properties {
  readonly path: string;
  readonly kind: unknown;
  readonly #values: Readonly<Record<string, unknown>>;
  readonly #prefix: string;

  constructor(values: unknown, path: string, prefix = ".properties") {
    this.path = path;
    this.#values = isObject(values) ? values : {};
    this.#prefix = `${path}${prefix}.`;
    this.kind = this.#get("kind");
  }

  has(name: string): boolean {
    const value = this.#get(name);
    return value !== undefined && value !== null && value !== "";
  }

  text(name: string): string {
    const value = this.#get(name);
    if (typeof value === "string") return value;
    throw badFormat(this.#prefix + name, `is ${describe(value)}, needs a text`, value);
  }

  textOr(name: string): string | undefined {
    const value = this.#get(name);
    return value === undefined || value === null ? undefined : this.text(name);
  }

  number(name: string): number {
    return this.numberOf(this.#get(name), name);
  }

  numberOr(name: string): number | undefined {
    return this.has(name) ? this.number(name) : undefined;
  }

  numberOf(value: unknown, name: string): number {
    // formats without types give numbers as texts
    const number = typeof value === "string" && value.trim() !== "" ? Number(value) : value;
    if (typeof number === "number" && Number.isFinite(number)) return number;
    throw badFormat(this.#prefix + name, `is ${describe(value)}, needs a finite number`, value);
  }

  integer(name: string): number {
    const number = this.number(name);
    if (Number.isSafeInteger(number)) return number + 0;
    throw badFormat(this.#prefix + name, `is ${number}, needs a whole number`, number);
  }

  oneOf<T extends string>(name: string, fits: (text: string) => text is T): T {
    const text = this.text(name);
    if (fits(text)) return text;
    throw badFormat(this.#prefix + name, `is ${describe(text)}, which is none of those known`, text);
  }

  truth(name: string): boolean {
    const value = this.#get(name);
    if (value === true || value === "true" || value === "1") return true;
    if (value === false || value === "false" || value === "0") return false;
    throw badFormat(this.#prefix + name, `is ${describe(value)}, needs true or false`, value);
  }

  list(name: string): readonly unknown[] {
    let value = this.#get(name);
    if (value === undefined || value === null) return [];
    if (typeof value === "string") {
      try {
        value = JSON.parse(value);
      } catch {
        // told below
      }
    }
    if (Array.isArray(value)) return value;
    throw badFormat(this.#prefix + name, `is ${describe(value)}, needs a list`, value);
  }

  /** What the library's own makers throw, with the feature's path in front. */
  within<T>(make: () => T): T {
    try {
      return make();
    } catch (error) {
      if (!(error instanceof FeeringError)) throw error;
      throw new FeeringError(error.code, `${this.path}: ${error.message}`, {
        argument: `${this.path}.${error.argument}`,
        value: error.value,
        cause: error,
      });
    }
  }

  #get(name: string): unknown {
    return Object.hasOwn(this.#values, name) ? this.#values[name] : undefined;
  }
}
