/** GGA and VTG of a receiver with an RTK fix, written digit by digit: what feeds the loop must cost less than the loop. */
export class NmeaBytes {
  private readonly out = new Uint8Array(256);
  private n = 0;

  /** time: s of the day; degrees north and east; course in degrees; speed in m/s */
  write(time: number, latitude: number, longitude: number, course: number, speed: number): Uint8Array {
    this.n = 0;
    this.text("$GPGGA,");
    const hundredths = Math.round(time * 100);
    this.digits(Math.floor(hundredths / 360_000) % 24, 2);
    this.digits(Math.floor(hundredths / 6000) % 60, 2);
    this.digits(Math.floor(hundredths / 100) % 60, 2);
    this.text(".");
    this.digits(hundredths % 100, 2);
    this.text(",");
    this.angle(latitude, 2);
    this.text(",N,");
    this.angle(longitude, 3);
    this.text(",E,4,14,0.7,20.0,M,0.0,M,1.0,");
    this.end(0);
    const start = this.n;
    this.text("$GPVTG,");
    this.decimal(course, 2);
    this.text(",T,,M,");
    this.decimal(speed / (1852 / 3600), 3);
    this.text(",N,,K,R");
    this.end(start);
    return this.out.subarray(0, this.n);
  }

  private text(value: string): void {
    for (let i = 0; i < value.length; i++) this.out[this.n++] = value.charCodeAt(i);
  }

  private digits(value: number, count: number): void {
    for (let i = count - 1; i >= 0; i--) {
      this.out[this.n + i] = 48 + (value % 10);
      value = Math.floor(value / 10);
    }
    this.n += count;
  }

  private angle(value: number, count: number): void {
    const parts = Math.round(value * 60e8);
    const degrees = Math.floor(parts / 60e8);
    const rest = parts - degrees * 60e8;
    this.digits(degrees, count);
    this.digits(Math.floor(rest / 1e8), 2);
    this.text(".");
    this.digits(rest % 1e8, 8);
  }

  private decimal(value: number, places: number): void {
    const scale = 10 ** places;
    const parts = Math.round(value * scale);
    this.digits(Math.floor(parts / scale), 3);
    this.text(".");
    this.digits(parts % scale, places);
  }

  private end(start: number): void {
    let sum = 0;
    for (let i = start + 1; i < this.n; i++) sum ^= this.out[i]!;
    this.text("*");
    for (const digit of [sum >> 4, sum & 15]) this.out[this.n++] = digit < 10 ? 48 + digit : 55 + digit;
    this.text("\r\n");
  }
}
