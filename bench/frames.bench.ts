import geodesic from "geographiclib-geodesic";
import proj4 from "proj4";
import {
  geocentricToGeodetic,
  geodeticToGeocentric,
  localFrame,
  toUtm,
  transverseMercator,
} from "../src/frames/index.js";
import { type Candidate, compare } from "./harness.js";
import { random } from "../tests/helpers/random.js";

const COUNT = 2000;
const next = random(7);
const origin = { latitude: 52.1, longitude: 5.3, altitude: 20 };
const frame = localFrame(origin);
const latLon = new Float64Array(2 * COUNT);
for (let i = 0; i < COUNT; i++) {
  latLon[2 * i] = origin.latitude + (next() - 0.5) * 0.04;
  latLon[2 * i + 1] = origin.longitude + (next() - 0.5) * 0.06;
}
const xy = frame.toLocalBatch(latLon);
const places = Array.from({ length: COUNT }, (_, i) => ({ latitude: latLon[2 * i]!, longitude: latLon[2 * i + 1]! }));
const lonLat = places.map((p) => [p.longitude, p.latitude]);
const points = places.map((p) => frame.toLocal(p));
const geocentric = places.map((p) => geodeticToGeocentric(p));
const out = new Float64Array(2);
const batchOut = new Float64Array(2 * COUNT);
const utmProj = proj4("+proj=utm +zone=31 +datum=WGS84 +units=m +no_defs");
const geocentricProj = proj4("+proj=longlat +datum=WGS84 +no_defs", "+proj=geocent +datum=WGS84 +units=m +no_defs");
const utmGrid = transverseMercator({ centralMeridian: 3, scaleFactor: 0.9996, falseEasting: 5e5 });
const utmXy = utmGrid.toProjectedBatch(latLon);
const utmPoints = places.map((p) => utmGrid.toProjected(p) as [number, number]);

/** A candidate that does one thing to each of the places. */
function each(name: string, one: (i: number) => number): Candidate {
  return {
    name,
    calls: COUNT,
    run: () => {
      let sum = 0;
      for (let i = 0; i < COUNT; i++) sum += one(i);
      return sum;
    },
  };
}

/** A candidate that does all places in one call. */
function all(name: string, run: () => number): Candidate {
  return { name, calls: COUNT, run };
}

const kept = each("proj4 UTM forward, kept converter", (i) => utmProj.forward(lonLat[i]!)[0]!);

compare("local frame forward, into an array", [
  each("toLocalInto", (i) => {
    frame.toLocalInto(latLon[2 * i]!, latLon[2 * i + 1]!, out);
    return out[0]!;
  }),
  each("toLocal", (i) => frame.toLocal(places[i]!)[0]),
  all("toLocalBatch", () => frame.toLocalBatch(latLon, batchOut)[1]!),
  kept,
  each(
    "geographiclib inverse from the origin",
    (i) => geodesic.Geodesic.WGS84.Inverse(52.1, 5.3, latLon[2 * i]!, latLon[2 * i + 1]!).s12!,
  ),
]);

compare("local frame back, into an array", [
  each("toGeodeticInto", (i) => {
    frame.toGeodeticInto(xy[2 * i]!, xy[2 * i + 1]!, out);
    return out[0]!;
  }),
  each("toGeodetic", (i) => frame.toGeodetic(points[i]!).latitude),
  all("toGeodeticBatch", () => frame.toGeodeticBatch(xy, batchOut)[1]!),
  each("proj4 UTM inverse, kept converter", (i) => utmProj.inverse(utmPoints[i]!)[0]),
]);

compare("heading to frame", [each("headingToLocal", (i) => frame.headingToLocal(i % 360, places[i]!))]);

compare("geodetic to geocentric", [
  each("geodeticToGeocentric", (i) => geodeticToGeocentric(places[i]!)[0]),
  each("proj4 geocent, kept converter", (i) => geocentricProj.forward([...lonLat[i]!, 0])[0]!),
]);

compare("geocentric to geodetic", [
  each("geocentricToGeodetic", (i) => geocentricToGeodetic(geocentric[i]!).latitude),
  each("proj4 geocent back, kept converter", (i) => geocentricProj.inverse([...geocentric[i]!])[0]!),
]);

compare("UTM forward", [
  all("transverseMercator batch", () => utmGrid.toProjectedBatch(latLon, batchOut)[1]!),
  each("transverseMercator single", (i) => utmGrid.toProjected(places[i]!)[0]),
  each("toUtm, with convergence and scale", (i) => toUtm(places[i]!).easting),
  kept,
]);

compare("UTM back", [
  all("transverseMercator batch", () => utmGrid.toGeographicBatch(utmXy, batchOut)[1]!),
  each("proj4 UTM inverse, kept converter", (i) => utmProj.inverse(utmPoints[i]!)[0]),
]);
