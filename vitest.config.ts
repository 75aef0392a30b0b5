import { defineConfig } from 'vitest/config';

/** `unit`: seconds, beside the code. `slow`: outside cases, fuzzers, crash and end-to-end tests. `browser`: pages in Chromium. */
export default defineConfig({
  test: {
    projects: [
      {
        test: {
          name: 'unit',
          include: ['src/**/*.test.ts', 'test/unit/**/*.test.ts'],
          exclude: ['**/*.slow.test.ts'],
          testTimeout: 20_000,
        },
      },
      {
        test: {
          name: 'slow',
          include: ['src/**/*.slow.test.ts', 'test/slow/**/*.test.ts', 'cases/**/*.test.ts'],
          testTimeout: 600_000,
          hookTimeout: 120_000,
        },
      },
      {
        test: {
          name: 'browser',
          include: ['test/browser/**/*.test.ts'],
          testTimeout: 180_000,
          hookTimeout: 120_000,
          fileParallelism: false,
        },
      },
    ],
  },
});
