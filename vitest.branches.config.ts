import type { ViteUserConfig } from "vitest/config";

/** Every branch of the code that decides is taken by a test: `npm run branches`. */
const config: ViteUserConfig = {
  test: {
    include: ["tests/{sections,receiver,journal,faults,job}/**/*.test.ts", "tests/guidance/pass-choice.test.ts"],
    setupFiles: ["tests/helpers/seed.ts"],
    testTimeout: 300_000,
    coverage: {
      provider: "v8",
      include: [
        "src/sections/*.ts",
        "src/receiver/{fix-*,second-source,rollover}.ts",
        "src/guidance/pass-choice.ts",
        "src/journal/*.ts",
      ],
      exclude: ["src/**/index.ts"],
      reporter: ["text"],
      thresholds: { perFile: true, branches: 100 },
    },
  },
};

export default config;
