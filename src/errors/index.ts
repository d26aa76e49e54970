export { FeeringError, type FeeringErrorCode, type FeeringErrorDetails } from "./feering-error.js";
export { type NumberLimits, requireNumber, requirePoint, requirePoints } from "./require.js";
