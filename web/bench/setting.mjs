// SPDX-License-Identifier: Apache-2.0
//
// What the measurements share: a planner of their own, a Chromium that draws without a graphics card, and who of them has
// used how much processor time.
import { spawn } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';
import { cpus, loadavg } from 'node:os';
import { fileURLToPath } from 'node:url';
import { deflateSync, strToU8 } from 'fflate';
import { chromium } from 'playwright-core';

/// As a person would start it, on a free port. DIST=folder puts the page that was built there before it, for one that is being worked on.
export async function startPlanner(program) {
  const planner = await started(program);
  if (!process.env.DIST) return planner;
  const { preview } = await import('vite');
  process.env.GARTHWRIGHT_URL = planner.url;
  const shown = await preview({ root: fileURLToPath(new URL('..', import.meta.url)), build: { outDir: process.env.DIST }, preview: { port: 0, host: '127.0.0.1' } });
  return { ...planner, url: shown.resolvedUrls.local[0].replace(/\/$/, ''), end: () => { planner.end(); shown.httpServer.close(); } };
}

function started(program) {
  return new Promise((resolve, reject) => {
    const child = spawn(program, ['serve', '--port', '0'], {
      env: { GARTHWRIGHT_SHARE: fileURLToPath(new URL('../..', import.meta.url)), ...process.env }, stdio: ['ignore', 'pipe', 'inherit'],
    });
    process.once('exit', () => child.kill());  // also where a measurement ends by a fault
    let said = '';
    child.stdout.on('data', (chunk) => {
      said += chunk.toString();
      const url = /http:\/\/[\d.]+:\d+/.exec(said)?.[0];
      if (url) resolve({ url, pid: child.pid, end: () => child.kill() });
    });
    child.on('error', reject);
    child.on('exit', (code) => reject(new Error(`${program} serve ended with ${code}`)));
  });
}

export function launch() {
  return chromium.launch({
    executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
    args: ['--use-gl=angle', '--use-angle=swiftshader', '--enable-unsafe-swiftshader', ...(process.getuid?.() === 0 ? ['--no-sandbox'] : [])],
  });
}

export function linkTo(url, jobFile) {
  return jobFile ? `${url}/#j=${Buffer.from(deflateSync(strToU8(readFileSync(jobFile, 'utf8')))).toString('base64url')}` : `${url}/`;
}

export const machine = () => `load ${loadavg().map((each) => each.toFixed(1)).join(' ')} on ${cpus().length} cores`;

/// Asked again and again from here: the server's Content-Security-Policy lets no test code wait inside the page.
export async function until(ask, what, ms = 60000) {
  const deadline = Date.now() + ms;
  for (;;) {
    const found = await ask();
    if (found) return found;
    if (Date.now() > deadline) throw new Error(`no ${what} within ${ms / 1000} s`);
    await new Promise((go) => setTimeout(go, 20));
  }
}

export const memoryMb = (pid) => Number(/VmRSS:\s*(\d+)/.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))[1]) / 1024;

/// Processor time by what spent it, ms: the planner, the page's own process, the one that draws, the rest of the browser.
export function processorTimes(planner) {
  const times = { planner: 0, page: 0, drawing: 0, browser: 0 };
  for (const pid of readdirSync('/proc').filter((each) => /^\d+$/.test(each))) {
    try {
      const line = readFileSync(`/proc/${pid}/cmdline`, 'utf8');
      const stat = readFileSync(`/proc/${pid}/stat`, 'utf8').replace(/^.*\) /, '').split(' ');
      const ms = (Number(stat[11]) + Number(stat[12])) * 10;
      if (Number(pid) === planner) times.planner += ms;
      else if (!line.includes('chrom') || line.includes('bash')) continue;
      else if (line.includes('--type=renderer')) times.page += ms;
      else if (line.includes('--type=gpu-process')) times.drawing += ms;
      else times.browser += ms;
    } catch {
      // It ended meanwhile.
    }
  }
  return times;
}

export const median = (values) => [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? NaN;
