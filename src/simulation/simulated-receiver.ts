import type { LocalFrame } from "../frames/index.js";
import { RADIANS, wrapHeading } from "../geometry/angle.js";
import { type Machine, referenceToAntenna, type VehicleState } from "../machine/index.js";
import type { Fix } from "../receiver/index.js";
import type { GnssErrorOptions } from "./gnss-error-options.js";
import { GnssErrors } from "./gnss-errors.js";

type Writable<T> = { -readonly [K in keyof T]: T[K] };

/** Fixes under way at most: 2 s of latency at 100 a second, and one. */
const ROOM = 256;

/** A receiver on a modelled machine: from where it truly is to fixes, as late as they come. */
export class SimulatedReceiver {
  readonly errors: GnssErrors;
  private readonly frame: LocalFrame;
  private readonly machine: Machine;
  private readonly startTime: number;
  private readonly fixes: Writable<Fix>[] = [];
  private taken = 0;
  private readonly place = new Float64Array(3);
  private readonly altitude: number;

  constructor(frame: LocalFrame, machine: Machine, options: GnssErrorOptions, seed: number, startTime: number) {
    this.errors = new GnssErrors(options, seed);
    this.frame = frame;
    this.machine = machine;
    this.startTime = startTime;
    this.altitude = (frame.origin.altitude ?? 0) - machine.antenna.z;
    const { latency, rate } = this.errors.options;
    const room = Math.min(ROOM, Math.floor(latency * rate + 1e-9) + 2);
    for (let i = 0; i < room; i++) this.fixes.push(this.blank());
  }

  /** Take the fix of an instant; s since the start. */
  take(time: number, state: VehicleState): Fix {
    // hot: once a fix
    const fix = this.fixes[this.taken % this.fixes.length]!;
    this.taken++;
    const place = this.place;
    const error = this.errors.at(time);
    const { antenna } = this.machine;
    referenceToAntenna(this.machine, state.x, state.y, 0, state.heading, 0, 0, place);
    fix.time = this.startTime + time;
    fix.quality = error.quality;
    const omega = state.yawRate * RADIANS;
    const angle = state.heading * RADIANS;
    const sine = Math.sin(angle);
    const cosine = Math.cos(angle);
    const ahead = state.speed - omega * antenna.y;
    const right = omega * antenna.x;
    const east = ahead * sine + right * cosine + error.velocityEast;
    const north = ahead * cosine - right * sine + error.velocityNorth;
    const x = place[0]! + error.east;
    const y = place[1]! + error.north;
    this.frame.toGeodeticInto(x, y, place);
    fix.latitude = place[0]!;
    fix.longitude = place[1]!;
    fix.speed = Math.sqrt(east * east + north * north);
    fix.course = this.frame.headingToTrue(wrapHeading(Math.atan2(east, north) / RADIANS), fix);
    fix.heading =
      error.heading === error.heading
        ? this.frame.headingToTrue(wrapHeading(state.heading + error.heading), fix)
        : Number.NaN;
    // a gyroscope needs no satellites
    fix.yawRate = state.yawRate + error.yawRate;
    if (error.quality === 0) {
      fix.latitude = Number.NaN;
      fix.longitude = Number.NaN;
      fix.speed = Number.NaN;
      fix.course = Number.NaN;
      fix.heading = Number.NaN;
    }
    return fix;
  }

  /** The fix taken so many fixes ago, 0 the last one; null before there was one. */
  late(count: number): Fix | null {
    const index = this.taken - 1 - count;
    return index < 0 ? null : this.fixes[index % this.fixes.length]!;
  }

  private blank(): Writable<Fix> {
    return {
      time: 0.5,
      dated: true,
      latitude: 0.5,
      longitude: 0.5,
      altitude: this.altitude,
      quality: 0,
      satellites: 14,
      hdop: 0.7,
      correctionAge: 1,
      speed: 0.5,
      course: 0.5,
      heading: 0.5,
      yawRate: 0.5,
    };
  }
}
