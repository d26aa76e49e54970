import type { GeographicPosition } from "../../src/frames/index.js";
import type { JobDefinition } from "../../src/job/index.js";
import type { Fix } from "../../src/receiver/index.js";
import { fixOf, type Item, ORIGIN, SPEED, type Way } from "./drive.js";
import { toItems, toPieces } from "./nmea.js";
import { changed } from "./run.js";

/** What a fault is given. */
export interface Fault {
  /** when it begins, s as things come in */
  readonly at: number;
  /** how long it goes on, s */
  readonly length: number;
  /** how much, in the scenario's own unit */
  readonly size: number;
  readonly way: Way;
  readonly origin: GeographicPosition;
  /** 0..1, seeded */
  readonly chance: () => number;
}

/** One of the 18 fault scenarios. */
export interface Scenario {
  readonly id: string;
  readonly what: string;
  /** lengths and sizes that are tried alone; the first is used in pairs with sizes between the first and the last */
  readonly lengths: readonly number[];
  readonly sizes: readonly number[];
  readonly apply: (items: readonly Item[], fault: Fault) => Item[];
  /** s from the last fix that it has to do with to sections working again, as docs/what-happens-when.md says */
  readonly recovery: number;
  /** metres that ground may be marked beside the true way because of it */
  readonly margin?: (size: number) => number;
  readonly origin?: GeographicPosition;
  readonly job?: (definition: JobDefinition, fault: { size: number }) => JobDefinition;
}

const METRE = 1 / 111_195;

/** Change the fixes of a span; the one after it is marked as the fault's end. */
function within(
  items: readonly Item[],
  { at, length }: Fault,
  change: (item: Item, i: number) => readonly Item[],
): Item[] {
  const out: Item[] = [];
  let n = 0;
  let ended = true;
  for (const item of items) {
    if (item.at >= at && item.at < at + length - 1e-6) {
      out.push(...change(item, n++));
      ended = false;
    } else {
      out.push(ended ? item : { ...item, touched: true });
      ended = true;
    }
  }
  return out;
}

function touch(items: readonly Item[]): Item[] {
  return items.map((item) => ({ ...item, touched: true }));
}

/** Put a stay in: fixes at 10 Hz while the machine is where it is at this time; all that follows is later. */
function stay(items: readonly Item[], { at }: Fault, make: (first: Item) => readonly Item[]): Item[] {
  const i = items.findIndex((item) => item.at >= at && Number.isFinite(item.fix.time));
  if (i <= 0) return [...items];
  const made = touch(make(items[i]!));
  const later = made.length / 10;
  const after = items.slice(i).map((item) => ({
    ...item,
    at: item.at + later,
    fix: { ...item.fix, time: item.fix.time + later },
  }));
  return [...items.slice(0, i), ...made, ...after];
}

/** A fix of a stay: number `n` of it, at a place of the way. */
function stayed(first: Item, n: number, place: number, { way, origin }: Fault, change: Partial<Fix>): Item {
  const time = first.fix.time + n / 10;
  return {
    at: first.at + n / 10,
    place,
    fix: { ...fixOf(way, place, time, origin), dated: first.fix.dated, ...change },
  };
}

const ODD: readonly Partial<Fix>[] = [
  { latitude: Number.NaN },
  { longitude: Number.POSITIVE_INFINITY },
  { latitude: 0, longitude: 0, quality: 0 },
  { latitude: 91 },
  { quality: 0 },
  { time: Number.NaN },
  { latitude: undefined as unknown as number },
  { longitude: "20.75" as unknown as number },
];

/** Whole seconds by which a clock is moved from a fault's begin on. */
function clockBy(items: readonly Item[], { at }: Fault, seconds: number, unsure: boolean): Item[] {
  let first = true;
  return items.map((item) => {
    if (item.at < at) return item;
    const moved = { ...item, fix: { ...item.fix, time: item.fix.time + seconds } };
    if (!first) return moved;
    first = false;
    return { ...moved, touched: true, unsure };
  });
}

