import { describe, expect, test } from "vitest";
import { type DrivenRun, lateralOffsetFromRuns } from "../../src/machine/index.js";
import { normal } from "../helpers/random.js";
import { expectCode, expectWithin, MM } from "../helpers/within.js";

type Place = [x: number, y: number];

interface Log {
  readonly runs: number;
  readonly offset: number;
  /** white noise of a position, m */
  readonly white?: number;
  /** deviation of the machine from the line, m, over some 15 m */
  readonly steering?: number;
  /** slow drift of the receiver, m, over some 5 minutes */
  readonly drift?: number;
  /** steady drift, m/s */
  readonly steady?: number;
  /** sag of the line, m */
  readonly bend?: number;
  readonly heading?: number;
}

/** Logs of one line of 200 m driven out and back at 2 m/s and 5 Hz, with turns of 25 s. */
function drive(seed: number, log: Log): DrivenRun[] {
  const { white = 0.01, steering = 0.03, drift = 0.01, steady = 0, bend = 0, heading = 33 } = log;
  const g = normal(seed);
  const east = Math.sin((heading * Math.PI) / 180);
  const north = Math.cos((heading * Math.PI) / 180);
  const dt = 0.2;
  const slow = Math.exp(-dt / 300);
  const quick = Math.exp((-2 * dt) / 15);
  let time = 0;
  let drifted = drift * g();
  const tick = () => {
    time += dt;
    drifted = slow * drifted + drift * Math.sqrt(1 - slow * slow) * g();
  };
  const runs: DrivenRun[] = [];
  for (let r = 0; r < log.runs; r++) {
    const direction = r % 2 === 0 ? 1 : -1;
    const points: [number, number][] = [];
    const start = time;
    let off = steering * g();
    for (let i = 0; i <= 500; i++) {
      tick();
      const station = direction > 0 ? 0.4 * i : 200 - 0.4 * i;
      off = quick * off + steering * Math.sqrt(1 - quick * quick) * g();
      const line = bend * (station / 200 - 0.5) ** 2;
      const lateral = line + off + direction * log.offset + drifted + steady * time + white * g();
      points.push([500 + station * east + lateral * north + white * g(), 800 + station * north - lateral * east]);
    }
    runs.push({ points, time: (start + time) / 2 });
    for (let i = 0; i < 125; i++) tick();
  }
  return runs;
}

