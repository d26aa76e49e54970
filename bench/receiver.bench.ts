import GPS from "gps";
import { FixMonitor, NmeaReader } from "../src/receiver/index.js";
import { compare, consume } from "./harness.js";
import { random } from "../tests/helpers/random.js";

// a minute at 10 Hz as receivers send it: position, speed, accuracy, date, satellites in view once a second
function checked(body: string): string {
  let sum = 0;
  for (let i = 0; i < body.length; i++) sum ^= body.charCodeAt(i);
  return `$${body}*${sum.toString(16).toUpperCase().padStart(2, "0")}\r\n`;
}

const next = random(1);
const lines: string[] = [];
for (let i = 0; i < 600; i++) {
  const second = String(Math.floor(i / 10)).padStart(2, "0");
  const time = `0815${second}.${i % 10}0`;
  const place = `4714.${String(9_866_775 + 13 * i + Math.floor(next() * 40)).padStart(7, "0")},N,02045.0059012,E`;
  lines.push(checked(`GNGGA,${time},${place},4,16,0.6,85.65,M,43.3,M,1.${i % 10},0133`));
  lines.push(checked(`GNRMC,${time},A,${place},5.${100 + (i % 800)},1.${i % 10}4,160425,,,R,V`));
  lines.push(checked(`GNVTG,1.${i % 10}4,T,,M,5.${100 + (i % 800)},N,9.${100 + (i % 800)},K,R`));
  if (i % 10 === 0) {
    lines.push(checked(`GNGST,${time},18,0.012,0.009,12.5,0.011,0.010,0.019`));
    lines.push(checked(`GNZDA,${time},16,04,2025,00,00`));
    for (let n = 1; n <= 4; n++)
      lines.push(checked(`GPGSV,4,${n},16,07,73,042,47,30,64,305,45,09,42,158,38,08,40,079,43`));
  }
}
const text = lines.join("");
const bytes = Uint8Array.from(text, (c) => c.charCodeAt(0));
const used = lines.filter((line) => !line.includes("GSV"));
const usedBytes = Uint8Array.from(used.join(""), (c) => c.charCodeAt(0));

const monitor = new FixMonitor();
let total = 0;
const add = (fix: { latitude: number }): void => {
  total += fix.latitude;
};

compare("NMEA 0183, a sentence that is used (GGA, RMC, VTG, GST, ZDA)", [
  {
    name: "NmeaReader.pushEach, bytes to joined fixes",
    calls: used.length,
    run() {
      new NmeaReader().pushEach(usedBytes, add);
      return total;
    },
  },
  {
    name: "NmeaReader.push, new objects",
    calls: used.length,
    run: () => new NmeaReader().push(usedBytes).length,
  },
  {
    name: "GPS.Parse of gps, a line ready as a string",
    calls: used.length,
    run() {
      let sum = 0;
      for (const line of used) {
        const parsed = GPS.Parse(line);
        if (parsed !== false && parsed.type === "GGA") sum += parsed.lat ?? 0;
      }
      return sum;
    },
  },
]);

compare("NMEA 0183, a sentence of the whole stream (satellites in view among them)", [
  {
    name: "NmeaReader.pushEach",
    calls: lines.length,
    run() {
      new NmeaReader().pushEach(bytes, add);
      return total;
    },
  },
  {
    name: "NmeaReader.pushEach, 64 bytes at a time",
    calls: lines.length,
    run() {
      const reader = new NmeaReader();
      for (let i = 0; i < bytes.length; i += 64) reader.pushEach(bytes.subarray(i, i + 64), add);
      return total;
    },
  },
]);

const fixes = new NmeaReader().push(bytes);
let clock = 0;
const owned = { ...fixes[0]! } as { -readonly [K in keyof (typeof fixes)[0]]: (typeof fixes)[0][K] };
compare("FixMonitor.update", [
  {
    name: "a fix",
    calls: fixes.length,
    run() {
      let usable = 0;
      const shift = clock;
      clock += 100;
      for (const fix of fixes) {
        owned.time = fix.time + shift;
        owned.latitude = fix.latitude;
        owned.longitude = fix.longitude;
        owned.quality = fix.quality;
        if (monitor.update(owned).usable) usable++;
      }
      return usable;
    },
  },
]);

// garbage: what the heap grows by between collections
const collect = (globalThis as { gc?: () => void }).gc;
if (collect !== undefined) {
  const reader = new NmeaReader();
  const watcher = new FixMonitor();
  const watch = (fix: Parameters<FixMonitor["update"]>[0]): void => {
    if (watcher.update(fix).usable) total++;
  };
  for (let n = 0; n < 30; n++) reader.pushEach(bytes, watch);
  const rounds = 50;
  collect();
  const before = process.memoryUsage().heapUsed;
  for (let n = 0; n < rounds; n++) reader.pushEach(bytes, watch);
  const grown = process.memoryUsage().heapUsed - before;
  console.log(`\ngarbage of pushEach and FixMonitor.update together`);
  console.log(
    `  ${(grown / (rounds * lines.length)).toFixed(2)} bytes a sentence, ${(grown / (rounds * 600)).toFixed(1)} bytes a fix`,
  );
}
if (consume() === 0.5) console.log(total);
