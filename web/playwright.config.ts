// SPDX-License-Identifier: Apache-2.0
//
// Journeys on the real planner: GARTHWRIGHT=path/to/garthwright npm test. Where that program was built without this page,
// the page of web/dist is put before it.
import { existsSync } from 'node:fs';
import { defineConfig } from '@playwright/test';

const chromium = process.env['CHROMIUM'] ?? '/usr/bin/chromium';
if (!existsSync(chromium)) throw new Error(`no Chromium at ${chromium}; install Debian's package chromium or set CHROMIUM`);

export default defineConfig({
  testDir: 'tests',
  globalSetup: './tests/planner.ts',
  timeout: 60000,
  expect: { timeout: 20000 },
  workers: Number(process.env['WORKERS'] ?? 2),
  fullyParallel: true,
  reporter: [['list']],
  outputDir: 'test-results',
  preserveOutput: 'failures-only',
  use: {
    browserName: 'chromium',
    viewport: { width: 1024, height: 700 },
    launchOptions: {
      executablePath: chromium,
      args: ['--use-gl=angle', '--use-angle=swiftshader', '--enable-unsafe-swiftshader', ...(process.getuid?.() === 0 ? ['--no-sandbox'] : [])],
    },
  },
});
