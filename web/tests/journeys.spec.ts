// SPDX-License-Identifier: Apache-2.0
import { expect, expectNoFaults, test, watch, type Page } from './watched';

async function open(page: Page, place = 'design'): Promise<void> {
  await page.goto(`${process.env['PAGE']}/#/${place}`);
  await expect(page.getByRole('contentinfo')).toContainText(/EUR \d+\.\d\d/);
}

const price = (page: Page) => page.getByRole('button', { name: /^To buy: / }).innerText();
const complete = (page: Page) => expect(page.getByText('complete', { exact: true })).toBeAttached();

test('a first visit: drag the width, see length and price follow, print', async ({ page }) => {
  await open(page);
  const before = await price(page);
  const handle = page.getByRole('slider', { name: 'opening of orchard arbor' }).first();
  await expect(handle).toHaveAttribute('aria-valuenow', '1350');
  const at = (await handle.boundingBox())!;
  const [x, y] = [at.x + at.width / 2, at.y + at.height / 2];
  await page.mouse.move(x, y);
  await page.mouse.down();
  for (let i = 1; i <= 12; i += 1) await page.mouse.move(x + i * 2, y - i / 2);
  await page.mouse.up();
  await expect.poll(() => price(page)).not.toBe(before);
  await complete(page);
  const wide = Number(await handle.getAttribute('aria-valuenow'));
  expect(wide).toBeGreaterThan(1500);
  await expect(page.locator('#choice-0-opening')).toHaveValue(String(wide));

  await page.getByRole('link', { name: 'Pieces' }).click();
  // The long frame member is the opening, two posts of 95, two frame members of 44 and a horn of 60 at each end.
  await expect(page.getByRole('row', { name: /frame long member/ })).toContainText(String(wide + 2 * 95 + 2 * 44 + 2 * 60));
  await page.getByRole('row', { name: /frame long member/ }).getByRole('button', { name: /^length of .*why/ }).click();
  await expect(page.getByRole('dialog')).toContainText(`opening ${wide}`);
  await page.getByRole('dialog').getByRole('button', { name: 'Close' }).click();

  await page.getByRole('link', { name: 'Sheets' }).click();
  const sheet = page.getByRole('img', { name: /^Sheet: / });
  await expect(sheet).toBeVisible();
  await expect.poll(() => sheet.evaluate((each: HTMLImageElement) => each.naturalWidth)).toBeGreaterThan(100);
  await page.getByLabel('Paper').selectOption('letter');
  const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Download as PDF' }).click()]);
  expect(download.suggestedFilename()).toBe('orchard-arbor.pdf');
  const stream = await download.createReadStream();
  const chunks: Buffer[] = [];
  for await (const chunk of stream) chunks.push(chunk as Buffer);
  const pdf = Buffer.concat(chunks);
  expect(pdf.subarray(0, 5).toString()).toBe('%PDF-');
  expect(pdf.length).toBeGreaterThan(20000);
});

test('a size stays under the finger while it grows longer and shorter than others', async ({ page }) => {
  await open(page);
  const handle = page.getByRole('slider', { name: 'opening of orchard arbor', exact: true });
  const at = (await handle.boundingBox())!;
  const [x, y] = [at.x + at.width / 2, at.y + at.height / 2];
  await page.mouse.move(x, y);
  await page.mouse.down();
  for (let i = 0; i <= 48; i += 1) {
    await page.mouse.move(x + 70 * Math.sin(i / 8), y);
    await expect(handle).toHaveClass(/held/);
    await page.evaluate(() => new Promise((drawn) => requestAnimationFrame(drawn)));
  }
  await page.mouse.move(x + 90, y - 5);
  await expect(handle).toHaveClass(/held/);
  await expect.poll(async () => Number(await handle.getAttribute('aria-valuenow'))).toBeGreaterThan(1500);
  await page.mouse.up();
  await expect(handle).not.toHaveClass(/held/);
});

test('a job that takes long is answered while the hand moves on and on', async ({ page }) => {
  await open(page);
  await complete(page);
  await page.route('**/api/v1/quick*', async (route) => {
    await new Promise((go) => setTimeout(go, 700));
    await route.continue().catch(() => undefined);  // it may have been given up
  });
  let answers = 0;
  page.on('response', (one) => { if (one.url().includes('/api/v1/quick')) answers += 1; });
  const handle = page.getByRole('slider', { name: 'opening of orchard arbor', exact: true });
  const at = (await handle.boundingBox())!;
  const [x, y] = [at.x + at.width / 2, at.y + at.height / 2];
  await page.mouse.move(x, y);
  await page.mouse.down();
  const start = Date.now();
  while (Date.now() - start < 6000) await page.mouse.move(x + 60 * Math.sin((Date.now() - start) / 300), y);
  expect(answers).toBeGreaterThan(2);
  await page.mouse.up();
});

