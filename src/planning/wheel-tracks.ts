import { FeeringError, requireList, requireNumber, requireObject } from "../errors/index.js";

/** A machine of a controlled traffic system. */
export interface TrafficMachine {
  /** its name, given back as it is */
  readonly name: string;
  /** working width, metres */
  readonly width: number;
  /** distance of its wheels, middle to middle, metres */
  readonly track: number;
  /** width of a tyre, metres */
  readonly tyre: number;
  /** middle of its first pass from the edge, metres; default half its width */
  readonly firstMiddle?: number;
}

/** A strip of ground that wheels run on. */
export interface WheelStrip {
  /** near side, metres from the edge */
  readonly from: number;
  /** far side, metres from the edge */
  readonly to: number;
  /** names of the machines that run on it, each once, in the order given */
  readonly machines: readonly string[];
}

/** The ground that wheels run on, over some width of a field. */
export interface WheelTracks {
  /** strips from the edge on, none touching another */
  readonly strips: readonly WheelStrip[];
  /** share of the width that is wheeled, 0 to 1 */
  readonly share: number;
}

const MOST = 100_000;

/**
 * Controlled traffic: which strips of a field several machines' wheels run on, pass beside pass, and what share of the ground that is.
 *
 * Share is smallest where all tracks are one and each width is an odd multiple of the narrowest (common practice, no source).
 *
 * @param machines - widths, tracks, tyres
 * @param across - width of ground to look at, metres from the edge
 * @returns strips and share
 * @throws `FeeringError` `not-finite`, `out-of-range`, `too-few-points`, `too-large`
 */
export function wheelTracks(machines: readonly TrafficMachine[], across: number): WheelTracks {
  requireList(machines, "machines");
  requireNumber(across, "across", { above: 0, max: 1e6 });
  if (machines.length === 0) {
    throw new FeeringError("too-few-points", "machines is empty, needs one", { argument: "machines", value: machines });
  }
  const marks: { from: number; to: number; name: string }[] = [];
  machines.forEach((machine, index) => {
    requireObject(machine, `machines[${index}]`);
    const width = requireNumber(machine.width, "machines.width", { above: 0, max: 200, index });
    const track = requireNumber(machine.track, "machines.track", { min: 0, max: 20, index });
    const tyre = requireNumber(machine.tyre, "machines.tyre", { above: 0, max: 5, index });
    const first = requireNumber(machine.firstMiddle ?? width / 2, "machines.firstMiddle", { min: 0, max: 1e5, index });
    if (across / width > MOST) {
      throw new FeeringError("too-large", `machines[${index}] makes more than ${MOST} passes`, {
        argument: "machines",
        index,
      });
    }
    for (let middle = first; middle - track / 2 - tyre / 2 < across; middle += width) {
      for (const wheel of [middle - track / 2, middle + track / 2]) {
        const from = Math.max(0, wheel - tyre / 2);
        const to = Math.min(across, wheel + tyre / 2);
        if (to > from) marks.push({ from, to, name: machine.name });
      }
    }
  });
  marks.sort((a, b) => a.from - b.from);
  const strips: { from: number; to: number; machines: string[] }[] = [];
  for (const { from, to, name } of marks) {
    const last = strips[strips.length - 1];
    if (last === undefined || from > last.to) strips.push({ from, to, machines: [name] });
    else {
      last.to = Math.max(last.to, to);
      if (!last.machines.includes(name)) last.machines.push(name);
    }
  }
  const given = machines.map(({ name }) => name);
  for (const strip of strips) strip.machines.sort((a, b) => given.indexOf(a) - given.indexOf(b));
  return { strips, share: strips.reduce((sum, { from, to }) => sum + to - from, 0) / across };
}
