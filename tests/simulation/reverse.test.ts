import { expect, test } from "vitest";
import { wrapDifference } from "../../src/geometry/angle.js";
import type { Point } from "../../src/geometry/types.js";
import { Simulation } from "../../src/simulation/index.js";

// the antenna swings the wrong way as a backward turn begins: its course alone can't tell the heading, the turn rate can
test.for([-2, 0, 1, 3])("backwards round a curve with the antenna %d m ahead of the axle, by the turn rate", (x) => {
  const back: Point[] = [];
  for (let i = 0; i <= 60; i++) back.push([20 - 20 * Math.cos(i / 20), 100 - 20 * Math.sin(i / 20)]);
  const simulation = new Simulation({
    drives: [
      {
        line: [
          [0, 0],
          [0, 100],
        ],
        working: false,
        reversing: false,
      },
      { line: back, working: false, reversing: true },
    ],
    job: {
      origin: { latitude: 52, longitude: 5 },
      machine: { antenna: { x, y: 0, z: 3 } },
      boom: { sections: [{ left: -3, right: 3 }] },
    },
    turnSpeed: 1.5,
    gnss: { noise: 0.01, yawRateNoise: 0.2 },
    seed: 3,
  });
  let heading = 0;
  let crossTrack = 0;
  let backwards = 0;
  while (simulation.step()) {
    const { truth, job, crossTrackError } = simulation.state;
    if (truth.speed > -0.5) continue;
    backwards++;
    heading = Math.max(heading, Math.abs(wrapDifference(job.motion.heading - truth.heading)));
    crossTrack = Math.max(crossTrack, Math.abs(crossTrackError));
  }
  expect(simulation.state.status).toBe("finished");
  expect(backwards).toBeGreaterThan(300);
  expect(heading).toBeLessThan(1.5);
  expect(crossTrack).toBeLessThan(0.06);
});
