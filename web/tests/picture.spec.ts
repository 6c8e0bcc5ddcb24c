// SPDX-License-Identifier: Apache-2.0
//
// The picture and what hangs on it: elevations as on paper, the way nearer, the build order as it plays, parts moved by hand.
import { readFileSync } from 'node:fs';
import { deflateSync, strToU8 } from 'fflate';
import { placeLabels, readable } from '../src/scene/labels';
import { hull } from '../src/scene/plan_outline';
import { expect, test, type Page } from './watched';

async function open(page: Page, place = 'design'): Promise<void> {
  await page.goto(`${process.env['PAGE']}/#/${place}`);
  await expect(page.getByRole('contentinfo')).toContainText(/EUR \d+\.\d\d/);
}
async function openJob(page: Page, text: string, place: string): Promise<void> {
  await page.goto(`${process.env['PAGE']}/#j=${Buffer.from(deflateSync(strToU8(text))).toString('base64url')}`);
  await expect(page.getByRole('contentinfo')).toContainText(/EUR \d+\.\d\d/);
  await page.goto(`${process.env['PAGE']}/#/${place}`);
}
const example = (name: string) => readFileSync(new URL(`../../examples/${name}.toml`, import.meta.url), 'utf8');

test('from the front no two figures stand on one another, and a choice can be dragged there', async ({ page }) => {
  await open(page);
  for (const way of ['Front', 'Side', 'Top']) {
    await page.getByRole('button', { name: way, exact: true }).click();
    const labels = page.locator('.size-label');
    await expect(labels.first()).toBeVisible();
    await expect.poll(async () => {
      const boxes = await labels.evaluateAll((all) => all.map((each) => each.getBoundingClientRect()).map(({ left, right, top, bottom }) => ({ left: left + 3, right: right - 3, top: top + 3, bottom: bottom - 3 })));
      return boxes.flatMap((a, i) => boxes.slice(i + 1).filter((b) => a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom)).length;
    }, { message: `figures over one another from the ${way}` }).toBe(0);
  }
  const handle = page.getByRole('slider', { name: 'opening of orchard arbor', exact: true });
  const fromTop = (await handle.boundingBox())!;
  await page.getByRole('button', { name: 'Front', exact: true }).click();
  await expect.poll(async () => (await handle.boundingBox())!.y).not.toBe(fromTop.y);  // once it is drawn from there
  const at = (await handle.boundingBox())!;
  await page.mouse.move(at.x + at.width / 2, at.y + at.height / 2);
  await page.mouse.down();
  await page.mouse.move(at.x + at.width / 2 + 60, at.y + at.height / 2, { steps: 4 });
  await page.mouse.up();
  await expect.poll(async () => Number(await handle.getAttribute('aria-valuenow'))).toBeGreaterThan(1450);
});

test('from the corner of a deck no size is told twice, and none over another, on a phone neither', async ({ page }) => {
  await openJob(page, example('deck'), 'design');
  for (const [width, height] of [[1280, 800], [390, 844]] as const) {
    await page.setViewportSize({ width, height });
    await page.getByRole('button', { name: 'Corner' }).click();
    await expect(page.locator('.size-label', { hasText: /^3600$/ })).toHaveCount(1);  // the width, which is the overall width too
    await expect(async () => {  // it is laid anew for the room that there is now
      const middles = await page.locator('.size-label').evaluateAll((all) => all.map((each) => each.getBoundingClientRect()).map(({ left, right, top, bottom }) => ({ x: (left + right) / 2, y: (top + bottom) / 2 })));
      expect(middles.length).toBeGreaterThan(2);
      const near = middles.flatMap((a, i) => middles.slice(i + 1).filter((b) => Math.hypot(a.x - b.x, a.y - b.y) < 14));
      expect(near, `figures over one another at ${width}`).toEqual([]);
      // Each that can be taken hold of says what it is.
      expect(await page.locator('.handle').count()).toBeLessThanOrEqual(middles.length);
    }).toPass({ timeout: 20000 });
  }
});

test('the build order plays to its end, and goes stage by stage', async ({ page }) => {
  await open(page, 'build');
  const player = page.getByRole('group', { name: 'Build order' });
  await expect(player).toContainText(/1 of \d+/);
  await player.getByRole('button', { name: 'Next' }).click();
  await expect(player).toContainText(/2 of \d+/);
  const moment = page.getByLabel('Moment of the build order');
  const last = Number(await moment.getAttribute('max'));
  expect(last).toBeGreaterThan(10);
  await moment.evaluate((each: HTMLInputElement, to) => {
    each.value = String(to);
    each.dispatchEvent(new Event('input', { bubbles: true }));
  }, last - 0.4);
  await player.getByRole('button', { name: 'Play' }).click();
  await expect(player.getByRole('button', { name: 'Play' })).toBeVisible();  // it stops at the end
  const said = (await player.locator('span').innerText()).split(' of ');
  expect(said[0]).toBe(said[1]);
});

test('a verdict in words; a failing check says what gives and its bar tells by how much', async ({ page }) => {
  await open(page, 'checks');
  await expect(page.locator('.check-line').first()).toBeVisible();
  await expect(page.getByRole('region', { name: 'Whether it stands' })).toContainText(/Stands to .*\d m\/s bare.*your garden asks 24 m\/s/);
  await expect(page.getByRole('contentinfo')).toContainText(/\d+ of 24 m\/s/);
  await expect(page.getByRole('contentinfo')).not.toContainText('%');
  await page.locator('.check-line').first().click();
  await expect(page.locator('.numbers').first()).toContainText('÷');
});

