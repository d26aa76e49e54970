import { readFileSync } from "node:fs";
import { readField } from "../../examples/demo/field-file.js";
import { layOut, type Plan, Taps } from "../../examples/demo/plan.js";
import { guidancePattern, straightLine } from "../../src/guidance/index.js";
import { FieldJob, type JobDefinition } from "../../src/job/index.js";
import { type Fix, NmeaReader } from "../../src/receiver/index.js";
import { evenSections } from "../../src/sections/index.js";

/** Fixes of a straight drive to the north on the meridian of 20.75, as a perfect receiver gives them. */
export function* northward(
  options: { from?: number; to?: number; speed?: number; rate?: number; east?: number } = {},
): Generator<Fix> {
  const { from = -20, to = 80, speed = 4, rate = 10, east = 0 } = options;
  const frame = new FieldJob(definition()).frame;
  for (let i = 0; from + (i * speed) / rate <= to; i++) {
    const { latitude, longitude } = frame.toGeodetic([east, from + (i * speed) / rate]);
    yield { time: 1000 + i / rate, dated: false, latitude, longitude, quality: 4, speed, course: 0 };
  }
}

/** A field of 240 m by 100 m, a boom of 24 m, passes to the north; delays 0 unless given. */
export function definition(change: Partial<JobDefinition> = {}): JobDefinition {
  return {
    origin: { latitude: 47.25, longitude: 20.75, altitude: 100 },
    field: [
      {
        exterior: [
          [-12, 0],
          [228, 0],
          [228, 100],
          [-12, 100],
        ],
        holes: [],
      },
    ],
    machine: { antenna: { x: 0, y: 0, z: -3 } },
    boom: { sections: evenSections(24, 8) },
    pattern: guidancePattern(straightLine([0, 0], [0, 100]), { swathWidth: 24 }),
    fixes: { recoverAfter: 1, recoverTime: 0 },
    // the outer sections run on the boundary itself
    sections: { overlapTolerance: 0.5, outsideTolerance: 0.1 },
    ...change,
  };
}

function demoText(name: string): string {
  return readFileSync(new URL(`../../examples/demo/${name}`, import.meta.url), "utf8");
}

/** The demo's field, headland, rounds and passes. */
export function demoPlan(): Plan {
  return layOut(readField("field.geojson", Buffer.from(demoText("field.geojson"))), demoText("line.geojson"));
}

/** What the demo's driver tapped. */
export function demoTaps(plan: Plan): Taps {
  return new Taps(demoText("taps.json"), plan);
}

/** Bytes of the demo's drive. */
export function demoBytes(): Uint8Array {
  return readFileSync(new URL("../../examples/demo/drive.nmea", import.meta.url));
}

/** All fixes of some bytes. */
export function fixesOf(bytes: Uint8Array): Fix[] {
  const reader = new NmeaReader();
  return [...reader.push(bytes), ...reader.flush()];
}
