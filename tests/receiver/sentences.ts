/** Helpers of these tests: sentences made and cut, streams made, a slow parser of its own. */

/** Put `$`, checksum and line end round the body of a sentence. */
export function sentence(body: string): string {
  let sum = 0;
  for (let i = 0; i < body.length; i++) sum ^= body.charCodeAt(i);
  return `$${body}*${sum.toString(16).toUpperCase().padStart(2, "0")}\r\n`;
}

/** One byte a character. */
export function bytesOf(text: string): Uint8Array {
  return Uint8Array.from(text, (c) => c.charCodeAt(0));
}

export interface EpochOptions {
  /** hundredths of a second since midnight */
  readonly at: number;
  readonly types: readonly string[];
  readonly latitude?: number;
  readonly longitude?: number;
  readonly quality?: number;
  readonly knots?: number;
  readonly course?: number;
  readonly heading?: number;
  /** ddmmyy */
  readonly date?: string;
  readonly talker?: string;
}

export function clockText(hundredths: number): string {
  const s = Math.floor(hundredths / 100);
  const two = (n: number): string => String(n).padStart(2, "0");
  return `${two(Math.floor(s / 3600) % 24)}${two(Math.floor(s / 60) % 60)}${two(s % 60)}.${two(hundredths % 100)}`;
}

export function angleText(degrees: number, width: number, decimals = 7): string {
  const scale = 10 ** decimals;
  const units = Math.round(Math.abs(degrees) * 60 * scale);
  const whole = Math.floor(units / (60 * scale));
  const minutes = (units - whole * 60 * scale) / scale;
  return String(whole).padStart(width, "0") + minutes.toFixed(decimals).padStart(decimals + 3, "0");
}

/** The sentences of one epoch, in the order asked for. */
export function epoch(options: EpochOptions): string {
  const { at, types, latitude = 47.25, longitude = 20.75, quality = 4, knots = 5, course = 90, heading = 92 } = options;
  const date = options.date ?? "160425";
  const talker = options.talker ?? "GN";
  const time = clockText(at);
  const where = `${angleText(latitude, 2)},${latitude < 0 ? "S" : "N"},${angleText(longitude, 3)},${longitude < 0 ? "W" : "E"}`;
  const mode = "NADPRFEMS"[quality]!;
  return types
    .map((type) => {
      switch (type) {
        case "GGA":
          return `GGA,${time},${where},${quality},16,0.6,85.65,M,43.3,M,1.0,0001`;
        case "GNS":
          return `GNS,${time},${where},${mode}N,16,0.6,85.65,43.3,1.0,0001`;
        case "RMC":
          return `RMC,${time},${quality > 0 ? "A" : "V"},${where},${knots},${course},${date},,,${mode}`;
        case "GLL":
          return `GLL,${where},${time},${quality > 0 ? "A" : "V"},${mode}`;
        case "VTG":
          return `VTG,${course},T,,M,${knots},N,${knots * 1.852},K,${mode}`;
        case "HDT":
          return `HDT,${heading},T`;
        case "THS":
          return `THS,${heading},A`;
        case "GST":
          return `GST,${time},,,,,0.011,0.010,0.019`;
        case "ZDA":
          return `ZDA,${time},${date.slice(0, 2)},${date.slice(2, 4)},20${date.slice(4)},00,00`;
        case "GSV":
          return "GSV,1,1,01,36,19,156,51";
        default:
          throw new Error(`no sentence ${type} here`);
      }
    })
    .map((body) => sentence(talker + body))
    .join("");
}
