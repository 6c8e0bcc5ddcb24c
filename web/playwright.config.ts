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
  // A machine of two cores, busy and cold, is slow; what is waited for is waited for long, and taken as soon as it is there.
  timeout: 180000,
  expect: { timeout: 60000 },
  workers: Number(process.env['WORKERS'] ?? 1),
  fullyParallel: true,
  reporter: [['list']],
  reportSlowTests: null,
  outputDir: process.env['PLAYWRIGHT_OUTPUT'] ?? 'test-results',
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
