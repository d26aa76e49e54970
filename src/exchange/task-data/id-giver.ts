import { FeeringError } from "../../errors/index.js";
import type { ElementTable } from "./element-table.js";
import { isId } from "./read-context.js";
import type { TaskElement, TaskOther } from "./task-element.js";

/** Largest number of an id: ten digits. */
const LARGEST = 9_999_999_999;

/** Gives ids that no element of a document has yet: the next number behind the largest, of the sign of who makes them. */
export class IdGiver {
  readonly #sign: "" | "-";
  readonly #used = new Map<string, string>();
  readonly #largest = new Map<string, number>();

  /** @param inTheCab - ids given by a task controller are negative */
  constructor(inTheCab: boolean) {
    this.#sign = inTheCab ? "-" : "";
  }

  /**
   * Take note of all ids of an element.
   *
   * @throws `FeeringError` `bad-format` for an id that stands twice
   */
  collect(value: unknown, table: ElementTable, path: string): void {
    if (typeof value !== "object" || value === null) return;
    const draft = value as Readonly<Record<string, unknown>>;
    const { id, other } = draft;
    if (typeof id === "string" && isId(id, table.element)) this.#take(id, `${path}.id`);
    const lists = new Map(table.children);
    if (table.shape === "polygon" || table.shape === "pattern") {
      const line = lists.get("lineStrings")!;
      for (const name of ["exterior", "line"]) this.collect(draft[name], line, `${path}.${name}`);
      this.#collectList(draft["interiors"], line, `${path}.interiors`);
    }
    for (const [name, inner] of table.children) this.#collectList(draft[name], inner, `${path}.${name}`);
    const kept = (other as TaskOther | undefined)?.children;
    if (Array.isArray(kept)) for (const child of kept) this.#collectKept(child as TaskElement, 0);
  }

  /** A new id for an element of this name. */
  give(element: string): string {
    const number = (this.#largest.get(element) ?? 0) + 1;
    if (number > LARGEST) {
      throw new FeeringError("too-large", `there is no number left for an id of ${element}`, { argument: "data" });
    }
    this.#largest.set(element, number);
    return `${element}${this.#sign}${number}`;
  }

  #collectList(value: unknown, table: ElementTable, path: string): void {
    if (Array.isArray(value)) value.forEach((member, i) => this.collect(member, table, `${path}[${i}]`));
  }

  #collectKept(child: TaskElement | string, depth: number): void {
    if (typeof child !== "object" || child === null || depth > 64) return;
    const id: unknown = Array.isArray(child.attributes)
      ? (child.attributes as unknown[]).find((pair) => Array.isArray(pair) && pair[0] === "A")
      : undefined;
    const text: unknown = Array.isArray(id) ? id[1] : undefined;
    if (typeof text === "string" && typeof child.name === "string" && isId(text, child.name)) this.#count(text);
    const inside: unknown = child.children;
    if (Array.isArray(inside)) for (const inner of inside) this.#collectKept(inner as TaskElement, depth + 1);
  }

  #take(id: string, path: string): void {
    const before = this.#used.get(id);
    if (before !== undefined) {
      throw new FeeringError("bad-format", `${path} is ${id}, which ${before} is already`, {
        argument: path,
        value: id,
      });
    }
    this.#used.set(id, path);
    this.#count(id);
  }

  #count(id: string): void {
    const element = id.slice(0, 3);
    const negative = id[3] === "-";
    if (negative !== (this.#sign === "-")) return;
    const number = Number(id.slice(negative ? 4 : 3));
    if (number > (this.#largest.get(element) ?? 0)) this.#largest.set(element, number);
  }
}
