export { FeeringError, type FeeringErrorCode, type FeeringErrorDetails } from "./feering-error.js";
export {
  type NumberLimits,
  requireList,
  requireNumber,
  requireObject,
  requirePoint,
  requirePoints,
} from "./require.js";
