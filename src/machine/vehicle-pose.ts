import { RADIANS, wrapHeading } from "../geometry/angle.js";
import { arcAhead } from "./arc-ahead.js";
import type { VehicleState } from "./vehicle-model.js";

/** Pose of a modelled machine, moved along arcs: what all models share. */
export class VehiclePose implements VehicleState {
  // begun as fractions, these fields hold doubles in place
  x = 0.5;
  y = 0.5;
  heading = 0.5;
  speed = 0.5;
  yawRate = 0.5;
  steering = 0.5;
  private readonly out = new Float64Array(3);

  constructor() {
    this.set(0, 0, 0);
  }

  /** Metres, metres, degrees. */
  set(x: number, y: number, heading: number): void {
    this.x = x;
    this.y = y;
    this.heading = wrapHeading(heading);
    this.speed = 0;
    this.yawRate = 0;
    this.steering = 0;
  }

  /** Along the arc of a constant speed, m/s, and a constant turn, radians in all the step. */
  drive(speed: number, turn: number, seconds: number): void {
    const rate = turn / RADIANS / seconds;
    arcAhead(this.x, this.y, this.heading, speed, rate, seconds, this.out);
    this.x = this.out[0]!;
    this.y = this.out[1]!;
    this.heading = wrapHeading(this.out[2]!);
  }
}
