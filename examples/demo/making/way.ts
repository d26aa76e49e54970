import { LineIndex, type Point, pathLength, PolygonIndex } from "../../../src/geometry/index.js";
import { passesOfField, passLine } from "../../../src/guidance/index.js";
import { type Plan, SWATH, type Tap } from "../plan.js";
import { even, lap, poseAt, eased, stationNear, stretch } from "./polyline.js";
import { turn } from "./turn.js";

/** Distance between the points of the way, m. */
export const STEP = 0.1;

const RADIUS = 10.5; // m, of the turns from line to line
const EASING = 30; // points to either side over which a bend comes in: 3 m
const TOOL = 2; // m that the boom is behind
const CLOSING = 8; // m that a round goes on beyond its start
const CHANGE = 42; // m ahead on the inner round at which the machine comes on to it
const LEAD = 8; // m on a pass before its ground
const TRAIL = 3; // m on it after
const CUTTING_IN = 0.3; // m, the most that a turn comes inside a loop that it leads to
const LONGEST_TURN = 45; // m, for a longer one it is better to leave the line earlier
const MOST_RETREAT = 20; // m, the most of a line that is given up for that
const SHORTEST = 10; // m of ground that a pass is driven for

/** The whole way of the reference point. */
export interface Way {
  /** STEP apart */
  readonly points: readonly Point[];
  /** what the driver taps, and at which point */
  readonly taps: readonly (Omit<Tap, "time"> & { readonly at: number })[];
  /** where the turn on to each pass begins, by its number */
  readonly passes: ReadonlyMap<number, number>;
}

/**
 * Lays the way out: from the gate round the field twice, to the pond along the pass beside it and round it once, on to the far
 * end, and then the passes of the mainfield from west to east.
 */
export function layWay(plan: Plan): Way {
  const way = new WayBuilder();
  const [outer, inner, pond] = plan.made.rounds.map((round) => round.line);
  const taps = plan.rounds.map(({ line }) => ({ line: line.name!, ground: "headland" as const }));

  way.tap(taps[0]!);
  way.follow(lap(outer!, 0, pathLength(outer!) + CLOSING));
  way.tap(taps[1]!);
  const from = stationNear(inner!, way.here()) + CHANGE;
  way.followAll([lap(inner!, from, pathLength(inner!) + CLOSING)], pond!, 0);

  const passes = drivenPasses(plan);
  // to the pond along the first pass that has to go round it, for it is driven later anyway
  const beside = passes.find(({ runs }) => runs.length > 1)!;
  way.tap(taps[2]!);
  way.followAll(beside.northward(true), pond!, 1);

  way.tap({ line: plan.passes.line.name!, ground: "mainfield" });
  passes.forEach((pass, i) => {
    way.pass(pass.number);
    way.followAll(pass.northward(i % 2 === 1), pond!, 0);
  });
  return way.finish();
}

interface DrivenPass {
  readonly number: number;
  /** stretches of its line, stations from the south */
  readonly runs: readonly (readonly [from: number, to: number])[];
  /** the stretches in driving order */
  readonly northward: (yes: boolean) => Point[][];
}

/** The passes on which the boom meets the mainfield, and where; an obstacle's headland breaks them. */
function drivenPasses(plan: Plan): DrivenPass[] {
  const { mainfield } = plan.made;
  const ground = new PolygonIndex(mainfield);
  const whole = plan.field.map(({ exterior }) => ({ exterior, holes: [] }));
  const { first, last } = passesOfField(plan.passes, mainfield);
  const out: DrivenPass[] = [];
  for (let number = first; number <= last; number++) {
    const line = passLine(plan.passes, number, { within: whole })[0]!;
    const runs = runsOf(line, ground);
    if (runs.length === 0 || runs.reduce((sum, [from, to]) => sum + to - from, 0) < SHORTEST) continue;
    out.push({
      number,
      runs,
      northward: (yes) => {
        const parts = runs.map(([from, to], i) => {
          // run in and out at the ends, not beside the pond
          const before = i > 0 ? 1 : yes ? LEAD : TRAIL;
          const after = i + 1 < runs.length ? 1 : yes ? TRAIL : LEAD;
          const part = stretch(line, from - before + (yes ? TOOL : -TOOL), to + after + (yes ? TOOL : -TOOL));
          return yes ? part : part.reverse();
        });
        return yes ? parts : parts.reverse();
      },
    });
  }
  return out;
}

/** Stations between which a boom on the line meets the ground. */
function runsOf(line: readonly Point[], ground: PolygonIndex): (readonly [number, number])[] {
  const runs: [number, number][] = [];
  const length = pathLength(line);
  for (let s = 1; s < length - 1; s += 0.5) {
    const [[ax, ay], [bx, by]] = [stretch(line, s, s + 0.1)[0]!, stretch(line, s + 0.1, s + 0.2)[0]!];
    const across = SWATH / 2 / Math.hypot(bx - ax, by - ay);
    const [dx, dy] = [(by - ay) * across, (ax - bx) * across];
    // a hundredth of the boom is not worth a way
    if (ground.insideShare(ax - dx, ay - dy, ax + dx, ay + dy) < 0.01) continue;
    const run = runs[runs.length - 1];
    if (run !== undefined && s - run[1] < SWATH) run[1] = s;
    else runs.push([s, s]);
  }
  return runs;
}

