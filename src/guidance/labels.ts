import { requireObject } from "../errors/require.js";
import type { LineLabels } from "./reference-line.js";

/** The labels alone out of an object that may hold more; absent ones stay absent. */
export function copyLabels(from: LineLabels): LineLabels {
  requireObject(from, "labels");
  return {
    ...(from.id === undefined ? {} : { id: from.id }),
    ...(from.name === undefined ? {} : { name: from.name }),
    ...(from.note === undefined ? {} : { note: from.note }),
  };
}
