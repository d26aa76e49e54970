export { type Ellipsoid, GRS80, WGS84 } from "./ellipsoid.js";
export { type EastNorthUp, localFrame, LocalFrame } from "./local-frame.js";
export type { GeographicPosition } from "./position.js";
