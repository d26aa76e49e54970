import { type DubinsWord, solveWord } from "./dubins-path.js";
import { arcBackArc } from "./headland-turn.js";
import { type LocalGoal, positiveAngle } from "./local-goal.js";
import { leftRightLeft } from "./reeds-shepp-words.js";

/** What a machine's turns take. @internal */
export interface TurnSettings {
  /** smallest turning radius, metres */
  readonly radius: number;
  /** whether it may reverse */
  readonly canReverse: boolean;
  /** m/s in turns */
  readonly speed: number;
  /** seconds for each change between forward and back */
  readonly reversalTime: number;
  /** how deep the reference point may go beyond the pass ends, metres */
  readonly depth: number;
}

/** What one turn costs. @internal */
export interface TurnCost {
  /** to drive it, stops included */
  readonly seconds: number;
  /** metres */
  readonly length: number;
  /** whether it stays within the depth allowed, where that was asked */
  readonly fits: boolean;
}

const WORDS: readonly DubinsWord[] = ["LSL", "RSR", "LSR", "RSL", "RLR", "LRL"];
const PLACES = 100;
/** What a turn without room counts, seconds: it is driven by hand, to and fro (common practice, no source). */
export const NO_ROOM_TIME = 60;

/**
 * What turns from pass to pass cost, in closed form and kept: for passes some way apart whose ends are staggered.
 *
 * Distances are rounded to a centimetre, so that the same question has the same answer whatever was asked before.
 *
 * @internal
 */
export class TurnCosts {
  private readonly shortest = new Map<number, TurnCost>();
  private readonly fitting = new Map<number, TurnCost>();
  private readonly settings: TurnSettings;

  constructor(settings: TurnSettings) {
    this.settings = settings;
  }

  /**
   * The quickest turn there is, whatever room it takes.
   *
   * @param across - distance of the passes, metres
   * @param ahead - how much farther out the next pass begins than this one ends, metres
   */
  quickest(across: number, ahead: number): TurnCost {
    return this.kept(this.shortest, across, ahead, (goal) => this.turns(goal)[0]!);
  }

  /** The quickest turn that stays within the depth allowed; where none does, the quickest with an allowance of time. */
  withRoom(across: number, ahead: number): TurnCost {
    return this.kept(this.fitting, across, ahead, (goal) => {
      const turns = this.turns(goal);
      const fits = turns.find(
        ({ word, lengths }) => depthOf(word, lengths, goal) * this.settings.radius <= this.settings.depth + 1e-6,
      );
      return fits ?? { ...turns[0]!, seconds: turns[0]!.seconds + NO_ROOM_TIME, fits: false };
    });
  }

  private kept(
    map: Map<number, TurnCost>,
    across: number,
    ahead: number,
    make: (goal: LocalGoal) => TurnCost,
  ): TurnCost {
    const d = Math.round(Math.abs(across) * PLACES);
    const s = Math.round(ahead * PLACES);
    const key = d * 2 ** 26 + (s + 2 ** 25);
    const known = map.get(key);
    if (known !== undefined) return known;
    const { radius } = this.settings;
    const { seconds, length, fits } = make({ x: s / PLACES / radius, y: d / PLACES / radius, turn: Math.PI });
    const made = { seconds, length, fits };
    map.set(key, made);
    return made;
  }

  /** All turns, the quickest first. */
  private turns(goal: LocalGoal): (TurnCost & { word: string; lengths: readonly number[] })[] {
    const words: [string, readonly number[]][] = [];
    for (const word of WORDS) {
      const lengths = solveWord(word, goal);
      if (lengths !== null) words.push([word, lengths]);
    }
    if (this.settings.canReverse) {
      const { x, y, turn } = goal;
      for (const [word, lengths] of [
        ["LSL", arcBackArc(x, y, turn)],
        ["LRL", leftRightLeft(x, y, turn)],
      ] as const) {
        if (lengths !== null && lengths[1]! <= 0 && lengths[2]! >= 0) words.push([word, lengths]);
      }
    }
    return words
      .map(([word, lengths]) => ({ word, lengths, ...this.cost(lengths) }))
      .sort((a, b) => a.seconds - b.seconds);
  }

  private cost(lengths: readonly number[]): TurnCost {
    const { radius, speed, reversalTime } = this.settings;
    let sum = 0;
    for (const length of lengths) sum += Math.abs(length);
    // forward, back, forward
    const stops = lengths[1]! < 0 ? 2 * reversalTime : 0;
    return { seconds: (sum * radius) / speed + stops, length: sum * radius, fits: true };
  }
}

/** How far a path goes beyond the line through both its ends, outward, in radii: exact, over the tops of its arcs. */
function depthOf(word: string, lengths: readonly number[], goal: LocalGoal): number {
  // hot: asked for each pair of passes with another stagger
  const apart = Math.hypot(goal.x, goal.y);
  let nx = apart < 1e-9 ? 1 : -goal.y / apart;
  let ny = apart < 1e-9 ? 0 : goal.x / apart;
  if (nx < 0) {
    nx = -nx;
    ny = -ny;
  }
  let x = 0;
  let y = 0;
  let turn = 0;
  let depth = 0;
  for (let i = 0; i < 3; i++) {
    const length = lengths[i]!;
    const side = word[i] === "L" ? 1 : word[i] === "R" ? -1 : 0;
    if (side === 0) {
      x += length * Math.cos(turn);
      y += length * Math.sin(turn);
    } else {
      const cx = x - side * Math.sin(turn);
      const cy = y + side * Math.cos(turn);
      const after = turn + side * length;
      x = cx + side * Math.sin(after);
      y = cy - side * Math.cos(after);
      // at its top an arc runs along the line
      const top = Math.atan2(side * nx, -side * ny);
      const until = positiveAngle(after > turn ? top - turn : turn - top);
      if (until <= Math.abs(length)) depth = Math.max(depth, nx * cx + ny * cy + 1);
      turn = after;
    }
    depth = Math.max(depth, nx * x + ny * y);
  }
  return depth;
}
