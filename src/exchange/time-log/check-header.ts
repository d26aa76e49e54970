import { FeeringError, requireList, requireNumber, requireObject } from "../../errors/index.js";
import { describe, mapEvery } from "../json-value.js";
import { localTime } from "./record-layout.js";
import {
  type InRecordOr,
  MOST_CHANNELS,
  type TimeLogChannel,
  type TimeLogHeader,
  type TimeLogPosition,
} from "./time-log-header.js";

/** Most characters of the name of a device element. */
const LONGEST_NAME = 32;

/** Range of each part of a position, in its public unit. */
export const POSITION_RANGES: Readonly<Record<keyof TimeLogPosition, readonly [low: number, high: number]>> = {
  latitude: [-90, 90],
  longitude: [-180, 180],
  altitude: [-2_147_483.648, 2_147_483.647],
  status: [0, 254],
  pdop: [0, 6553.4],
  hdop: [0, 6553.4],
  satellites: [0, 254],
  utcTimeOfDay: [0, 86_400.999],
  utcDay: [0, 65_534],
};

/**
 * Check a header and copy it.
 *
 * @throws `FeeringError` `out-of-range`, `not-finite` or `too-large` with the path in it
 */
export function checkHeader(header: TimeLogHeader, argument = "header"): TimeLogHeader {
  requireObject(header, argument);
  const { start, position, channels } = header;
  if (start !== "record" && (typeof start !== "string" || Number.isNaN(localTime(start)))) {
    throw refuse(`${argument}.start`, start, "needs record, or a date and time");
  }
  const type = requireNumber(header.type, `${argument}.type`, { min: 0, max: 255 });
  requireList(channels, `${argument}.channels`);
  if (channels.length > MOST_CHANNELS) {
    throw new FeeringError("too-large", `${argument} has ${channels.length} channels, at most ${MOST_CHANNELS}`, {
      argument: `${argument}.channels`,
      value: channels.length,
    });
  }
  return {
    start,
    type,
    position: position === null ? null : checkPosition(position, `${argument}.position`),
    channels: mapEvery(channels, (channel, i) => checkChannel(channel as TimeLogChannel, `${argument}.channels[${i}]`)),
    ...(header.ignored === undefined ? {} : { ignored: ignoredOf(header.ignored, argument) }),
  };
}

function ignoredOf(ignored: readonly string[], argument: string): string[] {
  requireList(ignored, `${argument}.ignored`);
  return [...ignored];
}

function checkPosition(position: TimeLogPosition, argument: string): TimeLogPosition {
  requireObject(position, argument);
  const copy: { -readonly [K in keyof TimeLogPosition]: TimeLogPosition[K] } = {};
  for (const name of Object.keys(POSITION_RANGES) as (keyof TimeLogPosition)[]) {
    const value: InRecordOr<number> | undefined = position[name];
    if (value === undefined) continue;
    const [min, max] = POSITION_RANGES[name];
    copy[name] = value === "record" ? value : requireNumber(value, `${argument}.${name}`, { min, max });
  }
  return copy;
}

function checkChannel(channel: TimeLogChannel, argument: string): TimeLogChannel {
  requireObject(channel, argument);
  const { element, value } = channel;
  if (typeof element !== "string" || element === "" || element.length > LONGEST_NAME) {
    throw refuse(`${argument}.element`, element, `needs a name of 1 to ${LONGEST_NAME} characters`);
  }
  const whole = (number: unknown, name: string, min: number, max: number): number => {
    const checked = requireNumber(number, `${argument}.${name}`, { min, max });
    if (!Number.isInteger(checked)) throw refuse(`${argument}.${name}`, number, "needs a whole number");
    return checked;
  };
  return {
    ddi: whole(channel.ddi, "ddi", 0, 65_535),
    element,
    value: value === "record" ? value : whole(value, "value", -0x8000_0000, 0x7fff_ffff),
    ...(channel.pgn === undefined ? {} : { pgn: whole(channel.pgn, "pgn", 0, 0x3_ffff) }),
    ...(channel.startBit === undefined ? {} : { startBit: whole(channel.startBit, "startBit", 0, 63) }),
    ...(channel.stopBit === undefined ? {} : { stopBit: whole(channel.stopBit, "stopBit", 0, 63) }),
  };
}

function refuse(argument: string, value: unknown, needs: string): FeeringError {
  return new FeeringError("out-of-range", `${argument} is ${describe(value)}, ${needs}`, { argument, value });
}
