/**
 * Random numbers that are the same on every machine for the same seed: xoshiro128** seeded by splitmix32.
 *
 * @see Blackman and Vigna 2021, Scrambled linear pseudorandom number generators, ACM Trans. Math. Software 47(4)
 */
export class RandomStream {
  private readonly s = new Int32Array(4);
  private spare = 0.5;
  private hasSpare = false;

  /** @param seed - whole number; streams of one seed are told apart by `stream` */
  constructor(seed: number, stream = 0) {
    let a = (seed ^ Math.imul(stream + 1, 0x9e3779b9)) | 0;
    // the upper half of a large seed counts too
    a ^= Math.imul(Math.floor(seed / 4294967296) | 0, 0x85ebca6b);
    for (let i = 0; i < 4; i++) {
      a = (a + 0x9e3779b9) | 0;
      let t = a ^ (a >>> 16);
      t = Math.imul(t, 0x21f0aaad);
      t ^= t >>> 15;
      t = Math.imul(t, 0x735a2d97);
      this.s[i] = t ^ (t >>> 15);
    }
    if ((this.s[0]! | this.s[1]! | this.s[2]! | this.s[3]!) === 0) this.s[0] = 1;
  }

  /** Whole number, 0 to 2^32 - 1. */
  next(): number {
    const s = this.s;
    const s0 = s[0]!;
    const s1 = s[1]!;
    let s2 = s[2]!;
    let s3 = s[3]!;
    const five = Math.imul(s1, 5);
    const result = Math.imul((five << 7) | (five >>> 25), 9) >>> 0;
    s2 ^= s0;
    s3 ^= s1;
    s[1] = s1 ^ s2;
    s[0] = s0 ^ s3;
    s[2] = s2 ^ (s1 << 9);
    s[3] = (s3 << 11) | (s3 >>> 21);
    return result;
  }

  /** More than 0 and less than 1. */
  uniform(): number {
    return (this.next() + 0.5) / 4294967296;
  }

  /** Mean 0, deviation 1: Marsaglia's polar method, which needs no sine. */
  normal(): number {
    if (this.hasSpare) {
      this.hasSpare = false;
      return this.spare;
    }
    for (;;) {
      const u = 2 * this.uniform() - 1;
      const v = 2 * this.uniform() - 1;
      const square = u * u + v * v;
      if (square >= 1 || square === 0) continue;
      const scale = Math.sqrt((-2 * Math.log(square)) / square);
      this.spare = v * scale;
      this.hasSpare = true;
      return u * scale;
    }
  }

  /** Waiting time of mean 1. */
  exponential(): number {
    return -Math.log(this.uniform());
  }
}
