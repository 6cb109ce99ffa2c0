import { defineConfig } from 'vitest/config';

export default defineConfig({
  root: new URL('..', import.meta.url).pathname,
  test: {
    globalSetup: 'test/support/tidy.ts',
    include: ['test/**/*.test.ts', 'test/**/*.test.tsx'],
    testTimeout: 30_000,
    hookTimeout: 60_000,
    // Two cores are the smallest machine this is run on; more workers only make Chromium and the radio tests wait.
    maxWorkers: 2,
  },
});