/** Through bytes, with midnight at the fault's begin. */
function overMidnight(items: readonly Item[], { at }: Fault, leap: boolean): Item[] {
  const begin = items.find((item) => item.at >= at && Number.isFinite(item.fix.time));
  // bytes have no room for what no receiver writes
  if (begin === undefined || items.some(({ fix }) => typeof fix.longitude !== "number" || fix.quality > 8))
    return [...items];
  const midnight = 1_744_848_000;
  const by = midnight - begin.fix.time;
  const sound = items.filter(({ fix }) => Number.isFinite(fix.latitude + fix.longitude + fix.time) && fix.quality > 0);
  const shifted = sound.map((item) => ({
    ...item,
    fix: { ...item.fix, time: Math.round((item.fix.time + by) * 100) / 100 },
  }));
  const read = toItems(toPieces(shifted, leap ? midnight : undefined));
  const known = new Map(sound.map((item) => [item.at, item]));
  // the second is there twice: 60.x and 00.x
  return read.map((item) => ({
    ...known.get(item.at)!,
    ...item,
    touched: known.get(item.at)?.touched === true || (item.at >= at && item.at < at + (leap ? 2 : 0.3)),
  }));
}

/** Bytes with wrong bits, half sentences and rubbish between them. */
function throughNoise(items: readonly Item[], fault: Fault): Item[] {
  const { at, length, size, chance } = fault;
  const sound = items.filter(
    ({ fix }) =>
      typeof fix.longitude === "number" && Number.isFinite(fix.latitude + fix.longitude + fix.time) && fix.quality > 0,
  );
  const rounded = sound.map((item) => ({ ...item, fix: { ...item.fix, time: Math.round(item.fix.time * 100) / 100 } }));
  const pieces = toPieces(rounded).map((piece) => {
    if (piece.at < at || piece.at >= at + length) return piece;
    let bytes = Array.from(piece.bytes, (byte) =>
      chance() < size * 8 ? byte ^ (1 << Math.floor(chance() * 8)) : byte,
    );
    const kind = Math.floor(chance() * 12);
    if (kind === 0) bytes = bytes.slice(Math.floor(chance() * bytes.length));
    else if (kind === 1) bytes = bytes.slice(0, Math.floor(chance() * bytes.length));
    else if (kind === 2) bytes = Array.from({ length: 300 }, () => Math.floor(chance() * 256));
    return { ...piece, bytes: Uint8Array.from(bytes) };
  });
  const known = new Map(sound.map((item) => [item.at, item]));
  return toItems(pieces).map((item) => ({
    ...known.get(item.at)!,
    ...item,
    touched: known.get(item.at)?.touched === true || (item.at >= at && item.at < at + length + 0.3),
  }));
}

