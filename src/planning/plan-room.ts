import { type Polygon, PolygonIndex } from "../geometry/index.js";
import type { Pose } from "./pose.js";
import { everyPlace, type TurnPath } from "./turn-path.js";
import { type MachineOutline, RoomCheck } from "./turn-room.js";

/** How far a machine may lean over the field's edge, metres: less than it strays from a line. */
const LEAN = 0.02;

/** Whether a machine stays on a field along some way; quick where the edge is far. @internal */
export class PlanRoom {
  private readonly index: PolygonIndex;
  private readonly check: RoomCheck;
  private readonly reach: number;

  constructor(field: readonly Polygon[], outline: MachineOutline) {
    const less = (side: number): number => Math.max(0, side - LEAN);
    const { left, right, front, rear } = outline;
    const smaller = { left: less(left), right: less(right), front: less(front), rear: less(rear) };
    this.index = new PolygonIndex(field);
    this.check = new RoomCheck({ within: field, outline: smaller });
    this.reach = Math.hypot(Math.max(left, right), Math.max(front, rear));
  }

  /** Whether the machine stays on the field at all places of a way. */
  fits(places: readonly Pose[]): boolean {
    // ends stand where work ends: what lies between is more likely not to fit
    for (let i = places.length >> 1, k = 0; k < places.length; k++, i = (i + 1) % places.length) {
      if (!this.stands(places[i]!)) return false;
    }
    return true;
  }

  /** Whether it does at all places of a path, so many metres apart. */
  fitsPath(path: TurnPath, step: number): boolean {
    return everyPlace(path, step, (place) => this.stands(place));
  }

  private stands(place: Pose): boolean {
    if (!this.index.contains(place.x, place.y)) return false;
    return this.index.distanceToBoundary(place.x, place.y) >= this.reach || this.check.stands(place);
  }
}
