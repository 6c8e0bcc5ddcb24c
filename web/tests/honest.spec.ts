// SPDX-License-Identifier: Apache-2.0
//
// What is shown is of the job that is open, or it is not shown: another job's plan, an older plan, a refused value.
import { readFileSync } from 'node:fs';
import { deflateSync, strToU8 } from 'fflate';
import { expect, expectNoFaults, test, watch, type Page } from './watched';

const example = (name: string) => readFileSync(new URL(`../../examples/${name}.toml`, import.meta.url), 'utf8');

async function open(page: Page, place = 'design'): Promise<void> {
  await page.goto(`${process.env['PAGE']}/#/${place}`);
  await expect(page.getByRole('contentinfo')).toContainText(/EUR \d+\.\d\d/);
}
const complete = (page: Page) => expect(page.getByText('complete', { exact: true })).toBeAttached();
const go = (page: Page, name: string) => page.getByRole('navigation').getByRole('link', { name }).click();

async function menu(page: Page, name: string): Promise<void> {
  await page.getByText('Job', { exact: true }).first().click();
  await page.getByRole('button', { name }).click();
}
async function writeJob(page: Page, text: string): Promise<void> {
  await menu(page, 'Its text…');
  await page.getByRole('textbox', { name: "The job's text" }).fill(text);
  await page.getByRole('button', { name: 'Take it' }).click();
  await expect(page.getByRole('dialog')).toHaveCount(0);
}
async function jobText(page: Page): Promise<string> {
  await menu(page, 'Its text…');
  const text = await page.getByRole('textbox', { name: "The job's text" }).inputValue();
  await page.getByRole('dialog').getByRole('button', { name: 'Close' }).click();
  return text;
}
async function beginPergola(page: Page): Promise<void> {
  await menu(page, 'Begin another…');
  await page.getByRole('dialog').getByRole('button', { name: 'Sitting place pergola' }).click();
  await expect(page.getByRole('dialog')).toHaveCount(0);
}
async function measure(page: Page, wide: string, thick: string): Promise<void> {
  await page.getByLabel('wide').fill(wide);
  await page.getByLabel('thick').fill(thick);
  await page.getByRole('button', { name: 'Let the plan take these' }).click();
}
const refuse = (status: number, what: string) => ({ status, json: { diagnostics: [{ code: 'x', severity: 'error', what, cure: '', where: { file: '', line: 0, column: 0, piece: '' } }] } });

test('own size, climber and wind are taken, and each closed choice is a list', async ({ page }) => {
  await open(page);
  await page.locator('#choice-0-opening').fill('1.62 m');
  await page.locator('#choice-0-opening').press('Enter');
  await expect(page.locator('#choice-0-opening')).toHaveValue('1620');
  await page.getByText('Saw and site').click();
  const climber = page.getByLabel('climber', { exact: true });
  await expect(climber.locator('option')).not.toHaveCount(0);
  expect(await climber.evaluate((each) => each.tagName)).toBe('SELECT');
  expect(await page.getByLabel('soil', { exact: true }).evaluate((each) => each.tagName)).toBe('SELECT');
  await climber.selectOption('wisteria');
  await page.getByLabel('wind speed', { exact: true }).fill('28');
  await page.getByLabel('wind speed', { exact: true }).press('Enter');
  await complete(page);
  await expect(page.getByRole('alert')).toHaveCount(0);
  const text = await jobText(page);
  expect(text).toContain('climber = "wisteria"');
  expect(text).toContain('wind_speed = 28');
  // Out of reach is told where it was typed, with the range, and what was typed stays.
  await page.getByLabel('wind speed', { exact: true }).fill('280');
  await page.getByLabel('wind speed', { exact: true }).press('Enter');
  await expect(page.getByText(/280 is out of reach; give 15 to 60 m\/s/)).toBeVisible();
  await expect(page.getByLabel('wind speed', { exact: true })).toHaveValue('280');
});

