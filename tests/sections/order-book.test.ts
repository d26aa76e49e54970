import { describe, expect, test } from "vitest";
import { random } from "../helpers/random.js";
import { OrderBook } from "../../src/sections/order-book.js";
import { isTime, SectionClock } from "../../src/sections/section-clock.js";

const INFINITE = Number.POSITIVE_INFINITY;
const SAME = 1e-9;

describe("orders of a section", () => {
  test("land after all that are under way, and only then count as landed", () => {
    const book = new OrderBook(2);
    book.flip(1, 10, 12);
    expect([...book.ordered]).toEqual([0, 1]);
    expect([...book.switches]).toEqual([0, 1]);
    expect(book.lastOn[1]).toBe(10);
    // an order off that would land before the order on lands with it
    book.flip(1, 10.5, 11);
    expect(book.ordered[1]).toBe(0);
    expect(book.lastOn[1]).toBe(10);
    expect([book.flipTime(1, 0), book.flipTime(1, 1), book.flipTime(1, 2)]).toEqual([12, 12, INFINITE]);
    book.flip(1, 11, 14);
    expect(book.lastOn[1]).toBe(11);
    expect(book.lastLanding[1]).toBe(14);
    expect([11.9, 12, 13.9, 14].map((time) => book.workingAt(1, time))).toEqual([false, false, false, true]);
    book.land(12);
    expect([...book.landed]).toEqual([0, 0]);
    expect(book.flipTime(1, 0)).toBe(14);
    expect(book.flipTime(1, 1)).toBe(INFINITE);
    book.land(13.9);
    expect(book.landed[1]).toBe(0);
    book.land(14);
    expect(book.landed[1]).toBe(1);
    expect(book.flipTime(1, 0)).toBe(INFINITE);
    expect(book.workingAt(1, 14)).toBe(true);
    expect(book.flipTime(0, 0)).toBe(INFINITE);
  });

  test("of which some are past leave the others as they are", () => {
    const book = new OrderBook(1);
    for (const landing of [12, 13, 14, 15]) book.flip(0, landing - 2, landing);
    book.land(13.5);
    expect([0, 1, 2].map((k) => book.flipTime(0, k))).toEqual([14, 15, INFINITE]);
    expect(book.landed[0]).toBe(0);
    expect([13.5, 14, 14.9, 15].map((time) => book.workingAt(0, time))).toEqual([false, true, true, false]);
  });

  test("off at once take back what has not landed yet", () => {
    const pending = (): OrderBook => {
      const book = new OrderBook(2);
      book.flip(1, 10, 12);
      book.flip(1, 10.2, 13);
      book.flip(1, 10.4, 14);
      return book;
    };
    // on at 12, off at 13; the order on at 14 never lands
    const late = pending();
    late.stop(1, 10.5, 13.5);
    expect([0, 1, 2].map((k) => late.flipTime(1, k))).toEqual([12, 13, INFINITE]);
    expect(late).toMatchObject({ ordered: Uint8Array.of(0, 0), lastLanding: Float64Array.of(-1e15, 13) });
    expect(late.switches[1]).toBe(4);
    // on at 12 alone is left: off at 12.5
    const between = pending();
    between.stop(1, 10.5, 12.5);
    expect([0, 1, 2].map((k) => between.flipTime(1, k))).toEqual([12, 12.5, INFINITE]);
    expect(between.lastLanding[1]).toBe(12.5);
    // what lands at that very instant stays
    const just = pending();
    just.stop(1, 10.5, 14);
    expect([0, 1, 2, 3].map((k) => just.flipTime(1, k))).toEqual([12, 13, 14, 14]);
    // nothing has landed, nothing will
    const none = pending();
    none.stop(1, 10.5, 11);
    expect(none.flipTime(1, 0)).toBe(INFINITE);
    expect(none.lastLanding[1]).toBe(10.5);
    // one that is off already is let be
    none.stop(1, 11, 12);
    expect(none.switches[1]).toBe(4);
    expect(none.lastLanding[1]).toBe(10.5);
    // one that works: off when the order lands
    const working = new OrderBook(1);
    working.flip(0, 1, 2);
    working.land(3);
    working.stop(0, 4, 4.5);
    expect(working.flipTime(0, 0)).toBe(4.5);
    expect([4.4, 4.5].map((time) => working.workingAt(0, time))).toEqual([true, false]);
  });

  test("of one section have nothing to do with those of the next", () => {
    const book = new OrderBook(2);
    for (let k = 0; k < 8; k++) book.flip(0, 10 + k, 20 + k);
    book.flip(1, 10, 11);
    book.land(12);
    // section 0 has its eight places full of later landings
    book.stop(1, 13, 14);
    expect([book.flipTime(1, 0), book.flipTime(1, 1)]).toEqual([14, INFINITE]);
    expect(book.flipTime(0, 7)).toBe(27);
    // one order of eight is past: the others move up, the last place stays as it was
    book.land(20);
    expect(book.toList().slice(12)).toEqual([21, 22, 23, 24, 25, 26, 27, 27, 14, 0, 0, 0, 0, 0, 0, 0]);
    expect(book.toList().slice(0, 6)).toEqual([0, 0, 1, 0, 7, 0]);
    expect(book.landed[1]).toBe(0);
  });

  test("that landed before do not land again", () => {
    const book = new OrderBook(1);
    book.flip(0, 1, 2);
    book.flip(0, 2, 3);
    book.land(2);
    book.land(2.5);
    expect(book.workingAt(0, 2.5)).toBe(true);
    book.land(3);
    book.land(4);
    expect([book.landed[0], book.flipTime(0, 0)]).toEqual([0, INFINITE]);
  });

  test("may be given early enough to land when the last has landed for long enough", () => {
    const book = new OrderBook(1);
    expect(book.earliest(0, 0.6, 0)).toBeLessThan(-1e14);
    expect(book.earliestOn(0, 1)).toBeLessThan(-1e14);
    book.flip(0, 10, 10.6);
    expect(book.earliest(0, 0.4, 2)).toBe(10.6 + 2 - 0.4 - SAME);
    expect(book.earliestOn(0, 3)).toBe(13 - SAME);
    for (let k = 0; k < 5; k++) book.flip(0, 11 + k, 12 + k);
    expect(book.earliest(0, 0, 0)).toBe(16 - SAME);
    book.flip(0, 16, 17);
    // seven under way: one place is kept for an order off
    expect(book.earliest(0, 0, 0)).toBe(INFINITE);
  });

  test("move with the clock, those never given stay never", () => {
    const book = new OrderBook(2);
    book.flip(0, 10, 12);
    book.flip(0, 11, 13);
    book.shift(-5);
    expect([book.flipTime(0, 0), book.flipTime(0, 1)]).toEqual([7, 8]);
    expect([...book.lastLanding]).toEqual([8, -1e15]);
    expect([...book.lastOn]).toEqual([5, -1e15]);
  });

  test("come back from a list, and from no other", () => {
    const book = new OrderBook(2);
    book.flip(0, 10, 12);
    book.land(12);
    book.flip(1, 10, 14);
    book.flip(0, 13, 15);
    const list = book.toList();
    const again = new OrderBook(2);
    expect(again.fromList(list)).toBe(true);
    expect(again.toList()).toEqual(list);
    expect(again.toList()).toEqual(book.toList());
    const refused = (k: number, value: number): boolean =>
      new OrderBook(2).fromList(list.map((own, i) => (i === k ? value : own)));
    expect(new OrderBook(2).fromList(list.slice(1))).toBe(false);
    expect(new OrderBook(1).fromList(list)).toBe(false);
    expect(refused(15, Number.NaN)).toBe(false);
    for (const k of [0, 1, 2, 3]) expect(refused(k, 2)).toBe(false);
    for (const k of [4, 5]) {
      for (const count of [-1, 0.5, 9]) expect(refused(k, count)).toBe(false);
      expect(refused(k, 8)).toBe(true);
    }
    const none = new OrderBook(2).toList();
    expect(new OrderBook(2).fromList(none)).toBe(true);
    for (const k of [0, 1, 2, 3]) {
      expect(refused(k, 0)).toBe(true);
      expect(refused(k, 1)).toBe(true);
      for (const bit of [-1, 0.5]) expect(refused(k, bit)).toBe(false);
    }
    for (const k of [4, 5]) expect(refused(k, 0)).toBe(true);
    // orders given may be more
    expect(refused(6, 99)).toBe(true);
  });
});

