const modules = require("./modules.json");

// what an application pays for importing everything of one subpath, minified and compressed, its dependencies with it
const limits = {
  errors: "1 kB", units: "1 kB", geometry: "26 kB", offset: "44 kB", frames: "55 kB", receiver: "9 kB", machine: "12 kB", survey: "60 kB",
  coverage: "14 kB", guidance: "45 kB", headland: "45 kB", sections: "20 kB", exchange: "14 kB", "exchange/geojson": "9 kB", "exchange/csv": "5 kB", "exchange/nmea": "3 kB",
  "exchange/features": "42 kB", "exchange/kml": "58 kB", "exchange/gpx": "50 kB", "exchange/shapefile": "76 kB", "exchange/time-log": "16 kB", "exchange/task-data": "22 kB", "exchange/task-content": "64 kB", drawing: "12 kB", journal: "6 kB", planning: "80 kB", job: "75 kB", simulation: "95 kB",
};

module.exports = [
  ...modules.map((name) => ({ name: `feering/${name}`, path: `dist/${name}/index.js`, limit: limits[name] })),
  // one function must not cost its whole neighbourhood
  { name: "one: localFrame", path: "dist/frames/index.js", import: "{ localFrame }", limit: "4 kB" },
  { name: "one: NmeaReader", path: "dist/receiver/index.js", import: "{ NmeaReader }", limit: "6 kB" },
  { name: "one: offsetLine", path: "dist/offset/index.js", import: "{ offsetLine }", limit: "32 kB" },
  { name: "one: readGeoJson", path: "dist/exchange/geojson/index.js", import: "{ readGeoJson }", limit: "6 kB" },
  { name: "one: signedArea", path: "dist/index.js", import: "{ signedArea }", limit: "1 kB" },
];
