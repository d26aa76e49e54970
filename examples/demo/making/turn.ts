import type { Point } from "../../../src/geometry/index.js";
import type { Pose } from "./polyline.js";

/** Arc, straight, arc: lengths in radii, left turns positive. */
interface Word {
  readonly first: number;
  readonly straight: number;
  readonly second: number;
}

const LAP = 2 * Math.PI;
const STEP = 0.05; // m between points

/**
 * The shortest way from one pose to another by an arc, a straight and an arc of one radius.
 *
 * @see L. E. Dubins, On curves of minimal length with a constraint on average curvature, American Journal of Mathematics 79
 * (1957); formulas after A. M. Shkel and V. Lumelsky, Classification of the Dubins set (2001), from memory
 */
export function turn(
  from: Pose,
  to: Pose,
  radius: number,
): { readonly length: number; readonly points: () => Point[] } {
  const word = shortest(from, to, radius);
  const lengths = [Math.abs(word.first), word.straight, Math.abs(word.second)];
  const bends = [Math.sign(word.first), 0, Math.sign(word.second)];
  const points = (): Point[] => {
    const out: Point[] = [[from.x, from.y]];
    let { x, y, angle } = from;
    lengths.forEach((length, i) => {
      const n = Math.max(1, Math.ceil((length * radius) / STEP));
      const step = (length * radius) / n;
      for (let k = 0; k < n; k++) {
        const half = (bends[i]! * step) / radius / 2;
        x += step * Math.cos(angle + half);
        y += step * Math.sin(angle + half);
        angle += 2 * half;
        out.push([x, y]);
      }
    });
    return out;
  };
  return { length: lengths.reduce((sum, length) => sum + length, 0) * radius, points };
}

function shortest(from: Pose, to: Pose, radius: number): Word {
  const dx = (to.x - from.x) / radius;
  const dy = (to.y - from.y) / radius;
  const d = Math.hypot(dx, dy);
  const along = Math.atan2(dy, dx);
  const a = from.angle - along;
  const b = to.angle - along;
  const [sa, ca, sb, cb] = [Math.sin(a), Math.cos(a), Math.sin(b), Math.cos(b)];
  const words: Word[] = [];
  for (const first of [1, -1]) {
    // a first arc to the right is one to the left seen in a mirror; here both arcs the same way
    const same = 2 + d * d - 2 * Math.cos(a - b) + 2 * first * d * (sa - sb);
    if (same >= 0) {
      const angle = Math.atan2(cb - ca, d + first * (sa - sb));
      const straight = Math.sqrt(same);
      words.push({ first: first * part(-first * a + angle), straight, second: first * part(first * b - angle) });
    }
    // one each way
    const other = d * d - 2 + 2 * Math.cos(a - b) + 2 * first * d * (sa + sb);
    if (other >= 0) {
      const straight = Math.sqrt(other);
      const angle = Math.atan2(-ca - cb, d + first * (sa + sb)) - Math.atan2(-2, straight);
      words.push({ first: first * part(-first * a + angle), straight, second: -first * part(-first * b + angle) });
    }
  }
  const size = (word: Word): number => Math.abs(word.first) + word.straight + Math.abs(word.second);
  const [best] = words.sort((one, two) => size(one) - size(two));
  if (best === undefined) throw new Error(`no turn from (${from.x}, ${from.y}) to (${to.x}, ${to.y})`);
  return best;
}

/** An angle as a part of a lap, 0 to 2π; a whole lap but for rounding is none. */
function part(angle: number): number {
  const turned = ((angle % LAP) + LAP) % LAP;
  return LAP - turned < 1e-9 ? 0 : turned;
}
