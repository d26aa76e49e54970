// The pictures of the docs pages, made by the library itself: npx tsx scripts/draw-pictures.ts
import type { Point, Polygon } from "../src/geometry/index.js";
import { headland } from "../src/headland/index.js";
import { drivableLine, offsetFamily, offsetLine } from "../src/offset/index.js";
import { evenSections } from "../src/sections/index.js";
import { type Controller, type Scenario, simulate } from "../src/simulation/index.js";
import { drawPlan, drawTurns } from "./draw-planning.js";
import { closed, GREY, Sheet } from "./sheet.js";

cusps();
pinched();
corners();
drivable();
steeringLaws();
drawTurns();
drawPlan();

/** A bend of 14 m radius and its parallels: shifted point by point with their loops, and trimmed. */
function cusps(): void {
  const line: Point[] = [];
  for (let i = 0; i <= 200; i++) {
    const x = -60 + (120 * i) / 200;
    line.push([x, 34 * Math.exp(-((x / 24) ** 2))]);
  }
  const sheet = new Sheet([-66, -52, 72, 58], 6);
  // what shifting each point along its normal gives, loops and all
  const shifted = (d: number): Point[] =>
    line.map(([x, y], i): Point => {
      const a = line[Math.max(0, i - 1)]!;
      const b = line[Math.min(line.length - 1, i + 1)]!;
      const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
      return [x + (d * (b[1] - a[1])) / length, y - (d * (b[0] - a[0])) / length];
    });
  const distances = [6, 12, 18, 24, 30, 36];
  for (const d of distances) sheet.path([shifted(d)], { stroke: GREY, width: 0.8, dash: "3 3" });
  for (const member of offsetFamily(line, [-6, -12, -18, ...distances])) {
    sheet.path(
      member.map((piece) => piece.points),
      { width: 1.2 },
    );
  }
  sheet.path([line], { width: 2.6 });
  sheet.bar([-60, -48], 24).text([0, -48], "source heavy, parallels 6 m apart; dashed: points only shifted");
  sheet.write("offset-cusps.svg");
}

/** A field that pinches: rounds from the field itself, two mainfields. */
function pinched(): void {
  const ring: Point[] = [];
  for (let i = 0; i < 120; i++) {
    const t = (2 * Math.PI * i) / 120;
    const r = 62 + 38 * Math.cos(2 * t) + 6 * Math.sin(3 * t);
    ring.push([1.35 * r * Math.cos(t), r * Math.sin(t) * 0.95]);
  }
  const field: Polygon = { exterior: ring, holes: [] };
  const sheet = new Sheet([-145, -75, 145, 72], 3.4);
  sheet.polygons([{ exterior: closed(ring), holes: [] }], { width: 2.4 });
  for (const member of offsetFamily(field, [-6, -12, -18, -24, -30, -36, -42])) sheet.polygons(member, { width: 1 });
  sheet.bar([-138, -68], 50).text([-60, -68], "boundary heavy, offsets 6 m apart, each from the boundary itself");
  sheet.write("offset-pinched.svg");
}

/** Headland rounds of a field with an obstacle, and what their corners leave. */
function corners(): void {
  const field: Polygon[] = [
    {
      exterior: [
        [0, 0],
        [150, -12],
        [168, 88],
        [96, 108],
        [70, 72],
        [10, 96],
      ],
      holes: [
        [
          [104, 42],
          [116, 40],
          [120, 50],
          [108, 56],
        ],
      ],
    },
  ];
  const made = headland(field, { swathWidth: 9, rounds: 2, obstacleRounds: 1, minimumRadius: 7 });
  const sheet = new Sheet([-8, -24, 190, 114], 5);
  sheet.polygons(
    field.map(({ exterior, holes }) => ({ exterior: closed(exterior), holes: holes.map(closed) })),
    { width: 2.4 },
  );
  sheet.polygons(made.mainfield, { width: 1, dash: "6 4", fill: "#efe9dc" });
  sheet.path(
    made.rounds.map((round) => round.line),
    { width: 1.1, stroke: "#222" },
  );
  sheet.polygons(
    made.uncovered.flatMap((place) => place.outline),
    { fill: "url(#dots)", stroke: "#204a6e", width: 0.7 },
  );
  sheet.bar([0, -20], 20).text([34, -20], "rounds thin, mainfield tinted, dotted: what no swath of the rounds reaches");
  sheet.write("headland-corners.svg");
}

