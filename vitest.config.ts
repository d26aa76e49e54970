import type { ViteUserConfig } from "vitest/config";

const config: ViteUserConfig = {
  test: {
    // all cores: with one left to the main process two cores are one
    maxWorkers: "100%",
    // a run of mutants has the tests that must notice them
    include: process.env.FEERING_TESTS?.split(" ") ?? ["tests/**/*.test.ts"],
    setupFiles: ["tests/helpers/seed.ts"],
    testTimeout: 60_000,
    typecheck: { enabled: false },
    coverage: { provider: "v8", include: ["src/**/*.ts"], reporter: ["text-summary", "json-summary"] },
  },
};

export default config;
