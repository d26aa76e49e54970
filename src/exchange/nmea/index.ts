export {
  nmeaSentence,
  type SteeringAdvice,
  writeGga,
  writeHdt,
  type WriteNmeaOptions,
  writeRmc,
  writeVtg,
  writeXte,
  writeZda,
} from "./write-nmea.js";
