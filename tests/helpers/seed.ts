import fc from "fast-check";

// properties draw the same cases in every run, so that a change of result is a change of the code;
// FEERING_SEED=random npm test (or a number) draws others, which is worth doing before a release
const wanted = process.env["FEERING_SEED"];
if (wanted !== "random") fc.configureGlobal({ seed: wanted === undefined ? 20_250_416 : Number(wanted) });
