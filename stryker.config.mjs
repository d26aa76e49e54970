// mutation tests of the code that decides: `npm run mutate -- ground`, groups below

/** what is mutated, and the tests that must notice */
export const groups = {
  // two groups, each by the tests that notice soonest: a run of all by all takes a night
  orders: {
    mutate: [
      "src/sections/{boom,condensed-work-state,even-sections,order-book,order-desk,switch-times,tool-rows}.ts",
      "src/sections/section-{clock,control,control-options,settings,snapshot,speed,states}.ts",
    ],
    tests: [
      "tests/sections/{boom*,order*,section-*,switch-times,properties,latency,instants,between-fixes,steps}.test.ts",
    ],
  },
  ground: {
    mutate: [
      "src/sections/{carrier,in-the-air,path-ahead,section-ground,section-rule,swept-ground,tool-line,worked-ahead,zone}.ts",
    ],
    tests: [
      "tests/sections/{zone,tool-line,carrier,in-the-air-rules,worked-ahead,swept-ground,section-ground,section-rule}.test.ts",
    ],
  },
  monitor: {
    mutate: ["src/receiver/{fix-*,second-source,rollover}.ts"],
    tests: ["tests/receiver/fix-*.test.ts", "tests/receiver/rollover.test.ts", "tests/receiver/second-source.test.ts"],
  },
  choice: { mutate: ["src/guidance/pass-choice.ts"], tests: ["tests/guidance/pass-choice*.test.ts"] },
  journal: { mutate: ["src/journal/*.ts"], tests: ["tests/journal/**/*.test.ts"] },
};
const group = process.env.MUTATE ?? "choice";
const { mutate, tests } = groups[group];
process.env.FEERING_TESTS = tests.join(" ");
process.env.FEERING_LIGHT = "1";

export default {
  mutate: [...mutate, "!src/**/index.ts"],
  testRunner: "vitest",
  plugins: ["@stryker-mutator/vitest-runner"],
  vitest: { configFile: "vitest.config.ts", related: false },
  coverageAnalysis: "perTest",
  // messages are for people: their wording is not a decision
  mutator: { excludedMutations: ["StringLiteral"] },
  ignoreStatic: true,
  concurrency: Number(process.env.MUTATE_WORKERS ?? 2),
  timeoutMS: 10_000,
  tempDirName: "out/stryker",
  ignorePatterns: ["/out", "/dist", "/docs", "/coverage"],
  reporters: ["progress-append-only", "clear-text", "json"],
  clearTextReporter: { allowColor: false, reportTests: false, reportScoreTable: true },
  jsonReporter: { fileName: `out/mutants-${group}.json` },
  thresholds: { high: 95, low: 95, break: 95 },
  allowEmpty: false,
};
