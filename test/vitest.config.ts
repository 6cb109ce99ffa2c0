import { defineConfig } from 'vitest/config';

export default defineConfig({
  root: new URL('..', import.meta.url).pathname,
  test: {
    globalSetup: 'test/support/run/tidy.ts',
    setupFiles: 'test/support/run/setup.ts',
    include: ['test/**/*.test.ts', 'test/**/*.test.tsx'],
    // A hang is ended, a slow and busy machine is waited for: what takes a second when idle may take half a minute there.
    testTimeout: 600_000,
    hookTimeout: 600_000,
    expect: { poll: { timeout: 180_000, interval: 50 } },
    // Two cores are the smallest machine this is run on; more workers only make Chromium and the radio tests wait.
    maxWorkers: 2,
  },
});
