import type { Point, Polygon } from "../src/geometry/index.js";
import { type HeadlandTurnKind, headlandTurn, planField } from "../src/planning/index.js";
import { closed, GREY, Sheet } from "./sheet.js";

const FORWARD = "#204a6e";
const BACKWARD = "#8a3a2a";

/** The turns side by side, at one radius: forward blue, backward red. */
export function drawTurns(): void {
  const radius = 6;
  const shown: readonly [kind: HeadlandTurnKind, apart: number, stagger: number][] = [
    ["u", 18, 0],
    ["omega", 6, 0],
    ["fishtail", 6, 0],
    ["three-arc", 6, 0],
    ["slanted", 8, 17],
  ];
  const sheet = new Sheet([-8, -30, 150, 25], 6.4);
  // where the passes end
  sheet.path(
    [
      [
        [-6, 0],
        [100, 0],
      ],
    ],
    { stroke: GREY, dash: "2 4" },
  );
  let west = 0;
  for (const [kind, apart, stagger] of shown) {
    const up = stagger === 0;
    const turn = headlandTurn(
      { x: west, y: 0, heading: 0 },
      { x: west + apart, y: up ? 0 : stagger, heading: up ? 180 : 0 },
      { radius, kinds: [kind], canReverse: true, step: 0.1 },
    );
    if (turn.kind === "none") throw new Error(kind);
    const end: Point = [west + apart, up ? 0 : stagger];
    sheet.path(
      [
        [
          [west, -10],
          [west, 0],
        ],
        [end, [end[0], up ? -10 : stagger + 7]],
      ],
      { stroke: GREY, width: 2.4 },
    );
    let piece: Point[] = [];
    let backward = turn.points[1]!.reversing;
    const draw = (): void => {
      sheet.path([piece], { stroke: backward ? BACKWARD : FORWARD, width: 1.8, ...(backward ? { dash: "5 3" } : {}) });
    };
    turn.points.forEach(({ x, y, reversing }, i) => {
      if (i > 0 && reversing !== backward) {
        draw();
        piece = [piece[piece.length - 1]!];
        backward = reversing;
      }
      piece.push([x, y]);
    });
    draw();
    sheet.text([west - 4, -14], kind);
    sheet.text([west - 4, -17], `${turn.length.toFixed(2)} m long`);
    sheet.text([west - 4, -20], `${turn.depth.toFixed(2)} m deep`);
    west += apart + 22;
  }
  sheet
    .bar([-6, -27], 6)
    .text([8, -27.6], "radius 6 m; forward full, backward dashed; the dotted line is where passes end");
  sheet.write("headland-turns.svg");
}

/** A concave field with an obstacle: rounds, blocks in directions of their own, and the ways between. */
export function drawPlan(): void {
  const field: Polygon = {
    exterior: [
      [0, 0],
      [330, -14],
      [352, 150],
      [210, 138],
      [196, 330],
      [18, 352],
    ],
    holes: [
      [
        [86, 196],
        [116, 190],
        [122, 222],
        [92, 230],
      ],
    ],
  };
  const plan = planField([field], { swathWidth: 12, minimumRadius: 6, rounds: 2, obstacleRounds: 1, canReverse: true });
  const sheet = new Sheet([-12, -62, 366, 366], 2.6);
  sheet.polygons([{ exterior: closed(field.exterior), holes: field.holes.map(closed) }], {
    width: 2.4,
    fill: "#efe9dc",
  });
  const lines = (kind: string): (readonly Point[])[] =>
    plan.drives.filter((drive) => drive.kind === kind).map((drive) => drive.line);
  sheet.path(lines("round"), { width: 1 });
  sheet.path(lines("swath"), { width: 1.5, stroke: FORWARD });
  sheet.path(lines("turn"), { width: 0.9, stroke: BACKWARD });
  sheet.path(lines("connection"), { width: 0.9, stroke: BACKWARD, dash: "5 3" });
  const { totals } = plan;
  const km = (metres: number): string => (metres / 1000).toFixed(2);
  sheet.bar([0, -34], 50);
  sheet.text([70, -30], "rounds black, swaths blue, turns red, other ways dashed");
  sheet.text(
    [70, -42],
    `${km(totals.workingDistance)} km at work, ${km(totals.nonWorkingDistance)} km not; ${plan.blocks.length} blocks;`,
  );
  sheet.text(
    [70, -54],
    `${(totals.time / 3600).toFixed(2)} h, field efficiency ${(100 * totals.fieldEfficiency).toFixed(0)} %`,
  );
  sheet.write("field-plan.svg");
}
