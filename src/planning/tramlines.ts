import { FeeringError, requireNumber, requireObject } from "../errors/index.js";

/** What tramlines are laid out for. */
export interface TramlineOptions {
  /** width of the drill, metres */
  readonly seedingWidth: number;
  /** width of the sprayer or spreader that drives in the tramlines, metres */
  readonly sprayerWidth: number;
  /** distance of the sprayer's wheels, middle to middle, metres; default 1.8 */
  readonly track?: number;
  /** passes of the drill across the field */
  readonly passes: number;
  /** whether the first pass of the drill is half a width, its other half shut off or over the edge; default false */
  readonly halfStart?: boolean;
  /** whether the sprayer's first pass runs along the edge with half its boom shut off; default false: half a boom inside */
  readonly sprayerHalfStart?: boolean;
  /** distance from the edge where the passes begin to the first drill row's outer side, metres: rounds drilled before; default 0 */
  readonly edge?: number;
}

/** One wheel of the sprayer in a pass of the drill. */
export interface TramlineWheel {
  /** pass of the sprayer, from 0 at the edge */
  readonly sprayerPass: number;
  /** which of its wheels, seen away from the edge: the one nearer to the edge first */
  readonly wheel: "near" | "far";
  /** middle of the wheel mark from the middle of the drill, metres, away from the edge positive */
  readonly offset: number;
}

/** A pass of the drill, and what it leaves unsown. */
export interface TramlinePass {
  /** number from 0 at the edge */
  readonly pass: number;
  /** middle of the drill from the edge, metres */
  readonly middle: number;
  /** wheel marks to be left in this pass; empty: none */
  readonly wheels: readonly TramlineWheel[];
}

/** Where tramlines fall. */
export interface Tramlines {
  /** each pass of the drill, from the edge on */
  readonly passes: readonly TramlinePass[];
  /** after so many passes of the drill the same shut-offs come again; null where that is not within 100 passes */
  readonly rhythm: number | null;
  /** whether both wheels always fall in one pass, the same to both sides of the drill's middle */
  readonly symmetric: boolean;
  /** distance between the marks of wheels on the two sides of the drill's middle that its shut-offs must be able to take, metres, each once */
  readonly offsets: readonly number[];
}

/** Offsets nearer than this are one, metres: a row of seed is 10 cm and more from the next. */
const SAME = 1e-6;
/** Longest rhythm looked for. */
const LONGEST = 100;
const MOST = 100_000;

/**
 * Which passes of a drill carry the wheel tracks of a sprayer, and where in the pass.
 *
 * Widths need not divide: then marks fall elsewhere in each pass, and `rhythm` says when they come again. A mark on the joint of two passes
 * belongs to the one farther from the edge. For an even ratio of the widths a half start of either machine brings both wheels into the middle of one
 * pass (common practice, no source).
 *
 * @param options - widths and starts
 * @returns passes with their marks
 * @throws `FeeringError` `not-finite`, `out-of-range`, `too-large`
 *
 * @example
 * ```ts
 * // a 24 m sprayer in 8 m drilling: the middle one of each three passes
 * tramlines({ seedingWidth: 8, sprayerWidth: 24, passes: 6 }).passes.filter((p) => p.wheels.length > 0).map((p) => p.pass); // [1, 4]
 * ```
 */
export function tramlines(options: TramlineOptions): Tramlines {
  requireObject(options, "options");
  const width = requireNumber(options.seedingWidth, "options.seedingWidth", { above: 0, max: 100 });
  const sprayer = requireNumber(options.sprayerWidth, "options.sprayerWidth", { above: 0, max: 200 });
  const track = requireNumber(options.track ?? 1.8, "options.track", { min: 0, max: sprayer });
  const edge = requireNumber(options.edge ?? 0, "options.edge", { min: 0, max: 1e5 });
  const count = requireNumber(options.passes, "options.passes", { min: 0, max: MOST });
  if (!Number.isInteger(count)) {
    throw new FeeringError("out-of-range", `options.passes is ${count}, needs a whole number`, {
      argument: "options.passes",
      value: count,
    });
  }
  const begin = edge - (options.halfStart === true ? width / 2 : 0);
  const firstMiddle = options.sprayerHalfStart === true ? 0 : sprayer / 2;
  const passes = Array.from({ length: count }, (_, pass) => ({
    pass,
    middle: begin + (pass + 0.5) * width,
    wheels: [] as TramlineWheel[],
  }));
  const end = begin + count * width;
  for (let m = 0; firstMiddle + m * sprayer - track / 2 < end; m++) {
    for (const wheel of ["near", "far"] as const) {
      const place = firstMiddle + m * sprayer + (wheel === "near" ? -track / 2 : track / 2);
      const pass = passes[Math.floor((place - begin) / width + SAME)];
      if (pass === undefined || place < Math.max(0, begin) - SAME) continue;
      pass.wheels.push({ sprayerPass: m, wheel, offset: place - pass.middle });
    }
  }
  const offsets: number[] = [];
  for (const { wheels } of passes) {
    for (const { offset } of wheels) if (!offsets.some((o) => Math.abs(o - offset) < SAME)) offsets.push(offset);
  }
  return {
    passes,
    rhythm: rhythmOf(width, sprayer),
    symmetric: passes.every(({ wheels }, i) => isSymmetric(wheels, i === 0 || i === count - 1)),
    offsets: offsets.sort((a, b) => a - b),
  };
}

/** The first number of drill widths that is a number of sprayer widths. */
function rhythmOf(width: number, sprayer: number): number | null {
  for (let n = 1; n <= LONGEST; n++) {
    const times = (n * width) / sprayer;
    if (Math.round(times) >= 1 && Math.abs(times - Math.round(times)) * sprayer < 1e-4) return n;
  }
  return null;
}

/** Both wheels or none, mirrored about the drill's middle; at the edge of the field one may be missing. */
function isSymmetric(wheels: readonly TramlineWheel[], outermost: boolean): boolean {
  if (wheels.length === 0) return true;
  if (wheels.length === 1) return outermost && wheels[0]!.sprayerPass === 0;
  return (
    wheels.length === 2 &&
    wheels[0]!.sprayerPass === wheels[1]!.sprayerPass &&
    Math.abs(wheels[0]!.offset + wheels[1]!.offset) < SAME
  );
}