test('metric stays metric: each pattern begins in the units of who asks', async ({ page }) => {
  await open(page);
  await page.locator('#choice-0-opening').fill('1500');
  await page.locator('#choice-0-opening').press('Enter');
  await menu(page, 'Begin another…');
  await page.getByRole('dialog').locator('.pattern').first().click();
  await expect(page.getByRole('dialog')).toHaveCount(0);
  await expect(page.getByRole('contentinfo')).toContainText(/EUR \d/);
  await expect(page.getByLabel('units', { exact: true })).toHaveValue('mm');
  await page.getByRole('button', { name: /^Undo/ }).click();
  // One who works in feet and inches from an American yard gets a pergola there too, though its example is metric.
  await menu(page, 'Begin another…');
  await page.getByRole('dialog').getByRole('button', { name: 'Front walk arbor' }).click();
  await expect(page.getByRole('contentinfo')).toContainText(/USD \d/);
  await menu(page, 'Begin another…');
  await page.getByRole('dialog').locator('.pattern').filter({ hasText: 'Pergola' }).first().click();
  await expect(page.getByLabel('units', { exact: true })).toHaveValue('ft-in');
  await expect(page.getByRole('contentinfo')).toContainText(/USD \d/);
});

test('another yard: what holds goes along, what does not is told, undo brings it back', async ({ page }) => {
  await open(page);
  await writeJob(page, example('arbor').replace('[timber]\n', '[site]\nwind_speed = 26\nsoil = "stiff clay"\nsnow = 0.8\nfrost_depth = 508\n\n[timber]\n'));
  const before = await jobText(page);
  expect(before).toContain('4x2');
  await page.getByLabel('yard', { exact: true }).selectOption('mill-creek');
  const told = page.getByRole('status').filter({ hasText: 'Left out:' });
  await expect(told).toContainText('sizes measured');
  await expect(told).toContainText(/wind speed 26 m\/s.*mph/);
  await expect(page.getByRole('contentinfo')).toContainText(/USD \d/);
  await expect(page.getByRole('alert')).toHaveCount(0);
  const after = await jobText(page);
  expect(after).not.toContain('[timber.measured]');
  expect(after).not.toContain('wind_speed');
  expect(after).toContain('units = "mm"');
  expect(after).toContain('soil = "stiff clay"');
  expect(after).toContain('snow = 16.7');        // 0.8 kN/m² / 0.0478803
  expect(after).toContain('frost_depth = 20');   // 508 mm / 25.4
  await page.getByRole('button', { name: /^Undo/ }).click();
  await expect(page.getByRole('contentinfo')).toContainText(/EUR \d/);
  expect(await jobText(page)).toBe(before);
});

test('another job whose plan fails shows nothing of the job before it', async ({ page }) => {
  await open(page, 'checks');
  await complete(page);
  const title = (await page.locator('.check-title').first().textContent())!;
  await page.route('**/api/v1/plan**', (route) => route.fulfill(refuse(500, 'the planner lost its way')));
  await beginPergola(page);
  await expect(page.getByRole('alert')).toContainText('lost its way');
  await expect(page.getByRole('contentinfo')).toContainText('Sitting place pergola');
  for (const place of ['Checks', 'Build order', 'Buying', 'At the bench']) {
    await go(page, place);
    await expect(page.locator('#view')).toContainText('cannot be shown');
    await expect(page.locator('#view')).not.toContainText(title);
    await expect(page.getByText('A1', { exact: true })).toHaveCount(0);
  }
  await page.getByRole('button', { name: /^Undo/ }).click();
  await go(page, 'Checks');
  await expect(page.locator('.check-title').first()).toHaveText(title);
});

test('another job of which nothing is answered shows no figure, picture, sheet or comparison of the last', async ({ page }) => {
  await open(page);
  await complete(page);
  await go(page, 'Compare');
  await page.getByLabel('Set this version aside as').fill('the arbor');
  await page.getByRole('button', { name: 'Set aside' }).click();
  const price = await page.getByRole('button', { name: /^To buy: / }).innerText();
  await page.route('**/api/v1/{quick,plan,sheets,thrift,check}**', (route) => route.fulfill(refuse(500, 'nothing today')));
  await page.route('**/api/v1/sheets/**', (route) => route.fulfill(refuse(500, 'nothing today')));
  await beginPergola(page);
  await expect(page.getByRole('alert').first()).toContainText('nothing today');
  const block = page.getByRole('contentinfo');
  await expect(block).not.toContainText(price);
  await expect(block).not.toContainText('EUR');
  await expect(block).not.toContainText('%');
  await expect(page.locator('.compare-pickers select').first().locator('option')).toHaveCount(1);  // no version of another job
  await go(page, 'Design');
  await expect(page.getByText('There is no picture of this job yet.')).toBeVisible();
  await expect(page.locator('.handle, .size-label')).toHaveCount(0);
  await go(page, 'Sheets');
  await expect(page.getByText(/No sheets can be drawn: nothing today/)).toBeVisible();
  await expect(page.locator('img.paper, .sheet-kind')).toHaveCount(0);
  await go(page, 'Pieces');
  await expect(page.getByRole('table')).toHaveCount(0);
  await go(page, 'Checks');
  await expect(page.locator('.check-line')).toHaveCount(0);
});

