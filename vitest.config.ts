import { defineConfig } from "vitest/config";

export default defineConfig({
  test: {
    include: ["packages/*/src/**/*.test.ts", "fixtures/**/*.test.ts", "scripts/**/*.test.ts"],
    pool: "threads",
    testTimeout: 60_000,
    hookTimeout: 600_000,
    globalSetup: ["scripts/test-media.ts"],
  },
});