describe("the clock of section control", () => {
  test("takes the mean of intervals up to the maximum age", () => {
    const clock = new SectionClock(1.5);
    expect(clock.takeFix(1)).toBe(0);
    expect(clock.interval).toBe(0);
    expect(clock.takeFix(2.5)).toBe(1.5);
    expect(clock.interval).toBe(1.5);
    expect(clock.takeFix(3)).toBe(0.5);
    expect(clock.interval).toBe(1.25);
    expect(clock.takeFix(5)).toBe(0);
    expect(clock).toMatchObject({ interval: 1.25, fixTime: 5, now: 5 });
    clock.now = 8;
    expect(clock.takeFix(5.5)).toBe(0.5);
    expect(clock.now).toBe(8);
    clock.hasPlace = true;
    clock.setBack(2);
    expect(clock).toMatchObject({ now: 2, fixTime: 2, hasPlace: false, hasTime: true });
  });

  test("begins at any time at all", () => {
    const clock = new SectionClock(1.5);
    expect(clock.takeFix(1.2)).toBe(0);
    expect(clock.interval).toBe(0);
  });

  test("comes back from its list, and from no other", () => {
    const clock = new SectionClock(1.5);
    clock.takeFix(1);
    clock.takeFix(2);
    const list = clock.toList();
    expect(list).toEqual([1, 2, 2, 0, 0, 1]);
    const fresh = new SectionClock(1.5);
    const placed = new SectionClock(1.5);
    Object.assign(placed, { hasPlace: true, placeTime: 3, fixTime: 4, now: 5 });
    for (const own of [fresh, placed]) {
      const back = new SectionClock(1.5);
      expect(back.fromList(own.toList())).toBe(true);
      expect(back).toEqual(own);
    }
    const again = new SectionClock(1.5);
    expect(again.fromList(list)).toBe(true);
    expect(again).toEqual(clock);
    expect(again.fromList(list.slice(1))).toBe(false);
    for (let k = 0; k < list.length; k++) {
      expect(again.fromList(list.map((own, i) => (i === k ? Number.NaN : own)))).toBe(false);
    }
    expect(again.fromList(list.map((own, i) => (i === 5 ? -1 : own)))).toBe(false);
  });

  test("knows what a time is", () => {
    expect([0, 1e12, -1e12, 1.0001e12, -1.0001e12, Number.NaN, INFINITE].map(isTime)).toEqual([
      true,
      true,
      true,
      false,
      false,
      false,
      false,
    ]);
    expect(isTime("5" as never)).toBe(false);
  });
});