test('a change that fails takes away the checks, and the price, of the job before it', async ({ page }) => {
  await open(page);
  await complete(page);
  await page.locator('#choice-0-height').fill('1500');
  await page.locator('#choice-0-height').press('Enter');
  await expect(page.getByRole('alert', { name: 'What is wrong with the job' })).toBeVisible();
  await expect(page.getByRole('contentinfo')).not.toContainText('EUR');
  // The refused value stays where it was typed, to be mended there.
  await expect(page.locator('#choice-0-height')).toHaveValue('1500');
  await go(page, 'Checks');
  await expect(page.locator('.check-line')).toHaveCount(0);
  await go(page, 'Buying');
  await expect(page.getByRole('table')).toHaveCount(0);
  await go(page, 'Design');
  await expect(page.locator('#choice-0-height')).toHaveValue('1500');
  await page.locator('#choice-0-height').fill('2100');
  await page.locator('#choice-0-height').press('Enter');
  await expect(page.getByRole('contentinfo')).toContainText(/EUR \d/);
});

test('a job that was never planned can be mended by its own fields', async ({ page }) => {
  const low = example('arbor').replace(/^height = .*$/m, 'height = 1500');
  expect(low).toContain('height = 1500');
  await page.goto(`${process.env['PAGE']}/#j=${Buffer.from(deflateSync(strToU8(low))).toString('base64url')}`);
  await expect(page.getByRole('alert', { name: 'What is wrong with the job' })).toBeVisible();
  await expect(page.getByRole('contentinfo')).not.toContainText('EUR');
  await expect(page.locator('#choice-0-height')).toHaveValue('1500');
  await page.locator('#choice-0-height').fill('2200');
  await page.locator('#choice-0-height').press('Enter');
  await expect(page.getByRole('contentinfo')).toContainText(/EUR \d/);
  await expect(page.getByRole('alert')).toHaveCount(0);
});

test('the address is mangled on its way: the design is shown, and says so', async ({ page }) => {
  for (const end of ['#/%E0%A4%A', '#/nowhere', '#/pieces/%', '#j=%%%', '#j=AAAA']) {
    await page.goto('about:blank');
    await page.goto(`${process.env['PAGE']}/${end}`);
    await expect(page.getByRole('navigation').getByRole('link', { name: 'Design' })).toBeVisible();
    await expect(page.getByRole('contentinfo')).toContainText(/EUR \d/);
    await expect(page.getByRole('alert')).toHaveCount(0);
  }
  await page.goto(`${process.env['PAGE']}/#/%E0%A4%A`);
  await expect(page.getByText('There is no such sheet')).toBeVisible();
});

test('at the bench without the planner: a measured size locks what it may change', async ({ page, context }) => {
  await open(page);
  await complete(page);
  await page.evaluate(() => navigator.serviceWorker.ready);
  await expect.poll(() => page.evaluate(async () => (await caches.keys()).length)).toBeGreaterThan(0);
  await go(page, 'At the bench');
  await expect(page.getByRole('heading', { name: 'Measure a 4x4' })).toBeVisible();
  await page.route('**/api/**', (route) => route.abort());
  await context.setOffline(true);
  await measure(page, '90', '90');
  await expect(page.getByText(/every length follows/)).toHaveCount(0);
  await page.getByText('All of it').click();
  await page.getByRole('button', { name: /^Saw E1/ }).first().click();
  const note = page.getByRole('status', { name: 'The plan is older than the job' });
  await expect(note).toContainText('planned with 95 × 95');
  await expect(note).toContainText('90 × 90');
  await expect(page.getByRole('button', { name: 'Locked' })).toBeDisabled();
  await expect(page.locator('.big s')).toHaveText('1748');
  // Nor does a reload without the planner make the old plan good.
  await page.reload();
  await expect(note).toContainText('planned with 95 × 95');
  await expect(page.getByRole('alert')).toContainText(/Shown is the plan this device kept on \d/);
  await expect(page.getByRole('button', { name: 'Locked' })).toBeDisabled();
  // Once the network is back the page asks by itself.
  await page.unroute('**/api/**');
  await context.setOffline(false);
  await expect(note).toHaveCount(0);
  await page.getByText('All of it').click();
  await page.getByRole('button', { name: /^Saw E1/ }).first().click();
  // 1350 between posts of 90, two frame members of 44 and two horns of 60.
  await expect(page.locator('.big')).toHaveText('1738');
  await expect(page.getByRole('button', { name: 'Tick off' })).toBeEnabled();
});

