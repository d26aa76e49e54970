const modules = require("./modules.json");

// what an application pays for importing everything of one subpath, minified and compressed, its dependencies with it
const limits = {
  errors: "1 kB", units: "1 kB", geometry: "30 kB", frames: "70 kB", receiver: "10 kB", machine: "8 kB", survey: "45 kB",
  coverage: "15 kB", guidance: "35 kB", sections: "35 kB", exchange: "45 kB", drawing: "15 kB", job: "70 kB",
};

module.exports = [
  ...modules.map((name) => ({ name: `feering/${name}`, path: `dist/${name}/index.js`, limit: limits[name] })),
  // one function must not cost its whole neighbourhood
  { name: "one: localFrame", path: "dist/frames/index.js", import: "{ localFrame }", limit: "4 kB" },
  { name: "one: NmeaReader", path: "dist/receiver/index.js", import: "{ NmeaReader }", limit: "6 kB" },
  { name: "one: signedArea", path: "dist/index.js", import: "{ signedArea }", limit: "1 kB" },
];