/** The 18 scenarios of the receiver's faults. */
export const scenarios: readonly Scenario[] = [
  {
    id: "F1",
    what: "dropout",
    lengths: [0.1, 0.2, 0.35, 1, 4, 60],
    sizes: [1],
    recovery: 0.3,
    apply: (items, fault) => within(items, fault, () => []),
  },
  {
    id: "F2",
    what: "jump",
    lengths: [0.3, 0.1],
    sizes: [200, 0.1, 0.5, 2, 10, 1e4],
    recovery: 0.5,
    margin: (size) => (size < 1.5 ? size : 0),
    apply: (items, fault) =>
      within(items, fault, (item) => [
        changed(item, { latitude: item.fix.latitude + fault.size * METRE }, fault.size >= 1.5),
      ]),
  },
  {
    id: "F3",
    what: "duplicate fixes",
    lengths: [3],
    sizes: [1, 3],
    recovery: 0.1,
    apply: (items, fault) =>
      within(items, fault, (item) => Array.from({ length: 1 + fault.size }, () => ({ ...item, touched: true }))),
  },
  {
    id: "F4",
    what: "fixes out of order",
    lengths: [3],
    sizes: [1, 2],
    recovery: 0.6,
    apply: (items, fault) => {
      // some come in one or two fixes late
      const out = within(items, fault, (item) => [{ ...item, touched: true }]);
      for (let i = 0; i + fault.size < out.length; i++) {
        if (out[i]!.at < fault.at || out[i]!.at >= fault.at + fault.length || fault.chance() > 0.2) continue;
        const late = out[i]!;
        for (let k = 0; k < fault.size; k++) out[i + k] = out[i + k + 1]!;
        out[i + fault.size] = { ...late, at: out[i + fault.size - 1]!.at, unsure: false };
        i += fault.size;
      }
      return out;
    },
  },
  {
    id: "F5",
    what: "midnight and week rollover",
    lengths: [0.1],
    sizes: [1, 2],
    recovery: 0.5,
    apply: (items, fault) =>
      Math.round(fault.size) === 1 ? overMidnight(items, fault, false) : clockBy(items, fault, -619_315_200, true),
  },
  {
    id: "F6",
    what: "leap second",
    lengths: [1],
    sizes: [1],
    recovery: 0.6,
    apply: (items, fault) => overMidnight(items, fault, true),
  },
  {
    id: "F7",
    what: "antimeridian, far north",
    lengths: [1],
    sizes: [1],
    recovery: 0,
    origin: { latitude: 71.2, longitude: 179.9998, altitude: 100 },
    apply: (items) => [...items],
  },
  {
    id: "F8",
    what: "no number, null island",
    lengths: [0.1, 0.3, 2],
    sizes: [1],
    recovery: 0.5,
    apply: (items, fault) =>
      within(items, fault, (item) => [changed(item, ODD[Math.floor(fault.chance() * ODD.length)]!, true)]),
  },
  {
    id: "F9",
    what: "quality flapping 4-5-4-1",
    lengths: [6],
    sizes: [1, 3],
    recovery: 1.3,
    apply: (items, fault) =>
      within(items, fault, (item, i) => {
        const quality = [4, 5, 4, 1][Math.floor(i / fault.size) % 4]!;
        return [changed(item, { quality }, quality === 1)];
      }),
  },
  {
    id: "F10",
    what: "noise at standstill",
    lengths: [1],
    sizes: [0.02, 0.05],
    recovery: 0.6,
    apply: (items, fault) =>
      stay(items, fault, (first) =>
        Array.from({ length: 200 }, (_, n) => {
          const item = stayed(first, n, first.place, fault, {});
          return changed(
            item,
            {
              latitude: item.fix.latitude + fault.size * 2 * (fault.chance() - 0.5) * METRE,
              longitude: item.fix.longitude + fault.size * 2 * (fault.chance() - 0.5) * METRE,
              speed: 0.1 * fault.chance(),
              course: 360 * fault.chance(),
            },
            false,
          );
        }),
      ),
  },
  {
    id: "F11",
    what: "reversing",
    lengths: [1],
    sizes: [10, 4],
    recovery: 1.5,
    apply: (items, fault) =>
      stay(items, fault, (first) => {
        // stop, back at 1 m/s, stop, forward again to where it was
        const back = Math.round(fault.size) * 10;
        const speeds = [...Array<number>(15).fill(0), ...Array<number>(back).fill(-1), ...Array<number>(15).fill(0)];
        speeds.push(...Array<number>(back).fill(1));
        let place = first.place;
        return speeds.map((speed, n) => {
          place = Math.max(0, place + 2 * speed);
          const item = stayed(first, n, place, fault, { speed: Math.abs(speed) });
          const course = (item.fix.course! + (speed < 0 ? 180 : 0)) % 360;
          return changed(item, { course }, false);
        });
      }),
  },
  {
    id: "F12",
    what: "latency with jitter",
    lengths: [8],
    sizes: [0.05, 0.2, 0.5],
    recovery: 0.6,
    apply: (items, fault) => {
      let last = 0;
      return within(items, fault, (item) => [{ ...item, touched: true }]).map((item) => {
        const inside = item.at >= fault.at && item.at < fault.at + fault.length;
        const at = Math.max(last, item.at + (inside ? fault.size * (0.5 + 0.5 * fault.chance()) : 0));
        last = at;
        return { ...item, at };
      });
    },
  },
  {
    id: "F13",
    what: "rate change",
    lengths: [8],
    sizes: [2, 5, 10],
    recovery: 0.5,
    apply: (items, fault) =>
      within(items, fault, (item, i) => (i % Math.round(fault.size) === 0 ? [{ ...item, touched: true }] : [])),
  },
  {
    id: "F14",
    what: "bit errors, half sentences, rubbish",
    lengths: [5],
    sizes: [1e-4, 1e-3],
    // a fix whose GGA is lost states no age of its correction: poor where there is a limit
    recovery: 1.3,
    apply: throughNoise,
  },
  {
    id: "F15",
    what: "sources that disagree, step of height, growing age of correction",
    lengths: [2],
    sizes: [1, 2, 3],
    recovery: 1.5,
    apply: (items, fault) =>
      within(items, fault, (item, i) => {
        const kind = Math.round(fault.size);
        // a second receiver's fixes among those of the first, 20 m away
        if (kind === 1) {
          return [changed(item, i % 2 === 0 ? { longitude: item.fix.longitude + 30 * METRE } : {}, true)];
        }
        if (kind === 2) return [changed(item, { altitude: 108 }, i < 3)];
        const correctionAge = 1 + i;
        return [changed(item, { correctionAge }, correctionAge > 10)];
      }),
  },
  {
    id: "F16",
    what: "clock going back",
    lengths: [0.1],
    sizes: [5, 0.5, 1e6],
    recovery: 0.6,
    apply: (items, fault) => clockBy(items, fault, -fault.size, true),
  },
  {
    id: "F17",
    what: "no boundary, many points",
    lengths: [1],
    sizes: [2, 1],
    recovery: 0,
    // without a field the turns are worked too, where the heading lags
    margin: (size) => (Math.round(size) === 1 ? 0.6 : 0),
    apply: (items) => [...items],
    job: (definition, { size }) => {
      const { field, ...rest } = definition;
      if (field === undefined || Math.round(size) === 1) return rest;
      const { exterior, holes } = field[0]!;
      const dense = exterior.flatMap((a, i) => {
        const b = exterior[(i + 1) % exterior.length]!;
        return Array.from({ length: 20 }, (_, k): [number, number] => [
          a[0] + ((b[0] - a[0]) * k) / 20,
          a[1] + ((b[1] - a[1]) * k) / 20,
        ]);
      });
      return { ...rest, field: [{ exterior: dense, holes }] };
    },
  },
  {
    id: "F18",
    what: "turning on the spot",
    lengths: [1],
    sizes: [60, 10],
    recovery: 0.6,
    apply: (items, fault) =>
      stay(items, fault, (first) => {
        // once round by the heading of two antennas, `size` fixes long
        const start = fixOf(fault.way, first.place, 0, fault.origin).course!;
        return Array.from({ length: fault.size }, (_, n) =>
          changed(
            stayed(first, n, first.place, fault, {
              speed: 0,
              course: undefined,
              heading: (start + (360 * n) / fault.size) % 360,
            }),
            {},
            false,
          ),
        );
      }),
  },
];

/** Where a scenario's field lies. */
export function originOf(...of: readonly Scenario[]): GeographicPosition {
  return of.find((scenario) => scenario.origin !== undefined)?.origin ?? ORIGIN;
}

/** m that a machine drives in some time. */
export function driven(seconds: number): number {
  return SPEED * seconds;
}
