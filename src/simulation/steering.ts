import { RADIANS, wrapDifference, wrapHeading } from "../geometry/angle.js";
import { lookAheadDistance, pursuePoint, stanley, steeringCurvature } from "../machine/index.js";
import type { CourseCursor } from "./course-cursor.js";
import { type CheckedScenario, type Controller, lawWheelbase } from "./scenario.js";

/** One of the steering laws on a course: where the machine believes it is goes in, a curvature comes out. */
export class Steering {
  private readonly controller: Controller;
  private readonly wheelbase: number;
  private readonly target = new Float64Array(2);
  private readonly error = { crossTrackError: 0.5, headingError: 0.5, curvature: 0.5, travelSameDirection: true };
  private readonly settings = {
    speed: 0.5,
    wheelbase: 0.5,
    gain: 1,
    softening: 0.5,
    reversing: false,
    maximumAngle: 85,
    axle: "fixed" as const,
  };
  private readonly reach: { time: number; minimum: number; maximum: number };

  constructor({ controller, vehicle }: CheckedScenario) {
    this.controller = controller;
    this.wheelbase = controller.law === "stanley" ? lawWheelbase(controller, vehicle) : 0;
    const pursuit = controller.law === "pure-pursuit" ? controller : {};
    this.reach = { time: 1.5, minimum: 3, maximum: 20, ...pursuit };
    this.settings.wheelbase = this.wheelbase;
    if (controller.law === "stanley") {
      this.settings.gain = controller.gain ?? 1;
      this.settings.softening = controller.softening ?? 0.5;
    }
  }

  /**
   * Metres, metres, degrees of the nose, m/s.
   *
   * @returns 1/m, right positive as the wheels stand
   */
  curvature(cursor: CourseCursor, x: number, y: number, heading: number, speed: number, reversing: boolean): number {
    // hot: once a fix
    if (this.controller.law === "pure-pursuit") {
      cursor.target(x, y, lookAheadDistance(speed, this.reach), this.target);
      return pursuePoint(x, y, heading, this.target[0]!, this.target[1]!, reversing);
    }
    const error = this.error;
    error.crossTrackError = cursor.crossTrackError;
    error.curvature = cursor.curvature;
    // runs are lines in driving order
    error.headingError = wrapDifference(heading - wrapHeading(Math.atan2(cursor.sine, cursor.cosine) / RADIANS));
    this.settings.speed = speed;
    this.settings.reversing = reversing;
    return steeringCurvature(stanley(error, this.settings), this.wheelbase);
  }
}
