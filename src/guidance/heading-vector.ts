import { RADIANS, wrapHeading } from "../geometry/angle.js";

/** Unit vector east, north of a heading; exact for the four quarters, where plain sine and cosine are 1e-16 off. */
export function headingVector(heading: number): readonly [east: number, north: number] {
  const wrapped = wrapHeading(heading);
  const quarter = Math.floor(wrapped / 90);
  const rest = (wrapped - quarter * 90) * RADIANS;
  const sine = Math.sin(rest);
  const cosine = Math.cos(rest);
  if (quarter === 0) return [sine, cosine];
  if (quarter === 1) return [cosine, 0 - sine];
  if (quarter === 2) return [0 - sine, 0 - cosine];
  return [0 - cosine, sine];
}
