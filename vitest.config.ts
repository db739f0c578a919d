import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

export default defineConfig({
  resolve: { alias: { '@': fileURLToPath(new URL('.', import.meta.url)) } },
  test: {
    include: ['tests/{unit,outside,faults}/**/*.test.{ts,tsx}'],
    testTimeout: 60_000,
    hookTimeout: 60_000,
    pool: 'forks',
    // The file that takes longest is far from half of all: two at once take about half the time.
    maxWorkers: 2,
  },
});