test('ticks belong to a job, not to its title', async ({ page }) => {
  await open(page, 'bench');
  await page.getByRole('button', { name: 'Tick off' }).click();
  await expect(page.getByText(/^1 of \d+ done/)).toBeVisible();
  await writeJob(page, example('arbor').replace('opening = 1350', 'opening = 1400'));  // an edit: the same job
  await expect(page.getByText(/^1 of \d+ done/)).toBeVisible();
  await beginPergola(page);
  await expect(page.getByText(/^0 of \d+ done/)).toBeVisible();
  await page.getByRole('button', { name: /^Undo/ }).click();
  await expect(page.getByText(/^1 of \d+ done/)).toBeVisible();
});

test('what is ready of a slow plan is shown, and what is not is said', async ({ page }) => {
  let asked = 0;
  await page.route('**/api/v1/plan', (route) => {
    asked += 1;
    return route.fulfill(refuse(504, 'the answer took longer than 30 s'));
  });
  await open(page, 'buying');
  const note = page.getByRole('status', { name: 'What is not worked out' });
  await expect(note).toContainText('took longer than 30 s');
  expect(asked).toBeGreaterThan(0);
  await expect(page.getByRole('table').first()).toContainText('in all');
  await go(page, 'Checks');
  await expect(page.locator('.check-line').first()).toBeVisible();
  const [checks, below] = [(await page.locator('.split').boundingBox())!, (await page.getByRole('contentinfo').boundingBox())!];
  expect(checks.y + checks.height, 'the note pushes the checks off the sheet').toBeLessThanOrEqual(below.y + 1);
  await go(page, 'Build order');
  await expect(page.getByRole('heading', { name: 'No build order was worked out' })).toBeVisible();
  await expect(page.getByRole('contentinfo')).toContainText('in part');
  await page.unroute('**/api/v1/plan');
  await page.getByRole('button', { name: 'Ask again' }).click();
  await expect(page.getByRole('group', { name: 'Build order' })).toBeVisible();
});

test('where the checks were not made in time nothing says that they stand', async ({ page }) => {
  await page.route('**/api/v1/plan**', async (route) => {
    const answer = await route.fetch();
    const plan = await answer.json() as { checks: { kind: string; verdict: string; title: string; plain: string }[]; left_out: string[]; stands: unknown[]; diagnostics: unknown[] };
    const [first] = plan.checks;
    // As the planner tells it of a roof of hundreds of pieces.
    plan.checks = [{ ...first!, kind: 'unsolved', verdict: 'attention', title: 'orchard arbor: not checked', plain: 'No strength check was made: the time was up before it was.' }];
    plan.left_out = ['checks', 'stands'];
    plan.stands = [];
    plan.diagnostics = [{ code: 'not-in-time', severity: 'warning', what: 'the checks of strength and ground were not worked out in the time there was', cure: 'choose fewer pieces', file: '', line: 0, column: 0, piece: '' }];
    await route.fulfill({ response: answer, json: plan });
  });
  await open(page, 'checks');
  const note = page.getByRole('status', { name: 'What is not worked out' });
  await expect(note).toContainText('The checks and the winds it stands to could not be worked out');
  await expect(note).toContainText('Pieces, purchase, marking out and build order are of this job');
  await expect(note).not.toContainText('checks are of this job');
  await expect(page.getByRole('heading', { name: 'Nothing was checked' })).toBeVisible();
  await expect(page.locator('#view')).toContainText('No strength check was made');
  await expect(page.locator('#view')).not.toContainText('None of');
  await expect(page.getByRole('contentinfo')).toContainText('not checked');
  await expect(page.getByRole('contentinfo')).toContainText('in part');
  await page.getByRole('button', { name: 'I have read it' }).click();
  await expect(note).toHaveCount(0);
  await expect(page.getByRole('contentinfo')).toContainText('in part');
  await go(page, 'Build order');
  await expect(page.getByRole('group', { name: 'Build order' })).toBeVisible();
});

