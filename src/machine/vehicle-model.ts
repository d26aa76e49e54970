/** Where a modelled machine is and how it moves. Owned by the model, overwritten by its next call. */
export interface VehicleState {
  /** reference point, metres east in the frame */
  readonly x: number;
  /** reference point, metres north in the frame */
  readonly y: number;
  /** degrees clockwise from the frame's north, 0 at least and less than 360 */
  readonly heading: number;
  /** m/s of the reference point, negative when reversing */
  readonly speed: number;
  /** degrees/s, clockwise positive */
  readonly yawRate: number;
  /** where the steering stands: degrees of the front wheels or of the joint, 1/m for tracks; right positive */
  readonly steering: number;
}

/**
 * A machine that can be driven on paper: commands in, poses out. Kinematic: wheels and tracks roll without slip, on the plane.
 */
export interface VehicleModel {
  /** where it is, as the last call left it */
  readonly state: VehicleState;
  /** most curvature that its steering can hold, 1/m */
  readonly maximumCurvature: number;

  /**
   * Put it somewhere, steering straight, standing still.
   *
   * @param x - reference point, metres east
   * @param y - reference point, metres north
   * @param heading - degrees clockwise from the frame's north
   * @returns the model's own state
   */
  place(x: number, y: number, heading: number): VehicleState;

  /**
   * Drive on. Allocates nothing, never throws; numbers that are none keep the steering as it was, or let the machine stand.
   *
   * @param curvature - that the steering is told to take, 1/m, right turn positive as the wheels stand
   * @param speed - of the reference point during the step, m/s, negative in reverse
   * @param seconds - length of the step, s
   * @returns the model's own state
   */
  step(curvature: number, speed: number, seconds: number): VehicleState;
}
