/** What altitudes of a shape are measured from (OGC 12-007r2, 9.20 and 16.1; the sea floor in its extensions). */
export const ALTITUDE_MODES: ReadonlySet<string> = new Set([
  "clampToGround",
  "relativeToGround",
  "absolute",
  "clampToSeaFloor",
  "relativeToSeaFloor",
]);