test('what was typed stays in its field while it is worked out; a part of a thing is no count', async ({ page }) => {
  await open(page);
  await complete(page);
  let letGo = () => undefined as void;
  const held = new Promise<void>((go) => { letGo = go; });
  await page.route('**/api/v1/quick**', async (route) => {
    await held;
    await route.continue();
  });
  await page.locator('#choice-0-opening').fill('1.5 m');
  await page.locator('#choice-0-opening').press('Enter');
  await page.waitForTimeout(300);
  await expect(page.locator('#choice-0-opening')).toHaveValue('1500');
  letGo();
  await complete(page);
  await expect(page.locator('#choice-0-opening')).toHaveValue('1500');
  await page.locator('#choice-0-rafters').fill('5.5');
  await page.locator('#choice-0-rafters').press('Enter');
  await expect(page.getByText('“5.5” is no whole number')).toBeVisible();
  await expect(page.locator('#choice-0-rafters')).toHaveValue('5.5');
  await expect(page.getByRole('button', { name: 'Undo: opening 1500 mm' })).toBeEnabled();
});

test('a yard that is not there: yards are offered, and none of the jobs', async ({ page }) => {
  await page.goto(`${process.env['PAGE']}/#j=${Buffer.from(deflateSync(strToU8(example('arbor').replace('"harrow-lane"', '"harow-lain"')))).toString('base64url')}`);
  const alert = page.getByRole('alert', { name: 'What is wrong with the job' });
  await expect(alert).toContainText(/harrow-lane/);
  await expect(alert).not.toContainText(/pergola-free|raised-bed|log-store/);
  await expect(page.getByText('pick one of the list')).toBeVisible();
  await page.getByLabel('yard', { exact: true }).selectOption('harrow-lane');
  await expect(page.getByRole('contentinfo')).toContainText(/EUR \d/);
  await expect(page.getByRole('alert')).toHaveCount(0);
});

