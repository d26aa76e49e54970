import { describe, expect, test } from "vitest";
import { guidancePattern, headingLine, LineMarker, PassFollower, straightLine } from "../../src/guidance/index.js";
import { expectCode } from "../helpers/within.js";

describe("marking a line live", () => {
  test("A where the machine stands, B where it stands later, and passes exist from then on", () => {
    const marker = new LineMarker();
    const follower = new PassFollower(null);
    expect(follower.update(10, 10, 0).status).toBe("no-line");
    expect(marker.markA([10, 10])).toEqual({ outcome: "marked", line: null, distance: 0 });
    const { outcome, line, distance } = marker.markB([10, 90], { name: "north" });
    expect(outcome).toBe("marked");
    expect(distance).toBe(80);
    expect(line).toEqual(straightLine([10, 10], [10, 90], { name: "north" }));
    follower.usePattern(guidancePattern(line!, { swathWidth: 6 }));
    expect(follower.update(16.5, 95, 0)).toMatchObject({ status: "ok", pass: 1, crossTrackError: 0.5 });
  });

  test("B too near to A is refused, with the reason and the distance, and A stays", () => {
    const marker = new LineMarker({ minimumLength: 20 });
    marker.markA([0, 0]);
    expect(marker.markB([12, 0])).toEqual({ outcome: "too-near", line: null, distance: 12 });
    expect(marker.markB([20, 0])).toMatchObject({ outcome: "marked", distance: 20 });
  });

  test("B without A, points without numbers and absurd distances are refused, never thrown", () => {
    const marker = new LineMarker();
    expect(marker.markB([1, 2]).outcome).toBe("no-a");
    expect(marker.markHeading(90).outcome).toBe("no-a");
    expect(marker.markA([Number.NaN, 0]).outcome).toBe("not-finite");
    expect(marker.markA(undefined as never).outcome).toBe("not-finite");
    marker.markA([0, 0]);
    expect(marker.markB([Number.NaN, 0]).outcome).toBe("not-finite");
    expect(marker.markB([1e200, 1e200]).outcome).toBe("out-of-range");
    expect(marker.markHeading(Number.POSITIVE_INFINITY).outcome).toBe("not-finite");
    expect(marker.markB([0, 50]).outcome).toBe("marked");
  });

  test("a refused A leaves the line that is there", () => {
    const marker = new LineMarker();
    marker.markA([0, 0]);
    const { line } = marker.markB([0, 50]);
    expect(marker.markA([0, Number.NaN])).toMatchObject({ outcome: "not-finite", line });
    expect(marker.line).toBe(line);
  });

  test("a second B takes the place of the first, a second A begins anew", () => {
    const marker = new LineMarker();
    marker.markA([0, 0]);
    marker.markB([0, 50]);
    expect(marker.markB([50, 0]).line).toEqual(straightLine([0, 0], [50, 0]));
    expect(marker.markA([5, 5]).line).toBe(null);
    marker.reset();
    expect(marker.markB([0, 50]).outcome).toBe("no-a");
  });

  test("A and a heading make an A+ line", () => {
    const marker = new LineMarker();
    marker.markA([3, 4]);
    expect(marker.markHeading(-90, { id: "7" }).line).toEqual(headingLine([3, 4], 270, { id: "7" }));
    expect(marker.update(0, 0)).toMatchObject({ stage: "line", heading: 270, length: 0, ax: 3, ay: 4 });
  });

  test("before B the preview leads from A to the machine, and tells when B can be marked", () => {
    const marker = new LineMarker({ minimumLength: 10 });
    expect(marker.update(7, 7)).toMatchObject({ stage: "empty", ready: false, length: 0 });
    marker.markA([1, 1]);
    const preview = marker.update(1, 9);
    expect(preview).toMatchObject({
      stage: "a-marked",
      ready: false,
      ax: 1,
      ay: 1,
      bx: 1,
      by: 9,
      length: 8,
      heading: 0,
    });
    expect(marker.update(11, 1)).toBe(preview);
    expect(preview).toMatchObject({ ready: true, length: 10, heading: 90 });
    expect(marker.update(Number.NaN, 1)).toMatchObject({ ready: true, length: 10, heading: 90 });
    marker.markB([1, 21]);
    expect(marker.update(500, 1)).toMatchObject({ stage: "line", bx: 1, by: 21, length: 20, heading: 0 });
  });

  test("what is marked survives a restart by way of JSON", () => {
    const marker = new LineMarker();
    const twin = () => LineMarker.restore(JSON.parse(JSON.stringify(marker.snapshot())));
    expect(twin().markB([0, 9]).outcome).toBe("no-a");
    marker.markA([1, 2]);
    expect(twin().markB([1, 52]).line).toEqual(straightLine([1, 2], [1, 52]));
    marker.markB([1, 40], { name: "n" });
    expect(twin().line).toEqual(marker.line);
    expect(twin().update(0, 0)).toEqual(marker.update(0, 0));
  });

  test.for([
    null,
    {},
    { version: 1 },
    { version: 1, a: [1], line: null },
    { version: 1, a: null, line: straightLine([0, 0], [9, 9]) },
    { version: 1, a: [0, 0], line: { kind: "ab", points: [] } },
  ])("a damaged snapshot %j is refused", (snapshot) => {
    expectCode(() => LineMarker.restore(snapshot as never), "bad-snapshot");
  });

  test("a bad minimum length is refused", () => {
    expectCode(() => new LineMarker({ minimumLength: 0 }), "out-of-range");
    expectCode(() => new LineMarker({ minimumLength: Number.NaN }), "not-finite");
  });
});
