// SPDX-License-Identifier: Apache-2.0
//
// How fast the page is: node bench/page.mjs http://127.0.0.1:8080 [JOB.toml SIZE]. Bytes on the wire, first picture, and
// pictures and answers a second while a size is dragged (the arbor's opening unless told), in headless Chromium that draws
// without a graphics card.
import { cpus, loadavg } from 'node:os';
import { readFileSync } from 'node:fs';
import { deflateSync, strToU8 } from 'fflate';
import { chromium } from 'playwright-core';

const [url, job, size = 'opening'] = process.argv.slice(2);
if (!url) throw new Error('give the address of a running garthwright serve');
const load = () => loadavg().map((each) => each.toFixed(1)).join(' ');
console.log(`load of the machine before: ${load()} on ${cpus().length} cores`);
const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
  args: ['--use-gl=angle', '--use-angle=swiftshader', '--enable-unsafe-swiftshader', ...(process.getuid?.() === 0 ? ['--no-sandbox'] : [])],
});
const firsts = [];
for (let round = 0; round < 3; round += 1) {
  const context = await browser.newContext({ viewport: { width: 1280, height: 800 }, serviceWorkers: 'block' });
  const page = await context.newPage();
  await page.goto(job ? `${url}/#j=${Buffer.from(deflateSync(strToU8(readFileSync(job, 'utf8')))).toString('base64url')}` : url);
  // Asked again and again from here: the server's Content-Security-Policy lets no test code wait inside the page.
  const deadline = Date.now() + 60000;
  while ((await page.evaluate(() => performance.getEntriesByName('picture').length)) === 0) {
    if (Date.now() > deadline) throw new Error('no picture within a minute');
    await page.waitForTimeout(50);
  }
  firsts.push(await page.evaluate(() => performance.getEntriesByName('picture')[0].startTime));
  if (round === 2) {
    const bytes = await page.evaluate(() => performance.getEntriesByType('resource').filter((each) => !each.name.includes('/api/')).reduce((sum, each) => sum + each.encodedBodySize, 0) + performance.getEntriesByType('navigation')[0].encodedBodySize);
    console.log(`first load: ${(bytes / 1000).toFixed(0)} kB compressed`);
    await page.waitForTimeout(1500);
    const handle = page.getByRole('slider', { name: new RegExp(`^${size} of`) }).first();
    const box = await handle.boundingBox();
    const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
    await page.evaluate(() => performance.clearMarks());
    await page.mouse.move(x, y);
    await page.mouse.down();
    // A mouse tells its place without waiting to be seen: sent 60 times a second, whatever becomes of it.
    const start = Date.now();
    const sent = [];
    while (Date.now() - start < 4000) {
      sent.push(page.mouse.move(x + 60 * Math.sin((Date.now() - start) / 300), y));
      await new Promise((go) => setTimeout(go, 16));
    }
    await Promise.all(sent);
    const seconds = (Date.now() - start) / 1000;
    await page.mouse.up();
    const [pictures, answers] = await page.evaluate(() => ['picture', 'answer'].map((each) => performance.getEntriesByName(each).length));
    console.log(`drag: ${(pictures / seconds).toFixed(1)} pictures and ${(answers / seconds).toFixed(1)} answers a second`);
  }
  await context.close();
}
console.log(`first picture: ${Math.min(...firsts).toFixed(0)} ms at best of ${firsts.length} (${firsts.map((each) => each.toFixed(0)).join(', ')})`);
await browser.close();
console.log(`load of the machine after: ${load()}`);