class WayBuilder {
  private readonly points: Point[] = [];
  private readonly taps: (Omit<Tap, "time"> & { station: number })[] = [];
  private readonly passes = new Map<number, number>();
  private walked = 0;

  here(): Point {
    return this.points[this.points.length - 1]!;
  }

  tap(tap: Omit<Tap, "time">): void {
    this.taps.push({ ...tap, station: this.walked });
  }

  follow(line: readonly Point[]): void {
    for (const point of line) {
      const last = this.points[this.points.length - 1];
      if (last !== undefined) this.walked += Math.hypot(point[0] - last[0], point[1] - last[1]);
      this.points.push(point);
    }
  }

  /** turn on to a line */
  turnTo(line: readonly Point[]): void {
    this.follow(turn(poseAt(this.points, "end"), poseAt(line, "start"), RADIUS).points());
  }

  /** the turn on to a pass begins here */
  pass(number: number): void {
    this.passes.set(number, this.walked);
  }

  /** along lines that lie one after another, and round what lies between them */
  followAll(lines: readonly Point[][], loop: readonly Point[], laps: number): void {
    this.turnTo(lines[0]!);
    let line: readonly Point[] = lines[0]!;
    for (const next of lines.slice(1)) line = this.around(line, loop, next, laps);
    this.follow(line);
  }

  /** along a line, from its end on to a loop about an obstacle, so many laps and the part of one that leads to the next line */
  around(line: readonly Point[], loop: readonly Point[], next: readonly Point[], laps: number): readonly Point[] {
    const once = pathLength(loop);
    const here = poseAt(line, "end");
    const there = poseAt(next, "start");
    // either way round; leaving the loop is arriving on it with time turned back
    const [best] = [loop, [...loop].reverse()]
      .flatMap((ring) => {
        const abeam = stationNear(ring, [(here.x + there.x) / 2, (here.y + there.y) / 2]);
        const on = arrive(line, ring, abeam);
        const off = arrive([...next].reverse(), [...ring].reverse(), once - abeam);
        return on === undefined || off === undefined ? [] : [{ ring, abeam, on, off, length: on.length + off.length }];
      })
      .sort((one, two) => one.length - two.length);
    if (best === undefined) throw new Error("no way round the obstacle");
    const { ring, abeam, on, off } = best;
    this.follow(stretch(line, 0, pathLength(line) - on.retreat));
    this.follow(on.points());
    this.follow(lap(ring, abeam - on.way, on.way + off.way + laps * once));
    this.follow(off.points().reverse());
    return stretch(next, off.retreat, pathLength(next));
  }

  finish(): Way {
    const last = Math.floor(this.walked / STEP);
    return {
      points: eased(even(this.points, STEP), EASING),
      taps: this.taps.map(({ station, ...tap }) => ({ ...tap, at: Math.min(last, Math.round(station / STEP)) })),
      passes: new Map([...this.passes].map(([pass, station]) => [pass, Math.round(station / STEP)])),
    };
  }
}

interface Arrival {
  /** how much of the line is not driven, m */
  readonly retreat: number;
  /** how far before the place abeam the loop is met, m */
  readonly way: number;
  readonly length: number;
  readonly points: () => Point[];
}

/**
 * From the end of a line on to a loop that lies across its way: the line is left as late as a turn still leads on to the loop
 * without cutting in, and of the turns there the one that makes the shortest way is taken.
 */
function arrive(line: readonly Point[], loop: readonly Point[], abeam: number): Arrival | undefined {
  const index = new LineIndex(loop);
  const inside = new PolygonIndex({ exterior: loop, holes: [] });
  // inside the loop the boom would be over what it goes round
  const cutsIn = ([x, y]: Point): boolean => inside.contains(x, y) && index.nearest(x, y).distance > CUTTING_IN;
  const length = pathLength(line);
  const n = Math.floor(pathLength(loop) / 2);
  const places = Array.from({ length: n }, (_, way) => poseAt(lap(loop, abeam - way, 1), "start"));
  for (let retreat = 0; retreat < MOST_RETREAT; retreat += 0.25) {
    const from = poseAt(stretch(line, 0, length - retreat), "end");
    let best: Arrival | undefined;
    for (let way = 0; way < n; way++) {
      const { length: turned, points } = turn(from, places[way]!, RADIUS);
      if (turned > LONGEST_TURN || (best !== undefined && turned + way >= best.length)) continue;
      if (!points().some((point, i) => i % 10 === 0 && cutsIn(point)))
        best = { retreat, way, length: turned + way, points };
    }
    if (best !== undefined) return best;
  }
  return undefined;
}
