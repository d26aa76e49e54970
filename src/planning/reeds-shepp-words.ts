import { signedAngle } from "./local-goal.js";

/**
 * The nine base formulas of Reeds and Shepp (Pacific J. Math. 145(2), 1990, section 8), for a goal x ahead, y to the left, turned by
 * phi, radius 1. Each gives signed lengths, or null where there is no such path. All other words follow by driving the time
 * backwards and by mirroring.
 */
export type BaseWord = (x: number, y: number, phi: number) => readonly number[] | null;

/** An angle or a length that may be below nothing by rounding, radii. */
const ROUNDING = 1e-9;

function atLeastZero(value: number): boolean {
  return value >= -ROUNDING;
}

/** 8.1: left, straight, left, all forward. */
export const leftStraightLeft: BaseWord = (x, y, phi) => {
  const cx = x - Math.sin(phi);
  const cy = y - 1 + Math.cos(phi);
  const u = Math.hypot(cx, cy);
  const t = u < ROUNDING ? signedAngle(phi) : Math.atan2(cy, cx);
  if (!atLeastZero(t)) return null;
  const v = u < ROUNDING ? 0 : signedAngle(phi - t);
  return atLeastZero(v) ? [t, u, v] : null;
};

/** 8.2: left, straight, right, all forward. */
export const leftStraightRight: BaseWord = (x, y, phi) => {
  const cx = x + Math.sin(phi);
  const cy = y - 1 - Math.cos(phi);
  const square = cx * cx + cy * cy - 4;
  if (square < -ROUNDING) return null;
  const u = Math.sqrt(Math.max(0, square));
  const t = signedAngle(Math.atan2(cy, cx) + Math.atan2(2, u));
  const v = signedAngle(t - phi);
  return atLeastZero(t) && atLeastZero(v) ? [t, u, v] : null;
};

/** 8.3 and 8.4: left forward, right back, left forward or back. */
export const leftRightLeft: BaseWord = (x, y, phi) => {
  const cx = x - Math.sin(phi);
  const cy = y - 1 + Math.cos(phi);
  const quarter = Math.hypot(cx, cy) / 4;
  if (quarter > 1 + ROUNDING || quarter < ROUNDING) return null;
  const u = -2 * Math.asin(Math.min(1, quarter));
  const t = signedAngle(Math.atan2(cy, cx) + u / 2 + Math.PI);
  const v = signedAngle(phi - t + u);
  return atLeastZero(t) ? [t, u, v] : null;
};

/** t and v of the words of four arcs. */
function outerArcs(u: number, v: number, xi: number, eta: number, phi: number): [t: number, v: number] {
  const delta = signedAngle(u - v);
  const a = Math.sin(u) - Math.sin(delta);
  const b = Math.cos(u) - Math.cos(delta) - 1;
  const direct = Math.atan2(eta * a - xi * b, xi * a + eta * b);
  const sign = 2 * (Math.cos(delta) - Math.cos(v) - Math.cos(u)) + 3;
  const t = signedAngle(sign < 0 ? direct + Math.PI : direct);
  return [t, signedAngle(t - u + v - phi)];
}

/** 8.7: left and right forward, left and right back, the inner two of one length. */
export const fourArcsTwoAndTwo: BaseWord = (x, y, phi) => {
  const xi = x + Math.sin(phi);
  const eta = y - 1 - Math.cos(phi);
  const rho = (2 + Math.hypot(xi, eta)) / 4;
  if (rho > 1) return null;
  const u = Math.acos(rho);
  const [t, v] = outerArcs(u, -u, xi, eta, phi);
  return atLeastZero(t) && atLeastZero(-v) ? [t, u, -u, v] : null;
};

/** 8.8: left forward, right and left back, right forward, the inner two of one length. */
export const fourArcsInnerBack: BaseWord = (x, y, phi) => {
  const xi = x + Math.sin(phi);
  const eta = y - 1 - Math.cos(phi);
  const rho = (20 - xi * xi - eta * eta) / 16;
  if (rho < 0 || rho > 1) return null;
  const u = -Math.acos(rho);
  if (u < -Math.PI / 2) return null;
  const [t, v] = outerArcs(u, u, xi, eta, phi);
  return atLeastZero(t) && atLeastZero(v) ? [t, u, u, v] : null;
};

/** 8.9: left forward, a quarter right back, straight back, left back. */
export const leftQuarterStraightLeft: BaseWord = (x, y, phi) => {
  const xi = x - Math.sin(phi);
  const eta = y - 1 + Math.cos(phi);
  const rho = Math.hypot(xi, eta);
  if (rho < 2) return null;
  const r = Math.sqrt(rho * rho - 4);
  const u = 2 - r;
  const t = signedAngle(Math.atan2(eta, xi) + Math.atan2(r, -2));
  const v = signedAngle(phi - Math.PI / 2 - t);
  return atLeastZero(t) && atLeastZero(-u) && atLeastZero(-v) ? [t, -Math.PI / 2, u, v] : null;
};

/** 8.10: left forward, a quarter right back, straight back, right back. */
export const leftQuarterStraightRight: BaseWord = (x, y, phi) => {
  const xi = x + Math.sin(phi);
  const eta = y - 1 - Math.cos(phi);
  const rho = Math.hypot(xi, eta);
  if (rho < 2) return null;
  const t = Math.atan2(xi, -eta);
  const u = 2 - rho;
  const v = signedAngle(t + Math.PI / 2 - phi);
  return atLeastZero(t) && atLeastZero(-u) && atLeastZero(-v) ? [t, -Math.PI / 2, u, v] : null;
};

/** 8.11: left forward, a quarter right back, straight back, a quarter left back, right forward. */
export const twoQuarters: BaseWord = (x, y, phi) => {
  const xi = x + Math.sin(phi);
  const eta = y - 1 - Math.cos(phi);
  const rho = Math.hypot(xi, eta);
  if (rho < 2) return null;
  const u = 4 - Math.sqrt(rho * rho - 4);
  if (!atLeastZero(-u)) return null;
  const t = signedAngle(Math.atan2((4 - u) * xi - 2 * eta, -2 * xi + (u - 4) * eta));
  const v = signedAngle(t - phi);
  return atLeastZero(t) && atLeastZero(v) ? [t, -Math.PI / 2, u, -Math.PI / 2, v] : null;
};