/** The inner corner of a pass, the line that a machine of 10 m radius can drive, and the ground between the two. */
function drivable(): void {
  const source: Point[] = [
    [-34, 0],
    [0, 0],
    [0, 34],
  ];
  const pass = offsetLine(source, -12)[0]!.points;
  const made = drivableLine(pass, { minimumRadius: 10 });
  const sheet = new Sheet([-36, -5, 8, 36], 14);
  // the ground between the two lines
  sheet.path([[...pass, ...[...made.points].reverse(), pass[0]!]], { fill: "url(#lines)", width: 0 });
  sheet.path([source], { width: 2.6 });
  sheet.path([pass], { stroke: "#555", width: 1.4, dash: "6 4" });
  sheet.path([made.points], { width: 1.8 });
  const apart = Math.max(made.report.largestGap, made.report.largestOverlap).toFixed(2);
  sheet.bar([-35, 34], 6).text([-24, 34.2], `exact pass dashed, drivable line full, ${apart} m apart at the corner`);
  sheet.write("drivable-line.svg");
}

/** Error over time from 1 m beside the line, by both steering laws: as their formulas have it, and on a tractor with a receiver's errors. */
function steeringLaws(): void {
  const seconds = 40;
  const tall = 14; // sheet metres for a metre of error
  const sheet = new Sheet([-3, -2, 42, 15.5], 18);
  const scenario: Scenario = {
    drives: [
      {
        line: [
          [0, 0],
          [0, 3 * seconds],
        ],
      },
    ],
    start: { x: 1, y: 0, heading: 0 },
    speed: 3,
    acceleration: 100,
    gnss: { rate: 20, headingNoise: 0 },
    job: {
      origin: { latitude: 52, longitude: 5, altitude: 20 },
      machine: { antenna: { x: 1.2, y: 0, z: -3 } },
      boom: { sections: evenSections(6, 1) },
    },
  };
  const tractor: Partial<Scenario> = {
    vehicle: { model: "bicycle", wheelbase: 2.8, maximumAngle: 40, maximumRate: 25, delay: 0.2 },
    gnss: { rate: 10, latency: 0.1, headingNoise: 0.3, noise: 0.008, drift: 0.015, driftTime: 30 },
  };
  for (let t = 0; t <= seconds; t += 5) {
    sheet
      .path(
        [
          [
            [t, -0.2],
            [t, 0.2],
          ],
        ],
        { stroke: GREY },
      )
      .text([t - 0.4, -1.2], `${t} s`);
  }
  sheet.path(
    [
      [
        [0, 0],
        [seconds, 0],
      ],
    ],
    { stroke: GREY },
  );
  for (const metres of [0.25, 0.5, 0.75, 1]) {
    sheet.path(
      [
        [
          [0, metres * tall],
          [seconds, metres * tall],
        ],
      ],
      { stroke: GREY, width: 0.4 },
    );
    sheet.text([-2.8, metres * tall - 0.2], `${metres} m`);
  }
  const laws: [Controller, string, string][] = [
    [{ law: "pure-pursuit", time: 1.5, minimum: 4.5 }, "#204a6e", "pure pursuit, 4.5 m ahead"],
    [{ law: "stanley", gain: 0.8 }, "#8a3a2a", "Stanley, gain 0.8 a second"],
  ];
  laws.forEach(([controller, stroke, name], i) => {
    const curve = (change: Partial<Scenario>): Point[] => {
      const { drive } = simulate({ ...scenario, controller, ...change });
      return Array.from(drive.time, (t, k): Point => [t, drive.crossTrackError[k]! * tall]).filter(
        ([t]) => t <= seconds,
      );
    };
    sheet.path([curve({})], { stroke, width: 1, dash: "5 4" });
    sheet.path([curve(tractor)], { stroke, width: 1.8 });
    sheet
      .path(
        [
          [
            [14, 12 - 1.4 * i],
            [17, 12 - 1.4 * i],
          ],
        ],
        { stroke, width: 1.8 },
      )
      .text([17.5, 11.8 - 1.4 * i], name);
  });
  sheet.text([14, 8.4], "dashed: the wheels follow at once, a perfect receiver");
  sheet.text([14, 7.4], "full: 0.2 s of delay, 25 degrees/s, RTK noise and drift, fixes 0.1 s late");
  sheet.write("steering-laws.svg");
}
