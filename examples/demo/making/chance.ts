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
