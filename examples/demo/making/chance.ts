/** Uniform numbers in 0..1 from a 32-bit state: a Weyl sequence with a mixing function over it. */
export function uniform(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x9e3779b9) >>> 0;
    let x = state;
    x = Math.imul(x ^ (x >>> 16), 0x85ebca6b);
    x = Math.imul(x ^ (x >>> 13), 0xc2b2ae35);
    return ((x ^ (x >>> 16)) >>> 0) / 4294967296;
  };
}

/** Nearly normal numbers of mean 0 and deviation 1: twelve uniform ones, so no function whose last digit may differ. */
export function normal(seed: number): () => number {
  const next = uniform(seed);
  return () => {
    let sum = -6;
    for (let i = 0; i < 12; i++) sum += next();
    return sum;
  };
}

/** A slow drift: first-order Gauss-Markov, one value an epoch, `rate` of them a second. */
export function drift(seed: number, deviation: number, seconds: number, rate: number): () => number {
  const next = normal(seed);
  const keep = 1 - 1 / (seconds * rate);
  const add = deviation * Math.sqrt(1 - keep * keep);
  let value = deviation * next();
  return () => {
    value = keep * value + add * next();
    return value;
  };
}

/** Smooth wandering along a path: waves of 28 to 170 m, deviation in metres. */
export function wander(seed: number, deviation: number): (station: number) => number {
  const next = uniform(seed);
  const waves = Array.from({ length: 9 }, (_, i) => ({
    number: (2 * Math.PI) / (28 * 1.25 ** i * (0.95 + 0.1 * next())),
    phase: 2 * Math.PI * next(),
  }));
  const size = deviation * Math.sqrt(2 / waves.length);
  return (station) => waves.reduce((sum, wave) => sum + size * Math.sin(wave.number * station + wave.phase), 0);
}
