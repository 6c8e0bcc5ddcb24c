// SPDX-License-Identifier: Apache-2.0
//
// Pictures of every view, to be looked at:
//
//   node bench/looks.mjs ../build/release/garthwright FOLDER JOB.toml… [--sizes 360x740,1440x900] [--schemes light,dark] [--views design,checks]
//
// One file a picture: FOLDER/JOB-VIEW-SIZE-SCHEME.png.
import { mkdirSync } from 'node:fs';
import { basename } from 'node:path';
import { launch, linkTo, startPlanner, until } from './setting.mjs';

const given = process.argv.slice(2);
const option = (name, usual) => {
  const at = given.indexOf(`--${name}`);
  return at < 0 ? usual : given.splice(at, 2)[1].split(',');
};
const sizes = option('sizes', ['360x740', '844x390', '820x1180', '1440x900', '3840x2160']);
const schemes = option('schemes', ['light', 'dark']);
const views = option('views', ['design', 'garden', 'ends', 'pieces', 'buying', 'checks', 'build', 'sheets', 'bench', 'compare']);
const [program, folder, ...jobs] = given;
if (jobs.length === 0) throw new Error('give the program, a folder for the pictures, and jobs');
mkdirSync(folder, { recursive: true });
const planner = await startPlanner(program);
const browser = await launch();
for (const job of jobs)
  for (const colorScheme of schemes) {
    const context = await browser.newContext({ colorScheme, serviceWorkers: 'block' });
    const page = await context.newPage();
    await page.goto(linkTo(planner.url, job));
    const state = () => page.locator('.cell-state dd').textContent();
    await until(async () => ['complete', 'in part', 'refused'].includes(await state()), 'plan', 150000);
    for (const size of sizes) {
      const [width, height] = size.split('x').map(Number);
      await page.setViewportSize({ width, height });
      for (const view of views) {
        await page.goto(`${planner.url}/#/${view}`);
        await until(async () => (await page.locator('#view .waiting-line').count()) === 0 && (await page.getByText(/^Drawing (the sheets )?…$/).count()) === 0, view, 60000);
        await page.waitForTimeout(width > 2000 ? 2500 : 900);
        await page.screenshot({ path: `${folder}/${basename(job, '.toml')}-${view}-${size}-${colorScheme}.png` });
      }
    }
    await context.close();
  }
await browser.close();
planner.end();
