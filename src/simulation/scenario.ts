import { FeeringError, requireNumber, requireObject } from "../errors/index.js";
import type { JobDefinition } from "../job/index.js";
import {
  type ArticulatedDefinition,
  ArticulatedModel,
  type BicycleDefinition,
  BicycleModel,
  type LookAhead,
  type MachinePose,
  type TrackedDefinition,
  TrackedModel,
  type VehicleModel,
} from "../machine/index.js";
import { checkDrives, type Drive } from "./drive.js";
import { checkGnssErrors, type GnssErrorOptions } from "./gnss-error-options.js";

/** A front-steered machine. */
export interface SimulatedBicycle extends BicycleDefinition {
  /** which model */
  readonly model: "bicycle";
}

/** A machine steered by its joint. */
export interface SimulatedArticulated extends ArticulatedDefinition {
  /** which model */
  readonly model: "articulated";
}

/** A machine on tracks. */
export interface SimulatedTracked extends TrackedDefinition {
  /** which model */
  readonly model: "tracked";
}

/** The machine that is simulated: one of the models of `feering/machine`. */
export type SimulatedVehicle = SimulatedBicycle | SimulatedArticulated | SimulatedTracked;

/** Steering by pure pursuit of a point of the line ahead. */
export interface PursuitController extends LookAhead {
  /** which law */
  readonly law: "pure-pursuit";
}

/** Steering by Stanley's law. */
export interface StanleyController {
  /** which law */
  readonly law: "stanley";
  /** share of the error that fades a second, 1/s; default 1 */
  readonly gain?: number;
  /** m/s; default 0.5 */
  readonly softening?: number;
  /** from the reference point to the axle that the law holds, metres; default the bicycle's own, else 2.5 */
  readonly wheelbase?: number;
}

/** How the machine is steered. */
export type Controller = PursuitController | StanleyController;

/** Sentences that a simulated receiver can talk. */
export type NmeaSentence = "GGA" | "RMC" | "VTG" | "HDT";

/** All that a simulation is set up with: plain data. Planar shapes are metres in the frame of the job's origin. */
export interface Scenario {
  /** the way to drive, in order: drives of a plan, or by hand */
  readonly drives: readonly Drive[];
  /** the job that is run on the machine: sections, towed implement, antenna */
  readonly job: JobDefinition;
  /** the machine's dimensions and the limits of its steering; default a bicycle of 2.8 m that follows at once */
  readonly vehicle?: SimulatedVehicle;
  /** how it is steered; default pure pursuit, 1.5 s ahead */
  readonly controller?: Controller;
  /** m/s where the tool works; default 3 */
  readonly speed?: number;
  /** m/s elsewhere; default as where it works, at most 2 */
  readonly turnSpeed?: number;
  /** m/s², starting and braking; default 1 */
  readonly acceleration?: number;
  /** what the receiver does wrong, how often it speaks and how late; default nothing, 10 a second, at once */
  readonly gnss?: GnssErrorOptions;
  /** whole number that all chance comes from; default 1 */
  readonly seed?: number;
  /** where the machine stands at the start; default at the start of the first drive, along it */
  readonly start?: MachinePose;
  /** s since 1970 UTC of the first fix; default 1 700 000 000 */
  readonly startTime?: number;
  /** longest that it drives on without a position that it may steer by before it stops and waits, s; default 2 */
  readonly coastTime?: number;
  /** s after which the simulation is broken off; default three times what the way takes at its speeds, and 10 minutes */
  readonly maximumTime?: number;
  /** whether the ground truly worked is recorded beside what the job believes; default false */
  readonly groundTruth?: boolean;
}

/** A scenario with every field known. */
export type CheckedScenario = Required<Omit<Scenario, "start" | "maximumTime">> &
  Pick<Scenario, "start" | "maximumTime">;

/** Axle distance that Stanley's law gets on a machine that has no front axle, metres. */
const NO_WHEELBASE = 2.5;

