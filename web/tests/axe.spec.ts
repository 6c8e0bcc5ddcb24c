// SPDX-License-Identifier: Apache-2.0
import AxeBuilder from '@axe-core/playwright';
import { expect, test } from '@playwright/test';

const places = ['design', 'garden', 'ends', 'pieces', 'buying', 'checks', 'build', 'sheets', 'bench', 'compare'];

for (const colorScheme of ['light', 'dark'] as const) {
  test(`nothing serious keeps anyone out, ${colorScheme}`, async ({ browser }) => {
    const context = await browser.newContext({ colorScheme });
    const page = await context.newPage();
    await page.goto(`${process.env['PAGE']}/#/design`);
    await expect(page.getByText('complete', { exact: true })).toBeAttached();
    const found: string[] = [];
    const look = async (where: string) => {
      // In the page itself: it has no frames. Only colours differ between light and dark.
      const axe = new AxeBuilder({ page }).setLegacyMode(true);
      const { violations } = await (colorScheme === 'dark' ? axe.withRules(['color-contrast']) : axe).analyze();
      for (const each of violations)
        if (each.impact === 'serious' || each.impact === 'critical')
          found.push(`${where}: ${each.id}: ${each.nodes.slice(0, 3).map((node) => node.html.slice(0, 120)).join(' | ')}`);
    };
    for (const place of places) {
      await page.goto(`${process.env['PAGE']}/#/${place}`);
      await expect(page.locator(`#view.view-${place}`)).toBeVisible();
      await expect(page.locator('#view .waiting-line')).toHaveCount(0);
      if (place === 'pieces') await page.getByRole('button', { name: 'H1: marking out' }).click();
      await look(place);
    }
    await page.getByText('Job', { exact: true }).first().click();
    await page.getByRole('button', { name: 'Begin another…' }).click();
    await expect(page.locator('dialog .pattern-picture').first()).toBeVisible();
    await look('begin another');
    expect(found).toEqual([]);
    await context.close();
  });
}
