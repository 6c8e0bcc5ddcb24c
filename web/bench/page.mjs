// SPDX-License-Identifier: Apache-2.0
//
// How fast the page is: node bench/page.mjs http://127.0.0.1:8080. Bytes on the wire, first picture, and pictures and
// answers a second while the arbor's width is dragged, in headless Chromium that draws without a graphics card.
import { chromium } from 'playwright-core';

const url = process.argv[2];
if (!url) throw new Error('give the address of a running garthwright serve');
const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
  args: ['--use-gl=angle', '--use-angle=swiftshader', '--enable-unsafe-swiftshader', ...(process.getuid?.() === 0 ? ['--no-sandbox'] : [])],
});
const firsts = [];
for (let round = 0; round < 3; round += 1) {
  const context = await browser.newContext({ viewport: { width: 1280, height: 800 }, serviceWorkers: 'block' });
  const page = await context.newPage();
  await page.goto(url);
  await page.waitForFunction(() => performance.getEntriesByName('picture').length > 0, undefined, { timeout: 60000 });
  firsts.push(await page.evaluate(() => performance.getEntriesByName('picture')[0].startTime));
  if (round === 2) {
    const bytes = await page.evaluate(() => performance.getEntriesByType('resource').filter((each) => !each.name.includes('/api/')).reduce((sum, each) => sum + each.encodedBodySize, 0) + performance.getEntriesByType('navigation')[0].encodedBodySize);
    console.log(`first load: ${(bytes / 1000).toFixed(0)} kB compressed`);
    await page.waitForTimeout(1500);
    const handle = page.getByRole('slider', { name: /^opening of/ }).first();
    const box = await handle.boundingBox();
    const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
    await page.evaluate(() => performance.clearMarks());
    await page.mouse.move(x, y);
    await page.mouse.down();
    const start = Date.now();
    for (let i = 0; Date.now() - start < 4000; i += 1) {
      await page.mouse.move(x + 60 * Math.sin(i / 20), y);
      await page.waitForTimeout(8);
    }
    const seconds = (Date.now() - start) / 1000;
    await page.mouse.up();
    const [pictures, answers] = await page.evaluate(() => ['picture', 'answer'].map((each) => performance.getEntriesByName(each).length));
    console.log(`drag: ${(pictures / seconds).toFixed(1)} pictures and ${(answers / seconds).toFixed(1)} answers a second`);
  }
  await context.close();
}
console.log(`first picture: ${Math.min(...firsts).toFixed(0)} ms at best of ${firsts.length} (${firsts.map((each) => each.toFixed(0)).join(', ')})`);
await browser.close();