/** Check a scenario and fill in the defaults; job and machine check themselves. */
export function checkScenario(scenario: Scenario): CheckedScenario {
  requireObject(scenario, "scenario");
  checkDrives(scenario.drives, "scenario.drives");
  requireObject(scenario.job, "scenario.job");
  const speed = requireNumber(scenario.speed ?? 3, "scenario.speed", { min: 0.1, max: 60 });
  const { start, maximumTime } = scenario;
  if (start !== undefined) {
    requireObject(start, "scenario.start");
    requireNumber(start.x, "scenario.start.x");
    requireNumber(start.y, "scenario.start.y");
    requireNumber(start.heading, "scenario.start.heading");
  }
  if (maximumTime !== undefined) requireNumber(maximumTime, "scenario.maximumTime", { above: 0, max: 1e7 });
  const seed = requireNumber(scenario.seed ?? 1, "scenario.seed");
  if (!Number.isSafeInteger(seed)) {
    throw new FeeringError("out-of-range", `scenario.seed is ${seed}, needs a whole number`, {
      argument: "scenario.seed",
      value: seed,
    });
  }
  return {
    drives: scenario.drives,
    job: scenario.job,
    vehicle: scenario.vehicle ?? { model: "bicycle", wheelbase: 2.8 },
    controller: checkController(scenario.controller ?? { law: "pure-pursuit", time: 1.5 }),
    speed,
    turnSpeed: requireNumber(scenario.turnSpeed ?? Math.min(2, speed), "scenario.turnSpeed", { min: 0.1, max: 60 }),
    acceleration: requireNumber(scenario.acceleration ?? 1, "scenario.acceleration", { min: 0.01, max: 100 }),
    gnss: checkedGnss(scenario.gnss),
    seed,
    startTime: requireNumber(scenario.startTime ?? 1.7e9, "scenario.startTime", { min: 0, max: 4e9 }),
    coastTime: requireNumber(scenario.coastTime ?? 2, "scenario.coastTime", { min: 0, max: 60 }),
    groundTruth: scenario.groundTruth === true,
    ...(start === undefined ? {} : { start }),
    ...(maximumTime === undefined ? {} : { maximumTime }),
  };
}

function checkedGnss(gnss: GnssErrorOptions = {}): GnssErrorOptions {
  checkGnssErrors(gnss, "scenario.gnss");
  return gnss;
}

function checkController(controller: Controller): Controller {
  requireObject(controller, "scenario.controller");
  const at = "scenario.controller";
  switch (controller.law) {
    case "pure-pursuit":
      requireNumber(controller.time ?? 1.5, `${at}.time`, { min: 0, max: 60 });
      requireNumber(controller.minimum ?? 3, `${at}.minimum`, { above: 0, max: 1000 });
      requireNumber(controller.maximum ?? 20, `${at}.maximum`, { above: 0, max: 1000 });
      return controller;
    case "stanley":
      requireNumber(controller.gain ?? 1, `${at}.gain`, { above: 0, max: 100 });
      requireNumber(controller.softening ?? 0.5, `${at}.softening`, { min: 0, max: 100 });
      requireNumber(controller.wheelbase ?? NO_WHEELBASE, `${at}.wheelbase`, { above: 0, max: 100 });
      return controller;
    default:
      throw new FeeringError("out-of-range", `${at}.law is none of pure-pursuit, stanley`, {
        argument: `${at}.law`,
        value: (controller as { law: unknown }).law,
      });
  }
}

/** The model of a machine. */
export function makeVehicle(vehicle: SimulatedVehicle): VehicleModel {
  requireObject(vehicle, "scenario.vehicle");
  switch (vehicle.model) {
    case "bicycle":
      return new BicycleModel(vehicle);
    case "articulated":
      return new ArticulatedModel(vehicle);
    case "tracked":
      return new TrackedModel(vehicle);
    default:
      throw new FeeringError("out-of-range", "scenario.vehicle.model is none of bicycle, articulated, tracked", {
        argument: "scenario.vehicle.model",
        value: (vehicle as { model: unknown }).model,
      });
  }
}

/** Axle distance for Stanley's law, metres. */
export function lawWheelbase(controller: StanleyController, vehicle: SimulatedVehicle): number {
  return controller.wheelbase ?? (vehicle.model === "bicycle" ? vehicle.wheelbase : NO_WHEELBASE);
}