test('it can be installed: icons that are there, a start, a worker, and nothing of another host', async ({ page, request }) => {
  const base = process.env['PAGE']!;
  const manifest = await (await request.get(`${base}/manifest.webmanifest`)).json() as { start_url: string; display: string; icons: { src: string; sizes: string; purpose: string }[] };
  expect(manifest.display).toBe('standalone');
  expect(manifest.icons.map((each) => each.sizes)).toEqual(expect.arrayContaining(['192x192', '512x512']));
  expect(manifest.icons.some((each) => each.purpose === 'maskable')).toBe(true);
  const asked: string[] = [];
  page.on('request', (each) => asked.push(each.url()));
  await open(page);
  await complete(page);
  await page.evaluate(() => navigator.serviceWorker.ready);
  await expect.poll(() => page.evaluate(async () => (await caches.keys()).length)).toBeGreaterThan(0);
  const kept = await page.evaluate(async () => (await Promise.all((await caches.keys()).map(async (each) => (await (await caches.open(each)).keys()).map((one) => new URL(one.url).pathname)))).flat());
  for (const { src } of manifest.icons) {
    expect((await request.get(base + src)).headers()['content-type']).toMatch(/^image\//);
    expect(kept).toContain(src);
  }
  expect(asked.filter((each) => !each.startsWith(base) && !each.startsWith('blob:') && !each.startsWith('data:'))).toEqual([]);
});

test('low, narrow and enlarged: choices keep half the sheet, money is whole, targets can be hit', async ({ browser }) => {
  test.slow();  // fifty sheets
  const context = await browser.newContext();
  watch(context);
  const page = await context.newPage();
  await open(page);
  await complete(page);
  for (const [width, height, least] of [[844, 390, 240], [720, 450, 280], [640, 360, 200], [820, 1180, 380], [360, 740, 220]] as const) {
    await page.setViewportSize({ width, height });
    await page.goto(`${process.env['PAGE']}/#/design`);
    const choices = (await page.locator('.choices-column').boundingBox())!;
    expect(choices.height, `choices at ${width} × ${height}`).toBeGreaterThanOrEqual(least);
    const cut = await page.locator('.title-block dd:visible').evaluateAll((all) => all.filter((each) => !each.closest('.cell-title') && each.scrollWidth > each.clientWidth + 1).map((each) => each.textContent));
    expect(cut, `cut in the title block at ${width} × ${height}`).toEqual([]);
    const over = await page.locator('.title-block .cell:visible').evaluateAll((all) => all.some((each) => each.getBoundingClientRect().right > innerWidth + 1));
    expect(over, `the title block leaves the page at ${width} × ${height}`).toBe(false);
    for (const place of ['design', 'garden', 'ends', 'pieces', 'buying', 'checks', 'build', 'sheets', 'bench', 'compare']) {
      await page.goto(`${process.env['PAGE']}/#/${place}`);
      await expect(page.locator('#view .waiting-line')).toHaveCount(0);
      const small = await page.evaluate(() => [...document.querySelectorAll<HTMLElement>('button, select, input, summary, a[href], [role=slider], .cheaper-spot')].filter((each) => {
        const box = each.getBoundingClientRect();
        const style = getComputedStyle(each);
        if (box.width === 0 || style.visibility === 'hidden' || each.closest('.skip, [hidden], details:not([open]) > :not(summary)') || each.closest('.job-menu-list') || each.classList.contains('skip')) return false;
        const label = each instanceof HTMLInputElement && each.type === 'checkbox' ? each.closest('label')?.getBoundingClientRect() : null;
        const [wide, high] = label ? [label.width, label.height] : [box.width, box.height];
        return wide < 23.5 || high < 23.5;
      }).map((each) => `${each.tagName} ${each.className} ${each.textContent?.slice(0, 30)} ${Math.round(each.getBoundingClientRect().width)} × ${Math.round(each.getBoundingClientRect().height)}`));
      expect(small, `small targets on ${place} at ${width} × ${height}`).toEqual([]);
    }
  }
  expectNoFaults(context);
  await context.close();
});

test('no two things one can take hold of have one name', async ({ page }) => {
  await open(page);
  await complete(page);
  const names = await page.getByRole('slider').evaluateAll((all) => all.filter((each) => each.classList.contains('handle')).map((each) => each.getAttribute('aria-label')));
  expect(names.length).toBeGreaterThan(3);
  expect(new Set(names).size).toBe(names.length);
});

test('tabs that go on beyond the edge say so', async ({ browser }) => {
  const context = await browser.newContext({ viewport: { width: 360, height: 740 } });
  const page = await context.newPage();
  await open(page);
  const [left, right] = [page.locator('.onward-left'), page.locator('.onward-right')];
  await expect(right).toBeEnabled();
  await expect(left).toBeDisabled();
  // Pressed on and on by one who does not look: at the end it stays, and takes the press.
  const at = (await right.boundingBox())!;
  for (let i = 0; i < 8; i += 1) await page.mouse.click(at.x + at.width / 2, at.y + at.height / 2);
  await expect(right).toBeDisabled();
  await expect(page.getByRole('link', { name: 'Compare' })).toBeInViewport();
  await expect(page.locator('#view.view-design')).toBeVisible();
  await expect(left).toBeEnabled();
  await context.close();
});

test('a length reads alike wherever it stands', async ({ page }) => {
  // A brace of 550 by 550 is 550 × √2 long, which is no whole millimetre.
  await open(page);
  await page.locator('#choice-0-brace_leg').fill('550');
  await page.locator('#choice-0-brace_leg').press('Enter');
  await go(page, 'Pieces');
  await expect(page.getByRole('row', { name: /knee brace/ })).toBeVisible();
  await complete(page);
  const lengths = await page.locator('td.num').allTextContents();
  const tenth = lengths.map((each) => /^(\d+\.\d) mm$/.exec(each)?.[1]).find((each) => each !== undefined);
  expect(tenth, 'a length with a tenth').toBeDefined();
  await go(page, 'Buying');
  await expect(page.locator(`svg[aria-label*="${tenth} mm"]`).first()).toBeAttached();
});