describe("what stands still", () => {
  test("when product began or ended to land last is kept, and moves with the clock", () => {
    const book = new OrderBook(2);
    book.flip(0, 10, 12);
    book.flip(0, 10.5, 12.5);
    book.land(11.9);
    expect([...book.landedAt]).toEqual([Number.NaN, Number.NaN]);
    book.land(13);
    expect([...book.landedAt]).toEqual([12.5, Number.NaN]);
    book.shift(-4);
    expect([...book.landedAt]).toEqual([8.5, Number.NaN]);
  });

  test("the revision moves with orders, landings and what is taken back, and as many are under way as have a time", () => {
    const next = random(11);
    const book = new OrderBook(3);
    const seen = (): string => [...book.ordered, ...book.landed, ...book.switches].join(" ");
    let time = 0;
    for (let step = 0; step < 5000; step++) {
      const before = seen();
      const { revision } = book;
      const i = Math.floor(3 * next());
      time += next() * 0.2;
      const kind = next();
      if (kind < 0.3 && book.flipTime(i, 6) === Number.POSITIVE_INFINITY) book.flip(i, time, time + next());
      else if (kind < 0.5) book.stop(i, time, time + 0.3 * next());
      else book.land(time);
      let underWay = 0;
      for (let k = 0; k < 24; k++) if (book.flipTime(k % 3, Math.floor(k / 3)) < Number.POSITIVE_INFINITY) underWay++;
      expect(book.underWay).toBe(underWay);
      if (seen() !== before) expect(book.revision).not.toBe(revision);
      if (step % 500 === 0) {
        const again = new OrderBook(3);
        const { revision: fresh } = again;
        expect(again.fromList(book.toList())).toBe(true);
        expect(again.underWay).toBe(underWay);
        expect(again.revision).not.toBe(fresh);
      }
    }
  });
});
