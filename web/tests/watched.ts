// SPDX-License-Identifier: Apache-2.0
//
// Every journey is watched: a fault in the page, a font that cannot be read, or something that the server's
// Content-Security-Policy had to stop, fails it, whatever else went well.
import { expect, test as plain, type BrowserContext } from '@playwright/test';

export { expect };
export type { Page } from '@playwright/test';

const found = new WeakMap<BrowserContext, string[]>();

export function watch(context: BrowserContext): void {
  const faults: string[] = [];
  found.set(context, faults);
  context.on('weberror', (fault) => faults.push(`fault: ${fault.error().message}`));
  context.on('console', (line) => {
    if (/Content Security Policy|Failed to decode downloaded font/i.test(line.text())) faults.push(line.text());
  });
}

export function expectNoFaults(context: BrowserContext): void {
  expect(found.get(context), 'what went wrong in the page').toEqual([]);
}

export const test = plain.extend<{ faultless: void }>({
  faultless: [async ({ context }, use) => {
    watch(context);
    await use();
    expectNoFaults(context);
  }, { auto: true }],
});
