// SPDX-License-Identifier: Apache-2.0
//
// Starts the planner that the tests speak with, on a free port, and ends it afterwards.
import { spawn, type ChildProcess } from 'node:child_process';
import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { preview } from 'vite';

const web = fileURLToPath(new URL('..', import.meta.url));

function started(program: string): Promise<{ child: ChildProcess; url: string }> {
  return new Promise((resolve, reject) => {
    const child = spawn(program, ['serve', '--port', '0'], {
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
