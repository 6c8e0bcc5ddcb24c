// SPDX-License-Identifier: Apache-2.0
//
// Starts the planner that the tests speak with, on a free port, and ends it afterwards.
import { spawn, type ChildProcess } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { preview } from 'vite';

const web = fileURLToPath(new URL('..', import.meta.url));

/// More computations at a time than cores: a plan that nobody waits for any more does not hold up the next quick answer.
function started(program: string): Promise<{ child: ChildProcess; url: string }> {
  return new Promise((resolve, reject) => {
    const child = spawn(program, ['serve', '--port', '0', '--limit-s', '150', '--threads', '4'], {
      env: { GARTHWRIGHT_SHARE: fileURLToPath(new URL('../..', import.meta.url)), ...process.env }, stdio: ['ignore', 'pipe', 'inherit'],
    });
    let said = '';
    child.stdout!.on('data', (chunk: Buffer) => {
      said += chunk.toString();
      const url = /http:\/\/[\d.]+:\d+/.exec(said)?.[0];
      if (url) resolve({ child, url });
    });
    child.on('error', reject);
    child.on('exit', (code) => reject(new Error(`${program} serve ended with ${code}: ${said}`)));
  });
}

/// The job that the page begins with, planned once before anything is timed: the planner keeps its answer, and no journey
/// has to wait for it on a machine that is busy with others.
async function warm(url: string): Promise<void> {
  const job = readFileSync(new URL('../../examples/arbor.toml', import.meta.url), 'utf8');
  const deadline = Date.now() + 150000;
  for (const place of ['quick', 'plan'])
    for (;;) {
      const answer = await fetch(`${url}/api/v1/${place}`, { method: 'POST', body: job, headers: { 'Content-Type': 'application/toml', Origin: url } });
      const said = await answer.text();
      if (answer.ok) break;
      if (Date.now() > deadline) throw new Error(`the planner gives no ${place} of examples/arbor.toml: ${answer.status} ${said.slice(0, 300)}`);
      await new Promise((again) => setTimeout(again, 500));
    }
}

export default async function setup(): Promise<() => Promise<void>> {
  const program = process.env['GARTHWRIGHT'] ?? fileURLToPath(new URL('../../build/release/garthwright', import.meta.url));
  if (!existsSync(program)) throw new Error(`no planner at ${program}: set GARTHWRIGHT to the program`);
  const { child, url } = await started(program);
  child.removeAllListeners('exit');
  let done = false;
  child.on('exit', (code, signal) => { if (!done) console.error(`the planner ended before its time: ${code ?? signal}`); });
  const end = () => {
    done = true;
    child.kill();
  };
  await warm(url);
  const page = await (await fetch(url)).text();
  if (page.includes('id="page"') && !process.env['GARTHWRIGHT_DIST']) {
    process.env['PAGE'] = url;
    return async () => end();
  }
  if (!existsSync(web + 'dist/index.html')) throw new Error('the planner has no page and web/dist is empty: run npm run build');
  process.env['GARTHWRIGHT_URL'] = url;
  const shown = await preview({ root: web, preview: { port: 0, host: '127.0.0.1' } });
  process.env['PAGE'] = (shown.resolvedUrls?.local[0] ?? '').replace(/\/$/, '');
  return async () => {
    end();
    await new Promise((done) => shown.httpServer.close(done));
  };
}
