export { acres, hectares, squareMetresFromAcres, squareMetresFromHectares } from "./area.js";
export { feet, metresFromFeet } from "./length.js";
export {
  kilometresPerHour,
  knots,
  metresPerSecondFromKilometresPerHour,
  metresPerSecondFromKnots,
  metresPerSecondFromMilesPerHour,
  milesPerHour,
} from "./speed.js";
export { acresPerHour, hectaresPerHour } from "./work-rate.js";
