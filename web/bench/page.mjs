// SPDX-License-Identifier: Apache-2.0
//
// How fast the page is, in headless Chromium that draws without a graphics card:
//
//   node bench/page.mjs ../build/release/garthwright [JOB.toml [SIZE [SECONDS]]]
//
// Bytes on the wire; first picture; while a size (the arbor's opening unless told) is dragged for so long (4 s unless told),
// pictures and answers a second and who spent the processor's time; from letting go to the checks; from a key to the price;
// what the planner holds in memory afterwards. PROFILE=file keeps where the page's own time went, for the browser's tools.
import { writeFileSync } from 'node:fs';
import { launch, linkTo, machine, median, memoryMb, processorTimes, startPlanner, until } from './setting.mjs';

const [program, job, size = 'opening', seconds = '4'] = process.argv.slice(2);
if (!program) throw new Error('give the program: node bench/page.mjs ../build/release/garthwright [JOB.toml [SIZE [SECONDS]]]');
console.log(`before: ${machine()}`);
const planner = await startPlanner(program);
const browser = await launch();

/// The page takes its marks back once they are made; who watches hears of each all the same.
const watch = () => {
  const heard = {};
  globalThis.heard = heard;
  new PerformanceObserver((list) => {
    for (const { name, startTime } of list.getEntries()) (heard[name] ??= []).push(startTime);
  }).observe({ type: 'mark', buffered: true });
};
const heard = (page, name) => page.evaluate((name) => globalThis.heard[name] ?? [], name);
const forget = (page) => page.evaluate(() => { for (const each of Object.keys(globalThis.heard)) delete globalThis.heard[each]; });

async function open() {
  const context = await browser.newContext({ viewport: { width: 1280, height: 800 }, serviceWorkers: 'block' });
  await context.addInitScript(watch);
  const page = await context.newPage();
  await page.goto(linkTo(planner.url, job));
  await until(async () => (await heard(page, 'picture')).length > 0, 'picture');
  return page;
}

async function firstPictures() {
  const firsts = [];
  for (let round = 0; round < 3; round += 1) {
    const page = await open();
    firsts.push((await heard(page, 'picture'))[0]);
    if (round === 2) {
      const bytes = await page.evaluate(() => performance.getEntriesByType('resource').filter((each) => !each.name.includes('/api/')).reduce((sum, each) => sum + each.encodedBodySize, 0) + performance.getEntriesByType('navigation')[0].encodedBodySize);
      console.log(`first load: ${(bytes / 1000).toFixed(0)} kB compressed`);
    }
    await page.context().close();
  }
  console.log(`first picture: ${median(firsts).toFixed(0)} ms (${firsts.map((each) => each.toFixed(0)).join(', ')})`);
}

async function drag(page) {
  // A large job's order of work may not come in time: its plan is whole as far as it goes then.
  await until(async () => ['complete', 'in part'].includes(await page.locator('.cell-state dd').textContent()), 'plan', 120000);
  await page.waitForTimeout(500);
  const handle = page.getByRole('slider', { name: new RegExp(`^${size} of`) }).first();
  const box = await handle.boundingBox();
  if (!box) throw new Error(`no handle for ${size}`);
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  await forget(page);
  const session = process.env.PROFILE ? await page.context().newCDPSession(page) : null;
  if (session) {
    await session.send('Profiler.enable');
    await session.send('Profiler.start');
  }
  await page.mouse.move(x, y);
  await page.mouse.down();
  const before = processorTimes(planner.pid);
  const start = Date.now();
  // A mouse tells its place without waiting to be seen: sent 60 times a second, whatever becomes of it.
  const sent = [];
  while (Date.now() - start < Number(seconds) * 1000) {
    sent.push(page.mouse.move(x + 60 * Math.sin((Date.now() - start) / 300), y));
    await new Promise((go) => setTimeout(go, 16));
  }
  await Promise.all(sent);
  const long = (Date.now() - start) / 1000;
  const after = processorTimes(planner.pid);
  const [pictures, answers] = [await heard(page, 'picture'), await heard(page, 'answer')];
  const gaps = answers.slice(1).map((each, i) => each - answers[i]);
  console.log(`drag: ${(pictures.length / long).toFixed(1)} pictures and ${(answers.length / long).toFixed(1)} answers a second; longest without an answer ${Math.max(...gaps).toFixed(0)} ms`);
  console.log(`  processor time to a second: ${Object.keys(after).map((each) => `${each} ${((after[each] - before[each]) / long).toFixed(0)} ms`).join(', ')}`);
  await forget(page);
  const letGo = await page.evaluate(() => performance.now());
  await page.mouse.up();
  await until(async () => (await heard(page, 'checks')).length > 0, 'checks', 120000);
  console.log(`checks: ${((await heard(page, 'checks'))[0] - letGo).toFixed(0)} ms after the hand let go`);
  if (session) {
    const { profile } = await session.send('Profiler.stop');
    writeFileSync(process.env.PROFILE, JSON.stringify(profile));
  }
}

/// Key by key, each once the last one's checks are there and have been for a while; fewer where they take long.
async function keys(page) {
  const handle = page.getByRole('slider', { name: new RegExp(`^${size} of`) }).first();
  await handle.focus();
  await page.evaluate(() => document.addEventListener('keydown', () => performance.mark('key'), true));
  const [prices, checks] = [[], []];
  const end = Date.now() + 45000;
  for (let i = 0; i < 15 && Date.now() < end; i += 1) {
    await forget(page);
    await page.keyboard.press('ArrowRight');
    await until(async () => (await heard(page, 'checks')).length > 0, 'checks', 120000);
    const key = (await heard(page, 'key'))[0];
    const price = (await heard(page, 'price'))[0];  // none where it stays the same
    if (price) prices.push(price - key);
    checks.push((await heard(page, 'checks'))[0] - key);
    await page.waitForTimeout(200);
  }
  const told = (values) => `${median(values).toFixed(0)} ms in the middle of ${values.length}, at most ${Math.max(...values).toFixed(0)}`;
  console.log(`key to price: ${told(prices)}`);
  console.log(`key to checks: ${told(checks)}`);
}

await firstPictures();
const page = await open();
await drag(page);
await keys(page);
console.log(`the planner's memory: ${memoryMb(planner.pid).toFixed(0)} MB`);
await browser.close();
planner.end();
console.log(`after: ${machine()}`);
