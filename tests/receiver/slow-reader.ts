/**
 * A second reader, written apart from the first and in another way: lines by split, numbers by Number, epochs grouped when
 * the whole stream is there. It knows from its caller which sentences without a time lead their epoch.
 */
export interface SlowFix {
  timeOfDay: number;
  latitude: number;
  longitude: number;
  altitude: number;
  quality: number;
  satellites: number;
  hdop: number;
  correctionAge: number;
  speed: number;
  course: number;
  heading: number;
  horizontalAccuracy: number;
}

interface Group {
  time: string;
  seen: Map<string, string[]>;
}

const NUMBER = (text: string | undefined): number => (text === undefined || text === "" ? Number.NaN : Number(text));

export function slowRead(text: string, leading: readonly string[] = []): SlowFix[] {
  const groups: Group[] = [];
  let current: Group | undefined;
  let waiting: [string, string[]][] = [];
  for (const chunk of text.split("$").slice(1)) {
    const line = chunk.split(/[\r\n]/)[0]!;
    const match = /^(.*)\*([0-9A-Fa-f]{2})$/s.exec(line);
    if (match === null || !/[\r\n]/.test(chunk)) continue;
    const body = match[1]!;
    if ([...body].reduce((sum, c) => sum ^ c.charCodeAt(0), 0) !== Number.parseInt(match[2]!, 16)) continue;
    const fields = body.split(",");
    if (fields[0]!.length !== 5 || fields[0]!.startsWith("P")) continue;
    const type = fields[0]!.slice(2);
    if (["GGA", "GNS", "RMC", "GLL"].includes(type)) {
      const time = type === "GLL" ? fields[5]! : fields[1]!;
      const same =
        current !== undefined &&
        (time === "" || current.time === "" ? !current.seen.has(type) : Number(time) === Number(current.time));
      if (!same) {
        current = { time, seen: new Map() };
        groups.push(current);
        for (const [t, f] of waiting) current.seen.set(t, f);
        waiting = [];
      }
      if (!current!.seen.has(type)) current!.seen.set(type, fields);
    } else if (["VTG", "HDT", "THS"].includes(type)) {
      if (leading.includes(type)) waiting.push([type, fields]);
      else current?.seen.set(type, fields);
    } else if (["GST", "ZDA"].includes(type) && current !== undefined) {
      // a position sentence without a time may be out before this: its time is not compared
      if (current.time !== "" && Number(fields[1]) === Number(current.time)) current.seen.set(type, fields);
    }
  }
  return groups.map(toFix);
}

function toFix(group: Group): SlowFix {
  const gga = group.seen.get("GGA");
  const gns = group.seen.get("GNS");
  const rmc = group.seen.get("RMC");
  const gll = group.seen.get("GLL");
  const vtg = group.seen.get("VTG");
  const ths = group.seen.get("THS");
  const gst = group.seen.get("GST");
  const [quality, latitude, longitude] =
    gga !== undefined
      ? [NUMBER(gga[6]) || 0, place(gga, 2), place(gga, 4)]
      : gns !== undefined
        ? [best(gns[6]!), place(gns, 2), place(gns, 4)]
        : rmc !== undefined
          ? [byStatus(rmc[2]!, rmc[12]), place(rmc, 3), place(rmc, 5)]
          : [byStatus(gll![6]!, gll![7]), place(gll!, 1), place(gll!, 3)];
  const void_ =
    (rmc !== undefined && byStatus(rmc[2]!, rmc[12]) === 0) || (gll !== undefined && byStatus(gll[6]!, gll[7]) === 0);
  const there = !void_ && quality > 0 && !Number.isNaN(latitude) && !Number.isNaN(longitude);
  const solution = gga ?? gns;
  const knots = rmc !== undefined && !void_ ? NUMBER(rmc[7]) : Number.NaN;
  const course = rmc !== undefined && !void_ ? NUMBER(rmc[8]) : Number.NaN;
  const vtgFine = vtg !== undefined && vtg[9] !== "N";
  const time = group.time;
  return {
    timeOfDay:
      time === ""
        ? Number.NaN
        : Number(time.slice(0, 2)) * 3600 + Number(time.slice(2, 4)) * 60 + Number(time.slice(4)),
    latitude: there ? latitude : Number.NaN,
    longitude: there ? longitude : Number.NaN,
    altitude:
      there && solution !== undefined ? NUMBER(solution[9]) + NUMBER(solution[solution === gga ? 11 : 10]) : Number.NaN,
    quality: there ? quality : 0,
    satellites: NUMBER(solution?.[7]),
    hdop: NUMBER(solution?.[8]),
    correctionAge: NUMBER(solution?.[solution === gga ? 13 : 11]),
    speed: (Number.isNaN(knots) && vtgFine ? NUMBER(vtg[5]) : knots) * (1852 / 3600),
    course: Number.isNaN(course) && vtgFine ? NUMBER(vtg[1]) : course,
    heading: ths !== undefined ? (ths[2] === "V" ? Number.NaN : NUMBER(ths[1])) : NUMBER(group.seen.get("HDT")?.[1]),
    horizontalAccuracy: Math.hypot(NUMBER(gst?.[6]), NUMBER(gst?.[7])),
  };

  function place(fields: string[], at: number): number {
    const text = fields[at]!;
    if (text === "") return Number.NaN;
    const dot = text.indexOf(".") < 0 ? text.length : text.indexOf(".");
    const size = Number(text.slice(0, dot - 2)) + Number(text.slice(dot - 2)) / 60;
    return "SW".includes(fields[at + 1]!) ? -size : size;
  }
}

const MODES: Record<string, number> = { A: 1, D: 2, P: 3, R: 4, F: 5, E: 6, M: 7, S: 8 };

function best(modes: string): number {
  const letter = [..."RFPDAEMS"].find((l) => modes.includes(l));
  return letter === undefined ? 0 : MODES[letter]!;
}

function byStatus(status: string, mode: string | undefined): number {
  if (status !== "A") return 0;
  return mode === undefined || mode === "" ? 1 : (MODES[mode] ?? 0);
}
