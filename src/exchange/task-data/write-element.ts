import { FeeringError, requireList, requireObject } from "../../errors/index.js";
import { requirePositions } from "../../survey/positions.js";
import { distinctPlaces, samePlace } from "../rings.js";
import type { ElementTable } from "./element-table.js";
import type { IdGiver } from "./id-giver.js";
import type { TaskLineString } from "./task-shapes.js";
import type { TaskOther } from "./task-element.js";
import { refuse, valueText } from "./write-value.js";
import { addKept, type Prefixes, type Written, type XmlLines } from "./xml-lines.js";

/** What holds for a whole document while it is written. */
export interface WriteContext {
  readonly lines: XmlLines;
  readonly ids: IdGiver;
  readonly cutDesignators: boolean;
}

/**
 * Write an element with all that is inside of it, by its table: what is known in the order of the table, then what is kept.
 *
 * @throws `FeeringError` with the path of what can't be written
 */
export function writeElement(
  value: unknown,
  table: ElementTable,
  path: string,
  depth: number,
  prefixes: Prefixes,
  context: WriteContext,
): void {
  requireObject(value, path);
  const draft = value as Readonly<Record<string, unknown>>;
  const attributes: Written = new Map();
  for (const [attribute, name, kind, required] of table.attributes) {
    let given = draft[name];
    const at = `${path}.${name}`;
    if (given === undefined) {
      if (required === undefined) continue;
      if (kind.as !== "id") throw refuse(at, given, `a value: ${table.element} must have it`);
      given = context.ids.give(table.element);
    }
    attributes.set(attribute, valueText(given, kind, table.element, at, context.cutDesignators));
  }
  const other = draft["other"] as TaskOther | undefined;
  if (other !== undefined) requireObject(other, `${path}.other`);
  addKept(attributes, other, path);
  const lists = table.children.map(([name, inner]) => {
    if (name === "lineStrings" && table.shape === "polygon") return [ringsOf(draft, path), inner] as const;
    if (name === "lineStrings" && table.shape === "pattern") return [[lineOf(draft, path)], inner] as const;
    return [membersOf(draft[name], `${path}.${name}`), inner] as const;
  });
  const kept = other?.children ?? [];
  requireList(kept, `${path}.other.children`);
  const empty = kept.length === 0 && lists.every(([members]) => members.length === 0);
  const inside = context.lines.open(table.element, attributes, depth, empty, prefixes, path);
  if (empty) return;
  for (const [members, inner] of lists) {
    for (const member of members) writeElement(member.value, inner, member.path, depth + 1, inside, context);
  }
  kept.forEach((child, i) => context.lines.kept(child, depth + 1, inside, `${path}.other.children[${i}]`));
  context.lines.close(table.element, depth);
}

interface Member {
  readonly value: unknown;
  readonly path: string;
}

function membersOf(list: unknown, path: string): Member[] {
  if (list === undefined) return [];
  requireList(list, path);
  return (list as unknown[]).map((value, i) => ({ value, path: `${path}[${i}]` }));
}

function lineOf({ line }: Readonly<Record<string, unknown>>, path: string): Member {
  requireObject(line, `${path}.line`);
  requirePositions((line as TaskLineString).points, `${path}.line.points`, 1);
  return { value: line, path: `${path}.line` };
}

function ringsOf(polygon: Readonly<Record<string, unknown>>, path: string): Member[] {
  const interiors = membersOf(polygon["interiors"], `${path}.interiors`);
  return [
    closedRing({ value: polygon["exterior"], path: `${path}.exterior` }, "exterior"),
    ...interiors.map((member) => closedRing(member, "interior")),
  ];
}

/** A ring with its first point repeated, as version 4 has it. */
function closedRing({ value, path }: Member, type: "exterior" | "interior"): Member {
  requireObject(value, path);
  const ring = value as TaskLineString;
  if (ring.type !== type) throw refuse(`${path}.type`, ring.type, type);
  const { points } = ring;
  requirePositions(points, `${path}.points`, 3);
  const written = points.map(({ latitude, longitude }) => ({
    latitude: Number(latitude.toFixed(9)),
    longitude: Number(longitude.toFixed(9)),
  }));
  if (distinctPlaces(written) < 3) {
    throw new FeeringError("too-few-points", `${path}.points has fewer than three places at 9 decimals`, {
      argument: `${path}.points`,
      value: points.length,
    });
  }
  const first = points[0]!;
  if (samePlace(written[0]!, written[written.length - 1]!)) return { value: ring, path };
  const { type: kind, latitude, longitude, altitude } = first;
  const closing = { type: kind, latitude, longitude, ...(altitude === undefined ? {} : { altitude }) };
  return { value: { ...ring, points: [...points, closing] }, path };
}
