import { readFileSync } from "node:fs";
import type { BatchSettings } from "./job.js";

/** Settings of a file: one object or a list of them, each with an `id` of its own. What they hold is checked by each job. */
export function readSettings(path: string): BatchSettings[] {
  const content: unknown = JSON.parse(readFileSync(path, "utf8"));
  const list = (Array.isArray(content) ? content : [content]) as Partial<BatchSettings>[];
  const seen = new Set<string>();
  list.forEach((settings, i) => {
    if (typeof settings?.id !== "string" || settings.id === "")
      throw new Error(`${path}: settings ${i + 1} have no id`);
    if (seen.has(settings.id)) throw new Error(`${path}: two settings are called ${settings.id}`);
    if (typeof settings.plan !== "object" || settings.plan === null) {
      throw new Error(`${path}: settings ${settings.id} have no plan`);
    }
    seen.add(settings.id);
  });
  if (list.length === 0) throw new Error(`${path} holds no settings`);
  return list as BatchSettings[];
}
