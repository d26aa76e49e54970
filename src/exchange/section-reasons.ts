import type { SectionReason } from "../sections/index.js";

const REASONS: Readonly<Record<SectionReason, true>> = {
  working: true,
  "on-by-hand": true,
  "under-way": true,
  "minimum-time": true,
  "worked-already": true,
  "outside-field": true,
  "closed-zone": true,
  headland: true,
  mainfield: true,
  backwards: true,
  "too-slow": true,
  reversing: true,
  position: true,
  stale: true,
  "off-by-hand": true,
  "master-off": true,
};

/** Whether a text is one of the reasons that section control gives. */
export function isSectionReason(text: string): text is SectionReason {
  return Object.hasOwn(REASONS, text);
}