test('a hand that lets go is not waited for: the checks are asked for at once', async ({ page }) => {
  await page.clock.install();
  await open(page);
  await complete(page);
  const handle = page.getByRole('slider', { name: 'opening of orchard arbor', exact: true });
  const at = (await handle.boundingBox())!;
  const plans: string[] = [];
  page.on('request', (one) => { if (one.url().includes('/api/v1/plan')) plans.push(one.url()); });
  await page.clock.pauseAt(new Date(Date.now() + 60000));  // from here on no time passes but what is said
  await page.mouse.move(at.x + at.width / 2, at.y + at.height / 2);
  await page.mouse.down();
  await page.mouse.move(at.x + at.width / 2 + 30, at.y + at.height / 2 - 3);
  const answered = page.waitForResponse((one) => one.url().includes('/api/v1/quick'));
  await page.clock.runFor(100);
  await (await answered).finished();
  await expect(page.locator('#choice-0-opening')).not.toHaveValue('1350');
  await page.clock.runFor(100);
  expect(plans).toEqual([]);  // the hand may go on
  await page.mouse.up();
  await page.clock.runFor(1);
  await expect.poll(() => plans.length).toBeGreaterThan(0);
});

test('units may be changed and mixed, and undo brings all of it back', async ({ page }) => {
  await open(page);
  await page.getByLabel('units', { exact: true }).selectOption('ft-in');
  await expect(page.locator('#choice-0-opening')).toHaveValue(/4 ft 5 1\/8 in/);  // 1350 / 25.4 = 53.15
  await page.locator('#choice-0-opening').fill('1.4 m');
  await page.locator('#choice-0-opening').press('Enter');
  await expect(page.locator('#choice-0-opening')).toHaveValue(/4 ft 7 1\/8 in/);  // 1400 / 25.4 = 55.12
  await page.locator('#choice-0-opening').fill('60');
  await page.locator('#choice-0-opening').press('Enter');
  await expect(page.locator('#choice-0-opening')).toHaveValue('5 ft');
  for (let i = 0; i < 3; i += 1) await page.getByRole('button', { name: /^Undo/ }).click();
  await expect(page.locator('#choice-0-opening')).toHaveValue('1350');
  await expect(page.getByRole('button', { name: 'Undo', exact: true })).toBeDisabled();
  await page.getByRole('button', { name: /^Redo/ }).click();
  await expect(page.locator('#choice-0-opening')).toHaveValue(/ft/);
});

test('what cannot be built is told with its cure, and taken back', async ({ page }) => {
  await open(page);
  const before = await price(page);
  await page.locator('#choice-0-height').fill('1500');
  await page.locator('#choice-0-height').press('Enter');
  const alert = page.getByRole('alert', { name: 'What is wrong with the job' });
  await expect(alert).toContainText(/panel/);
  await expect(alert).toContainText(/choose a panel/);
  await page.locator('#choice-0-opening').fill('wide');
  await page.locator('#choice-0-opening').press('Enter');
  await expect(page.getByText('“wide” is no length')).toBeVisible();
  await page.locator('#choice-0-opening').press('Escape');
  await alert.getByRole('button', { name: /Take back/ }).click();
  await expect(alert).toBeHidden();
  await expect.poll(() => price(page)).toBe(before);
  await expect(page.locator('#choice-0-height')).toHaveValue('2200');
});

