// SPDX-License-Identifier: Apache-2.0
//
// What the planner holds in memory while a size is dragged on and on:
//
//   node bench/hour.mjs ../build/release/garthwright [MINUTES [JOB.toml [SIZE]]]
//
// One line a minute: answers so far, memory of the planner and of the page. A minute's rest every ten lets plans be made too.
import { launch, linkTo, machine, memoryMb, startPlanner, until } from './setting.mjs';

const [program, minutes = '60', job = '', size = 'opening'] = process.argv.slice(2);
if (!program) throw new Error('give the program: node bench/hour.mjs ../build/release/garthwright [MINUTES [JOB.toml [SIZE]]]');
console.log(machine());
const planner = await startPlanner(program);
const browser = await launch();
const context = await browser.newContext({ viewport: { width: 1280, height: 800 }, serviceWorkers: 'block' });
await context.addInitScript(() => {
  globalThis.answers = 0;
  new PerformanceObserver((list) => { globalThis.answers += list.getEntriesByName('answer').length; }).observe({ type: 'mark' });
});
const page = await context.newPage();
await page.goto(linkTo(planner.url, job));
await until(async () => ['complete', 'in part'].includes(await page.locator('.cell-state dd').textContent()), 'plan', 150000);
const session = await context.newCDPSession(page);
for (let minute = 1; minute <= Number(minutes); minute += 1) {
  if (minute % 10 !== 0) {
    const box = await page.getByRole('slider', { name: new RegExp(`^${size} of`) }).first().boundingBox();
    const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
    await page.mouse.move(x, y);
    await page.mouse.down();
    const start = Date.now();
    // Never the same way twice, so that no answer is one that was kept.
    while (Date.now() - start < 60000) await page.mouse.move(x + 60 * Math.sin((Date.now() - start) / (300 + 7 * minute)), y).then(() => new Promise((go) => setTimeout(go, 12)));
    await page.mouse.move(x, y);
    await page.mouse.up();
  } else {
    await page.waitForTimeout(60000);
  }
  const { usedSize } = await session.send('Runtime.getHeapUsage');
  console.log(`after ${minute} min: ${await page.evaluate(() => globalThis.answers)} answers, planner ${memoryMb(planner.pid).toFixed(0)} MB, page's own heap ${(usedSize / 1e6).toFixed(0)} MB`);
}
await browser.close();
planner.end();
console.log(machine());
