import { requireNumber, requireObject } from "../errors/index.js";
import { RADIANS } from "../geometry/angle.js";
import { SteeringActuator } from "./steering-actuator.js";
import type { VehicleModel, VehicleState } from "./vehicle-model.js";
import { VehiclePose } from "./vehicle-pose.js";

/** A machine steered by the speeds of its two tracks, or of the wheels of its two sides. */
export interface TrackedDefinition {
  /** between the middles of the tracks, metres */
  readonly gauge: number;
  /** most curvature that it is steered to, 1/m; default 2 / gauge: one track stands */
  readonly maximumCurvature?: number;
  /** fastest change of curvature, 1/m a second; default no limit */
  readonly maximumRate?: number;
  /** from a command to its first effect, s; default 0 */
  readonly delay?: number;
  /** fastest that a track runs, m/s: the machine slows down where the outer one would have to run faster; default no limit */
  readonly maximumTrackSpeed?: number;
}

/** How fast the tracks run, m/s. */
export interface TrackSpeeds {
  /** left track, m/s, backwards negative */
  readonly left: number;
  /** right track, m/s, backwards negative */
  readonly right: number;
}

/**
 * A machine on tracks, steered by their difference: with speeds l and r and the gauge b it drives (l + r) / 2 and turns (l - r) / b. Reference point: the
 * middle between the tracks' middles.
 *
 * Real tracks slip sideways in every turn, more than this model knows: its turns are tighter than theirs by what the ground gives way.
 * A step with the steering at rest is an exact arc.
 *
 * @example
 * ```ts
 * const crawler = new TrackedModel({ gauge: 2, maximumRate: 0.3 });
 * crawler.place(0, 0, 0);
 * crawler.step(0.2, 2, 0.05);
 * crawler.tracks; // left faster than right: a right turn
 * ```
 */
export class TrackedModel implements VehicleModel {
  /** most curvature that it is steered to, 1/m */
  readonly maximumCurvature: number;
  private readonly gauge: number;
  private readonly fastest: number;
  private readonly bend: SteeringActuator;
  private readonly pose = new VehiclePose();
  private readonly own: { left: number; right: number } = { left: 0.5, right: 0.5 };

  /**
   * @param definition - gauge and limits
   * @throws `FeeringError` `not-finite` or `out-of-range` with the argument's path
   */
  constructor(definition: TrackedDefinition) {
    requireObject(definition, "definition");
    this.gauge = requireNumber(definition.gauge, "definition.gauge", { min: 0.1, max: 100 });
    const { maximumTrackSpeed, maximumRate, delay = 0 } = definition;
    this.maximumCurvature = requireNumber(
      definition.maximumCurvature ?? 2 / this.gauge,
      "definition.maximumCurvature",
      { above: 0, max: 100 },
    );
    this.fastest =
      maximumTrackSpeed === undefined
        ? Number.POSITIVE_INFINITY
        : requireNumber(maximumTrackSpeed, "definition.maximumTrackSpeed", { above: 0 });
    this.bend = new SteeringActuator({
      maximumAngle: this.maximumCurvature,
      ...(maximumRate === undefined ? {} : { maximumRate }),
      delay,
    });
    this.place(0, 0, 0);
  }

  /** Where it is, as the last call left it. */
  get state(): VehicleState {
    return this.pose;
  }

  /** How fast the tracks run at the end of the last step, m/s. */
  get tracks(): TrackSpeeds {
    return this.own;
  }

  /** Put it somewhere: see {@link VehicleModel.place}. */
  place(x: number, y: number, heading: number): VehicleState {
    this.bend.reset(0);
    this.pose.set(x, y, heading);
    this.own.left = this.own.right = 0;
    return this.pose;
  }

  /** Drive on: see {@link VehicleModel.step}. */
  step(curvature: number, speed: number, seconds: number): VehicleState {
    const { pose, bend } = this;
    if (!(seconds > 0) || !Number.isFinite(seconds)) return pose;
    bend.command(curvature);
    pose.steering = bend.advance(seconds);
    const wanted = Number.isFinite(speed) ? speed : 0;
    const outer = 1 + (Math.max(Math.abs(bend.mean), Math.abs(bend.angle)) * this.gauge) / 2;
    const most = this.fastest / outer;
    const pace = Math.max(-most, Math.min(most, wanted));
    pose.drive(pace, bend.mean * pace * seconds, seconds);
    pose.speed = pace;
    pose.yawRate = (pace * bend.angle) / RADIANS;
    const half = (pace * bend.angle * this.gauge) / 2;
    this.own.left = pace + half;
    this.own.right = pace - half;
    return pose;
  }
}