test('a curve is drawn, sawn by the planner, and its radius told', async ({ page }) => {
  await open(page, 'ends');
  await page.getByRole('group', { name: 'Begin from' }).getByRole('button', { name: 'quarter round' }).click();
  // The beam is 145 deep, its nose a quarter: the quadrant has the rest for its radius, within the curve's own fault.
  await expect(page.getByText(/Smallest radius: 10[89] mm/)).toBeVisible();
  // In 45 mm stock the planner's table wants 80 mm for a half inch blade, and 127.5 mm for the next.
  await expect(page.getByRole('region', { name: 'Which blade follows it' })).toContainText('12.7 mm (1/2 in) wide follows it: it wants 80 mm');
  await page.getByRole('button', { name: 'Draw on from here' }).click();
  const grip = page.getByRole('slider', { name: /^handle 1/ });
  const at = (await grip.boundingBox())!;
  await page.mouse.move(at.x + at.width / 2, at.y + at.height / 2);
  await page.mouse.down();
  await page.mouse.move(at.x + at.width / 2 + 90, at.y + at.height / 2 + 40, { steps: 6 });
  await page.mouse.up();
  await expect(page.getByRole('heading', { name: 'Drawn by hand' })).toBeVisible();
  await expect(page.getByText(/Smallest radius: 10[89] mm/)).toBeHidden();
  await page.getByRole('slider', { name: /^handle 2/ }).press('ArrowLeft');
  await expect(page.getByRole('button', { name: /^Undo: draw beam end/ })).toBeEnabled();
  await complete(page);
  await expect(page.getByRole('alert')).toHaveCount(0);
  await page.getByText('Job', { exact: true }).first().click();
  await page.getByRole('button', { name: 'Its text…' }).click();
  await expect(page.getByRole('textbox', { name: "The job's text" })).toHaveValue(/beam_end = \[\[0, 1\], /);
});

test('a link carries the whole job, and the page remembers it', async ({ page, context }) => {
  // A browser without a screen gives nobody its clipboard: what is put on it is caught on the way.
  await page.addInitScript(() => {
    Object.defineProperty(navigator, 'clipboard', { value: { writeText: async (text: string) => { document.documentElement.dataset['copied'] = text; } } });
  });
  await open(page);
  await page.locator('#choice-0-opening').fill('1620');
  await page.locator('#choice-0-opening').press('Enter');
  await page.getByText('Job', { exact: true }).first().click();
  await page.getByRole('button', { name: 'Copy a link to it' }).click();
  await expect(page.getByRole('status').filter({ hasText: 'clipboard' })).toBeVisible();
  const link = (await page.locator('html').getAttribute('data-copied'))!;
  expect(link.length).toBeLessThan(2000);
  const other = await context.browser()!.newContext();
  watch(other);
  const stranger = await other.newPage();
  await stranger.goto(link);
  await expect(stranger.locator('#choice-0-opening')).toHaveValue('1620');
  await stranger.reload();
  await expect(stranger.locator('#choice-0-opening')).toHaveValue('1620');
  await stranger.goto(`${process.env['PAGE']}/#j=AAAA`);
  await expect(stranger.getByText('The link is broken')).toBeVisible();
  expectNoFaults(other);
  await other.close();
});

test('at the bench: ticks and sizes survive reload and the loss of the network', async ({ page, context }) => {
  await open(page);
  await complete(page);
  await page.evaluate(() => navigator.serviceWorker.ready);
  await page.getByRole('link', { name: 'At the bench' }).click();
  await expect(page.getByRole('heading', { name: 'Measure a 4x4' })).toBeVisible();
  await page.getByLabel('wide').fill('96.5');
  await expect(page.getByText(/\+1.5 mm beside 95 planned/)).toBeVisible();
  await page.getByRole('button', { name: 'Tick off' }).click();
  await expect(page.getByText(/^1 of \d+ done/)).toBeVisible();
  // Left to itself until page and plan are on the device.
  await expect.poll(() => page.evaluate(async () => (await caches.keys()).length)).toBeGreaterThan(0);
  await context.setOffline(true);
  await page.route('**/api/**', (route) => route.abort());
  await page.reload();
  await expect(page.getByText(/^1 of \d+ done/)).toBeVisible();
  await page.getByRole('button', { name: 'Back' }).click();
  await expect(page.getByLabel('wide')).toHaveValue('96.5');
  await page.getByText('All of it').click();
  await page.getByRole('button', { name: /Saw A1/ }).first().click();
  await expect(page.getByText('3355', { exact: true }).first()).toBeVisible();
});

test('a measured size goes into the job and every length follows', async ({ page }) => {
  await open(page, 'bench');
  await expect(page.getByRole('heading', { name: 'Measure a 4x4' })).toBeVisible();
  await page.getByLabel('wide').fill('97');
  await page.getByLabel('thick').fill('96');
  await page.getByRole('button', { name: 'Let the plan take these' }).click();
  await page.getByRole('link', { name: 'Pieces' }).click();
  // 1350 between the posts, two posts of 96, two frame members of 44 and two horns of 60.
  await expect(page.getByRole('row', { name: /frame long member/ })).toContainText(String(1350 + 2 * 96 + 2 * 44 + 2 * 60));
});

test('two versions side by side', async ({ page }) => {
  await open(page, 'compare');
  await page.getByLabel('Set this version aside as').fill('narrow');
  await page.getByRole('button', { name: 'Set aside' }).click();
  await page.getByRole('link', { name: 'Design' }).click();
  await page.locator('#choice-0-opening').fill('1900');
  await page.locator('#choice-0-opening').press('Enter');
  await page.getByRole('link', { name: 'Compare' }).click();
  await page.getByLabel('Left').selectOption('set aside: narrow');
  const row = page.getByRole('row', { name: /^opening/ });
  await expect(row).toContainText('1350 mm');
  await expect(row).toContainText('1900 mm');
  await expect(page.getByRole('row', { name: /^To buy/ })).toContainText('+EUR');
});

test('the price over a choice, and a cheaper spot taken', async ({ page }) => {
  await open(page, 'buying');
  const before = await price(page);
  const cheaper = page.getByRole('region', { name: 'Price over a choice' }).getByRole('listitem').first();
  await expect(cheaper).toContainText(/saves EUR/);
  await cheaper.getByRole('button').click();
  await expect.poll(() => price(page)).not.toBe(before);
  const worth = (text: string) => Number(text.replace(/[^\d.]/g, ''));
  expect(worth(await price(page))).toBeLessThan(worth(before));
});

test('it is worked by keyboard alone', async ({ page }) => {
  await open(page);
  const handle = page.getByRole('slider', { name: 'opening of orchard arbor' }).first();
  await handle.focus();
  await page.keyboard.press('ArrowRight');
  await expect(page.locator('#choice-0-opening')).toHaveValue('1360');
  const picture = page.getByRole('application', { name: 'The structure' });
  await picture.focus();
  await page.keyboard.press('.');
  await expect(page.locator('.piece-card')).toContainText('A1');
  await page.keyboard.press('.');
  await page.keyboard.press('Escape');
  await expect(page.locator('.piece-card')).toBeHidden();
  await picture.press('Control+z');
  await expect(page.locator('#choice-0-opening')).toHaveValue('1350');
});

test('on a phone all is within its width', async ({ browser }) => {
  const context = await browser.newContext({ viewport: { width: 360, height: 740 }, hasTouch: true, isMobile: true, deviceScaleFactor: 2 });
  watch(context);
  const page = await context.newPage();
  await open(page);
  for (const place of ['design', 'garden', 'ends', 'pieces', 'buying', 'checks', 'build', 'sheets', 'bench', 'compare']) {
    await page.goto(`${process.env['PAGE']}/#/${place}`);
    await expect(page.locator(`#view.view-${place}`)).toBeVisible();
    await expect(page.locator('#view .waiting-line')).toHaveCount(0);
    const wide = await page.evaluate(() => Math.max(document.documentElement.scrollWidth, ...[...document.querySelectorAll('#view, #view table')].map((each) => each.scrollWidth)));
    expect(wide, `${place} is wider than the phone`).toBeLessThanOrEqual(360);
  }
  await page.goto(`${process.env['PAGE']}/#/design`);
  await page.locator('#choice-0-opening').fill('1500');
  await page.locator('#choice-0-opening').press('Enter');
  await expect(page.getByRole('slider', { name: 'opening of orchard arbor' }).first()).toHaveAttribute('aria-valuenow', '1500');
  expectNoFaults(context);
  await context.close();
});

test('it stands while studies are missing, and claims nothing', async ({ page }) => {
  await page.route('**/api/v1/thrift**', (route) => route.fulfill({ status: 404, json: { diagnostics: [] } }));
  await page.route('**/api/v1/plan', async (route) => {
    const answer = await route.fetch();
    const plan = await answer.json() as Record<string, unknown>;
    delete plan['checks'];
    delete plan['stages'];
    await route.fulfill({ response: answer, json: plan });
  });
  await page.route('**/api/v1/quick', async (route) => {
    const answer = await route.fetch();
    const quick = await answer.json() as { summary: Record<string, unknown> };
    quick.summary['worst_check'] = null;
    await route.fulfill({ response: answer, json: quick });
  });
  await open(page, 'checks');
  await expect(page.getByRole('heading', { name: 'Nothing was checked' })).toBeVisible();
  await expect(page.getByRole('contentinfo')).toContainText('not checked');
  await expect(page.getByText(/holds/i)).toHaveCount(0);
  await page.getByRole('link', { name: 'Build order' }).click();
  await expect(page.getByRole('heading', { name: 'No build order was worked out' })).toBeVisible();
  await page.getByRole('link', { name: 'Buying' }).click();
  await expect(page.getByText('This planner does not tell how the price moves.')).toBeVisible();
});

test('another pattern is picked by its picture; twenty steps go back and forth', async ({ page }) => {
  await open(page);
  const before = await price(page);
  await page.getByText('Job', { exact: true }).first().click();
  await page.getByRole('button', { name: 'Begin another…' }).click();
  const dialog = page.getByRole('dialog', { name: 'Begin another job' });
  const others = dialog.locator('.pattern').filter({ has: page.locator('img'), hasNotText: /arbor/i });  // not every pattern has a picture yet
  await expect(others.first().locator('img')).toBeVisible();
  await others.first().click();
  await expect(dialog).toBeHidden();
  await expect.poll(() => price(page)).not.toBe(before);
  await expect(page.getByRole('alert')).toHaveCount(0);
  await page.getByRole('button', { name: /^Undo/ }).click();
  await expect.poll(() => price(page)).toBe(before);

  const field = page.locator('#choice-0-opening');
  await expect(field).toHaveValue('1350');
  const more = page.getByRole('button', { name: 'more opening' });
  for (let i = 1; i <= 20; i += 1) {
    await more.click();
    await expect(field).toHaveValue(String(1350 + 10 * i));
  }
  for (let i = 0; i < 20; i += 1) await page.keyboard.press('Control+z');
  await expect(field).toHaveValue('1350');
  for (let i = 0; i < 20; i += 1) await page.keyboard.press('Control+Shift+z');
  await expect(field).toHaveValue('1550');
});

test('figures say why they are so', async ({ page }) => {
  await open(page, 'buying');
  await complete(page);
  const dialog = page.getByRole('dialog');
  const ask = async (name: RegExp, told: RegExp) => {
    await page.getByRole('button', { name }).first().click();
    await expect(dialog).toContainText(told);
    await page.keyboard.press('Escape');
    await expect(dialog).toBeHidden();
  };
  await ask(/^To buy: .*why/, /timber EUR \d+\.\d\d/);
  await ask(/^Pieces: .*why/, /4 × A1 post/);
  await ask(/^In all: .*why/, /fixings EUR/);
  await ask(/^4x4, 3\.60 m: 4, why/, /A1/);
  await ask(/^off-cut of 2x1|^off-cut of 4x2/, /as it is sold.*\d mm left/s);
  await page.getByRole('link', { name: 'Pieces' }).click();
  await ask(/^length of A1/, /height 2200/);
  // The plan's own volume: 3355 × 95 × 95 mm; nothing is machined away of a post.
  await ask(/^mass of A1/, /30\.28 dm³/);
  await ask(/^section of A1/, /as the yard lists it/);
});

test('the price line itself can be pressed where it is cheaper', async ({ page }) => {
  await open(page, 'buying');
  const panel = page.getByRole('region', { name: 'Price over a choice' });
  const spot = panel.locator('circle.cheaper').first();
  await expect(spot).toBeVisible();
  const told = (await panel.getByRole('listitem').first().getByRole('button').innerText()).replace(' mm', '');
  await spot.click();
  await page.getByRole('link', { name: 'Design' }).click();
  await expect(page.locator('#choice-0-opening')).toHaveValue(told);
});

test('by keyboard from sheet to sheet, without motion where none is wanted', async ({ page }) => {
  await page.emulateMedia({ reducedMotion: 'reduce' });
  await open(page);
  await complete(page);
  await page.keyboard.press('Tab');
  await expect(page.getByRole('link', { name: 'Skip to the sheet' })).toBeFocused();
  await page.keyboard.press('Enter');
  await page.keyboard.press('Tab');
  await expect(page.getByRole('application', { name: 'The structure' })).toBeFocused();
  const names = ['Garden', 'End shapes', 'Pieces', 'Buying', 'Checks', 'Build order', 'Sheets', 'At the bench', 'Compare'];
  for (const name of names) {
    const link = page.getByRole('navigation').getByRole('link', { name });
    await link.focus();
    await page.keyboard.press('Enter');
    await expect(page.getByRole('heading', { level: 1, name })).toBeFocused();
    await page.keyboard.press('Tab');
    // The next stop is inside the sheet, and is seen.
    await expect(page.locator('#view :focus')).toBeInViewport();
    const moving = await page.evaluate(() => [...document.querySelectorAll('*')].filter((each) => {
      const style = getComputedStyle(each);
      return style.transitionDuration !== '0s' || style.animationName !== 'none';
    }).length);
    expect(moving, `things that move on ${name}`).toBe(0);
  }
});