describe("lateralOffsetFromRuns", () => {
  test("is half of what out and back lie apart, right positive", () => {
    for (const [heading, offset] of [
      [0, 0.1],
      [90, -0.25],
      [200, 0],
      [315, 1.5],
    ] as const) {
      const result = lateralOffsetFromRuns(drive(1, { runs: 2, offset, white: 0, steering: 0, drift: 0, heading }));
      expectWithin(result.offset, offset, 1e-12);
      expectWithin(result.standardError, 0, 1e-12);
      expectWithin(result.means.out - result.means.back, 2 * offset, 1e-12);
      expectWithin(result.leftOver, 0, 1e-12);
      expect([result.runs, result.leftOut]).toEqual([2, 0]);
    }
  });

  test.for([
    ["as usual", {}],
    ["no drift", { drift: 0 }],
    ["a receiver that drifts by 5 cm", { drift: 0.05 }],
    ["steady drift of 1 cm in 100 s", { steady: 1e-4 }],
    ["a line that bends by 3 m", { bend: 3 }],
    ["rough steering", { steering: 0.1 }],
    ["white noise alone", { white: 0.02, steering: 0, drift: 0 }],
  ] as const)("finds the offset within its standard error: %s", ([, log]) => {
    for (const runs of [4, 6, 10]) {
      let beyondTwo = 0;
      let beyondThree = 0;
      let errors = 0;
      let stated = 0;
      for (let seed = 0; seed < 40; seed++) {
        const result = lateralOffsetFromRuns(drive(100 * runs + seed, { ...log, runs, offset: 0.12 }));
        const error = Math.abs(result.offset - 0.12);
        if (error > 2 * result.standardError) beyondTwo++;
        if (error > 3 * result.standardError) beyondThree++;
        errors += error ** 2;
        stated += result.standardError ** 2;
      }
      expect(beyondTwo, `${runs} runs, more than two standard errors off`).toBeLessThanOrEqual(6);
      expect(beyondThree, `${runs} runs, more than three standard errors off`).toBeLessThanOrEqual(2);
      // neither far too sure nor far too shy
      expect(Math.sqrt(stated / errors), `${runs} runs, stated to true error`).toBeGreaterThan(0.8);
      expect(Math.sqrt(stated / errors), `${runs} runs, stated to true error`).toBeLessThan(4);
    }
  });

  test("a steady drift cancels where runs go out and back and out again", () => {
    const clean = { white: 0, steering: 0, drift: 0, steady: 1e-3, offset: 0.2 };
    // two runs cannot know it: 125 s apart on average, 6 cm
    const two = lateralOffsetFromRuns(drive(1, { ...clean, runs: 2 }));
    expectWithin(two.offset, 0.2 - 0.0627, MM);
    expect(two.standardError).toBeGreaterThan(0.02);
    for (const runs of [3, 4, 7]) {
      expectWithin(lateralOffsetFromRuns(drive(1, { ...clean, runs })).offset, 0.2, 0.1 * MM);
    }
  });

  test("takes the direction from the heading where one is given, and the order from the times", () => {
    const runs = drive(5, { runs: 6, offset: 0.1 });
    const expected = lateralOffsetFromRuns(runs);
    const shuffled = [runs[0]!, runs[3]!, runs[5]!, runs[2]!, runs[1]!, runs[4]!];
    expect(lateralOffsetFromRuns(shuffled).offset).toBeCloseTo(expected.offset, 12);
    // in reverse the cab looks the other way: the antenna is on the other side of the way
    const backwards = runs.map((run, i) => ({ ...run, heading: i % 2 === 0 ? 213 : 33 }));
    expectWithin(lateralOffsetFromRuns(backwards).offset, -expected.offset, MM);
    const plain = runs.map((run, i) => ({ ...run, heading: i % 2 === 0 ? 30 : -140 }));
    expect(lateralOffsetFromRuns(plain)).toEqual(expected);
  });

  test("a wild run, stray points and a wait at the end do no harm", () => {
    const runs = drive(7, { runs: 8, offset: 0.1, drift: 0 });
    const wild = runs.map((run, r) => ({
      ...run,
      points: run.points.map(([x, y]): Place => (r === 4 ? [x + 3, y - 2] : [x, y])),
    }));
    const result = lateralOffsetFromRuns(wild);
    expect(result.leftOut).toBe(2);
    expectWithin(result.offset, 0.1, 3 * result.standardError);
    const stray = runs.map((run) => ({
      ...run,
      points: [
        ...Array.from({ length: 2000 }, (): Place => [...run.points[0]!]),
        ...run.points.map(([x, y], i): Place => (i % 40 === 20 ? [x + 5, y] : [x, y])),
      ],
    }));
    expectWithin(lateralOffsetFromRuns(stray).offset, 0.1, 0.02);
  });

  test("runs are the same turned and far away", () => {
    const runs = drive(9, { runs: 4, offset: 0.1 });
    const expected = lateralOffsetFromRuns(runs);
    const moved = runs.map((run) => ({
      ...run,
      points: run.points.map(([x, y]): [number, number] => [6e6 + 0.6 * x - 0.8 * y, -6e6 + 0.8 * x + 0.6 * y]),
    }));
    const result = lateralOffsetFromRuns(moved);
    expectWithin(result.offset, expected.offset, 1e-8);
    expectWithin(result.standardError, expected.standardError, 1e-8);
  });

  test("says what is missing", () => {
    const runs = drive(11, { runs: 3, offset: 0.1 });
    expectCode(() => lateralOffsetFromRuns([]), "too-few-points");
    expectCode(() => lateralOffsetFromRuns(null as never), "too-few-points");
    expectCode(() => lateralOffsetFromRuns([runs[0]!]), "too-few-points");
    expect(expectCode(() => lateralOffsetFromRuns([runs[0]!, runs[2]!]), "too-few-points").message).toMatch(
      /0 runs back/,
    );
    expectCode(() => lateralOffsetFromRuns([runs[0]!, { points: runs[1]!.points.slice(0, 4) }]), "too-few-points");
    const short = expectCode(
      () => lateralOffsetFromRuns([runs[0]!, { points: runs[1]!.points.slice(0, 30) }]),
      "out-of-range",
    );
    expect(short.index).toBe(1);
    const apart = [{ points: runs[0]!.points.slice(0, 200) }, { points: runs[1]!.points.slice(0, 200) }];
    expect(expectCode(() => lateralOffsetFromRuns(apart), "out-of-range").message).toMatch(/in common/);
    expect(
      expectCode(() => lateralOffsetFromRuns([runs[0]!, { ...runs[1]!, heading: 120 }]), "out-of-range").index,
    ).toBe(1);
    expectCode(() => lateralOffsetFromRuns([runs[0]!, { ...runs[1]!, heading: Number.NaN }]), "not-finite");
    expectCode(() => lateralOffsetFromRuns([runs[0]!, { ...runs[1]!, time: Number.NaN }]), "not-finite");
    expectCode(() => lateralOffsetFromRuns([runs[0]!, null as never]), "not-finite");
    expectCode(() => lateralOffsetFromRuns(runs, { minimumLength: 300 }), "out-of-range");
    expectCode(() => lateralOffsetFromRuns(runs, { minimumLength: 0 }), "out-of-range");
    const still = Array.from({ length: 9 }, (): [number, number] => [3, 3]);
    expectCode(() => lateralOffsetFromRuns([{ points: still }, { points: still }]), "out-of-range");
    // both runs long enough, but with all their points elsewhere
    const gap = (from: number): [number, number][] =>
      [0, 200, ...Array.from({ length: 7 }, (_, i) => from + i)].map((s) => [0, s]);
    expectCode(
      () => lateralOffsetFromRuns([{ points: gap(30) }, { points: gap(130), heading: 180 }]),
      "too-few-points",
    );
  });
});