test('a part of the garden is moved and turned by hand, by keys and by figures; it shares a post; a level is typed', async ({ page }) => {
  await openJob(page, `${example('arbor')}\n[[structure]]\nname = "side fence"\npattern = "fence"\nat = [4500, 0]\n[structure.choices]\nlength = 3000\npost = "4x4"\n`, 'garden');
  const plan = page.getByRole('group', { name: 'The garden from above' });
  const part = plan.getByRole('button', { name: /^side fence:/ });
  await expect(part).toHaveAccessibleName(/4500 mm across, 0 mm deep, turned 0°/);
  const at = (await part.boundingBox())!;
  await page.mouse.move(at.x + at.width - 6, at.y + at.height / 2);
  await page.mouse.down();
  await page.mouse.move(at.x + at.width - 6, at.y + at.height / 2 - 40, { steps: 4 });
  await page.mouse.up();
  await expect(part).not.toHaveAccessibleName(/, 0 mm deep/);
  const place = page.getByRole('group', { name: 'Place of side fence' });
  await place.getByLabel('deep').fill('1200');
  await place.getByLabel('deep').press('Enter');
  await expect(part).toHaveAccessibleName(/4500 mm across, 1200 mm deep/);
  await part.focus();
  await page.keyboard.press('ArrowRight');
  await page.keyboard.press(',');
  await expect(part).toHaveAccessibleName(/turned 15°/);
  await page.getByRole('button', { name: /^Undo: turn/ }).click();
  await expect(part).toHaveAccessibleName(/4510 mm across, 1200 mm deep, turned 0°/);
  await page.getByRole('button', { name: 'Measure a point' }).click();
  await page.getByRole('group', { name: 'Point 1' }).getByLabel('level').fill('-120');
  await page.getByRole('group', { name: 'Point 1' }).getByLabel('level').press('Enter');
  await expect(plan).toContainText('-120');
  // Its first post where the arbor has one already: between the sides there are 1350, and posts are 95 wide.
  await place.getByLabel('across').fill('1350');
  await place.getByLabel('across').press('Enter');
  await place.getByLabel('deep').fill('47.5');
  await place.getByLabel('deep').press('Enter');
  await place.getByRole('button', { name: 'Share right front post of orchard arbor' }).click();
  await expect(place).toContainText('Its first post is right front post of orchard arbor');
  await expect(page.getByRole('alert')).toHaveCount(0);
  await page.getByRole('button', { name: /^Undo: share/ }).click();
  await expect(place.getByLabel('deep')).toHaveValue('47.5');
  await place.getByRole('button', { name: 'Take away' }).click();
  await expect(part).toHaveCount(0);
});

test('of a garden the sizes of one part are shown, and the picture is filled by all of it; parts are added by their pictures', async ({ page }) => {
  await openJob(page, `${example('arbor')}\n[[structure]]\nname = "side fence"\npattern = "fence"\nat = [9000, 6000]\n[structure.choices]\nlength = 3000\n`, 'design');
  const handles = page.getByRole('slider', { name: /of orchard arbor/ });
  await expect(handles.first()).toBeVisible();
  await expect(page.getByRole('slider', { name: /of side fence/ }).and(page.locator('.handle'))).toHaveCount(0);
  // The arbor's own sizes stand beside the arbor, not beyond the garden: within the left half of the picture.
  const picture = (await page.getByRole('application', { name: 'The structure' }).boundingBox())!;
  for (const box of await Promise.all((await handles.and(page.locator('.handle')).all()).map((each) => each.boundingBox())))
    expect(box!.x + box!.width / 2).toBeLessThan(picture.x + picture.width * 0.6);
  await page.goto(`${process.env['PAGE']}/#/garden`);
  await page.getByText('Add a part…').click();
  await expect(page.locator('.add-pattern img').first()).toBeVisible();
  expect(await page.locator('.add-pattern img').first().evaluate((each: HTMLImageElement) => each.decode().then(() => each.naturalWidth))).toBeGreaterThan(50);
});

test('at the bench a mark is seen from near, with the tape beside it, and marks follow one another', async ({ page }) => {
  await open(page, 'bench');
  await page.getByText('All of it').click();
  await page.getByRole('button', { name: /^Mark out H1/ }).click();
  const steps = page.getByRole('group', { name: 'Marks one by one' });
  await expect(steps).toContainText(/1 of \d+/);
  await steps.getByRole('button', { name: 'mark after' }).click();
  const said = (await steps.locator('strong').innerText()).trim();
  await expect(page.getByRole('img', { name: `From near: ${said}` })).toBeVisible();
  const targets = await page.locator('.task button, .bench-acts button').evaluateAll((all) => all.map((each) => each.getBoundingClientRect().height));
  expect(Math.min(...targets)).toBeGreaterThanOrEqual(56);
});

test('figures are read from below or from the right, and keep clear of one another', () => {
  expect(readable({ x: 0, y: 100 }, { x: 0, y: 0 })).toBe(-90);   // upright: from the right, bottom to top
  expect(readable({ x: 0, y: 0 }, { x: 0, y: 100 })).toBe(-90);
  expect(Math.abs(readable({ x: 100, y: 0 }, { x: 0, y: 0 }))).toBe(0);
  const placed = placeLabels([
    { key: 'a', a: { x: 40, y: 50 }, b: { x: 240, y: 50 }, letters: 4 }, { key: 'b', a: { x: 40, y: 54 }, b: { x: 240, y: 54 }, letters: 4 },
  ], [], { wide: 300, high: 100 });
  expect(Math.abs(placed.get('a')!.x - placed.get('b')!.x)).toBeGreaterThan(30);
});

test('the outline of a piece from above is its convex hull', () => {
  const corners = hull([[0, 0], [4, 0], [4, 2], [0, 2], [2, 1], [4, 1]]);
  expect(corners).toEqual([[0, 0], [4, 0], [4, 2], [0, 2]]);
});
